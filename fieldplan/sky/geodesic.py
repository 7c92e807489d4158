"""Distance and bearing along the ellipsoid, and the point so far off in a bearing.

Vincenty, Direct and Inverse Solutions of Geodesics on the Ellipsoid, Survey Review 23 (1975): half a millimetre at any
distance at which it converges, which is everywhere but near the antipodes.
"""

import math
from typing import NamedTuple

from fieldplan.sky.geocentric import EARTH_RADIUS_M
from fieldplan.sky.geodesy import checked
from fieldplan.sky.station import FLATTENING, Place

POLAR_RADIUS_M = EARTH_RADIUS_M * (1.0 - FLATTENING)
CLOSE_RAD = 1e-15
ROUNDS = 60


class Course(NamedTuple):
    """The shortest way over the ellipsoid: its length, and its bearing from true north at either end, 0 to 360.

    Both bearings run onwards: the way back starts at end_bearing_deg + 180.
    """

    distance_m: float
    bearing_deg: float
    end_bearing_deg: float


def course(start: Place, end: Place) -> Course:
    """The shortest way from start to end at sea level; elevations play no part.

    Between points at one spot the length and the bearings are 0. Raises ValueError for what is no place and for
    points that lie nearly opposite each other on the Earth.
    """
    checked(start)
    checked(end)
    sin_1, cos_1 = _reduced(start.latitude_deg)
    sin_2, cos_2 = _reduced(end.latitude_deg)
    difference = math.radians(math.remainder(end.longitude_deg - start.longitude_deg, 360.0))
    turned = difference
    for _ in range(ROUNDS):
        sin_turned, cos_turned = math.sin(turned), math.cos(turned)
        east, north = cos_2 * sin_turned, cos_1 * sin_2 - sin_1 * cos_2 * cos_turned
        sin_arc = math.hypot(east, north)
        if sin_arc == 0.0 and abs(difference) < 1.0:
            return Course(0.0, 0.0, 0.0)
        cos_arc = sin_1 * sin_2 + cos_1 * cos_2 * cos_turned
        arc = math.atan2(sin_arc, cos_arc)
        sin_azimuth = cos_1 * cos_2 * sin_turned / sin_arc if sin_arc else 0.0
        cos2_azimuth = 1.0 - sin_azimuth**2
        cos_middle = cos_arc - 2.0 * sin_1 * sin_2 / cos2_azimuth if cos2_azimuth > 1e-14 else 0.0
        before = turned
        turned = difference + _longitude_excess(sin_azimuth, cos2_azimuth, arc, sin_arc, cos_arc, cos_middle)
        if abs(turned) > math.pi:
            break
        if abs(turned - before) < CLOSE_RAD:
            scale, series = _length_series(cos2_azimuth)
            length_m = POLAR_RADIUS_M * scale * (arc - _arc_excess(series, sin_arc, cos_arc, cos_middle))
            ahead = math.atan2(cos_1 * sin_turned, cos_1 * sin_2 * cos_turned - sin_1 * cos_2)
            return Course(length_m, _bearing_deg(math.atan2(east, north)), _bearing_deg(ahead))
    raise ValueError("the two places lie nearly opposite each other on the Earth: no one bearing joins them")


def destination(start: Place, bearing_deg: float, distance_m: float) -> Place:
    """The place so many metres off in a bearing, over the ellipsoid, at the elevation of the start.

    A negative distance goes the other way. Raises ValueError for what is no place and for numbers that are not finite.
    """
    checked(start)
    if not (math.isfinite(bearing_deg) and math.isfinite(distance_m)):
        raise ValueError(f"no way of {distance_m} m towards {bearing_deg}")
    sin_1, cos_1 = _reduced(start.latitude_deg)
    bearing = math.radians(bearing_deg)
    sin_bearing, cos_bearing = math.sin(bearing), math.cos(bearing)
    from_equator = math.atan2(sin_1, cos_1 * cos_bearing)
    sin_azimuth = cos_1 * sin_bearing
    cos2_azimuth = 1.0 - sin_azimuth**2
    scale, series = _length_series(cos2_azimuth)
    plain = distance_m / (POLAR_RADIUS_M * scale)
    arc = plain
    for _ in range(ROUNDS):
        sin_arc, cos_arc, cos_middle = math.sin(arc), math.cos(arc), math.cos(2.0 * from_equator + arc)
        before = arc
        arc = plain + _arc_excess(series, sin_arc, cos_arc, cos_middle)
        if abs(arc - before) < CLOSE_RAD * max(1.0, abs(arc)):
            break
    sin_arc, cos_arc, cos_middle = math.sin(arc), math.cos(arc), math.cos(2.0 * from_equator + arc)
    towards_pole = sin_1 * sin_arc - cos_1 * cos_arc * cos_bearing
    sin_2 = sin_1 * cos_arc + cos_1 * sin_arc * cos_bearing
    latitude = math.atan2(sin_2, (1.0 - FLATTENING) * math.hypot(sin_azimuth, towards_pole))
    turned = math.atan2(sin_arc * sin_bearing, cos_1 * cos_arc - sin_1 * sin_arc * cos_bearing)
    turned -= _longitude_excess(sin_azimuth, cos2_azimuth, arc, sin_arc, cos_arc, cos_middle)
    longitude_deg = math.remainder(start.longitude_deg + math.degrees(turned), 360.0)
    return Place(math.degrees(latitude), longitude_deg, start.elevation_m)


def _reduced(latitude_deg: float) -> tuple[float, float]:
    """Sine and cosine of the latitude on the auxiliary sphere."""
    latitude = math.radians(latitude_deg)
    up, out = (1.0 - FLATTENING) * math.sin(latitude), math.cos(latitude)
    length = math.hypot(up, out)
    return up / length, out / length


def _length_series(cos2_azimuth: float) -> tuple[float, float]:
    """Vincenty's A and B (his equations 3 and 4)."""
    u2 = cos2_azimuth * (EARTH_RADIUS_M**2 - POLAR_RADIUS_M**2) / POLAR_RADIUS_M**2
    scale = 1.0 + u2 / 16384.0 * (4096.0 + u2 * (-768.0 + u2 * (320.0 - 175.0 * u2)))
    return scale, u2 / 1024.0 * (256.0 + u2 * (-128.0 + u2 * (74.0 - 47.0 * u2)))


def _arc_excess(series: float, sin_arc: float, cos_arc: float, cos_middle: float) -> float:
    """Vincenty's delta sigma (6)."""
    third = series / 6.0 * cos_middle * (-3.0 + 4.0 * sin_arc**2) * (-3.0 + 4.0 * cos_middle**2)
    return series * sin_arc * (cos_middle + series / 4.0 * (cos_arc * (-1.0 + 2.0 * cos_middle**2) - third))


def _longitude_excess(
    sin_azimuth: float, cos2_azimuth: float, arc: float, sin_arc: float, cos_arc: float, cos_middle: float
) -> float:
    """How much more the longitude turns on the auxiliary sphere than on the ellipsoid (10, 11)."""
    c = FLATTENING / 16.0 * cos2_azimuth * (4.0 + FLATTENING * (4.0 - 3.0 * cos2_azimuth))
    inner = cos_middle + c * cos_arc * (-1.0 + 2.0 * cos_middle**2)
    return (1.0 - c) * FLATTENING * sin_azimuth * (arc + c * sin_arc * inner)


def _bearing_deg(angle: float) -> float:
    turned = math.degrees(angle) % 360.0
    return turned if turned < 360.0 else 0.0
