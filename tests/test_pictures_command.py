"""``fieldplan pictures``: counts, offers, matching, and the log written by the safe way; pictures stay as they were."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fieldplan.cli import main
from fieldplan.files.reading import load_plan
from fieldplan.picturescommand import read_span_s

from .files.exifwriter import usual_but, write

PLAN = """
fieldplan_plan = 1
title = "Morning (invented)"
date = 2027-03-14
profile = "two-bodies"
[site]
name = "reed hide"
time_zone = "Europe/Berlin"
[[shot]]
name = "heron"
time = 07:20:00
[[shot]]
name = "duck"
from = 08:00:00
to = 08:30:00
"""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("PLANS", "PROFILES"):
        monkeypatch.setenv(f"FIELDPLAN_{name}", str(tmp_path / name.lower()))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    there = tmp_path / "pictures"
    there.mkdir()
    write(there / "a.jpg", usual_but(TIME="2027:03:14 07:24:31"))
    write(there / "b.jpg", usual_but(TIME="2027:03:14 08:10:00", FOCAL=(200, 1), ISO=400))
    write(there / "c.jpg", usual_but(TIME="2027:03:14 12:00:00", OFFSET=None))
    (there / "broken\x1b[31m.jpg").write_bytes(b"II*\0\xff\xff\xff\x7f")
    return there


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "morning.toml"
    path.write_text(PLAN)
    return path


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = main(["pictures", *words])
    told = capsys.readouterr()
    assert "\x1b" not in told.out + told.err
    return status, told.out, told.err


def data(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    status, out, _ = run(capsys, *words, "--as", "json")
    assert status == 0
    return dict(json.loads(out))


def test_text_says_what_was_used_and_what_is_broken(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    status, out, err = run(capsys, str(folder))
    assert status == 0
    assert out.startswith("3 pictures; 1 broken")
    assert "skipped broken.jpg: is broken" in err
    assert "400-570 mm" in out and "[[body]]" in out and 'name = "Body A"' in out
    assert max(map(len, out.splitlines())) <= 100


def test_json_has_the_same(capsys: pytest.CaptureFixture[str], folder: Path, plan: Path) -> None:
    found = data(capsys, str(folder), "--plan", str(plan))
    assert found["format"] == "fieldplan-pictures/1"
    assert (found["pictures"], len(found["broken"])) == (3, 1)
    assert [h["of"] for h in found["histograms"]] == ["focal_mm", "equivalent_mm", "f_number", "shutter_s", "iso"]
    assert sum(b["pictures"] for b in found["histograms"][0]["bins"]) == 3
    shots = {p["name"]: p["shot"] for p in found["matched"]["pictures"]}
    assert shots == {"a.jpg": "heron", "b.jpg": "duck", "c.jpg": None}
    assert found["matched"]["offset_assumed"] == 1
    assert [e["picture"] for e in found["matched"]["new_entries"]] == ["a.jpg", "b.jpg"]


def test_counts_of_one_body_or_lens(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    write(folder / "d.jpg", usual_but(LENS="Lens C", FOCAL=(35, 1)), "Body B")
    found = data(capsys, str(folder), "--of", "lens c")
    assert sum(b["pictures"] for b in found["histograms"][0]["bins"]) == 1
    assert found["by_body"] == {"Body B": 1}
    status, out, err = run(capsys, str(folder), "--of", "Lens Z")
    assert (status, out) == (1, "") and "Body A, Body B, Lens B, Lens C" in err


def test_nothing_is_written_unless_asked(capsys: pytest.CaptureFixture[str], folder: Path, plan: Path) -> None:
    run(capsys, str(folder), "--plan", str(plan))
    assert plan.read_text() == PLAN


def test_the_log_is_written_once_and_the_former_plan_kept(
    capsys: pytest.CaptureFixture[str], folder: Path, plan: Path
) -> None:
    before = {path: path.read_bytes() for path in folder.iterdir()}
    status, _, err = run(capsys, str(folder), "--plan", str(plan), "--write")
    assert status == 0 and "2 entries added" in err
    taken = load_plan(plan).value.taken
    assert [(e.shot, e.picture, e.iso) for e in taken] == [("heron", "a.jpg", 1600.0), ("duck", "b.jpg", 400.0)]
    assert plan.with_name(plan.name + "~").read_text() == PLAN
    status, _, err = run(capsys, str(folder), "--plan", str(plan), "--write")
    assert status == 0 and "nothing new" in err
    assert load_plan(plan).value.taken == taken
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_a_fast_camera_clock_is_corrected(capsys: pytest.CaptureFixture[str], folder: Path, plan: Path) -> None:
    found = data(capsys, str(folder), "--plan", str(plan), "--ahead", "3:50")
    assert {p["name"]: p["shot"] for p in found["matched"]["pictures"]}["c.jpg"] == "duck"


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1:00", 3600),
        ("0:02:30", 150),
        ("90 s", 90),
        ("3 min", 180),
        ("1.5 h", 5400),
        ("1d", 86400),
    ],
)
def test_lengths_of_time(text: str, seconds: float) -> None:
    assert read_span_s(text) == seconds


@pytest.mark.parametrize(("text", "seconds"), [("20", 1200), ("90 s", 90), ("1 h", 3600), ("0:05", 300), ("1,5", 90)])
def test_a_margin_is_minutes_or_has_its_unit(
    capsys: pytest.CaptureFixture[str], folder: Path, plan: Path, text: str, seconds: float
) -> None:
    found = data(capsys, str(folder), "--plan", str(plan), "--margin", text)
    assert found["matched"]["margin_s"] == seconds


@pytest.mark.parametrize("text", ["nan", "inf", "-1", "1e400", "far", "1441", "25 h", ""])
def test_what_is_no_margin_is_told_with_its_option(capsys: pytest.CaptureFixture[str], folder: Path, text: str) -> None:
    status, out, err = run(capsys, str(folder), f"--margin={text}")
    assert (status, out) == (2, "") and err.startswith("fieldplan pictures: --margin: ")


@pytest.mark.parametrize("words", [["--behind", "soon"], ["--ahead", "5"], ["--behind", ""], ["--write"]])
def test_wrong_words(capsys: pytest.CaptureFixture[str], folder: Path, words: list[str]) -> None:
    status, out, err = run(capsys, str(folder), *words)
    assert (status, out) == (2, "")
    assert err.startswith(f"fieldplan pictures: {words[0]}")


def test_no_pictures_and_no_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "none").mkdir()
    status, out, err = run(capsys, str(tmp_path / "none"))
    assert (status, out) == (1, "") and "no picture" in err
    status, out, err = run(capsys, str(tmp_path / "nowhere"))
    assert (status, out) == (1, "") and "nowhere" in err
