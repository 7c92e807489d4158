"""Formats, circles and diffraction against published tables."""

from __future__ import annotations

import math

import pytest

from fieldplan.optics import formats


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "circle_mm"),
    [(36, 24, 0.0288), (23.6, 15.6, 0.0189), (22.3, 14.9, 0.0179), (17.3, 13.0, 0.0144), (13.2, 8.8, 0.0106)],
)
def test_print_circle_b14(width_mm: float, height_mm: float, circle_mm: float) -> None:
    # B14: libqalculate help text, c = d/1500, recomputed to the last digit shown.
    assert formats.print_circle_m(width_mm / 1000, height_mm / 1000) * 1000 == pytest.approx(circle_mm, abs=6e-5)


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "crop"),
    [
        pytest.param(36, 24, 1.0, id="the reference format"),
        pytest.param(24, 16, 1.5, id="common practice"),
        pytest.param(17.3, 13.0, 2.00, id="CIPA DCG-001 practice: by diagonal, not 2.08 by width"),
        pytest.param(23.6, 15.6, 1.53, id="Wikipedia, Image sensor format (from memory)"),
        pytest.param(22.3, 14.9, 1.61, id="Wikipedia, Image sensor format (from memory) 1.6"),
        pytest.param(13.2, 8.8, 2.73, id="Wikipedia, Image sensor format (from memory) 1-inch type"),
        pytest.param(6.17, 4.55, 5.64, id="Wikipedia, Image sensor format (from memory) 1/2.3 type"),
        pytest.param(43.8, 32.9, 0.79, id="Wikipedia, Image sensor format (from memory) 44x33"),
    ],
)
def test_crop_factor(width_mm: float, height_mm: float, crop: float) -> None:
    assert formats.crop_factor(width_mm / 1000, height_mm / 1000) == pytest.approx(crop, abs=0.006)


def test_reference_diagonal() -> None:
    # CIPA DCG-001 practice: 43.27 mm.
    assert formats.diagonal_m(0.036, 0.024) * 1000 == pytest.approx(43.27, abs=0.005)


@pytest.mark.parametrize(
    ("focal_mm", "f_number", "ratio", "matched_mm", "matched_f"),
    [(50, 4.0, 1.6, 31, 2.5), (85, 1.8, 1.5, 56, 1.2), (160, 6.4, 1.6, 100, 4.0), (85, 1.2, 1.5, 56, 0.8)],
)
def test_matched_pairs(focal_mm: float, f_number: float, ratio: float, matched_mm: float, matched_f: float) -> None:
    # Common practice, no source: pairs that the trade quotes, cut to whole millimetres.
    other = formats.matched(focal_mm / 1000, f_number, 100.0, ratio)
    assert math.floor(other.focal_m * 1000 + 1e-9) == matched_mm
    assert other.f_number == pytest.approx(matched_f)
    assert other.iso == pytest.approx(100.0 / ratio**2)


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "stops"), [(23.5, 15.6, 1.24), (22.3, 14.9, 1.38), (17.3, 13.0, 1.94)]
)
def test_light_collected_by_area(width_mm: float, height_mm: float, stops: float) -> None:
    # Derived: photon noise follows the light collected, at equal exposure the ratio of the areas.
    assert formats.noise_stops(36 * 24, width_mm * height_mm) == pytest.approx(stops, abs=0.006)


def test_airy_disc() -> None:
    # Wikipedia, Airy disk: 0.5 um at f/8 makes 9.76 um (with the rounded constant 2.44).
    assert formats.airy_disc_m(8.0, 0.5e-6) * 1e6 == pytest.approx(9.76, abs=0.005)


def test_airy_constant_is_the_first_zero_of_j1() -> None:
    # Power series of the Bessel function J1 (Abramowitz and Stegun 9.1.10); its first zero is pi/2 times the constant.
    def bessel_j1(x: float) -> float:
        terms = ((-1) ** k * (x / 2) ** (2 * k + 1) / (math.factorial(k) * math.factorial(k + 1)) for k in range(30))
        return sum(terms)

    zero = formats.AIRY_CONSTANT * math.pi / 2.0
    assert bessel_j1(zero - 1e-4) > 0.0 > bessel_j1(zero + 1e-4)


def test_rayleigh() -> None:
    # OpenStax University Physics 3: a 3.00 mm pupil at 550 nm resolves 2.24e-4 rad.
    assert formats.rayleigh_rad(3.0e-3, 550e-9) == pytest.approx(2.24e-4, abs=5e-7)


def test_pixel_circle() -> None:
    # Common practice: 36 mm over 6000 pixels is a pitch of 6 um; strict sharpness allows two of them.
    assert formats.pixel_circle_m(0.036, 6000) == pytest.approx(12e-6)
