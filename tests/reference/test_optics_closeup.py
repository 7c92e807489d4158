"""Close-up, flash and stacking arithmetic against published tables and numerical checks."""

from __future__ import annotations

import math

import pytest

from fieldplan.optics import closeup, flash
from fieldplan.optics.depth import blur_disc_m, focus_between_m, focus_step_m


@pytest.mark.parametrize(
    ("magnification", "f_number", "step_mm"),
    [(1, 11, 0.66), (2, 8, 0.18), (3, 5.6, 0.0747), (4, 4, 0.0375), (5, 4, 0.0288)],
)
def test_a_stack_of_ten_steps_k1(magnification: float, f_number: float, step_mm: float) -> None:
    # Table by a stacking author, circle 0.015 mm (it truncates its last digit): ten of its steps are ten frames.
    step = focus_step_m(0.015e-3, f_number, magnification)
    assert step * 1000 == pytest.approx(step_mm, rel=0.002)
    assert closeup.stack_frames(10 * step, step) == 10
    assert closeup.stack_frames(10.001 * step, step) == 11


def test_overlap_of_a_stack() -> None:
    # Laid out by hand: steps of 1 mm, each beginning 0.7 mm after the one before, reach 1, 1.7, 2.4, 3.1 mm.
    assert [closeup.stack_frames(d, 1.0, 0.3) for d in (0.9, 1.7, 1.71, 2.4, 3.1)] == [1, 2, 3, 3, 4]
    with pytest.raises(ValueError, match="overlap"):
        closeup.stack_frames(1.0, 0.1, 1.0)


def test_a_body_aslant() -> None:
    # Trigonometry: 60 mm at 20 deg from the plane of focus is 60 sin 20 = 20.5 mm deep, 21 mm in whole ones.
    assert math.ceil(closeup.inclined_depth_m(60, 20)) == 21
    assert closeup.angle_held_deg(60.0, closeup.inclined_depth_m(60, 20)) == pytest.approx(20)
    assert closeup.angle_held_deg(1.0, 2.0) == 90.0


@pytest.mark.parametrize("spread_mm", [0.5, 1.0, 2.0, 5.0])
@pytest.mark.parametrize("magnification", [0.05, 0.5, 1.0])
def test_sharpest_f_number_is_near_hansmas_rule(spread_mm: float, magnification: float) -> None:
    # P. Hansma, View Camera Focusing in Practice, Photo Techniques, March 1996: N = 20 sqrt(focus spread in mm)/(1+m)
    # (quoted from memory; he rounds the wavelength's constant).
    n = closeup.sharpest_f_number(spread_mm * 1e-3 / magnification**2, magnification)
    assert n == pytest.approx(20 * math.sqrt(spread_mm) / (1 + magnification), rel=0.05)


def test_sharpest_f_number_is_a_minimum() -> None:
    def blur(n: float) -> float:
        return math.hypot(closeup.end_blur_m(0.004, n, 0.8), closeup.airy_at_m(n, 0.8, 1.3))

    best = closeup.sharpest_f_number(0.004, 0.8, 1.3)
    assert blur(best) < min(blur(best * 1.02), blur(best / 1.02))


def test_blur_at_the_ends_of_a_depth() -> None:
    # Thin-lens blur disc of the two ends themselves, focused between them.
    focal, m, n, depth_m = 0.1, 0.5, 8.0, 0.004
    u = focal * (1 + 1 / m)
    near = (2 * u - depth_m + math.hypot(2 * u - depth_m, 0) - 0) / 4 * 2 / 2 - 0.0
    between = focus_between_m(near, near + depth_m)
    ends = [blur_disc_m(focal, n, between, point) for point in (near, near + depth_m)]
    assert ends[0] == pytest.approx(ends[1])
    assert closeup.end_blur_m(depth_m, n, m) == pytest.approx(ends[0], rel=0.02)


