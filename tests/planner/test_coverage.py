"""What reaches what: gaps closed by the lens, the walk or the change that is told, each tried out again."""

from __future__ import annotations

import datetime as dt
import random

import pytest

from fieldplan.planner.coverage import Coverage, coverage
from fieldplan.planner.gaps import Gap
from fieldplan.planner.leave import leave_to_go
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.trip import trip_shots

from .shots import lists
from .trips import CROP, FULL, Table, plan, profile, thing, trip

LENS: Table = {"name": "lens", "focal": "70-200 mm", "f_number": 4, "mount": "A"}
DEER = {"subject": thing("1.2 m", width="1.1 m"), "distance": "40-50 m", "fill": "50-70 %", "light": "EV 13"}


def table(*shots: Table, candidates: bool = False, countries: tuple[str, ...] = (), **gear: object) -> Coverage:
    kit = prepare(profile(**{"body": [FULL], "lens": [LENS], **gear}), candidates=candidates)
    return coverage(trip(kit, *shots, countries=countries), kit)


def gap(*shots: Table, countries: tuple[str, ...] = (), **gear: object) -> Gap:
    found = table(*shots, countries=countries, **gear).rows[0].gap
    assert found is not None
    return found


def done(shot: Table, **gear: object) -> bool:
    return table(shot, **gear).rows[0].gap is None


@pytest.mark.parametrize("seed", range(25))
def test_the_shortest_focal_length_closes_the_gap_and_a_shorter_one_does_not(seed: int) -> None:
    # The lens named is put into the profile, thin and of that focal length, and the picture is planned again.
    rng = random.Random(seed)
    away = rng.uniform(10, 80)
    shot = {**DEER, "distance": f"{away:.2f}-{away * rng.uniform(1, 1.25):.2f} m", "light": "EV 15"}
    shot["subject"] = thing(
        f"{away * rng.uniform(0.008, 0.015):.3f} m", width=f"{away * rng.uniform(0.005, 0.015):.3f} m"
    )
    bodies = [FULL, {**CROP, "sensor": rng.choice(["24x16 mm", "17.3x13 mm"])}]
    lens = gap(shot, body=bodies).lenses[0]
    assert lens.longer
    body = next(b for b in bodies if b["name"] == lens.body)
    shortest = min([lens.focal_m, *([lens.other[0]] if lens.other else [])])
    for share, works in ((1.0001, True), (0.96, False)):
        made = {**LENS, "focal": f"{shortest * share * 1000:.6f} mm", "f_number": 1.8}
        assert done(shot, body=[body], lens=[made]) is works


def test_the_smaller_frame_wants_the_shorter_lens() -> None:
    lenses = gap(DEER, body=[FULL, CROP]).lenses
    assert [lens.body for lens in lenses] == ["crop", "full"]
    # The same framing by diagonal, common practice: 1.5.
    assert lenses[1].focal_m / lenses[0].focal_m == pytest.approx(1.5, rel=0.01)


def test_too_tight_wants_a_shorter_lens() -> None:
    shot = {**DEER, "distance": "3 m"}
    lens = gap(shot).lenses[0]
    assert not lens.longer
    assert done(shot, lens=[{**LENS, "focal": f"{lens.focal_m * 999.9:.5f} mm"}])
    assert not done(shot, lens=[{**LENS, "focal": f"{lens.focal_m * 1030:.5f} mm"}])


@pytest.mark.parametrize("distance", ["40-50 m", "3 m", "25 m"])
def test_the_walk_is_tried_out(distance: str) -> None:
    shot = {**DEER, "distance": distance}
    found = gap(shot).approach
    assert found is not None and not found.left
    assert done({**shot, "distance": f"{found.distance_m:.6f} m"})
    planned = [float(end) for end in distance.removesuffix(" m").split("-")]
    assert found.nearer == (found.distance_m < planned[0])
    # It is the least walk: a little less of it does not do.
    less = found.distance_m * (1.01 if found.nearer else 0.99)
    assert not done({**shot, "distance": f"{less:.6f} m"})


