"""Formats: matched pictures frame and expose alike, in the limit in which they are defined."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.optics import formats
from fieldplan.optics.framing import angle_of_view_deg, thin_lens_magnification

RATIOS = st.floats(0.3, 6.0)


@given(st.floats(0.01, 0.8), st.floats(1.0, 22.0), st.floats(50.0, 25_600.0), RATIOS, st.floats(200.0, 5000.0))
def test_matched_formats_frame_alike_far_away(focal: float, n: float, iso: float, ratio: float, times: float) -> None:
    other = formats.matched(focal, n, iso, ratio)
    distance = focal * times * max(1.0, 1.0 / ratio)
    one = thin_lens_magnification(focal, distance)
    two = thin_lens_magnification(other.focal_m, distance)
    assert one is not None and two is not None
    assert two * ratio == pytest.approx(one, rel=0.0101)  # fills: m x extent over a side `ratio` times smaller
    assert angle_of_view_deg(0.036 / ratio, other.focal_m) == pytest.approx(angle_of_view_deg(0.036, focal))


@given(st.floats(0.01, 0.8), st.floats(1.0, 22.0), st.floats(50.0, 25_600.0), RATIOS)
def test_matched_formats_collect_the_same_light(focal: float, n: float, iso: float, ratio: float) -> None:
    other = formats.matched(focal, n, iso, ratio)
    assert other.focal_m / other.f_number == pytest.approx(focal / n)  # the same pupil
    assert other.iso / other.f_number**2 == pytest.approx(iso / n**2)  # the same brightness at one time
    area = 36.0 * 24.0
    stops = formats.noise_stops(area, area / ratio**2)
    assert 2.0**stops * other.iso == pytest.approx(iso)  # what the smaller area loses, its lower ISO returns
    back = formats.matched(*other, 1.0 / ratio)
    assert back == pytest.approx((focal, n, iso))


@given(st.floats(0.004, 0.06), st.floats(0.003, 0.06))
def test_crop_factor_and_circle_go_by_the_diagonal(width: float, height: float) -> None:
    assert formats.crop_factor(width, height) == formats.crop_factor(height, width)
    crop, circle = formats.crop_factor(width, height), formats.print_circle_m(width, height)
    assert crop * circle == pytest.approx(math.sqrt(36**2 + 24**2) / 1500 / 1000)


@given(st.floats(1.0, 64.0), st.floats(1e-3, 0.2))
def test_airy_disc_spans_two_rayleigh_angles(n: float, focal: float) -> None:
    across = 2.0 * formats.rayleigh_rad(focal / n) * focal
    assert formats.airy_disc_m(n) == pytest.approx(across)
