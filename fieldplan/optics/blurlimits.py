"""The longest exposure that camera shake and subject motion allow, for a given blur at the sensor.

Reference hand: 1/f_eq seconds (ISO 19093 clause 3.1, hand-held limit) with 63 um of blur on 36 x 24 mm
(ISO 20954-1 clause 3.5) make 0.063 rad/s. An independent jitter measurement, SAS E-Bulletin 2004-02-20,
gives 3.84 deg/s = 0.067 rad/s. The blur is taken to grow linearly with time, which overstates long exposures.
"""

from __future__ import annotations

import math

INFINITY = math.inf
REFERENCE_SHAKE_RAD_S = 0.063  # ISO 19093 and ISO 20954-1, see above


def shake_limit_s(circle_m: float, image_m: float, factor: float, stops: float) -> float:
    """Longest hand-held time [s]: c 2^stops / (v w s); inf on a support with factor 0.

    image_m: image distance f(m)(1+m) [m]; factor: photographer's times support's; stops: stabilisation counted on.
    """
    rate = image_m * REFERENCE_SHAKE_RAD_S * factor
    return INFINITY if rate <= 0.0 else circle_m * math.pow(2.0, stops) / rate


def image_speed_m_s(
    magnification: float, object_m: float, speed_m_s: float, direction_deg: float, longest_extent_m: float = 0.0
) -> float:
    """Speed of the image over the sensor [m/s]: the larger of m v sin a and the growth, half the extent v cos a / u.

    direction_deg: angle between the motion and the optical axis, 90 crossing, 0 oncoming; longest_extent_m: the
    subject's longer side [m].
    """
    angle = math.radians(direction_deg)
    across = magnification * speed_m_s * abs(math.sin(angle))
    if object_m == INFINITY or not longest_extent_m:
        return across
    growth = magnification * longest_extent_m / 2.0 * speed_m_s * abs(math.cos(angle)) / object_m
    return max(across, growth)


def motion_limit_s(circle_m: float, image_speed: float, panned: float = 0.0) -> float:
    """Longest time [s] before the image has moved one circle: c / (image speed (1 - panned)); inf when nothing moves.

    panned: share of the motion that the camera follows, 0 to 1.
    """
    left = image_speed * (1.0 - panned)
    return INFINITY if left <= 0.0 else circle_m / left


def sway_speed_m_s(width_m: float, per_second: float) -> float:
    """Peak speed of a swing ``width_m`` from end to end, ``per_second`` full swings a second [m/s]: 2 pi n A/2."""
    return math.pi * per_second * width_m
