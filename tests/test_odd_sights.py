"""Sites at the edge of what a line-up can be: each face says so in a sentence, and shows no number that means nothing.

All plans are invented. Why each has no line-up is geometry; the declinations are in Meeus, Astronomical Algorithms:
the moon stays within 28.7 degrees of the equator (ch. 55), the sun within 23.4 (ch. 22).
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.tui.launch import open_desk
from fieldplan.tui.pages.sky import SkyPage

PLAN = """
fieldplan_plan = 1
title = "Odd (invented)"
date = 2027-03-14
profile = "two-bodies"
[site]
name = "here"
position = "{position}"
time_zone = "{zone}"
elevation = "{elevation}"
[[site.landmark]]
name = "tower"
position = "{landmark}"
foot = "{foot}"
height = "30 m"
[[shot]]
name = "{body} and tower"
time = 21:00:00
subject = {{ sky = "{body}", behind = "tower" }}
aim = 90
aim_altitude = 5
support = "tripod"
"""
ODD = {
    "below eye level": (("53.43, 12.75", "Europe/Berlin", "400 m", "53.4296, 12.7711", "20 m"), "ground stands behind"),
    "due north": (("53.43, 12.75", "Europe/Berlin", "20 m", "53.4426, 12.75", "20 m"), "never stands there"),
    "on top of it": (("53.43, 12.75", "Europe/Berlin", "60 m", "53.43, 12.75", "20 m"), "straight below the eye"),
    "at its foot": (("53.43, 12.75", "Europe/Berlin", "20 m", "53.43, 12.75", "20 m"), "straight above the eye"),
    "beyond the horizon": (("53.43, 12.75", "Europe/Berlin", "20 m", "53.42, 14.4", "20 m"), "Earth's curve hides"),
    "far beyond it": (("53.43, 12.75", "Europe/Berlin", "20 m", "53.42, 25.4", "20 m"), "far beyond the horizon"),
    "opposite": (("53.43, 12.75", "Europe/Berlin", "20 m", "-53.43, -167.25", "20 m"), "far beyond the horizon"),
}
POLAR = {
    "north pole": ("90, 0", "UTC", "3 m", "89.99, 45", "2 m"),
    "south pole": ("-90, 0", "Antarctica/McMurdo", "2835 m", "-89.99, 45", "2835 m"),
    "78 north": ("78.22, 15.65", "Arctic/Longyearbyen", "20 m", "78.20, 15.65", "10 m"),
    "78 south": ("-77.85, 166.67", "Antarctica/McMurdo", "20 m", "-77.85, 166.75", "10 m"),
}
NONSENSE = re.compile(r"\bnan\b|\binf\b|\bNone\b|\de[+-]\d\d\b")


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("STATE", "PLANS", "PROFILES"):
        monkeypatch.setenv(f"FIELDPLAN_{name}", str(tmp_path / name.lower()))


def plan_at(folder: Path, where: tuple[str, ...], body: str) -> str:
    keys = dict(zip(("position", "zone", "elevation", "landmark", "foot"), where, strict=True))
    path = folder / "odd.toml"
    path.write_text(PLAN.format(body=body, **keys), encoding="utf-8")
    return str(path)


def page_of(plan: str, body: str) -> str:
    page = SkyPage(open_desk(plan))
    if body == "sun":
        page.do_body()
    shown = []
    for action in ("", "fails", "fails", "fails", "fails", "placing", "placing", "light", "later", "spot", "shot"):
        if action:
            getattr(page, f"do_{action}")()
        rows = page.draw(80, 20)
        shown.append(" ".join("".join(text for text, _ in row) for row in rows))
    assert not any(NONSENSE.search(text) for text in shown)
    return " ".join(shown[0].split())


@pytest.mark.parametrize("body", ["moon", "sun"])
@pytest.mark.parametrize("case", ODD)
def test_every_face_says_why_in_a_sentence(
    case: str, body: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where, said = ODD[case]
    plan = plan_at(tmp_path, where, body)
    assert said in page_of(plan, body)
    plan = plan_at(tmp_path, where, body)
    assert main(["lineup", plan, "--body", body, "--within", "1.5"]) in (1, 2)
    printed = capsys.readouterr()
    assert said in printed.err and "misses by" not in printed.out
    assert main(["card", plan]) == 0
    card = " ".join(capsys.readouterr().out.split())
    assert not NONSENSE.search(card)
    for kind in ("gpx", "json", "html", "ics"):
        assert main(["card", plan, "--as", kind]) == 0
        out = capsys.readouterr().out
        if kind == "json":
            assert json.loads(out)["shots"][0]["stand"] is not None


@pytest.mark.parametrize("body", ["moon", "sun"])
@pytest.mark.parametrize("case", POLAR)
def test_polar_sites_have_hits_and_sound_numbers(
    case: str, body: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = plan_at(tmp_path, POLAR[case], body)
    assert "hits by date" in page_of(plan, body)
    plan = plan_at(tmp_path, POLAR[case], body)
    assert main(["lineup", plan, "--body", body, "--within", "2", "--as", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    low, high = data["target"]["apparent_altitude_deg"] - 2.0, data["target"]["apparent_altitude_deg"] + 2.0
    assert data["hits"] and all(low <= hit["apparent_altitude_deg"] <= high for hit in data["hits"])
    assert main(["card", plan]) == 0
    assert not NONSENSE.search(capsys.readouterr().out)


def test_a_site_on_its_landmark_still_looks_from_its_viewpoints(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = plan_at(tmp_path, ODD["at its foot"][0], "moon")
    with open(plan, "a", encoding="utf-8") as file:
        file.write('[[site.viewpoint]]\nname = "dam"\nposition = "53.43, 12.735"\nelevation = "20 m"\n')
    assert main(["lineup", plan, "--viewpoint", "dam", "--within", "2"]) == 0
    assert main(["card", plan]) == 0
    assert "walks from dam" in capsys.readouterr().out
