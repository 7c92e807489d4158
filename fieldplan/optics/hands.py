"""Distances from angles: what spans an angle at a known size, hands held up, steps counted. Lengths in metres."""

from __future__ import annotations

import math

# Degrees that a hand spans at the end of a stretched arm. Little finger, fist: the figures that astronomy teachers
# give out (Rothney Astrophysical Observatory, open houses), common practice; the spread hand
# is given as 20 and as 25 there. The thumb is common practice.
HAND_DEG = {"little finger": 1.0, "thumb": 2.0, "three fingers": 5.0, "fist": 10.0, "spread hand": 20.0}


def distance_for_angle_m(size_m: float, angle_deg: float) -> float:
    """How far away a thing of that size stands that spans the angle, seen square on: D = s / (2 tan(a/2)).

    Raises ValueError outside 0 to 180 degrees, or for a size that is not positive.
    """
    if not 0.0 < angle_deg < 180.0:
        raise ValueError("an angle spanned by a thing is between 0 and 180 degrees")
    if not size_m > 0.0:
        raise ValueError("a size must be greater than 0")
    return size_m / (2.0 * math.tan(math.radians(angle_deg) / 2.0))


def angle_deg(size_m: float, distance_m: float) -> float:
    """The angle that a size spans at a distance [deg]: 2 atan(s / 2D)."""
    return math.degrees(2.0 * math.atan(size_m / (2.0 * distance_m)))