def walk(
    distance: float, key: str, countries: tuple[str, ...], date: dt.date | None = None
) -> tuple[str, float | None]:
    kit = prepare(profile(body=[FULL], lens=[LENS]))
    wanted = trip(kit, DEER)[0].found.wanted
    assert wanted is not None
    found = leave_to_go(wanted._replace(approach=(key,)), distance, countries, date, lists(), "metric")
    return found.word, found.distance_m


def test_law_and_guidance_by_place() -> None:
    # 36 CFR 13.920(a): 300 yd = 274.3 m from bears at Denali, by law.
    assert walk(270, "bear", ("US",)) == ("nearer than the law allows", pytest.approx(274.32))
    assert walk(280, "bear", ("US",)) == ("no rule held asks for more", pytest.approx(274.32))
    # Parks Canada, Banff National Park: 100 m from bears and wolves, as guidance; nothing is carried over to elsewhere.
    assert walk(60, "bear", ("CA",)) == ("nearer than guidance allows", 100.0)
    assert walk(100, "bear", ("CA",)) == ("no rule held asks for more", 100.0)
    assert walk(280, "bear", ("DE",)) == ("none held", None)
    assert walk(5, "nesting bird", ("GB",))[0] == "no metres given"


def test_law_by_season() -> None:
    # Svalbard: 500 m from polar bears from 1 March to 30 June, 300 m the rest of the year.
    assert walk(400, "polar bear", ("SJ",), dt.date(2027, 4, 1))[0] == "nearer than the law allows"
    assert walk(400, "polar bear", ("SJ",), dt.date(2027, 8, 1))[0] != "nearer than the law allows"


def bear(countries: tuple[str, ...]) -> Gap:
    shot = {**DEER, "subject": "brown bear", "distance": "110 m", "fill": "40-60 %"}
    return gap(shot, countries=countries)


def test_a_walk_against_the_law_is_told_with_what_fills_from_there() -> None:
    found = bear(("US",)).approach
    assert found is not None and found.nearer and found.leave is not None
    assert found.leave.broken and found.leave.distance_m == pytest.approx(274.32)
    assert found.rule_fill is not None and found.rule_fill < 0.1
    # 36 CFR 13.1206, Katmai, 50 yd; US National Park Service, 100 yd: each named with its place, law first.
    assert "law only in Katmai National Park" in found.text
    assert "guidance only in US national parks, 91.4 m" in found.text
    assert "in its surroundings" in found.text and "Check locally" in found.text


def test_none_held_for_this_place() -> None:
    found = bear(("DE",)).approach
    assert found is not None and "none held for this place (DE)" in found.text


def test_nobody_asks_leave_of_a_thing() -> None:
    found = gap(DEER).approach
    assert found is not None and found.leave is not None and found.leave.text == ""


def test_a_change_of_two_things_takes_both() -> None:
    # Too far and too dim at once: both changes close the gap, either alone does not.
    still = {"subject": thing("1.2 m"), "distance": "30 m", "light": "EV 1"}
    found = gap({**still, "fill": "50-60 %"}).change
    assert found is not None and len(found.what) == 2
    share = float(next(w for w in found.what if "of the frame" in w).split(" %")[0]) - 0.51
    light = 1.05 + float(next(w for w in found.what if "more light" in w).split(" stop")[0])
    assert done({**still, "fill": f"{share:.2f}-60 %", "light": f"EV {light:.2f}"})
    assert not done({**still, "fill": f"{share:.2f}-60 %"})
    assert not done({**still, "fill": "50-60 %", "light": f"EV {light:.2f}"})


