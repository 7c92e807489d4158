"""Shake and motion limits: proportions that must hold, and the edges."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.optics import blurlimits

POSITIVE = st.floats(1e-3, 10.0)


@given(st.floats(2e-6, 1e-4), st.floats(0.01, 1.0), st.floats(0.1, 4.0), st.floats(0.0, 8.0))
def test_blur_within_the_shake_limit_is_the_circle(circle: float, image: float, factor: float, stops: float) -> None:
    limit = blurlimits.shake_limit_s(circle, image, factor, stops)
    blur = image * blurlimits.REFERENCE_SHAKE_RAD_S * factor * limit / 2**stops
    assert blur == pytest.approx(circle)
    assert blurlimits.shake_limit_s(circle, image, factor, stops + 1.0) == pytest.approx(2.0 * limit)


def test_a_support_that_stills_the_camera_has_no_shake_limit() -> None:
    assert blurlimits.shake_limit_s(2e-5, 0.4, 0.0, 0.0) == math.inf


@given(st.floats(2e-6, 1e-4), POSITIVE, st.floats(0.0, 0.999))
def test_following_lengthens_the_motion_limit(circle: float, speed: float, panned: float) -> None:
    free = blurlimits.motion_limit_s(circle, speed)
    assert speed * free == pytest.approx(circle)
    assert blurlimits.motion_limit_s(circle, speed, panned) * (1.0 - panned) == pytest.approx(free)


def test_nothing_moves() -> None:
    assert blurlimits.motion_limit_s(2e-5, 0.0) == math.inf
    assert blurlimits.motion_limit_s(2e-5, 0.3, 1.0) == math.inf
    assert blurlimits.image_speed_m_s(0.01, 30.0, 0.0, 90.0, 1.0) == 0.0
    assert blurlimits.image_speed_m_s(0.0, math.inf, 20.0, 90.0, 1.0) == 0.0
    assert blurlimits.sway_speed_m_s(0.0, 2.0) == 0.0


@given(POSITIVE, st.floats(1.0, 500.0), POSITIVE, st.floats(0.0, 90.0), st.floats(0.0, 5.0))
def test_the_faster_of_crossing_and_growth_counts(
    m: float, object_m: float, speed: float, direction: float, extent: float
) -> None:
    image_speed = blurlimits.image_speed_m_s(m, object_m, speed, direction, extent)
    across = m * speed * math.sin(math.radians(direction))
    growth = m * extent / 2.0 * speed * math.cos(math.radians(direction)) / object_m
    assert image_speed == pytest.approx(max(across, growth), abs=1e-15)
    for same in (-direction, 180.0 - direction):  # left or right, towards or away: the size of it is the same
        assert blurlimits.image_speed_m_s(m, object_m, speed, same, extent) == pytest.approx(image_speed, abs=1e-12)


@given(st.floats(0.03, 0.8), st.floats(0.03, 0.8), st.floats(0.001, 0.2))
def test_at_equal_framing_motion_does_not_depend_on_the_lens(a: float, b: float, m: float) -> None:
    speeds = [blurlimits.image_speed_m_s(m, f * (1.0 + 1.0 / m), 3.0, 90.0) for f in (a, b)]
    assert speeds[0] == speeds[1]
