"""More on one answer: which parts matter for which picture, and figures against published ones and by hand."""

from __future__ import annotations

import pytest
from sympy.physics.optics import hyperfocal_distance

from fieldplan.planner.answers import Answer
from fieldplan.planner.landscape import not_asked
from fieldplan.planner.morewords import brief_lines, close_lines, sections
from fieldplan.planner.plans import assess
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.shotmore import ShotMore, fuller, more_on, setup_of
from fieldplan.planner.trip import TripShot

from .shots import lists
from .trips import CROP, FULL, Table, plan, profile, thing, trip

MACRO: Table = {"name": "macro", "focal": "100 mm", "f_number": 2.8, "smallest_f_number": 32, "mount": "A",
                "closest_focus": "0.4 m", "largest_magnification": 1, "length": "125 mm", "hood": "50 mm"}  # fmt: skip
ZOOM: Table = {"name": "zoom", "focal": "24-70 mm", "f_number": 2.8, "mount": "A"}
# 24 mm of frame at 80 % and 24 mm of beetle: 1:1.25
BEETLE: Table = {"subject": {"name": "beetle", "height": "24 mm", "width": "30 mm"}, "fill": "80 %", "hold": "level",
                 "distance": "0.405 m", "light": "EV 12"}  # fmt: skip
VALLEY: Table = {"subject": thing("100 m", width="1200 m"), "distance": "500 m", "fill": "100 %"}


def more(shot: Table, **gear: object) -> tuple[TripShot, Kit, Answer, ShotMore]:
    kit = prepare(profile(**{"body": [FULL], "lens": [MACRO], **gear}), candidates=True)
    found = trip(kit, shot)[0]
    answer = found.found.rigs[0]
    return found, kit, answer, more_on(found, kit, answer)


def test_a_close_up_is_told_as_the_answer_has_it() -> None:
    _, _, answer, told = more(BEETLE)
    close = told.close_up
    assert close is not None and answer.magnification is not None and answer.magnification > 0.5
    assert close.magnification == pytest.approx(answer.magnification)
    assert close.effective_f_number == pytest.approx(answer.effective_f_number, rel=1e-6)
    assert close.depth_m == pytest.approx(answer.depth_m, rel=1e-4)
    assert close.room.distance_m == pytest.approx(0.405, abs=1e-6)
    # 405 mm from the sensor less 125 mm of lens and 50 mm of hood.
    assert close.room.working_m == pytest.approx(0.405 - 0.175, abs=1e-6)
    assert told.sweep is None and told.ends is None


def test_f11_acts_as_f22_and_two_stops_are_lost_at_life_size() -> None:
    # Published rule of the trade: at 1:1 f/11 marked is f/22 effective.
    found, kit, answer, _ = more({**BEETLE, "distance": "0.4 m", "fill": "100 %", "depth_of_field": "1.27 mm"})
    # 2 c N (1 + m)/m^2 = 2 x 0.028844 x 11 x 2 = 1.269 mm: the depth wanted takes f/11, the third that is marked so.
    assert answer.magnification == pytest.approx(1.0, abs=0.01)
    lines = dict(close_lines(more_on(found, kit, answer)))
    assert lines["light"] == "f/11 acts as f/23, 2 stops lost to the scale"  # the exact third is f/11.3
    assert lines["stop"].startswith("1.3 mm deep takes f/11")


def test_sixty_millimetres_at_twenty_degrees_want_twenty_one() -> None:
    # 60 sin 20 = 20.5 mm.
    long = {**BEETLE, "subject": {"name": "dragonfly", "height": "20 mm", "width": "60 mm"}, "distance": "0.55 m"}
    _, _, _, told = more(long)
    assert told.inclined is not None and told.inclined.needed_m == pytest.approx(0.0205, abs=2e-4)
    assert "6 cm at 20 deg takes 2.1 cm of depth: square up" in told.inclined.text


def test_wind_means_no_stack_and_the_end_of_the_swing() -> None:
    _, _, _, told = more({**BEETLE, "sway": "4 cm, 1 per second", "depth_of_field": "8 mm"})
    brief = dict(brief_lines(told))
    assert brief["stack"].startswith("No stack: the subject swings in the wind")
    # Peak speed of a sine, 2 pi n A/2 = 0.126 m/s.
    assert "at most 0.13 m/s" in brief["sway"] and "fire at the end of the swing" in brief["sway"]


def test_a_far_picture_has_no_close_up_and_no_card_lines() -> None:
    _, _, _, told = more({"subject": thing("1 m"), "distance": "8 m", "fill": "30-60 %", "light": "EV 12"})
    assert told.close_up is None and brief_lines(told) == ()


def test_a_lens_that_does_not_say_how_close_it_focuses_is_still_told_of() -> None:
    bare = {"name": "old", "focal": "50 mm", "f_number": 2, "mount": "A"}
    found, kit, answer, told = more({**BEETLE, "distance": "0.3 m", "fill": "20-40 %"}, lens=[bare])
    assert answer.magnification is not None and answer.magnification > 0.1
    assert told.close_up is not None and setup_of(kit.profile, answer) is not None
    assert sections(found, kit, answer)[0].title == "close up"


