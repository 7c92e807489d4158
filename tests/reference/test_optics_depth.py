"""Depth of field, hyperfocal distances and focus steps against published values and SymPy."""

from __future__ import annotations

import pytest
from sympy.physics.optics import hyperfocal_distance, lens_formula

from fieldplan.optics import depth

INCH_M = 0.0254


@pytest.mark.parametrize(
    ("focal", "f_number", "circle", "expected", "slack"),
    [
        pytest.param(0.5, 8, 0.0033, 9.47, 0.005, id="B2 SymPy documentation, hyperfocal_distance"),
        pytest.param(0.050, 8, 0.03e-3, 10.417, 0.0005, id="B4 Wikipedia, Hyperfocal distance"),
        pytest.param(6 * INCH_M, 8, INCH_M / 100, 450 * INCH_M, 1e-9, id="B8 The Barnet Book of Photography"),
    ],
)
def test_hyperfocal_product(focal: float, f_number: float, circle: float, expected: float, slack: float) -> None:
    assert depth.hyperfocal_product_m(focal, f_number, circle) == pytest.approx(expected, abs=slack)


@pytest.mark.parametrize("focal_mm", [8, 35, 85, 600])
@pytest.mark.parametrize("f_number", [1.4, 5.6, 22.0])
def test_hyperfocal_product_agrees_with_sympy(focal_mm: float, f_number: float) -> None:
    # sympy.physics.optics.hyperfocal_distance(f, N, c) = f^2/(N c).
    expected = float(hyperfocal_distance(focal_mm / 1000, f_number, 2e-5))
    assert depth.hyperfocal_product_m(focal_mm / 1000, f_number, 2e-5) == pytest.approx(expected)


def test_hyperfocal_distance_and_its_near_limit_b4() -> None:
    # B4, Wikipedia, Hyperfocal distance, example: H 10 467 mm, near limit 5 233 mm when focused there.
    at_infinity = depth.depth(0.05, 8.0, 0.03e-3, depth.INFINITY)
    assert at_infinity.hyperfocal_m == pytest.approx(10.467, abs=0.0005)
    assert at_infinity.near_m == pytest.approx(10.417, abs=0.0005)
    there = depth.depth(0.05, 8.0, 0.03e-3, at_infinity.hyperfocal_m * (1 + 1e-12))
    assert there.near_m == pytest.approx(5.233, abs=0.0006)
    assert there.near_m == pytest.approx(at_infinity.hyperfocal_m / 2.0)
    assert there.far_m == depth.INFINITY


@pytest.mark.parametrize(
    ("magnification", "f_number", "step_mm"),
    [(1, 11, 0.66), (2, 8, 0.18), (3, 5.6, 0.0747), (4, 4, 0.0375), (5, 4, 0.0288)],
)
def test_focus_step_k1(magnification: float, f_number: float, step_mm: float) -> None:
    # K1: table by a stacking author, circle 0.015 mm, to the last digit that the table prints.
    step = depth.focus_step_m(0.015e-3, f_number, magnification) * 1000
    assert step == pytest.approx(step_mm, abs=5e-5)


@pytest.mark.parametrize("f_number", [2.8, 8.0])
def test_background_at_infinity_c4(f_number: float) -> None:
    # C4, derived: focused at magnification m, a point at infinity is a disc f m/N wide.
    focal, object_m = 0.2, 4.2
    magnification = focal / (object_m - focal)
    assert depth.blur_disc_m(focal, f_number, object_m, depth.INFINITY) == pytest.approx(
        focal * magnification / f_number
    )


def test_depth_from_magnification() -> None:
    # Derived in closed form: far - near = 2 c N (1+m)/m^2 / (1 - (c N/(m f))^2).
    focal, f_number, circle, object_m = 0.3, 5.6, 3e-5, 12.0
    m = focal / (object_m - focal)
    limits = depth.depth(focal, f_number, circle, object_m)
    exact = 2 * circle * f_number * (1 + m) / m**2 / (1 - (circle * f_number / (m * focal)) ** 2)
    assert limits.far_m - limits.near_m == pytest.approx(exact)


def _image_m(focal_m: float, object_m: float) -> float:
    """Where SymPy's thin lens throws the image of a point at ``object_m`` before it (its distances are signed)."""
    return float(lens_formula(focal_length=focal_m, u=-object_m))


def _blur_m(focal_m: float, f_number: float, sensor_m: float, object_m: float) -> float:
    """Similar triangles from the pupil f/N to the image of the point, cut by the sensor."""
    image = _image_m(focal_m, object_m)
    return focal_m / f_number * abs(image - sensor_m) / image


@pytest.mark.parametrize(
    ("focal", "f_number", "circle", "object_m"),
    [(0.1, 8.0, 30e-6, 5.0), (0.05, 2.8, 20e-6, 1.3), (0.6, 6.3, 19e-6, 40.0), (0.024, 11.0, 29e-6, 1.5)],
)
def test_both_limits_are_blurred_by_the_circle_in_sympys_thin_lens(
    focal: float, f_number: float, circle: float, object_m: float
) -> None:
    limits = depth.depth(focal, f_number, circle, object_m)
    sensor = _image_m(focal, object_m)
    for limit in (limits.near_m, limits.far_m):
        if limit != depth.INFINITY:
            assert _blur_m(focal, f_number, sensor, limit) == pytest.approx(circle, rel=1e-9)


def test_a_worked_case_of_limits_and_background() -> None:
    # 100 mm, f/8, circle 0.03 mm, focused at 5 m from the lens: the same rays as above, by hand
    limits = depth.depth(0.1, 8.0, 30e-6, 5.0)
    assert (limits.near_m, limits.far_m) == pytest.approx((4.474, 5.666), abs=0.0005)
    assert depth.blur_disc_m(0.1, 8.0, 5.0, 10.0) == pytest.approx(127.6e-6, abs=5e-8)
    assert depth.smear_m(0.1, 8.0, 5.0, 10.0) == pytest.approx(0.0125)


@pytest.mark.parametrize("point_m", [0.9, 2.0, 7.0, 300.0])
def test_blur_and_its_width_there_agree_with_sympys_thin_lens(point_m: float) -> None:
    focal, f_number, object_m = 0.085, 1.8, 2.4
    sensor = _image_m(focal, object_m)
    blur = _blur_m(focal, f_number, sensor, point_m)
    assert depth.blur_disc_m(focal, f_number, object_m, point_m) == pytest.approx(blur, rel=1e-9)
    # seen back through the middle of the lens the disc is as wide at the point as the blur times point over sensor
    assert depth.smear_m(focal, f_number, object_m, point_m) == pytest.approx(blur * point_m / sensor, rel=1e-9)