def test_a_shallower_depth_closes_the_gap() -> None:
    shot = {**DEER, "distance": "25 m", "fill": "35-70 %", "depth_of_field": "60 m", "light": "EV 15"}
    found = gap(shot).change
    assert found is not None and "a depth of" in found.what[0]
    metres = float(found.what[0].split("a depth of ")[1].split(" m")[0])
    assert done({**shot, "depth_of_field": f"{metres * 0.99:.3f} m"})


def test_a_tripod_that_is_not_owned_does_not_count() -> None:
    still = {"subject": thing("1.2 m"), "distance": "12 m", "fill": "40-70 %", "light": "EV 1", "support": "tripod"}
    tripod = {"name": "tripod", "shake": 0}
    assert table(still, support=[tripod]).rows[0].gap is None
    assert table(still, candidates=True, support=[{**tripod, "owned": False}]).rows[0].gap is not None


def test_a_smaller_share_closes_the_gap() -> None:
    found = gap(DEER).change
    assert found is not None and len(found.what) == 1
    share = float(found.what[0].split(" %")[0])
    assert done({**DEER, "fill": f"{share - 0.51:.2f}-70 %"})
    # By hand: 200 mm at 50 m draws the 1.2 m at 0.2/49.6, which is 20 % of 24 mm.
    assert share == pytest.approx(100 * 1.2 * 0.2 / (50 - 0.2) / 0.024, abs=1)
    assert not done({**DEER, "fill": f"{share + 1.5:.2f}-70 %"})


def test_more_light_closes_the_gap() -> None:
    shot = {**DEER, "distance": "12 m", "fill": "40-70 %"}
    found = gap({**shot, "light": "EV 1"}).change
    assert found is not None and "more light" in found.what[0]
    stops = float(found.what[0].split(" stop")[0])
    assert done({**shot, "light": f"EV {1 + stops + 0.06:.3f}"})
    assert not done({**shot, "light": f"EV {1 + stops - 0.4:.3f}"})


def test_an_owned_tripod_costs_nothing() -> None:
    still = {"subject": thing("1.2 m"), "distance": "12 m", "fill": "40-70 %", "light": "EV 1"}
    found = gap(still, support=[{"name": "tripod", "shake": 0}]).change
    assert found is not None and found.what == ("on the tripod",) and found.stops == 0.0


def test_candidates_that_would_do_it() -> None:
    lens = {**LENS, "name": "500", "focal": "500-600 mm", "owned": False}
    row = table(DEER, candidates=True, lens=[LENS, lens]).rows[0]
    assert row.gap is not None
    assert [(pair.body, pair.lens, pair.owned) for pair in row.candidates] == [("full", "500", False)]


def test_a_trip_of_two_plans_keeps_names_apart() -> None:
    kit = prepare(profile(body=[FULL], lens=[LENS]))
    setting = Setting(lists())
    plans = [plan(DEER, title=title, date=date) for title, date in (("one", "2027-05-01"), ("two", "2027-05-02"),
                                                                  ("two", "2027-05-03"))]  # fmt: skip
    found = coverage(trip_shots([(p, setting) for p in plans], kit), kit)
    assert [row.shot for row in found.rows] == ["picture 0 (one)", "picture 0 (two, 2027-05-02)",
                                                "picture 0 (two, 2027-05-03)"]  # fmt: skip
    assert len(found.gaps) == 3
    assert found.text.startswith("0 of 3 pictures can be taken with what is owned; not: picture 0 (one)")


def test_every_cell_of_the_table() -> None:
    short = {**LENS, "name": "short", "focal": "24 mm"}
    found = table(DEER, {**DEER, "distance": "14 m", "rig": {"lens": "lens"}}, lens=[LENS, short])
    assert [(pair.body, pair.lens) for pair in found.pairs] == [("full", "lens"), ("full", "short")]
    assert [[cell.word for cell in row.cells] for row in found.rows] == [["short", "short"], ["works", "-"]]
    assert found.rows[1].cells[0].text.startswith("fills ") and found.rows[1].gap is None
