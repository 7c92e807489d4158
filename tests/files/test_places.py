"""Names find their files: a path, the person's own folder, what comes with the program; in a checkout and installed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from fieldplan.files import places
from fieldplan.files.places import (
    copy_for_editing,
    file_name,
    find_plan,
    find_profile,
    is_starter,
    list_plans,
    list_profiles,
    plans_folder,
    profiles_folder,
    starters_folder,
)
from fieldplan.files.problems import FileProblem

TREE = Path(__file__).parent.parent.parent


def test_in_a_checkout_the_starters_are_those_of_the_tree() -> None:
    assert starters_folder("profiles") == TREE / "profiles"
    assert {place.name for place in list_plans()} == {path.stem for path in (TREE / "demo").glob("*.toml")}
    assert all(place.starter and is_starter(place.path) for place in (*list_plans(), *list_profiles()))


def test_an_installed_wheel_finds_its_starters(tmp_path: Path) -> None:
    package = tmp_path / "site" / "fieldplan"
    shutil.copytree(TREE / "fieldplan", package, ignore=shutil.ignore_patterns("__pycache__"))
    build = tomllib.loads((TREE / "pyproject.toml").read_text())["tool"]["hatch"]["build"]["targets"]["wheel"]
    for source, target in build["force-include"].items():
        place = tmp_path / "site" / target
        place.parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if (TREE / source).is_dir() else shutil.copy)(TREE / source, place)
    shipped = {path.name for path in (package / "starters" / "demo").iterdir()}
    assert shipped == {path.name for path in (TREE / "demo").glob("*.toml")}
    script = (
        "from fieldplan.files.places import find_plan, is_starter, list_profiles\n"
        "from fieldplan.files.reading import load_plan, load_profile\n"
        "plan = find_plan('coast-weekend')\n"
        "print(plan, is_starter(plan), load_plan(plan).value.profile)\n"
        "print(*(load_profile(place.path).value.name for place in list_profiles() if place.starter))\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", script],
        env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    first, second = run.stdout.splitlines()
    assert first == f"{package / 'starters' / 'demo' / 'coast-weekend.toml'} True wildlife"
    assert second.split() == sorted(path.stem for path in (TREE / "profiles").glob("*.toml"))


def test_without_any_starters_the_folders_are_empty_and_nothing_breaks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(places, "_PACKAGE", tmp_path / "fieldplan")
    assert list_plans() == ()
    with pytest.raises(FileProblem, match="is no plan; there are no plans yet"):
        find_plan("lake")


def test_a_persons_own_file_hides_the_starter_of_its_name(own_folders: Path) -> None:
    assert find_profile("travel") == TREE / "profiles" / "travel.toml"
    (own_folders / "profiles").mkdir()
    mine = own_folders / "profiles" / "travel.toml"
    mine.write_text("x")
    assert find_profile("travel") == find_profile("travel.toml") == mine
    assert [place.name for place in list_profiles()].count("travel") == 1
    assert list_profiles()[0] == places.Place("travel", mine, False)


def test_a_profile_beside_the_plan_comes_first_and_a_plan_is_not_its_own_profile(tmp_path: Path) -> None:
    plan, gear = tmp_path / "travel.toml", tmp_path / "gear" / "mine.toml"
    gear.parent.mkdir()
    for file in (plan, gear):
        file.write_text("x")
    assert find_profile("gear/mine", relative_to=plan) == gear
    assert find_profile("travel", relative_to=plan) == TREE / "profiles" / "travel.toml"


def test_the_file_of_a_plan_by_path_name_or_title(own_folders: Path, tmp_path: Path) -> None:
    (own_folders / "plans").mkdir()
    mine = own_folders / "plans" / "lake-at-dawn.toml"
    mine.write_text("x")
    (own_folders / "plans" / ".hidden.toml").write_text("x")
    assert find_plan("Lake at dawn") == find_plan("lake-at-dawn") == find_plan(mine) == mine
    assert ".hidden" not in {place.name for place in list_plans()}


@pytest.mark.parametrize("name", ["lake-and-chapl", "nowhere/lake-and-chapl.toml"])
def test_a_mistyped_name_is_told_the_nearest_and_all_there_are(name: str) -> None:
    with pytest.raises(FileProblem) as raised:
        find_plan(name)
    assert 'did you mean "lake-and-chapel"? the plans here are: coast-weekend, lake-and-chapel' in str(raised.value)
    with pytest.raises(FileProblem, match=r'is no gear profile; did you mean "wildlife"\? the profiles here are: '):
        find_profile("wildlive")


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000, "\x1b[2J", "", "..", "/", "[/b]", "\u202egnp"])
def test_names_that_no_file_has(name: str) -> None:
    for find in (find_plan, find_profile):
        with pytest.raises(FileProblem) as raised:
            find(name)
        assert all(char.isprintable() for char in str(raised.value))
        assert len(str(raised.value)) < 1000


def test_the_folders_are_those_named_and_else_the_platforms(
    own_folders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert plans_folder() == own_folders / "plans"
    assert plans_folder(tmp_path) == tmp_path
    assert profiles_folder("~/x") == Path.home() / "x"
    monkeypatch.delenv("FIELDPLAN_PLANS")
    monkeypatch.delenv("FIELDPLAN_PROFILES")
    assert plans_folder().name == "fieldplan"
    assert profiles_folder().parts[-2:] == ("fieldplan", "profiles")


def test_a_copy_of_a_starter_where_a_file_is_in_the_way(own_folders: Path) -> None:
    own_folders.joinpath("plans").write_text("a file where the folder belongs")
    with pytest.raises(FileProblem, match=r"lake-and-chapel\.toml: "):
        copy_for_editing(TREE / "demo" / "lake-and-chapel.toml")
    copied = copy_for_editing(TREE / "profiles" / "travel.toml")
    assert copied.path.read_bytes() == (TREE / "profiles" / "travel.toml").read_bytes()
    assert copied.path.parent == own_folders / "profiles"


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Lake at dawn", "lake-at-dawn.toml"),
        ("../../etc/x", "etc-x.toml"),
        ("...", "unnamed.toml"),
        ("\x1b[31m", "31m.toml"),
        ("Überfahrt", "überfahrt.toml"),
        ("a" * 300, "a" * 60 + ".toml"),
    ],
)
def test_a_name_becomes_a_plain_file_name(name: str, file: str) -> None:
    assert file_name(name) == file