def test_sweep_only_where_everything_is_too_long() -> None:
    _, _, _, told = more(VALLEY, lens=[ZOOM])
    assert told.sweep is not None and told.sweep.frames == 7  # by hand in the tests of the sweep itself
    assert dict(brief_lines(told))["sweep"].startswith("full + zoom at 70 mm, held upright: 7 frames")
    _, _, _, held = more({**VALLEY, "subject": thing("100 m", width="600 m")}, lens=[ZOOM])
    assert held.sweep is None
    _, _, _, alive = more({**VALLEY, "subject": thing("100 m", width="1200 m", living=True)}, lens=[ZOOM])
    assert alive.sweep is None


def test_both_ends_focus_at_the_hyperfocal_distance() -> None:
    view = {"subject": thing("5 m"), "distance": "20 m", "fill": "20-90 %", "sharp_from": "2 m", "sharp_to": "infinity"}
    _, _, answer, told = more({**view, "light": "EV 12"}, lens=[{**ZOOM, "focal": "28 mm"}])
    assert told.ends is not None and told.ends.f_number is not None
    # SymPy, hyperfocal_distance f^2/(N c), c = 43.2666/1500 mm: at the exact f-number it is about twice the near limit.
    hyperfocal = float(hyperfocal_distance(f=0.028, N=told.ends.needed, c=0.0432666 / 1500))
    assert told.ends.focus_m == pytest.approx(hyperfocal, rel=0.02)
    assert told.ends.focus_m == pytest.approx(4.0, rel=0.02)
    # The settings are those of this focus: at 20 m, by SymPy's f^2/(N c), 2 m would take about f/13 instead of f/7.1.
    assert answer.f_number == told.ends.f_number == pytest.approx(2 ** (17 / 6))
    assert answer.focus_m == pytest.approx(told.ends.focus_m, rel=1e-9)


def test_sections_compare_bodies_and_converters() -> None:
    lens = {**ZOOM, "focal": "100-300 mm", "converters": ["2x"]}
    gear = {"body": [FULL, {**CROP, "owned": False}], "lens": [lens],
            "converter": [{"name": "2x", "factor": 2.0, "mount": "A", "owned": False}]}  # fmt: skip
    bird = {"subject": thing("0.5 m"), "distance": "20 m", "fill": "20-60 %", "light": "EV 13"}
    found, kit, answer, _ = more(bird, **gear)
    titles = [section.title for section in sections(found, kit, answer)]
    other = "crop (not owned)" if answer.body == "full" else "full"
    assert f"the same picture on {other}" in titles
    assert any(title.startswith("2x or cropping, zoom at its longest on") for title in titles)


def test_a_whole_plan_tells_of_its_gaps() -> None:
    # 30 % of 24 mm of 0.4 m is m = 0.018: D = f (2 + m + 1/m) [thin lens].
    made = plan({"subject": thing("0.4 m"), "distance": "30 m", "fill": "30-60 %", "light": "EV 13"})
    gear, setting = profile(body=[FULL], lens=[MACRO]), Setting(lists(), None, ())
    kit = prepare(gear)
    told = fuller(assess(made, gear, setting, kit), kit, setting).more[0]
    assert told.gap is not None and told.gap.approach is not None
    assert told.gap.approach.distance_m == pytest.approx(0.1 * (2.0 + 0.018 + 1.0 / 0.018), rel=1e-3)
    assert [label for label, _ in brief_lines(told)] == ["stand", "or take"]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({}, True),
        ({"sharp_from": "3 m", "sharp_to": "infinity"}, False),
        ({"depth_of_field": "30 m"}, False),
        ({"support": None}, False),
        ({"subject": thing("5 m")}, False),
    ],
)
def test_a_view_without_a_depth_says_that_none_was_asked_for(change: Table, told: bool) -> None:
    view = {"subject": "view 20 m wide", "distance": "15 m", "fill": "50-100 %", "light": "EV 10", "support": "legs"}
    shot = {key: value for key, value in {**view, **change}.items() if value is not None}
    made = profile(body=[FULL], lens=[ZOOM], support=[{"name": "legs", "shake": 0}])
    found = trip(prepare(made), shot)[0].found
    assert found.wanted is not None and bool(not_asked(found.wanted)) is told
    assert any("no depth was asked for" in note for note in found.notes) is told


def test_a_thing_at_infinity_takes_no_share_and_has_nothing_more_to_it() -> None:
    # Image over object size is f/(u - f), 0 at infinity [thin lens]: no close-up, no gap that a share could close.
    far = {"subject": thing("2 cm"), "distance": "infinity", "fill": "30-60 %", "light": "EV 12"}
    made, gear = plan(far), profile(body=[FULL, CROP], lens=[MACRO])
    kit = prepare(gear)
    setting = Setting(lists(), None, ())
    answers = assess(made, gear, setting, kit)
    told = fuller(answers, kit, setting).more[0]
    assert answers.shots[0].rigs[0].fill == 0.0
    assert told.close_up is None and told.formats == () and told.sweep is None
    assert told.gap is None or told.gap.change is None
