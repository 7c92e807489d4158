"""One pass of a disc by the place where it is wanted: when it is nearest, how near, and how long it stays near."""

import math

from fieldplan.sky.aims import Placing, Target, wanted
from fieldplan.sky.crossings import GOLDEN
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesy import Frame, unit_vector
from fieldplan.sky.paths import Path
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.station import RADIUS_M, Vector, azimuth_of

PROBE_S = 3.0  # short, since refraction has a corner a degree below the horizon
CLOSE_S = 0.02
EDGE_S = 0.05
WIDE_S = 3600.0  # the nearest instant lies within this of the pass of the hour angle
FARTHEST_S = 21600.0  # no pass takes a quarter of a day


class Approach:
    """The disc against one wanted direction, as seen through the air, around one instant."""

    def __init__(self, path: Path, body: Body, frame: Frame, target: Target, placing: Placing, about_s: float) -> None:
        """about_s is within some minutes of the nearest; the disc's size is taken then. ValueError as for wanted()."""
        self._path = path
        self._frame = frame
        self._about_s = about_s
        distance_m = math.hypot(*frame.seen(path.vector_m(about_s)))
        self.semidiameter_deg = math.degrees(math.asin(RADIUS_M[body] / distance_m))
        self.aim = wanted(target, placing, self.semidiameter_deg)
        azimuth, altitude = map(math.radians, self.aim)
        self._ahead = unit_vector(*self.aim)
        self._right = (math.cos(azimuth), -math.sin(azimuth), 0.0)
        self._above = (
            -math.sin(altitude) * math.sin(azimuth),
            -math.sin(altitude) * math.cos(azimuth),
            math.cos(altitude),
        )

    def nearest_s(self) -> float:
        """The instant of least distance: parabolas through the square of the distance, until they stand still."""
        ut_s = self._about_s
        for _ in range(8):
            before, at, after = (self._square(ut_s + late) for late in (-PROBE_S, 0.0, PROBE_S))
            bend = before - 2.0 * at + after
            if bend <= 0.0:
                break
            step = PROBE_S * (before - after) / (2.0 * bend)
            ut_s += step
            if abs(step) < CLOSE_S:
                return ut_s
            if abs(ut_s - self._about_s) > WIDE_S:
                break
        return self._nearest_at_a_corner_s()

    def _nearest_at_a_corner_s(self) -> float:
        """The same where the refraction's corner, a degree below the horizon, leads parabolas astray."""
        low, high = self._about_s - WIDE_S, self._about_s + WIDE_S
        while high - low > CLOSE_S:
            first, second = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
            if self._square(first) < self._square(second):
                high = second
            else:
                low = first
        return (low + high) / 2.0

    def edge_s(self, best_s: float, within_deg: float, drift_deg_per_s: float) -> float:
        """When the disc leaves reach, or with a negative drift comes within it; best_s is the nearest instant."""
        limit = 4.0 * math.sin(math.radians(within_deg) / 2.0) ** 2
        spare_deg = math.sqrt(max(0.0, within_deg**2 - self.distance_deg(best_s) ** 2))
        guess_s = spare_deg / drift_deg_per_s  # as if the disc drifted past along a straight line
        inner, outer = 0.97 * guess_s, 1.03 * guess_s + math.copysign(EDGE_S, guess_s)
        low, high = self._square(best_s + inner) - limit, self._square(best_s + outer) - limit
        if low > 0.0:
            inner, low = 0.0, self._square(best_s) - limit
        while high <= 0.0 and abs(outer) < FARTHEST_S:
            inner, low, outer = outer, high, 1.5 * outer + math.copysign(1.0, outer)
            high = self._square(best_s + outer) - limit
        if low >= 0.0 or high <= 0.0:
            return best_s + inner
        while abs(outer - inner) > EDGE_S:  # false position with the Illinois rule, and never quite on either end
            share = min(0.98, max(0.02, low / (low - high)))
            middle = inner + share * (outer - inner)
            value = self._square(best_s + middle) - limit
            if value <= 0.0:
                inner, low, high = middle, value, high / 2.0
            else:
                outer, high, low = middle, value, low / 2.0
        return best_s + (inner + outer) / 2.0

    def distance_deg(self, ut_s: float) -> float:
        """The angle between the disc's centre and where it is wanted."""
        return math.degrees(2.0 * math.asin(min(1.0, math.sqrt(self._square(ut_s)) / 2.0)))

    def offset_deg(self, ut_s: float) -> tuple[float, float]:
        """How far right and how far above the wanted place the disc's centre stands, on the sky."""
        unit = self._unit(ut_s)
        ahead = _dot(unit, self._ahead)
        return (
            math.degrees(math.atan2(_dot(unit, self._right), ahead)),
            math.degrees(math.atan2(_dot(unit, self._above), ahead)),
        )

    def seen(self, ut_s: float) -> Target:
        """Azimuth and apparent altitude of the disc's centre."""
        return disc_seen(self._frame, self._path.vector_m(ut_s))

    def _square(self, ut_s: float) -> float:
        """The square of the straight distance between the two directions on a sphere of radius one."""
        x, y, z = self._unit(ut_s)
        a, b, c = self._ahead
        return (x - a) ** 2 + (y - b) ** 2 + (z - c) ** 2

    def _unit(self, ut_s: float) -> Vector:
        east, north, up = self._frame.seen(self._path.vector_m(ut_s))
        level = math.hypot(east, north)
        apparent = math.radians(apparent_altitude_deg(math.degrees(math.atan2(up, level))))
        share = math.cos(apparent) / level if level > 0.0 else 0.0
        return east * share, north * share, math.sin(apparent)


def disc_seen(frame: Frame, body_m: Vector) -> Target:
    """Azimuth and apparent altitude of an Earth-centred body from a place."""
    east, north, up = frame.seen(body_m)
    altitude_deg = math.degrees(math.atan2(up, math.hypot(east, north)))
    return Target(azimuth_of(east, north), apparent_altitude_deg(altitude_deg))


def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
