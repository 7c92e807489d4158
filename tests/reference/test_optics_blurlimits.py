"""Shake and motion limits against worked school problems and the standards behind the reference hand."""

from __future__ import annotations

import itertools
import math

import pytest

from fieldplan.optics import blurlimits
from fieldplan.optics.framing import image_distance_m


def test_car_g1() -> None:
    # G1, school physics problem: a 3 m car at 36 km/h, imaged 1.5 cm long, blur 0.1 mm: 0.002 s.
    speed = blurlimits.image_speed_m_s(0.015 / 3.0, 100.0, 36 / 3.6, 90.0)
    assert blurlimits.motion_limit_s(0.1e-3, speed) == pytest.approx(0.002)


@pytest.mark.parametrize(
    ("focal_m", "object_m", "speed_m_s", "blur_m", "expected_s", "slack"),
    [
        pytest.param(0.150, 10.0, 3.0, 0.1e-3, 2.189e-3, 6e-7, id="G2 state-exam trainer 2009, exact"),
        pytest.param(0.013, 30.0, 54 / 3.6, 0.05e-3, 1 / 130, 5e-6, id="G3 school physics problem"),
    ],
)
def test_crossing_subject(
    focal_m: float, object_m: float, speed_m_s: float, blur_m: float, expected_s: float, slack: float
) -> None:
    magnification = image_distance_m(focal_m, object_m) / object_m
    speed = blurlimits.image_speed_m_s(magnification, object_m, speed_m_s, 90.0)
    assert blurlimits.motion_limit_s(blur_m, speed) == pytest.approx(expected_s, abs=slack)


@pytest.mark.parametrize("focal_mm", [24, 50, 200, 600])
def test_reference_hand_is_the_reciprocal_rule_far_away(focal_mm: float) -> None:
    # ISO 19093 clause 3.1 (limit 1/f_eq) with ISO 20954-1 clause 3.5 (63 um on 36 x 24 mm).
    assert blurlimits.shake_limit_s(63e-6, focal_mm / 1000, 1.0, 0.0) == pytest.approx(1 / focal_mm)


def test_reference_hand_against_a_measurement() -> None:
    # SAS E-Bulletin 2004-02-20: jitter of 3.84 deg/s, measured independently; 0.063 rad/s is 3.61 deg/s.
    rate = math.degrees(blurlimits.REFERENCE_SHAKE_RAD_S)
    assert rate == pytest.approx(3.61, abs=0.005)
    assert rate == pytest.approx(3.84, rel=0.07)


def test_direction_at_45_degrees_gives_half_a_stop() -> None:
    # Geometry: sin 45 deg is half a stop less image speed than crossing.
    crossing = blurlimits.image_speed_m_s(0.01, 50.0, 5.0, 90.0)
    oblique = blurlimits.image_speed_m_s(0.01, 50.0, 5.0, 45.0)
    assert math.log2(crossing / oblique) == pytest.approx(0.5)


def test_sway_peak_is_the_steepest_slope_of_a_sine() -> None:
    # Numerically differentiated x = A/2 sin(2 pi n t): the steepest slope, A end to end.
    width, per_second, dt = 0.04, 1.5, 1e-5
    places = [width / 2 * math.sin(2 * math.pi * per_second * i * dt) for i in range(70_000)]
    fastest = max(abs(b - a) for a, b in itertools.pairwise(places)) / dt
    assert blurlimits.sway_speed_m_s(width, per_second) == pytest.approx(fastest, rel=1e-6)


def test_oncoming_growth_against_two_positions() -> None:
    # Numerically: the image half-extent f(X/2)/(u - f) of an oncoming subject, before and after a millisecond.
    focal, extent, object_m, speed, dt = 0.3, 2.0, 40.0, 8.0, 1e-3
    halves = [focal * extent / 2 / (u - focal) for u in (object_m, object_m - speed * dt)]
    measured = (halves[1] - halves[0]) / dt
    growth = blurlimits.image_speed_m_s(focal / (object_m - focal), object_m, speed, 0.0, extent)
    assert growth == pytest.approx(measured, rel=0.01)