@pytest.mark.parametrize(("blur_mm", "m", "width_mm", "per_s"), [(0.03, 0.5, 40, 1.0), (0.02, 1.0, 5, 2.5)])
def test_end_of_a_swing_by_following_the_sine(blur_mm: float, m: float, width_mm: float, per_s: float) -> None:
    # The image's path during an exposure centred on the turn, sampled from the sine itself.
    time = closeup.swing_end_time_s(blur_mm, m, width_mm, per_s)
    path = [m * width_mm / 2 * math.cos(2 * math.pi * per_s * (time * i / 2000 - time / 2)) for i in range(2001)]
    assert max(path) - min(path) == pytest.approx(blur_mm, rel=1e-4)
    mid = [m * width_mm / 2 * math.sin(2 * math.pi * per_s * (time * i / 2000 - time / 2)) for i in range(2001)]
    assert max(mid) - min(mid) > 5 * blur_mm


def test_swings_that_stay_within_the_blur() -> None:
    assert closeup.swing_end_time_s(1.0, 0.5, 1.0, 1.0) == math.inf
    assert closeup.swing_end_time_s(0.01, 0.5, 0.0, 1.0) == math.inf


@pytest.mark.parametrize(("iso", "n", "reach"), [(100, 8, 3.0), (400, 8, 6.0), (400, 16, 3.0), (200, 5.657, 6.0)])
def test_guide_number(iso: float, n: float, reach: float) -> None:
    # Definition of the guide number (ISO 1230): 24 m is f/8 at 3 m; two stops of ISO double the reach.
    assert flash.reach_m(24.0, n, iso) == pytest.approx(reach, rel=1e-4)


def test_half_the_distance_wants_a_quarter_of_the_power() -> None:
    # Inverse square law.
    assert flash.power_share(3.0, 1.5) == pytest.approx(0.25)
    assert flash.duration_s(1 / 1000, 0.25) == pytest.approx(1 / 4000)
    assert flash.duration_s(1 / 1000, 4.0) == pytest.approx(1 / 1000)


def test_ambient_light_under_flash() -> None:
    # f/16 at 1/125 and ISO 100 is EV 15 (ISO 2720): in EV 12 the other light is three stops under, a ninth of it all.
    stops = flash.ambient_stops(12.0, 16.0, 1 / 128, 100)
    assert stops == pytest.approx(-3.0)
    assert flash.ambient_share(stops) == pytest.approx(1 / 9)


def chained(focal: float, n: float, circle: float, near: float, far: float) -> int:
    """Frames laid end to end by the exact limits u H0/(H0 +- (u - f)) [Wikipedia, Depth of field]."""
    h0, frames = focal**2 / (n * circle), 0
    while frames < 1000:
        frames += 1
        if near >= h0:  # focused at infinity it reaches so near
            return frames
        u = near * (h0 - focal) / (h0 - near)
        near = math.inf if u - focal >= h0 else u * h0 / (h0 - (u - focal))
        if near >= far * (1 - 1e-12):
            return frames
    raise AssertionError("no end of frames")


@pytest.mark.parametrize("focal", [0.014, 0.035, 0.1, 0.2])
@pytest.mark.parametrize("times", [2.5, 5.0, 12.0, 60.0, 400.0])
@pytest.mark.parametrize("far", [1.5, 8.0, math.inf])
def test_focus_bracketing_against_single_frames(focal: float, times: float, far: float) -> None:
    near = times * focal
    for n in (4.0, 8.0, 16.0):
        counted = closeup.frames_between(focal, n, 2.884e-5, near, far * near)
        assert counted == chained(focal, n, 2.884e-5, near, far * near)


def test_focus_bracketing_from_half_a_metre() -> None:
    # 35 mm, f/4, c 0.0288 mm, nearest 0.454 m from the sensor plane: counted out frame by frame it is 14, where
    # 1/distance alone, u long against f, makes it 13.
    near = 0.454 - 0.038
    counted = chained(0.035, 4.0, 2.884e-5, near, math.inf)
    assert counted == 14 == closeup.frames_between(0.035, 4.0, 2.884e-5, near, math.inf)
    with pytest.raises(ValueError, match="within the focal length"):
        closeup.frames_between(0.035, 8.0, 2.884e-5, 0.03, math.inf)
