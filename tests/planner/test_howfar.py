"""How far: each line of thought against plain trigonometry, and what several give together."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.model.gear import Photographer, Profile
from fieldplan.model.sighting import Sighting
from fieldplan.notation.quantity import DISTANCE, read_span
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.howfar import (
    HAND_COMMON,
    SHARE_READ,
    SPANS_READ,
    STEP_COMMON,
    STEP_M,
    STEP_OWN,
    HowFar,
    Line,
    fills_from_there,
    hand_angle_deg,
    how_far,
    odd_measures,
    own_step_m,
    steps_for,
    together,
)
from fieldplan.planner.rigs import Rig, prepare
from fieldplan.planner.rough import rough_span
from fieldplan.planner.tofill import size_that_counts, to_fill

from .shots import Table, gear, only, thing

NOBODY = Photographer()


def rig_and_answer(lens: Table | None = None, **shot: object) -> tuple[Rig, Answer]:
    profile = gear(lens)
    kit = prepare(Profile.model_validate(profile))
    asked = {"subject": thing(height="1 m"), "distance": "30 m", "focal": "600 mm", "light": "EV 12", **shot}
    return kit.rigs[0], only(asked, profile)


def seen(**fields: object) -> Sighting:
    return Sighting.model_validate(fields)


def found(fields: dict[str, object], own: Photographer = NOBODY, lens: Table | None = None, **shot: object) -> HowFar:
    rig, answer = rig_and_answer(lens, **shot)
    return how_far(seen(**fields), own, answer, rig, "metric")


def thin_lens_distance(size_m: float, share: float, side_m: float, focal_m: float) -> float:
    """u + v of a thin lens at the magnification share * side / size: f (2 + m + 1/m)."""
    m = share * side_m / size_m
    return focal_m * (2.0 + m + 1.0 / m)


def test_size_and_share_give_the_distance_of_a_thin_lens() -> None:
    line = found({"size": "1 m", "share": "50-60 %"}).lines[0]
    assert line.low_m == pytest.approx(thin_lens_distance(1.0, 0.6, 0.024, 0.6))
    assert line.high_m == pytest.approx(thin_lens_distance(1.0, 0.5, 0.024, 0.6))


def test_a_single_share_has_the_error_of_reading_and_a_size_its_range() -> None:
    line = found({"size": "0.8-1 m", "share": "50 %"}).lines[0]
    assert line.low_m == pytest.approx(thin_lens_distance(0.8, 0.5 * (1 + SHARE_READ), 0.024, 0.6))
    assert line.high_m == pytest.approx(thin_lens_distance(1.0, 0.5 * (1 - SHARE_READ), 0.024, 0.6))


def test_the_other_side_of_the_frame_and_another_focal_length() -> None:
    fields = {"size": "1 m", "share": "50-50.1 %", "along": "width", "focal": "300 mm"}
    line = found(fields, lens={"focal": "150-600 mm"}).lines[0]
    assert line.high_m == pytest.approx(thin_lens_distance(1.0, 0.5, 0.036, 0.3))


@given(st.floats(10.0, 500.0), st.floats(0.2, 3.0))
def test_the_true_distance_lies_in_the_range(distance_m: float, size_m: float) -> None:
    """What a subject of that size at that distance shows in the frame leads back to the distance."""
    rig, answer = rig_and_answer(subject=thing(height=f"{size_m} m"), distance=f"{distance_m} m")
    assert answer.fill is not None
    sight = Sighting.model_validate({"size": f"{size_m} m", "share": f"{answer.fill * 100:.6f} %"})
    result = how_far(sight, NOBODY, answer, rig, "metric")
    assert result.low_m is not None and result.high_m is not None
    assert result.low_m < distance_m < result.high_m
    assert result.low_m > distance_m * 0.85 and result.high_m < distance_m * 1.15


def test_a_hand_held_up() -> None:
    """1 m across two thumbs of 2 degrees: 1 / (2 tan 2 deg) = 14.3 m; the errors of hand and count add as squares."""
    line = found({"size": "1 m", "hand": "thumb", "spans": 2}).lines[0]
    off = math.sqrt(HAND_COMMON**2 + SPANS_READ**2)
    assert line.low_m < 1.0 / (2.0 * math.tan(math.radians(2.0))) < line.high_m
    assert line.low_m == pytest.approx(1.0 / (2.0 * math.tan(math.radians(2.0 * (1 + off)))))
    assert "anybody's" in line.by


def test_ones_own_hand_is_surer() -> None:
    """10 cm at 57.3 cm is 10 degrees (57.3 = 180 / pi), to 0.1 degrees."""
    own = Photographer.model_validate({"arm": "573 mm", "fist": "100 mm"})
    assert hand_angle_deg("fist", own) == (pytest.approx(10.0, abs=0.1), True)
    assert hand_angle_deg("thumb", own) == (2.0, False)
    anyone, mine = (found({"size": "1 m", "hand": "fist", "spans": 1}, who).lines[0] for who in (NOBODY, own))
    assert mine.high_m / mine.low_m < anyone.high_m / anyone.low_m


def test_steps_and_a_walk_that_measures_them() -> None:
    line = found({"steps": 40}).lines[0]
    assert (line.low_m, line.high_m) == (
        pytest.approx(40 * STEP_M * (1 - STEP_COMMON)), pytest.approx(40 * STEP_M * (1 + STEP_COMMON)),
    )  # fmt: skip
    walked = seen(steps=64, known="50 m")
    assert own_step_m(walked) == pytest.approx(50 / 64)
    assert not how_far(walked, NOBODY, None, None, "metric").lines  # a walk over a known distance measures the step
    own = Photographer.model_validate({"pace": "0.8 m"})
    mine = how_far(seen(steps=50), own, None, None, "metric").lines[0]
    assert (mine.low_m, mine.high_m) == (pytest.approx(40 * (1 - STEP_OWN)), pytest.approx(40 * (1 + STEP_OWN)))
    assert steps_for(12.0, own) == 15


def test_two_lines_of_thought_narrow_and_two_that_disagree_hold_both() -> None:
    agreed = together([Line("a", 20.0, 32.0), Line("b", 25.0, 40.0)])
    assert (agreed.low_m, agreed.high_m, agreed.agree) == (25.0, 32.0, True)
    apart = together([Line("a", 20.0, 22.0), Line("b", 25.0, 40.0)])
    assert (apart.low_m, apart.high_m, apart.agree) == (20.0, 40.0, False)
    assert not together([]).known


@given(st.lists(st.tuples(st.floats(0.5, 900.0), st.floats(1.0, 3.0)), min_size=1, max_size=5))
def test_together_is_never_wider_than_one_that_agrees_nor_narrower_than_all_that_do_not(
    ends: list[tuple[float, float]],
) -> None:
    lines = [Line("x", low, low * ratio) for low, ratio in ends]
    all_of = together(lines)
    assert all_of.low_m is not None and all_of.high_m is not None and all_of.low_m <= all_of.high_m
    for line in lines:
        if all_of.agree:
            assert line.low_m <= all_of.low_m and all_of.high_m <= line.high_m
        else:
            assert all_of.low_m <= line.low_m and line.high_m <= all_of.high_m


@given(st.floats(0.05, 90_000.0), st.floats(1.0, 4.0), st.sampled_from(["metric", "imperial"]))
def test_the_text_that_goes_into_the_shot_reads_back_and_holds_the_range(low: float, ratio: float, units: str) -> None:
    """Outward: nothing of the range is lost; and not wider by more than a unit of the second figure at each end."""
    text = rough_span(low, low * ratio, units, outward=True)
    span = read_span(text, DISTANCE, units)
    slack = 1e-6
    assert span.low <= low * (1 + slack) and span.high >= low * ratio * (1 - slack)
    assert span.low > low * 0.89 and span.high < low * ratio * 1.12


def test_what_is_still_wanted_is_said() -> None:
    assert found({"share": "50 %"}).missing == ("its size",)
    assert found({"size": "1 m", "hand": "fist"}).missing == ("how many of the fist it spans",)
    assert found({"size": "1 m", "spans": 2}).missing == ("what was held up",)
    assert found({"known": "50 m"}).missing == ("the steps over the known distance",)


def test_the_way_it_is_held_decides_which_side_counts() -> None:
    """Full frame: 36 mm along the width held level, 24 mm held upright; thin lens u + v = f (2 + m + 1/m)."""
    fields: dict[str, object] = {"size": "1 m", "share": "30 %", "along": "width"}
    for held, side_m in (("level", 0.036), ("upright", 0.024)):
        for hold in ("level", "upright"):
            line = found({**fields, "held": held}, hold=hold).lines[0]
            want = thin_lens_distance(1.0, 0.30 * (1.0 + SHARE_READ), side_m, 0.6)
            assert line.low_m == pytest.approx(want, rel=1e-6) and f"held {held}" in line.by


@pytest.mark.parametrize(
    ("own", "odd"),
    [({"arm": "62 cm", "thumb": "22 mm"}, ()), ({"arm": "62 mm", "thumb": "20 mm"}, ("an arm of", "your thumb")),
     ({"arm": "62 cm", "thumb": "22 cm"}, ("your thumb",)), ({"thumb": "22 cm"}, ())],
)  # fmt: skip
def test_measures_out_of_all_reason_are_asked_about(own: dict[str, str], odd: tuple[str, ...]) -> None:
    """2 atan(22 / 2 / 620) is 2.03 degrees; 2 atan(20 / 2 / 62) is 18.3."""
    told = odd_measures(Photographer.model_validate(own))
    assert len(told) == len(odd) and all(text.startswith(start) for text, start in zip(told, odd, strict=True)), told
    assert not any("18.3" in text for text in told) or own["arm"] == "62 mm"


def test_a_zoom_that_fills_from_there_needs_no_walk() -> None:
    """A subject drawn half as large is drawn as large at twice the focal length (thin lens, far away)."""
    rig, answer = rig_and_answer({"focal": "150-600 mm", "f_number": "5-6.3"}, focal="300 mm", fill="50-60 %")
    wanted = Wanted(**{**dict.fromkeys(Wanted._fields), "fill": (0.5, 0.6)})  # type: ignore[arg-type]
    where = HowFar((), 58.0, 62.0)
    assert answer.fill is not None and answer.focal_m is not None and answer.distance_m is not None
    ends = fills_from_there(wanted, where, answer, rig)
    want = [share / answer.fill * answer.focal_m * 60.0 / answer.distance_m for share in (0.5, 0.6)]
    if want[0] <= 0.6:
        assert ends is not None and ends == pytest.approx((want[0], min(want[1], 0.6)), rel=1e-6)
    else:
        assert ends is None
    assert fills_from_there(wanted, HowFar((), 5000.0, 6000.0), answer, rig) is None


def wanted(**fields: object) -> Wanted:
    return Wanted(**{**dict.fromkeys(Wanted._fields), **fields})  # type: ignore[arg-type]


def test_the_walk_is_from_the_middle_to_where_it_fills_and_the_steps_are_its_length_over_one() -> None:
    """By hand: fills from 20 to 30 m; from 40-44 m 12 m nearer, 16 steps of 0.75 m; from 10-14 m 8 m back."""
    rig, answer = rig_and_answer()
    answer = answer._replace(fills_from_m=20.0, fills_to_m=30.0)
    frame = wanted(fill=(0.5, 0.6), living=True)
    nearer = to_fill(frame, HowFar((), 40.0, 44.0), answer, rig, NOBODY)
    assert nearer is not None and (nearer.focals, nearer.metres, nearer.steps) == (None, pytest.approx(12.0), 16)
    assert nearer.animal and not nearer.own_step
    back = to_fill(frame, HowFar((), 10.0, 14.0), answer, rig, Photographer.model_validate({"pace": "80 cm"}))
    assert back is not None and (back.metres, back.steps) == (pytest.approx(-8.0), 10) and back.own_step
    assert to_fill(frame, HowFar((), 29.0, 44.0), answer, rig, NOBODY) is None, "it may fill from there already"
    assert to_fill(None, HowFar((), 40.0, 44.0), answer, rig, NOBODY) is None
    assert to_fill(frame, HowFar(()), answer, rig, NOBODY) is None


def test_a_zoom_that_does_it_is_told_in_place_of_a_walk() -> None:
    rig, answer = rig_and_answer({"focal": "150-600 mm", "f_number": "5-6.3"}, focal="300 mm", fill="50-60 %")
    assert answer.fills_to_m is not None
    where = HowFar((), 1.2 * answer.fills_to_m, 1.3 * answer.fills_to_m)
    way = to_fill(wanted(fill=(0.5, 0.6)), where, answer, rig, NOBODY)
    assert way is not None and way.focals == fills_from_there(wanted(fill=(0.5, 0.6)), where, answer, rig)


def test_the_size_that_counts_lies_along_the_side_that_fills_first() -> None:
    _, answer = rig_and_answer()
    both = wanted(group="bird", height=(0.9, 1.0), width=(1.5, 2.0))
    assert size_that_counts(both, answer._replace(fill_axis="width")) == (1.5, 2.0)
    assert size_that_counts(both, answer._replace(fill_axis="height")) == (0.9, 1.0) == size_that_counts(both, None)
    assert size_that_counts(both._replace(group="sky"), answer) is None
    assert size_that_counts(both._replace(width=None), answer._replace(fill_axis="width")) == (0.9, 1.0)
