"""Depth of field, hyperfocal distances and focus steps against published values and SymPy."""

from __future__ import annotations

import pytest
from sympy.physics.optics import hyperfocal_distance

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
