"""What if: each change alone, against the arithmetic of the trade, and kept in fields that a plan can hold."""

from __future__ import annotations

import math

import pytest

from fieldplan.files.reading import validated
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import Answer
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.whatif import KINDS, WhatIf, what_if

from .shots import Table, gear, lists, thing

SHOT: Table = {
    "name": "a", "subject": thing(height="1 m", speed="0.4 m/s"), "distance": "30 m", "fill": "40-60 %",
    "hold": "level", "light": "EV 12",
}  # fmt: skip
ZOOM: Table = {"name": "zoom", "focal": "150-600 mm", "f_number": "5-6.3"}


def tried(kind: str, shot: Table | None = None, profile: Table | None = None) -> tuple[Answer, WhatIf, Plan]:
    plan = Plan.model_validate({"fieldplan_plan": 1, "title": "x", "shot": [{**SHOT, **(shot or {})}]})
    kit, setting = prepare(Profile.model_validate(profile or gear())), Setting(lists())
    found = assess_shot(plan, plan.shots[0], kit, setting)
    return found.rigs[0], what_if(kind, plan, found, found.rigs[0], kit, setting), plan


def both(kind: str, shot: Table | None = None, profile: Table | None = None) -> tuple[Answer, Answer, WhatIf]:
    before, found, _ = tried(kind, shot, profile)
    assert found.answer is not None, found.why_not
    return before, found.answer, found


def test_half_the_motion_is_twice_the_time() -> None:
    """A blur limit is a length on the sensor: half the speed takes twice as long for it (elementary)."""
    before, after, found = both("slower")
    assert before.motion_limit_s is not None and after.motion_limit_s == pytest.approx(2.0 * before.motion_limit_s)
    assert found.shot is not None and found.shot.speed is not None and found.shot.speed.typed == "0.2 m/s"


def test_half_the_sway_too() -> None:
    before, after, found = both("slower", {"subject": thing(height="1 m"), "sway": "4 cm, 1 per second"})
    assert found.shot is not None and found.shot.sway is not None and found.shot.sway.per_second == 0.5
    assert before.motion_limit_s is not None and after.motion_limit_s == pytest.approx(
        2.0 * before.motion_limit_s, rel=0.01
    )


def test_closer_by_a_third_fills_half_as_much_again() -> None:
    """Thin lens, distance from the sensor plane 30 m and 20 m at 600 mm: m = f / (u - f), u + v the distance."""
    before, after, found = both("closer", {"fill": None, "focal": "600 mm"})

    def fill(distance_m: float) -> float:
        f = 0.6
        u = distance_m / 2.0 + math.sqrt(distance_m**2 / 4.0 - distance_m * f)  # u + u f / (u - f) = distance
        return 1.0 * f / (u - f) / 0.024

    assert before.fill == pytest.approx(fill(30.0)) and after.fill == pytest.approx(fill(20.0))
    assert found.shot is not None and found.shot.distance is not None and found.shot.distance.typed == "20 m"


def test_closer_keeps_a_range_and_its_units() -> None:
    _, found, _ = tried("closer", {"distance": "25-31 m"})
    assert found.shot is not None and found.shot.distance is not None
    assert found.shot.distance.typed == "16.7-20.7 m", "25 and 31 m times two thirds, to three figures"


def test_one_stop_wider_is_twice_the_light_and_shows_the_depth_that_it_costs() -> None:
    """One stop of f-number is a factor of two in ISO (ISO 2720)."""
    lens = {"f_number": 2.8, "focal": "300 mm"}
    before, after, found = both("wider", {"depth_of_field": "3 m", "fill": None, "focal": "300 mm", "light": "EV 9"},
                                gear(lens, {"iso_ceiling": 25600}))  # fmt: skip
    assert before.f_number is not None and after.f_number is not None
    assert 2.0 * math.log2(before.f_number / after.f_number) == pytest.approx(1.0, abs=0.1)
    assert before.iso is not None and after.iso is not None and before.iso / after.iso == pytest.approx(2.0, rel=0.01)
    assert [s.kind for s in after.shortfalls] == ["depth"]  # what was wanted is still wanted, and told
    assert found.shot is not None and found.shot.depth_of_field is not None


def test_a_lens_at_its_widest_says_so() -> None:
    _, found, _ = tried("wider")
    assert found.answer is None and "f/4" in found.why_not and "widest" in found.why_not


def test_one_stop_of_iso_lifts_the_ceiling_of_this_shot_alone() -> None:
    before, after, found = both("iso", {"light": "EV 4"}, gear(None, {"iso_ceiling": 800}))
    assert before.iso_ceiling == 800 and after.iso_ceiling == 1600
    over = [s.numbers[2] for a in (before, after) for s in a.shortfalls if s.kind == "iso"]
    assert over[0] is not None and over[1] is not None and over[0] - over[1] == pytest.approx(1.0)
    assert found.shot is not None and found.shot.iso_ceiling == 1600


