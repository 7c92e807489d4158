"""``fieldplan learn``: what is told, what is offered, and that only what is named is written, by the safe way."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from fieldplan.cli import main
from fieldplan.files.reading import load_profile

GEAR = """
fieldplan_profile = 1
name = "own"
[[body]]
name = "Body A"
sensor = "36x24 mm"
pixels = "6000x4000"
mount = "A"
[[lens]]
name = "Lens A"
focal = "400 mm"
f_number = 4
mount = "A"
"""
PLAN = """
fieldplan_plan = 1
title = "Morning (invented)"
date = 2027-03-14
profile = "own"
[site]
name = "reed hide"
position = "53.43, 12.75"
[[shot]]
name = "heron"
time = 07:20:00
subject = "grey heron"
distance = "30 m"
"""


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("plans", "profiles"):
        (tmp_path / name).mkdir()
        monkeypatch.setenv(f"FIELDPLAN_{name.upper()}", str(tmp_path / name))
    (tmp_path / "profiles" / "own.toml").write_text(GEAR)
    return tmp_path


def log(number: int, factor: float) -> str:
    """Invented pictures of a hand with that shake factor: 400 mm at 30 m, circle 0.0288 mm, reference 0.063 rad/s."""
    rng = random.Random(8)
    text = ""
    for _ in range(number):
        shutter = 0.0288 / (400 * 0.063) * 2.0 ** rng.gauss(0, 1)
        sharp = shutter * factor * 2.0 ** rng.gauss(0, 0.5) < 0.0288 / (400 * 0.063)
        text += f'[[taken]]\nshot = "heron"\nbody = "Body A"\nlens = "Lens A"\nshutter = "{shutter:.6f} s"\n'
        text += f'iso = 12800\ndistance = "36 m"\nsharp = {str(sharp).lower()}\n' + ("" if sharp else 'why = "shake"\n')
    return text


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = main(["learn", *words])
    told = capsys.readouterr()
    return status, told.out, told.err


def learned(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    status, out, _ = run(capsys, *words, "--as", "json")
    assert status == 0
    data = json.loads(out)
    assert data["format"] == "fieldplan-learned/1"
    return {one["name"]: one for one in data["learned"]}


def test_all_plans_of_the_folder_are_read_and_broken_ones_named(
    capsys: pytest.CaptureFixture[str], folders: Path
) -> None:
    (folders / "plans" / "a.toml").write_text(PLAN + log(60, 2.0))
    (folders / "plans" / "b.toml").write_text(PLAN + log(60, 2.0))
    (folders / "plans" / "broken.toml").write_text("fieldplan_plan = 1\nnonsense = 2\n")
    (folders / "plans" / "other.toml").write_text("a = 1\n")
    status, out, err = run(capsys)
    assert status == 0
    assert out.startswith("120 entries and 0 meter readings of 2 plans")
    assert "broken.toml" in err and "other" not in err
    found = learned(capsys)
    assert found["shake"]["low_95"] <= 2.0 <= found["shake"]["high_95"]
    assert found["distance"]["value"] == pytest.approx(1.2)
    assert found["followed"]["value"] is None and "too few" in found["followed"]["said"]


def test_nothing_is_written_unless_named(capsys: pytest.CaptureFixture[str], folders: Path) -> None:
    (folders / "plans" / "a.toml").write_text(PLAN + log(80, 2.0))
    gear = folders / "profiles" / "own.toml"
    _, out, _ = run(capsys)
    assert "[photographer]\nshake = " in out and "iso_ceiling = 12800" in out
    assert gear.read_text() == GEAR
    status, _, err = run(capsys, "--write", "shake")
    assert status == 0 and "shake: 1 is now" in err
    profile = load_profile(gear).value
    assert 1.4 < profile.photographer.shake < 2.9
    assert profile.bodies[0].iso_ceiling == 6400
    assert gear.with_name("own.toml~").read_text() == GEAR
    status, _, _ = run(capsys, "--write", "iso:Body A")
    assert status == 0 and load_profile(gear).value.bodies[0].iso_ceiling == 12800


def test_what_is_not_offered_is_not_written(capsys: pytest.CaptureFixture[str], folders: Path) -> None:
    (folders / "plans" / "a.toml").write_text(PLAN + log(80, 2.0))
    status, _, err = run(capsys, "a", "--write", "shake", "followed")
    assert status == 1 and "followed is not offered" in err
    assert (folders / "profiles" / "own.toml").read_text() == GEAR


def test_no_log_at_all(capsys: pytest.CaptureFixture[str], folders: Path) -> None:
    (folders / "plans" / "a.toml").write_text(PLAN)
    status, out, err = run(capsys)
    assert (status, out) == (1, "") and "no plan here has a log" in err
    status, out, err = run(capsys, "nowhere")
    assert (status, out) == (1, "") and "nowhere" in err


def test_readings_against_the_estimate(capsys: pytest.CaptureFixture[str], folders: Path) -> None:
    """Six readings at noon under a clear sky: the interval is that of Student's t, 2.5706 for 5 degrees of freedom
    (NIST/SEMATECH e-Handbook, table 1.3.6.7.2), and their standard deviation is 0.37417."""
    readings = "".join(f"[[reading]]\ntime = 12:{m:02}:00\nev = {ev}\n" for m, ev in enumerate((14, 14.2, 14.4, 14.6,
                                                                                               14.8, 15)))  # fmt: skip
    (folders / "plans" / "a.toml").write_text(PLAN + readings)
    found = learned(capsys)["light:clear, level ground"]
    assert found["value"] is not None
    assert found["high_95"] - found["low_95"] == pytest.approx(2 * 2.5706 * 0.37417 / 6**0.5, rel=0.01)
