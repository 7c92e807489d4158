"""What is said of a file that cannot be read: file, place, what was found, what would do."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from fieldplan.files import versions
from fieldplan.files.reading import LARGEST_FILE, FileProblem, load_plan, load_profile

HEAD = 'fieldplan_plan = 1\ntitle = "Lake"\n'


def said(path: Path, load: Any = load_plan) -> str:
    with pytest.raises(FileProblem) as raised:
        load(path)
    text = str(raised.value)
    assert "Traceback" not in text
    assert all(char.isprintable() for line in text.split("\n") for char in line)
    return text


def of_text(tmp_path: Path, text: str | bytes, load: Any = load_plan) -> str:
    path = tmp_path / "lake.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return said(path, load)


def test_a_wrong_unit_is_one_line_with_file_field_found_and_remedy(tmp_path: Path) -> None:
    text = of_text(tmp_path, HEAD + '[[shot]]\nname = "a"\n[[shot]]\nname = "heron"\ndistance = "28 q"\n')
    assert text.startswith(
        'lake.toml: shot[1].distance ("heron"): "28 q": "q" is not a unit of a distance; units here: '
    )
    assert text.endswith('write for example "28 m", "92 ft" or "25-31 m"')
    assert "\n" not in text


def test_each_problem_has_its_own_line(tmp_path: Path) -> None:
    text = of_text(tmp_path, 'fieldplan_plan = 1\n[[shot]]\ndistance = "28 q"\n')
    assert [line.split(": ")[1] for line in text.split("\n")] == ["title", "shot[0].name", "shot[0].distance"]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("distance = 28 m", ["line 3, column 15: is not TOML", '"distance = 28 m"', 'in quotes: distance = "28 m"']),
        ('height = "5\'8""', ["line 3, column 15: is not TOML", "a quote is not closed", 'inch mark as \\"']),
        ("[[shot", ["line 3, column 7", "is not TOML", "[[shot]]"]),
        ("just words", ["line 3, column 6: is not TOML: expected '=' after a key", '"just words"', "key = value"]),
        ("date = 2027-13-45", ["line 3, column", "is not TOML", "2027-13-45"]),
        ('title = "again"', ["line 3, column", "is not TOML", "overwrite"]),
        ('note = """never closed', ["line 3, column 23: is not TOML", "never closed", "a quote is not closed"]),
        ("x = " + "[" * 5000, ["brackets nested too deep"]),
        ("x = " + "9" * 5000, ["a number too long"]),
    ],
)
def test_what_is_not_toml_is_shown_with_line_and_column(tmp_path: Path, line: str, words: list[str]) -> None:
    text = of_text(tmp_path, HEAD + line + "\n")
    assert text.startswith("lake.toml: ")
    for word in words:
        assert word in text


def test_a_plan_given_for_a_profile_and_the_other_way_round(tmp_path: Path) -> None:
    assert of_text(tmp_path, HEAD, load_profile) == "lake.toml: is a plan, not a gear profile; name a gear profile"
    text = of_text(tmp_path, 'fieldplan_profile = 1\nname = "x"\n')
    assert text == "lake.toml: is a gear profile, not a plan; name a plan"


@pytest.mark.parametrize("text", ["", 'title = "Lake"\n', '[tool]\nname = "x"\n'])
def test_any_other_toml_is_no_plan(tmp_path: Path, text: str) -> None:
    found = of_text(tmp_path, text)
    assert found == "lake.toml: is not a plan: it lacks the line fieldplan_plan = 1; put it at the top"


def test_a_newer_version_is_refused(tmp_path: Path) -> None:
    text = of_text(tmp_path, 'fieldplan_plan = 3\ntitle = "Lake"\nnew_key = 4\n')
    assert text.startswith(
        "lake.toml: fieldplan_plan: written by a newer fieldplan (version 3); this one reads up to 1"
    )


