"""``fieldplan kit`` from the outside, with invented plans and a profile that lie in no folder of the project."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fieldplan.cli import main
from fieldplan.pictures.cells import text_cells

GEAR = """
fieldplan_profile = 1
name = "first kit (invented)"
photographer = { bag_limit = "8 kg" }
[[body]]
name = "small one"
sensor = "24x16 mm"
pixels = "6000x4000"
mount = "Q"
weight = "0.4 kg"
[[body]]
name = "large one"
sensor = "36x24 mm"
pixels = "6000x4000"
mount = "Q"
owned = false
weight = "0.8 kg"
price = 2000
rent = 90
cropped_formats = ["24x16 mm"]
[[lens]]
name = "18-55"
focal = "18-55 mm"
f_number = "3.5-5.6"
covers = "24x16 mm"
mount = "Q"
weight = "0.2 kg"
[[lens]]
name = "70-210"
focal = "70-210 mm"
f_number = "4-5.6"
mount = "Q"
weight = "0.6 kg"
[[lens]]
name = "200-500"
focal = "200-500 mm"
f_number = 5.6
mount = "Q"
owned = false
weight = "2.3 kg"
price = 1400
rent = 70
[[support]]
name = "legs"
shake = 0
weight = "1.5 kg"
[[bag]]
name = "sling"
weight = "0.9 kg"
"""
PLAN = """
fieldplan_plan = 1
title = "Weir (invented)"
profile = "first-kit"
[[shot]]
name = "hare in the stubble"
must = true
subject = { name = "hare", height = "20 cm", width = "20 cm" }
distance = "24 m"
fill = "25-40 %"
light = "EV 13"
support = "legs"
[[shot]]
name = "weir keeper"
subject = { name = "keeper", height = "1.8 m", width = "0.6 m" }
distance = "9 m"
fill = "40-90 %"
light = "EV 9"
support = "legs"
[[shot]]
name = "weir by the bridge"
must = true
subject = { name = "weir", height = "3 m", width = "16 m" }
distance = "14 m"
fill = "70-100 %"
light = "EV 12"
"""


@pytest.fixture(autouse=True)
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIELDPLAN_PLANS", str(tmp_path))
    monkeypatch.setenv("FIELDPLAN_PROFILES", str(tmp_path))
    (tmp_path / "weir.toml").write_text(PLAN, encoding="utf-8")
    (tmp_path / "first-kit.toml").write_text(GEAR, encoding="utf-8")


def said(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert main(["kit", *words]) == status
    return capsys.readouterr().out


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(said(capsys, *words, "--as", "json", status=status))
    return found


def test_what_would_i_gain_stands_on_one_screen(capsys: pytest.CaptureFixture[str]) -> None:
    lines = said(capsys, "weir").splitlines()
    screen = "\n".join(lines[:24])
    assert all(text_cells(line) <= 80 for line in lines)
    for word in ("+ large one", "+ 200-500", "+ all of", "of the musts", "weight, limit 8 kg", "to buy", "to rent"):
        assert word in screen
    rows = {line[2:].split("  ")[0].strip("* "): line for line in reversed(lines[:24])}
    # 20 cm at 24 m: 210 mm draws 1.75 of 16 mm, 11 %; 500 mm draws 4.2, 26 %, and only 17 % of the larger frame.
    assert rows["hare in the stubble"].split()[5:] == ["-", "-", "gained", "gained"]
    # 0.4 + 0.2 + 0.6 + 1.5 + 0.9 kg, then with 0.8 and with 2.3 kg more: added up by hand.
    for weight in ("3.6 kg", "4.4 kg", "5.9 kg", "6.7 kg"):
        assert weight in rows["weight, limit 8 kg"]
    assert [word for word in rows["to buy"].split() if word.isdigit()] == ["2000", "1400", "3400"]
    assert [word for word in rows["to rent, a trip"].split() if word.isdigit()] == ["90", "70", "160"]


def test_gains_by_name_stops_pixels_and_what_comes_with_it(capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "weir")
    long = text.split("+ 200-500\n---------\n")[1].split("\n\n")[0]
    assert "gains      hare in the stubble" in long and "money      to buy 1400, to rent 70 a trip" in long
    large = text.split("+ large one\n-----------\n")[1].split("\n\n")[0]
    assert "gains      no picture" in large
    # Twice log2 of 36/24: the keeper fills the frame again on the larger format; 1.2 stops.
    assert "up to 1.2 stops more on the subject: weir keeper" in large
    assert "18-55 covers only 24x16 mm: 24x16 mm is recorded, 10.7 megapixels" in " ".join(large.split())  # 24 x 4/9


def test_json_has_all_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "weir")
    assert found["format"] == "fieldplan-kit/1" and found["impossible"] == [] and found["bag_limit_kg"] == 8.0
    assert [choice["name"] for choice in found["choices"]] == [
        "as owned", "+ large one", "+ 200-500", "+ all of them", "without the legs",
    ]  # fmt: skip
    assert found["choices"][2]["gained"] == ["hare in the stubble"]
    assert found["lightest"]["impossible"] == ["hare in the stubble"]
    bought = found["lightest_with_candidates"]["bag"]
    assert {item["name"] for item in bought["items"]} - {"legs"} == {"small one", "18-55", "200-500", "sling"}
    hare = found["coverage"][0]
    assert hare["gap"]["lenses"][0]["body"] == "small one"
    # 25 % of 16 mm of a subject of 20 cm at 24 m: f = D m / (1 + m)^2 with m = 4/200.
    m = 4.0 / 200.0
    assert hare["gap"]["lenses"][0]["focal_mm"] == pytest.approx(24000.0 * m / (1.0 + m) ** 2, rel=1e-3)
    assert hare["candidates"] and {pair["lens"] for pair in hare["candidates"]} == {"200-500"}
    assert {cell["verdict"] for cell in found["coverage"][2]["reached"]} >= {"works"}


def test_nothing_takes_a_must_picture_and_the_status_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "far.toml").write_text(PLAN.replace('"24 m"', '"400 m"'), encoding="utf-8")
    assert "nothing takes hare in the stubble" in said(capsys, "far", status=1)
    assert data(capsys, "far", status=1)["impossible"] == ["hare in the stubble"]
    nice = PLAN.replace('"24 m"', '"400 m"').replace(
        'must = true\nsubject = { name = "hare"', 'subject = { name = "hare"'
    )
    (tmp_path / "nice.toml").write_text(nice, encoding="utf-8")
    said(capsys, "nice")


def test_limit_insist_and_bodies(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "weir", "--limit", "2 kg", "--insist", "legs")
    assert found["bag_limit_kg"] == 2.0
    owned = found["choices"][0]
    assert owned["whole"]["over_kg"] == pytest.approx(1.6) and owned["within_limit"] is None  # legs and sling: 2.4 kg
    assert any(item["name"] == "legs" for item in found["lightest"]["bag"]["items"])
    two = data(capsys, "weir", "--bodies", "2")
    assert any("fewer than 2 bodies" in note for note in two["lightest"]["notes"])
    assert data(capsys, "weir", "--limit", "10 lb")["bag_limit_kg"] == pytest.approx(4.5359237)


def test_what_is_insisted_on_is_told_at_the_top(capsys: pytest.CaptureFixture[str]) -> None:
    head = said(capsys, "weir", "--bodies", "5").split("bags side by side")[0]
    assert "insists on 5 bodies (fewer than 5 bodies to pack: 1)" in head
    assert "insists on 1 body\n" in said(capsys, "weir", "--bodies", "1")
    over = said(capsys, "weir", "--limit", "2 kg", "--insist", "legs")  # legs 1.5 and sling 0.9 kg
    assert "no bag: what is insisted on is over the limit by itself" in over
    named = data(capsys, "weir", "--insist", "sling", "--insist", "200-500")
    assert named["choices"][0]["name"] == "as owned + 200-500"
    assert all("200-500" in {item["name"] for item in c["whole"]["items"]} for c in named["choices"])


def test_the_best_within_the_limit_keeps_what_gains_most(capsys: pytest.CaptureFixture[str]) -> None:
    # 5.9 kg with the long lens: within 5.5 kg the 70-210 (0.6 kg), which takes no must, stays, and not the legs.
    found = data(capsys, "weir", "--limit", "5.5 kg")
    within = next(c for c in found["choices"] if c["name"] == "+ 200-500")["within_limit"]
    names = {item["name"] for item in within["items"]}
    assert names == {"small one", "18-55", "200-500", "legs", "sling"}
    assert within["weight_kg"] == pytest.approx(0.4 + 0.2 + 2.3 + 1.5 + 0.9)
    everything = next(c for c in found["choices"] if c["name"].endswith("all of them"))
    assert everything["name"] == "best of all of them"
    assert "hare in the stubble" in everything["gained"]


def test_small_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gear = GEAR.replace('weight = "0.2 kg"\n', "").replace("price = 2000\nrent = 90\n", "price = 2000\n")
    (tmp_path / "first-kit.toml").write_text(gear, encoding="utf-8")
    lines = said(capsys, "weir").splitlines()
    rows = {line[2:].split("  ")[0].strip("* "): line for line in reversed(lines[:24])}
    assert "3.4 kg + ?" in rows["weight, limit 8 kg"]  # the weight of the 18-55 is not known
    assert rows["to rent, a trip"].split()[-3:] == ["70", "70", "+"] or "70 + ?" in rows["to rent, a trip"]
    idle = [line for line in lines if "buys nothing" in line]
    assert not idle and "no more" in "\n".join(lines)


def test_part_of_a_range_counts_as_such(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # 210 mm draws 20 cm to 25 % of 16 mm (m = 0.02) from D = f (2 + m + 1/m): 10.9 m of the 9-12 m planned.
    near = PLAN.replace('"24 m"', '"9-12 m"')
    (tmp_path / "near.toml").write_text(near, encoding="utf-8")
    found = data(capsys, "near")
    assert found["choices"][0]["whole"]["in_part"] == [{"shot": "hare in the stubble", "word": "partly"}]
    assert found["impossible"] == [] and found["coverage"][0]["gap"]["approach"]["stay_m"] == [
        pytest.approx(9.0), pytest.approx(0.21 * (2.02 + 50.0), rel=1e-3),
    ]  # fmt: skip
    text = " ".join(said(capsys, "near").split())
    assert "come no farther off than 10.9 m" in text and "hare in the stubble partly" in text
    table = text.split("bags side by side")[1]
    assert "hare in the stubble partly" in table and "at 9-10.9 m" in text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("weir", "--limit", "heavy"), '--limit: "heavy" is not a weight'),
        (("weir", "--bodies", "two"), '--bodies: "two" is no number of bodies; write 0 to 99'),
        (("weir", "--bodies", "-1"), "--bodies: "),
        (("weir", "--bodies", "100"), "--bodies: "),
        (("weir", "--insist", "unicorn"), '"unicorn" is not in the profile'),
    ],
)
def test_wrong_words_are_explained(words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kit", *words]) == 2
    assert told in capsys.readouterr().err


def test_a_trip_of_two_plans(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "second.toml").write_text(PLAN.replace("Weir (invented)", "Dike (invented)"), encoding="utf-8")
    found = data(capsys, "weir", "second")
    assert len(found["coverage"]) == 6 and len({row["shot"] for row in found["coverage"]}) == 6
    (tmp_path / "third.toml").write_text(PLAN.replace("first-kit", "other-kit"), encoding="utf-8")
    assert main(["kit", "weir", "third"]) == 2
    assert "several profiles" in capsys.readouterr().err
    assert "Kit for Weir (invented) and Weir (invented)" in said(capsys, "weir", "third", "--profile", "first-kit")


def test_a_plan_without_pictures(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "bare.toml").write_text('fieldplan_plan = 1\ntitle = "bare"\nprofile = "first-kit"\n', encoding="utf-8")
    assert main(["kit", "bare"]) == 1
    assert "no picture" in capsys.readouterr().err


def test_check_warns_of_a_name_that_the_profile_lacks(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    carried = PLAN.replace('profile = "first-kit"', 'profile = "first-kit"\ncarry = ["small one", "70-201"]')
    (tmp_path / "carried.toml").write_text(carried, encoding="utf-8")
    assert main(["check", str(tmp_path / "carried.toml"), "--profiles", str(tmp_path)]) == 0
    told = capsys.readouterr().out
    assert 'carry: "70-201" is not in the profile first kit (invented); did you mean "70-210"?' in told
    assert '"small one"' not in told
