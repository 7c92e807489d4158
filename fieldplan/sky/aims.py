"""What a disc is lined up with: a direction on the ground, and where against it the disc's centre is wanted."""

import math
from collections.abc import Callable
from typing import NamedTuple

from fieldplan.sky.refraction import apparent_altitude_deg, saemundsson_deg

STEEPEST_DEG = 85.0  # nearer to the zenith, left and right of a landmark mean little


class Target(NamedTuple):
    """The direction in which a landmark's top is seen: bearing from true north, apparent altitude."""

    bearing_deg: float
    apparent_altitude_deg: float


class Placing(NamedTuple):
    """Where the disc's centre is wanted against the landmark's top: right and up count positive.

    across_deg is in degrees of bearing, up_deg in degrees of altitude; across_radii and up_radii count radii of the
    disc as it stands at that moment: 1 across puts its left edge on the bearing, 1 up its lower edge on the altitude.
    """

    across_deg: float = 0.0
    across_radii: float = 0.0
    up_deg: float = 0.0
    up_radii: float = 0.0


class Correction(NamedTuple):
    """How much further right and higher a disc stands against the top than reckoned, in degrees on the sky."""

    across_deg: float = 0.0
    up_deg: float = 0.0

    def applied(self, target: Target) -> Target:
        """The direction of the top that agrees with what was seen. Raises ValueError near the zenith (85 degrees)."""
        altitude_deg = target.apparent_altitude_deg
        if self.across_deg != 0.0:
            altitude_cos = _level_share(altitude_deg)
            target = target._replace(bearing_deg=(target.bearing_deg - self.across_deg / altitude_cos) % 360.0)
        return target._replace(apparent_altitude_deg=altitude_deg - self.up_deg)


Aimed = Placing | Callable[[float, float], Placing]  # one for all; or that at a distance [m] and an altitude [deg]

CENTRED = Placing()
RESTING = Placing(up_radii=1.0)
AS_RECKONED = Correction()


def right_of(half_width_deg: float = 0.0) -> Placing:
    """The disc to the right, its left edge touching a landmark that reaches so many degrees of bearing to each side."""
    return Placing(across_deg=half_width_deg, across_radii=1.0)


def left_of(half_width_deg: float = 0.0) -> Placing:
    """The disc to the left, its right edge touching a landmark that reaches so many degrees of bearing to each side."""
    return Placing(across_deg=-half_width_deg, across_radii=-1.0)


def half_bearing_deg(width_m: float, distance_m: float, apparent_altitude_deg: float) -> float:
    """Degrees of bearing that a level width takes to each side; the straight distance is to its middle, above zero.

    Within 5 degrees of the zenith, as there.
    """
    level_m = distance_m * math.cos(math.radians(min(abs(apparent_altitude_deg), STEEPEST_DEG)))
    return math.degrees(math.atan2(width_m / 2.0, level_m))


def wanted(target: Target, placing: Placing, semidiameter_deg: float) -> Target:
    """Where the disc's centre is wanted: its azimuth and apparent altitude.

    The air flattens a low disc, so radii upwards are counted where the disc truly stands. Raises ValueError for radii
    or degrees across within 5 degrees of the zenith.
    """
    bearing_deg, altitude_deg = target
    altitude_deg += placing.up_deg
    if placing.up_radii != 0.0:
        altitude_deg = apparent_altitude_deg(airless_altitude_deg(altitude_deg) + placing.up_radii * semidiameter_deg)
    if placing.across_radii != 0.0 or placing.across_deg != 0.0:
        reach = math.sin(math.radians(placing.across_radii * semidiameter_deg)) / _level_share(altitude_deg)
        bearing_deg += placing.across_deg + math.degrees(math.asin(max(-1.0, min(1.0, reach))))
    return Target(bearing_deg % 360.0, altitude_deg)


def lower_edge_deg(centre_deg: float, disc_deg: float) -> float:
    """Where the lower edge of a disc is seen whose centre is seen at this altitude: the air flattens a low disc."""
    return apparent_altitude_deg(airless_altitude_deg(centre_deg) - disc_deg / 2.0)


def airless_altitude_deg(apparent_deg: float) -> float:
    """The true altitude that Saemundsson's refraction shows at this one: its exact inverse, unlike Bennett's fit."""
    true_deg = apparent_deg
    for _ in range(40):  # the lift changes by at most a fifth of a change of altitude
        before = true_deg
        true_deg = apparent_deg - saemundsson_deg(true_deg)
        if abs(true_deg - before) < 1e-10:
            break
    return true_deg


def _level_share(altitude_deg: float) -> float:
    if abs(altitude_deg) > STEEPEST_DEG:
        raise ValueError(f"at an altitude of {altitude_deg:.0f} degrees, left and right of a landmark mean nothing")
    return math.cos(math.radians(altitude_deg))
