"""Formats: diagonal, crop factor, circles of confusion, matched pictures, diffraction."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.optics.exposure import MARK_SLACK

REFERENCE_DIAGONAL_M = math.hypot(0.036, 0.024)  # 36 x 24 mm
AIRY_CONSTANT = 2.43934  # 2 x 3.8317 / pi: first zero of the Airy pattern, diameter in units of lambda N
GREEN_M = 0.55e-6  # wavelength used for the Airy disc [m]
PRINT_DIVISOR = 1500.0  # circle of confusion for a print seen whole: diagonal / 1500, common practice
PIXEL_CIRCLE = 2.0  # pixel-strict circle, in pixels
COVERAGE_SLACK = 1.03  # a lens covers a frame up to this share over its own diagonal


class Matched(NamedTuple):
    """Focal length [m], f-number and ISO that make the same picture on another format."""

    focal_m: float
    f_number: float
    iso: float


def diagonal_m(width_m: float, height_m: float) -> float:
    """Diagonal of a frame [m]."""
    return math.hypot(width_m, height_m)


def crop_factor(width_m: float, height_m: float) -> float:
    """43.27 mm over the frame's diagonal (CIPA DCG-001 practice: by diagonal, never by width)."""
    return REFERENCE_DIAGONAL_M / math.hypot(width_m, height_m)


def print_circle_m(width_m: float, height_m: float) -> float:
    """Circle of confusion of a print: diagonal / 1500 [m]."""
    return math.hypot(width_m, height_m) / PRINT_DIVISOR


def pixel_circle_m(sensor_width_m: float, pixels_wide: float) -> float:
    """Pixel-strict circle: two pixel pitches [m]."""
    return PIXEL_CIRCLE * sensor_width_m / pixels_wide


def matched(focal_m: float, f_number: float, iso: float, ratio: float) -> Matched:
    """The same framing, depth and light on a format ``ratio`` times smaller: f/C, N/C, ISO/C^2.

    Exact for one aspect ratio in the limit u >> f; within 1 % from 200 f on, away from the hyperfocal distance.
    """
    return Matched(focal_m / ratio, f_number / ratio, iso / ratio**2)


def noise_stops(area_m2: float, other_area_m2: float) -> float:
    """Stops of light that the first area collects over the second at equal exposure: log2 of the ratio."""
    return math.log2(area_m2 / other_area_m2)


def airy_disc_m(effective_f_number: float, wavelength_m: float = GREEN_M) -> float:
    """Diameter of the Airy disc at the sensor [m]: 2.44 lambda N_eff."""
    return AIRY_CONSTANT * wavelength_m * effective_f_number


def wider_than_circle(airy_m: float, circle_m: float) -> bool:
    """Whether diffraction alone draws a point wider than the circle, by more than f-numbers are marked to."""
    return airy_m > circle_m * MARK_SLACK


def rayleigh_rad(aperture_m: float, wavelength_m: float = GREEN_M) -> float:
    """Smallest angle resolved by a pupil [rad]: 1.22 lambda / D."""
    return AIRY_CONSTANT / 2.0 * wavelength_m / aperture_m
