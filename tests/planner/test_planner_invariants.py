"""What must hold whatever the shot: the thin lens and its consequences, through the planner."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldplan.planner.answers import Answer

from .invented import some_plan
from .shots import TRIPOD, gear, only, plan_answers, shot_answers, thing

quick = settings(max_examples=40, deadline=None, derandomize=True)
focals = st.floats(8, 1200)
away = st.floats(0.5, 2000)


def shown(
    focal_mm: float, distance_m: float, height_m: float = 0.5, sensor: str = "36x24 mm", n: float = 4.0
) -> Answer:
    profile = gear({"focal": f"{focal_mm!r} mm", "f_number": n}, {"sensor": sensor}, support=[TRIPOD])
    shot = {"subject": thing(height=f"{height_m!r} m", speed="1 m/s"), "distance": f"{distance_m!r} m"}
    return only({**shot, "focal": f"{focal_mm!r} mm", "support": "tripod"}, profile)


@quick
@given(focals, focals, away)
def test_fill_grows_with_the_focal_length(one: float, other: float, distance: float) -> None:
    short, long = sorted((one, other))
    assume(long > short * 1.0001 and distance > 4 * long / 1000)
    assert (shown(short, distance).fill or 0) < (shown(long, distance).fill or 0)


@quick
@given(focals, away, st.floats(1.001, 50))
def test_fill_falls_with_the_distance(focal: float, distance: float, times: float) -> None:
    assume(distance > 4 * focal / 1000)
    assert (shown(focal, distance).fill or 0) > (shown(focal, distance * times).fill or 0)


@quick
@given(st.floats(20, 600), st.floats(1.1, 4), st.floats(0.01, 0.5), st.floats(1.4, 16))
def test_equal_framing_gives_equal_depth_and_motion_limit(focal: float, times: float, m: float, n: float) -> None:
    # thin lens: D = f (2 + m + 1/m) draws at m with either focal length
    one, other = (shown(f, f / 1000 * (2 + m + 1 / m), 0.5, n=n) for f in (focal, focal * times))
    assert one.magnification == pytest.approx(m) and other.magnification == pytest.approx(m)
    assert one.motion_limit_s == pytest.approx(other.motion_limit_s or 0)
    # equal within 1 % where c N / (m f) < 0.1, from far - near = 2 c N (1+m)/m^2 / (1 - (c N/(m f))^2)
    if (one.circle_m or 0) * n / (m * focal / 1000) < 0.1:
        assert one.depth_m == pytest.approx(other.depth_m or 0, rel=0.0101)


@quick
@given(st.floats(20, 300), st.floats(4, 16), st.floats(1.2, 2.7), st.floats(200, 2000))
def test_matched_formats_give_equal_framing_depth_and_light(focal: float, n: float, crop: float, times: float) -> None:
    # CIPA DCG-001 practice: f and N divided by the crop factor, ISO by its square, at one aspect ratio, far off
    distance = times * focal / 1000
    large = shown(focal, distance, distance / 20, n=n)
    small = shown(focal / crop, distance, distance / 20, f"{36 / crop!r}x{24 / crop!r} mm", n / crop)
    assert small.fill == pytest.approx(large.fill or 0, rel=0.01)
    assert (small.iso or 1) == (large.iso or 1)
    hyperfocal = large.hyperfocal_m or 0
    if distance < hyperfocal / 3:
        assert small.depth_m == pytest.approx(large.depth_m or 0, rel=0.011)
    assert small.rule_of_thumb_s == pytest.approx(large.rule_of_thumb_s or 0)
    # the same light through the pupil for as long: f/N is the same, ISO times frame area is not asked to be
    assert (small.focal_m or 0) / (small.f_number or 1) == pytest.approx((large.focal_m or 0) / (large.f_number or 1))


@quick
@given(st.floats(2, 500), st.floats(0.05, 3), st.floats(0.1, 30))
def test_metric_and_imperial_say_the_same(distance_m: float, height_m: float, speed: float) -> None:
    profile = gear({"focal": "50-600 mm", "f_number": "4-6.3"})
    common = {"fill": "40-60 %", "hold": "level", "light": "EV 12"}
    metric = {"distance": f"{distance_m!r} m", "depth_of_field": f"{height_m!r} m", "speed": f"{speed!r} m/s"}
    imperial = {"distance": f"{distance_m / 0.3048!r} ft", "depth_of_field": f"{height_m / 0.0254!r} in"}
    imperial["speed"] = f"{speed * 3600 / 1609.344!r} mph"
    one = only({**common, **metric, "subject": thing(height=f"{height_m!r} m")}, profile)
    feet = {**common, **imperial, "subject": thing(height=f"{height_m / 0.3048!r} ft")}
    bare = {**feet, "distance": distance_m / 0.3048, "subject": thing(height=height_m / 0.3048)}
    for other in (only(feet, profile, units="imperial"), only(bare, profile, units="imperial")):
        assert other.verdict == one.verdict
        assert [s.kind for s in other.shortfalls] == [s.kind for s in one.shortfalls]
        for name in (
            "fill",
            "focal_m",
            "near_m",
            "far_m",
            "motion_limit_s",
            "fills_from_m",
            "fills_to_m",
            "iso",
            "shutter_s",
        ):
            mine, theirs = getattr(one, name), getattr(other, name)
            assert (mine is None) == (theirs is None)
            assert mine is None or theirs == pytest.approx(mine, rel=1e-9)


@quick
@given(st.integers(0, 100000))
def test_the_same_plan_gives_the_same_answers_again(seed: int) -> None:
    plan, profile = some_plan(seed)
    assert plan_answers(plan["shot"], profile) == plan_answers(plan["shot"], profile)


@quick
@given(st.integers(0, 100000))
def test_what_the_answers_promise_of_each_other(seed: int) -> None:
    plan, profile = some_plan(seed)
    for answer in shot_answers(plan["shot"][0], profile).rigs:
        assert answer.verdict == ("works" if not answer.shortfalls else answer.verdict)
        if answer.focal_m is None:
            assert answer.verdict == "cannot" and len(answer.shortfalls) == 1
            continue
        assert answer.near_m is not None and answer.far_m is not None and answer.distance_m is not None
        if answer.focus_m is not None and answer.focus_m < 1e300:
            assert answer.near_m <= answer.focus_m * (1 + 1e-9) <= answer.far_m * (1 + 2e-9)
        if answer.fills_from_m is not None and answer.fills_to_m is not None:
            assert answer.fills_from_m <= answer.fills_to_m * (1 + 1e-9)
        if answer.shutter_s is not None and not any(s.kind == "shutter" for s in answer.shortfalls):
            limits = [x for x in (answer.shake_limit_s, answer.motion_limit_s) if x is not None]
            assert answer.shutter_s <= min(limits) * 1.045  # a printed mark lies within 0.06 stop of its third
        if answer.iso_low is not None and answer.iso is not None and answer.iso_high is not None:
            assert answer.iso_low <= answer.iso <= answer.iso_high