@pytest.mark.parametrize("version", ['"1"', "true", "0", "-1", "1.0", "[]", "1979-05-27"])
def test_a_version_is_a_whole_number(tmp_path: Path, version: str) -> None:
    text = of_text(tmp_path, f'fieldplan_plan = {version}\ntitle = "Lake"\n')
    assert text.endswith("is not a version; write fieldplan_plan = 1")


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "file.toml").write_text("x")
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    os.mkfifo(tmp_path / "pipe.toml")
    assert "is a folder; name a file in it" in said(tmp_path)
    assert "missing.toml: is not there; look at the spelling" in said(tmp_path / "missing.toml")
    assert "a part of its path is a file, not a folder" in said(tmp_path / "file.toml" / "lake.toml")
    assert "has too long a name" in said(tmp_path / ("x" * 300))
    assert "is a link that leads back to itself" in said(tmp_path / "loop.toml")
    assert "pipe.toml: is not an ordinary file" in said(tmp_path / "pipe.toml")
    assert "has a name that cannot be" in said(Path(f"{tmp_path}/a\0b"))


def test_a_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "lake.toml"
    path.write_text(HEAD)

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)
    assert "may not be read or written by you; change its permissions" in said(path)


def test_text_in_another_encoding(tmp_path: Path) -> None:
    assert of_text(tmp_path, HEAD.encode() + 'note = "é"'.encode("latin-1")).startswith(
        "lake.toml: line 3: is not UTF-8 text; save it as UTF-8"
    )
    assert "is not UTF-8 text" in of_text(tmp_path, HEAD.encode("utf-16"))


def test_a_byte_order_mark_is_no_error(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    path.write_bytes(b"\xef\xbb\xbf" + HEAD.encode())
    assert load_plan(path).value.title == "Lake"


def test_a_file_far_too_large(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    with path.open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    assert "is larger than 4 MB" in said(path)


@pytest.mark.parametrize("name", ["a\x1b[31m.toml", "[b].toml", "a\u202etoml.toml", "\u2028.toml"])
def test_hostile_file_names_and_contents_are_plain_text(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_text(
        'fieldplan_plan = 1\ntitle = "\\u001b]0;x\\u0007"\n"\\u001b[2J" = 3\n[[shot]]\nname = "[/b]"\nfill = "[b]"\n'
    )
    text = said(path)
    assert '("[/b]")' in text
    assert "U+001B" in text


def older(data: dict[str, Any]) -> dict[str, Any]:
    return {("title" if key == "heading" else key): part for key, part in data.items()}


def in_metres(data: dict[str, Any]) -> dict[str, Any]:
    return {**data, "shot": [{**shot, "distance": f"{shot['distance']} m"} for shot in data["shot"]]}


def test_older_versions_are_brought_up_step_by_step() -> None:
    raw = {"fieldplan_plan": 1, "heading": "Lake", "shot": [{"name": "a", "distance": 28}]}
    data, written = versions.brought_up(raw, "fieldplan_plan", 3, {1: older, 2: in_metres})
    assert written == 1
    assert data == {"fieldplan_plan": 3, "title": "Lake", "shot": [{"name": "a", "distance": "28 m"}]}
    assert raw == {"fieldplan_plan": 1, "heading": "Lake", "shot": [{"name": "a", "distance": 28}]}
    with pytest.raises(ValueError, match="version 1 is too old for this fieldplan; it reads from 2 to 3"):
        versions.brought_up(raw, "fieldplan_plan", 3, {2: in_metres})


def test_an_older_file_loads_as_todays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(versions, "CURRENT", {**versions.CURRENT, "fieldplan_plan": 2})
    monkeypatch.setattr(versions, "MIGRATIONS", {**versions.MIGRATIONS, "fieldplan_plan": {1: older}})
    path = tmp_path / "old.toml"
    path.write_text('fieldplan_plan = 1\nheading = "Lake"\n')
    loaded = load_plan(path)
    assert (loaded.value.title, loaded.version) == ("Lake", 1)


def test_bare_numbers_are_in_the_units_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    path.write_text(HEAD + 'units = "imperial"\n[[shot]]\nname = "a"\ndistance = 100\n')
    distance = load_plan(path).value.shots[0].distance
    assert distance is not None
    assert distance.low == pytest.approx(30.48, rel=1e-15)  # the international foot of 1959: 0.3048 m
