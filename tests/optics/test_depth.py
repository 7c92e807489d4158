"""Depth of field and blur: what must hold for every lens and distance."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldplan.optics import depth
from fieldplan.optics.formats import matched

FOCALS = st.floats(0.008, 0.8)
F_NUMBERS = st.floats(1.0, 32.0)
CIRCLES = st.floats(2e-6, 5e-5)
TIMES = st.floats(1.01, 1e5)  # object distance in focal lengths


@given(FOCALS, F_NUMBERS, CIRCLES, TIMES)
def test_blur_at_the_limits_is_the_circle_c2(focal: float, n: float, circle: float, times: float) -> None:
    u = focal * times
    limits = depth.depth(focal, n, circle, u)
    assert limits.near_m < u < limits.far_m
    # c = f^2 |x - u| / (...): the difference of nearly equal distances costs digits, eps u / (u - near)
    lost = 1e-9 + 1e-15 * u / (u - limits.near_m)
    assert depth.blur_disc_m(focal, n, u, limits.near_m) == pytest.approx(circle, rel=lost)
    far_blur = depth.blur_disc_m(focal, n, u, limits.far_m)
    if limits.far_m < depth.INFINITY:
        assert far_blur == pytest.approx(circle, rel=1e-8 + 1e-15 * u / (limits.far_m - u))
    else:
        assert far_blur <= circle * (1.0 + 1e-12)


@given(FOCALS, F_NUMBERS, CIRCLES)
def test_blur_at_the_near_limit_of_infinity_is_the_circle(focal: float, n: float, circle: float) -> None:
    limits = depth.depth(focal, n, circle, depth.INFINITY)
    assert depth.blur_disc_m(focal, n, depth.INFINITY, limits.near_m) == pytest.approx(circle)
    assert limits.far_m == depth.INFINITY
    assert limits.hyperfocal_m - limits.near_m == pytest.approx(focal, rel=1e-6)


@given(FOCALS, F_NUMBERS, CIRCLES, TIMES, st.floats(0.1, 10.0))
def test_smear_is_the_blur_disc_carried_back_to_the_point(
    focal: float, n: float, circle: float, times: float, ratio: float
) -> None:
    u = focal * times
    point = u * ratio
    image = focal * u / (u - focal)
    assert depth.smear_m(focal, n, u, point) * image / point == pytest.approx(
        depth.blur_disc_m(focal, n, u, point), rel=1e-9
    )


def test_blur_and_smear_at_infinity() -> None:
    assert depth.blur_disc_m(0.1, 4.0, depth.INFINITY, depth.INFINITY) == 0.0
    assert depth.smear_m(0.1, 4.0, depth.INFINITY, 20.0) == pytest.approx(0.025)  # the pupil
    assert depth.smear_m(0.1, 4.0, 5.0, depth.INFINITY) == depth.INFINITY
    far = depth.blur_disc_m(0.1, 4.0, 5.0, 1e9)
    assert depth.blur_disc_m(0.1, 4.0, 5.0, depth.INFINITY) == pytest.approx(far)
    assert depth.blur_disc_m(0.1, 4.0, 1e9, 5.0) == pytest.approx(depth.blur_disc_m(0.1, 4.0, depth.INFINITY, 5.0))


@given(st.floats(0.02, 0.8), st.floats(0.02, 0.8), F_NUMBERS, CIRCLES, st.floats(0.001, 1.0))
def test_equal_framing_gives_equal_depth(a: float, b: float, n: float, circle: float, m: float) -> None:
    def reach(focal: float) -> float:
        limits = depth.depth(focal, n, circle, focal * (1.0 + 1.0 / m))
        return limits.far_m - limits.near_m

    def share(focal: float) -> float:
        return circle * n / (m * focal)

    plain = 2.0 * circle * n * (1.0 + m) / m**2
    for focal in (a, b):
        if share(focal) < 0.99:
            assert reach(focal) == pytest.approx(plain / (1.0 - share(focal) ** 2), rel=1e-6)
    if max(share(a), share(b)) < 0.0999:
        assert reach(a) == pytest.approx(reach(b), rel=0.0101)


@given(st.floats(0.05, 0.6), st.floats(1.4, 16.0), st.floats(0.3, 5.0), st.floats(200.0, 2000.0))
def test_matched_formats_give_equal_depth_and_blur_far_away(focal: float, n: float, ratio: float, times: float) -> None:
    # Limit u >> f and away from the hyperfocal distance: within 1 % from 200 focal lengths of either lens.
    u = focal * times * max(1.0, 1.0 / ratio)
    other = matched(focal, n, 100.0, ratio)
    circle = 2.88e-5
    one = depth.depth(focal, n, circle, u)
    assume(u < one.hyperfocal_m / 3.0)
    two = depth.depth(other.focal_m, other.f_number, circle / ratio, u)
    assert two.far_m - two.near_m == pytest.approx(one.far_m - one.near_m, rel=0.01)
    blur_one = depth.blur_disc_m(focal, n, u, depth.INFINITY)
    blur_two = depth.blur_disc_m(other.focal_m, other.f_number, u, depth.INFINITY)
    assert blur_two * ratio == pytest.approx(blur_one, rel=0.01)


@given(FOCALS, CIRCLES, st.floats(1.1, 1e4), st.floats(1e-3, 1e3))
def test_f_number_for_depth_gives_the_depth_back(focal: float, circle: float, times: float, share: float) -> None:
    u = focal * times
    wanted = u * share
    n = depth.f_number_for_depth(focal, circle, u, wanted)
    limits = depth.depth(focal, n, circle, u)
    assume(limits.far_m < 1e6 * u)
    assert limits.far_m - limits.near_m == pytest.approx(wanted, rel=1e-6)


@given(FOCALS, CIRCLES, st.floats(1.1, 1e4))
def test_f_number_for_endless_depth_reaches_infinity(focal: float, circle: float, times: float) -> None:
    n = depth.f_number_for_depth(focal, circle, focal * times, depth.INFINITY)
    assert depth.depth(focal, n * (1 + 1e-9), circle, focal * times).far_m == depth.INFINITY
    assert depth.depth(focal, n * (1 - 1e-6), circle, focal * times).far_m < depth.INFINITY


@given(FOCALS, CIRCLES, st.floats(2.0, 1e4), st.floats(0.3, 0.99), st.floats(1.01, 3.0))
def test_f_number_for_limits_holds_both_and_one_exactly(
    focal: float, circle: float, times: float, nearer: float, further: float
) -> None:
    u = focal * times
    n = depth.f_number_for_limits(focal, circle, u, u * nearer, u * further)
    blur = [depth.blur_disc_m(focal, n, u, x) for x in (u * nearer, u * further)]
    assert max(blur) == pytest.approx(circle, rel=1e-6)


@given(FOCALS, CIRCLES, st.floats(5.0, 1e4), st.floats(1.01, 20.0))
def test_focus_between_makes_both_limits_equally_unsharp(
    focal: float, circle: float, times: float, ratio: float
) -> None:
    near, far = focal * times, focal * times * ratio
    u = depth.focus_between_m(near, far)
    assert near < u < far
    blur = [depth.blur_disc_m(focal, 8.0, u, x) for x in (near, far)]
    assert blur[0] == pytest.approx(blur[1], rel=1e-9)
    n = depth.f_number_for_limits(focal, circle, u, near, far)
    others = [depth.f_number_for_limits(focal, circle, v, near, far) for v in (u * 0.999, u * 1.001)]
    assert n < min(others)


def test_edges_of_the_f_numbers() -> None:
    inf = depth.INFINITY
    assert depth.f_number_for_depth(0.1, 3e-5, inf, 5.0) == 0.0
    assert depth.f_number_for_depth(0.1, 3e-5, 5.0, 0.0) == 0.0
    assert depth.f_number_for_limits(0.1, 3e-5, 5.0, 5.0, 5.0) == 0.0
    assert depth.f_number_for_limits(0.1, 3e-5, 5.0, 0.0, 6.0) == math.inf
    at_infinity = depth.f_number_for_limits(0.1, 3e-5, inf, 20.0, inf)
    assert depth.depth(0.1, at_infinity, 3e-5, inf).near_m == pytest.approx(20.0)
    to_infinity = depth.f_number_for_limits(0.1, 3e-5, 5.0, 4.9, inf)
    assert to_infinity == pytest.approx(depth.f_number_for_depth(0.1, 3e-5, 5.0, inf))
    assert depth.focus_between_m(10.0, inf) == 20.0


@given(F_NUMBERS, CIRCLES, st.floats(0.05, 5.0))
def test_focus_step_is_the_depth_close_up(n: float, circle: float, m: float) -> None:
    focal = 0.1
    limits = depth.depth(focal, n, circle, focal * (1.0 + 1.0 / m))
    exact = (limits.far_m - limits.near_m) * (1.0 - (circle * n / (m * focal)) ** 2)
    assume(limits.far_m < depth.INFINITY)
    assert depth.focus_step_m(circle, n, m) == pytest.approx(exact, rel=1e-6)
