"""Depth of field and blur, exactly, from the lens's marked f-number and acting focal length.

All distances here run from the lens. Source of the forms: thin-lens geometry with the pupil f/N; Wikipedia,
"Hyperfocal distance" and "Depth of field" (exact forms). The two hyperfocal distances differ by f:
``H0 = f^2/(N c)`` enters the limits, ``H = H0 + f`` is where one focuses.
"""

from __future__ import annotations

import math
from typing import NamedTuple

INFINITY = math.inf


class Depth(NamedTuple):
    """Near limit, far limit (inf when it reaches infinity) and hyperfocal distance, from the lens [m]."""

    near_m: float
    far_m: float
    hyperfocal_m: float


def hyperfocal_product_m(focal_m: float, f_number: float, circle_m: float) -> float:
    """H0 = f^2 / (N c) [m]."""
    return focal_m * focal_m / (f_number * circle_m)


def depth(focal_m: float, f_number: float, circle_m: float, object_m: float) -> Depth:
    """Limits of sharpness for focus at ``object_m``: near = u H0/(H0 + u - f), far = u H0/(H0 - (u - f))."""
    h0 = focal_m * focal_m / (f_number * circle_m)
    if object_m == INFINITY:
        return Depth(h0, INFINITY, h0 + focal_m)
    behind = object_m - focal_m
    far = INFINITY if behind >= h0 else object_m * h0 / (h0 - behind)
    return Depth(object_m * h0 / (h0 + behind), far, h0 + focal_m)


def f_number_for_depth(focal_m: float, circle_m: float, object_m: float, wanted_m: float) -> float:
    """Least f-number whose far limit lies ``wanted_m`` behind its near limit [D]; infinite depth allowed.

    From far - near = 2 u H0 a / (H0^2 - a^2), a = u - f, solved for H0.
    """
    if object_m == INFINITY:
        return 0.0
    if wanted_m <= 0.0:
        return 0.0
    a = object_m - focal_m
    h0 = a if wanted_m == INFINITY else a * (object_m + math.hypot(object_m, wanted_m)) / wanted_m
    return focal_m * focal_m / (h0 * circle_m)


def f_number_for_limits(focal_m: float, circle_m: float, object_m: float, near_m: float, far_m: float) -> float:
    """Least f-number that keeps everything from ``near_m`` to ``far_m`` (from the lens) within the circle.

    Infinite where ``near_m`` is not in front of the lens at all.
    """
    if near_m <= 0.0:
        return INFINITY
    if object_m == INFINITY:
        return focal_m * focal_m / (near_m * circle_m)
    a = object_m - focal_m
    h0 = INFINITY
    if near_m < object_m:
        h0 = min(h0, near_m * a / (object_m - near_m))
    if far_m > object_m:
        h0 = min(h0, a if far_m == INFINITY else far_m * a / (far_m - object_m))
    return 0.0 if h0 == INFINITY else focal_m * focal_m / (h0 * circle_m)


def focus_between_m(near_m: float, far_m: float) -> float:
    """Where to focus so that both limits are equally unsharp: the harmonic mean, from the lens [m]."""
    return 2.0 * near_m if far_m == INFINITY else 2.0 * near_m * far_m / (near_m + far_m)


def blur_disc_m(focal_m: float, f_number: float, object_m: float, point_m: float) -> float:
    """Diameter at the sensor of the blur disc of a point at ``point_m`` from the lens, focused at ``object_m`` [m]."""
    if object_m == INFINITY:
        return 0.0 if point_m == INFINITY else focal_m * focal_m / (f_number * point_m)
    if point_m == INFINITY:
        return focal_m * focal_m / (f_number * (object_m - focal_m))
    return focal_m * focal_m * abs(point_m - object_m) / (f_number * (object_m - focal_m) * point_m)


def smear_m(focal_m: float, f_number: float, object_m: float, point_m: float) -> float:
    """Width, at ``point_m`` itself, over which one point of it is smeared: pupil x |x - u| / u [m]."""
    pupil = focal_m / f_number
    if object_m == INFINITY:
        return pupil
    return INFINITY if point_m == INFINITY else pupil * abs(point_m - object_m) / object_m


def focus_step_m(circle_m: float, f_number: float, magnification: float) -> float:
    """Depth of one frame of a close-up stack: 2 c N (1 + m) / m^2 [m]."""
    return 2.0 * circle_m * f_number * (1.0 + magnification) / (magnification * magnification)