def test_more_iso_that_nothing_wants_is_told_with_what_it_would_buy() -> None:
    before, found, _ = tried("iso", {"light": "EV 14", "fill": "80-100 %"})
    assert before.verdict == "works" and found.answer is None
    assert "6400" in found.why_not and "1/" in found.why_not


def test_upright_and_level_change_places() -> None:
    before, after, _ = both("turned")
    assert (before.hold, after.hold) == ("level", "upright")
    assert (before.frame_width_m, before.frame_height_m) == (after.frame_height_m, after.frame_width_m)


def test_the_next_reach_is_the_nearest_one_with_lens_or_converter() -> None:
    profile = gear(ZOOM, None, converter=[{"name": "1.4x", "factor": 1.4, "mount": "A"}])
    profile["lens"][0]["converters"] = ["1.4x"]
    profile["lens"].append({"name": "70-300", "focal": "70-300 mm", "f_number": "4-5.6", "mount": "A"})
    _, longer, _ = tried("longer", {"rig": {"lens": "70-300"}}, profile)
    assert longer.answer is not None and longer.answer.label == "body + zoom"
    _, longest, _ = tried("longer", {"rig": {"lens": "zoom"}, "fill": None, "focal": "500 mm"}, profile)
    assert longest.answer is not None and longest.answer.label == "body + zoom + 1.4x"
    _, shorter, _ = tried("shorter", {"rig": {"lens": "zoom"}, "fill": None, "focal": "500 mm"}, profile)
    assert shorter.answer is not None and shorter.answer.label == "body + 70-300"
    assert shorter.answer.focal_m == pytest.approx(0.3)  # a set focal length goes as far as the lens does
    _, none, _ = tried("longer", {"rig": {"converter": "1.4x"}}, profile)
    assert "nothing longer than 840 mm" in none.why_not


@pytest.mark.parametrize(
    ("kind", "shot", "word"),
    [
        ("slower", {"subject": thing(height="1 m")}, "nothing moves"),
        ("closer", {"distance": None}, "distance is not given"),
        ("closer", {"subject": {"sky": "moon"}, "distance": None, "fill": "20 %"}, "nobody"),
        ("slower", {"subject": {"sky": "moon"}, "distance": None, "fill": "20 %"}, "own pace"),
    ],
)
def test_what_makes_no_sense_says_why(kind: str, shot: Table, word: str) -> None:
    _, found, _ = tried(kind, shot)
    assert found.shot is None and word in found.why_not


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_what_is_kept_reads_back_as_the_same_plan(kind: str, units: str) -> None:
    """The changed shot goes through the file's own text and validation, and gives the same answer there."""
    from fieldplan.files.writing import to_toml

    profile = gear({**ZOOM, "f_number": "4-4"}, {"iso_ceiling": 800})
    profile["lens"].append({"name": "300", "focal": 300, "f_number": 2.8, "mount": "A"})
    profile["lens"].append({"name": "800", "focal": 800, "f_number": 5.6, "mount": "A"})
    light = "EV 6" if kind == "iso" else "EV 14"
    shot = {**SHOT, "depth_of_field": "3 m", "light": light, "rig": {"lens": "zoom"}}
    plan = Plan.model_validate({"fieldplan_plan": 1, "title": "x", "units": units, "shot": [shot]},
                               context={"units": units})  # fmt: skip
    kit, setting = prepare(Profile.model_validate(profile)), Setting(lists())
    found = assess_shot(plan, plan.shots[0], kit, setting)
    change = what_if(kind, plan, found, found.rigs[0], kit, setting)
    assert change.shot is not None and change.answer is not None, change.why_not
    import tomllib

    kept = validated(tomllib.loads(to_toml(plan.model_copy(update={"shots": (change.shot,)}))), Plan)
    again = assess_shot(kept, kept.shots[0], kit, setting)
    assert again.rigs[change.at] == change.answer


def test_what_is_kept_is_told_on_the_card() -> None:
    """A fixed f-number and a ceiling of the shot's own stand with what is wanted."""
    from fieldplan.card.wording import wanted_text

    plan = Plan.model_validate({"fieldplan_plan": 1, "title": "x",
                                "shot": [{**SHOT, "f_number": "f/8", "iso_ceiling": 12800}]})  # fmt: skip
    found = assess_shot(plan, plan.shots[0], prepare(Profile.model_validate(gear())), Setting(lists()))
    text = wanted_text(found.wanted, "metric")
    assert "fixed at f/8" in text and "ISO up to 12800" in text
    assert found.rigs[0].f_number == 8.0 and found.rigs[0].iso_ceiling == 12800
