"""How far north and south the sun and the moon get, and why a direction on the ground is never reached."""

import math
from typing import NamedTuple

from fieldplan.sky.aims import Target, airless_altitude_deg
from fieldplan.sky.geocentric import DAY_S, Body
from fieldplan.sky.geodesy import frame_at
from fieldplan.sky.station import Place

OBLIQUITY_DEG = 23.4393  # Meeus, Astronomical Algorithms, 22.2; it shrinks by 0.013 deg a century
# The moon's orbit leans 5.0 to 5.3 deg on the ecliptic (Meeus ch. 47 and 55 give 5.145 in the mean).
MOON_LEAN_DEG = 5.145
MOON_LEAN_MOST_DEG = 5.30
NODE_SLACK_DEG = 0.4  # the true node swings about the mean one; 0.32 is the most between 1900 and 2100
SUN_SLACK_DEG = 0.02
NODE_YEARS = 18.613  # one turn of the node
YEAR_S = 365.25 * DAY_S
UNIX_TO_J2000_DAYS = 10957.5
# Meeus ch. 50 has 356375 to 406720 km for the moon's extremes of 4000 years; a margin is added.
DISTANCE_M: dict[Body, tuple[float, float]] = {"moon": (3.56e8, 4.072e8), "sun": (1.47e11, 1.522e11)}


class Reach(NamedTuple):
    """Whether a body ever stands in a direction during a span, and if not, why.

    declination_deg is the one that the direction asks for, lowest_deg and highest_deg the body's range in the span;
    reason is a sentence, empty where reached is True. again_year: about when the range is wide enough again, None where
    it is so in the span or never. Reached means that the declination is passed, not that the passing comes on that
    bearing within a few days.
    """

    reached: bool
    declination_deg: float
    lowest_deg: float
    highest_deg: float
    reason: str
    again_year: int | None = None

    @property
    def never(self) -> bool:
        """Whether it does not get there in any span."""
        return not self.reached and self.again_year is None


def reach(body: Body, viewpoint: Place, target: Target, start_s: float, end_s: float, within_deg: float = 0.0) -> Reach:
    """Can the body's centre come within so many degrees of the direction between start and end (UT seconds)?

    Raises ValueError for what is no place.
    """
    low, high = declination_band_deg(body, viewpoint, target, 0.0)
    middle = (low + high) / 2.0
    highest = highest_declination_deg(body, start_s, end_s)
    short_deg = max(low - within_deg, -high - within_deg) - highest
    if short_deg <= 0.0:
        return Reach(True, middle, -highest, highest, "")
    again = body == "moon" and highest + short_deg <= _moon_tilt_deg(0.0, MOON_LEAN_MOST_DEG)
    year = _year_of_reach(highest + short_deg, end_s) if again else None
    return Reach(False, middle, -highest, highest, _reason(body, middle, highest, again), year)


def declination_band_deg(body: Body, viewpoint: Place, target: Target, reach_deg: float) -> tuple[float, float]:
    """The lowest and highest declination, seen from the Earth's centre, of the body within reach_deg of a direction.

    reach_deg is without air. The band is wide enough for every distance that the body can have.
    """
    frame = frame_at(viewpoint)
    ray = frame.pointing(target.bearing_deg, airless_altitude_deg(target.apparent_altitude_deg))
    along = sum(r * o for r, o in zip(ray, frame.origin_m, strict=True))
    square = sum(o * o for o in frame.origin_m)
    band = []
    for distance_m in DISTANCE_M[body]:
        # Where the ray from the viewpoint pierces the sphere on which the body is.
        ray_m = -along + math.sqrt(along * along - square + distance_m**2)
        band.append(math.degrees(math.asin((frame.origin_m[2] + ray_m * ray[2]) / distance_m)))
    return min(band) - 1.02 * reach_deg, max(band) + 1.02 * reach_deg


def highest_declination_deg(body: Body, start_s: float, end_s: float) -> float:
    """A bound on how far from the equator the body gets between start and end, seen from the Earth's centre.

    The moon's swings between about 18.5 and 28.7 degrees over 18.6 years. From 1900 to 2100 the bound
    is never too narrow, and too wide by less than a degree.
    """
    if body == "sun":
        return OBLIQUITY_DEG + SUN_SLACK_DEG
    node = _node_deg(start_s)
    turned = (end_s - start_s) / YEAR_S / NODE_YEARS * 360.0  # the node runs backwards
    nearest = 0.0 if turned >= node % 360.0 else min(_from_zero_deg(node), _from_zero_deg(node - turned))
    return _moon_tilt_deg(nearest, MOON_LEAN_MOST_DEG) + NODE_SLACK_DEG


def _node_deg(ut_s: float) -> float:
    """Mean longitude of the ascending node (Meeus 47.7, first terms)."""
    centuries = (ut_s / DAY_S - UNIX_TO_J2000_DAYS) / 36525.0
    return (125.04452 - 1934.136261 * centuries) % 360.0


def _from_zero_deg(angle_deg: float) -> float:
    return abs(math.remainder(angle_deg, 360.0))


def _moon_tilt_deg(node_deg: float, lean_deg: float) -> float:
    """Inclination of the moon's orbit to the equator: spherical triangle of pole, ecliptic pole and orbit pole."""
    tilt, lean = math.radians(OBLIQUITY_DEG), math.radians(lean_deg)
    cos = math.cos(tilt) * math.cos(lean) - math.sin(tilt) * math.sin(lean) * math.cos(math.radians(node_deg))
    return math.degrees(math.acos(cos))


def _reason(body: Body, declination_deg: float, highest_deg: float, again: bool) -> str:
    side = "north" if declination_deg > 0.0 else "south"
    wants = f"that direction lies {abs(declination_deg):.1f} degrees {side} of the celestial equator"
    if body == "sun":
        return f"The sun never stands there: {wants}, and the sun stays within {OBLIQUITY_DEG:.1f} degrees of it."
    widest = _moon_tilt_deg(0.0, MOON_LEAN_MOST_DEG)
    if not again:
        return f"The moon never stands there: {wants}, and the moon stays within {widest:.1f} degrees of it."
    return f"The moon does not stand there in this span: {wants}, and it stays within {highest_deg:.1f} degrees of it."


def _year_of_reach(needed_deg: float, after_s: float) -> int:
    """The year in which the moon's range next widens to so much; monthly steps over one turn of the node."""
    for month in range(int(NODE_YEARS * 12) + 2):
        ut_s = after_s + month * YEAR_S / 12.0
        if highest_declination_deg("moon", ut_s, ut_s) >= needed_deg:
            break
    return int(1970.0 + ut_s / YEAR_S)
