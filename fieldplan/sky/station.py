"""A place on the ground, and what stands in which direction from it."""

import math
from typing import NamedTuple

from fieldplan.sky.geocentric import EARTH_RADIUS_M, Almanac, Body

FLATTENING = 1.0 / 298.257223563  # WGS 84
RADIUS_M: dict[Body, float] = {
    "sun": 695_700_000.0,  # IAU 2015 resolution B3, nominal solar radius
    "moon": 1_737_400.0,  # IAU WGCCRE 2015, mean radius
}
Vector = tuple[float, float, float]


class Place(NamedTuple):
    """A spot on the ground: WGS 84 degrees (north and east positive), metres above sea level."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float = 0.0


class Direction(NamedTuple):
    """Where a disc's centre stands, seen from the place itself and with no air in between.

    Azimuth from true north through east, 0 to 360; altitude -90 to 90; semidiameter of the disc as seen from there.
    """

    azimuth_deg: float
    altitude_deg: float
    distance_m: float
    semidiameter_deg: float


class Station:
    """A place made ready for looking at many instants: its trigonometry is done once. Not for sharing by threads."""

    def __init__(self, place: Place) -> None:
        """Raise ValueError for a latitude beyond 90 degrees or a coordinate that is no finite number."""
        if not all(map(math.isfinite, place)):
            raise ValueError(f"not a place: {place}")
        if abs(place.latitude_deg) > 90.0:
            raise ValueError(f"latitude {place.latitude_deg} lies beyond 90 degrees")
        latitude = math.radians(place.latitude_deg)
        self.place = place
        self._almanac = Almanac()
        self._longitude = math.radians(place.longitude_deg)
        self._sin_lat = math.sin(latitude)
        self._cos_lat = math.cos(latitude)
        self._north_m, self._up_m = _from_earth_centre(self._sin_lat, self._cos_lat, place.elevation_m)

    def vector_m(self, body: Body, ut_s: float) -> Vector:
        """East, north and up of the body's centre in metres, from the place along its own vertical."""
        seen = self._almanac.place(body, ut_s)
        hour_angle = self._almanac.sidereal_angle(ut_s) + self._longitude - seen.right_ascension
        sin_dec = math.sin(seen.declination)
        cos_dec = math.cos(seen.declination)
        meridian = cos_dec * math.cos(hour_angle)
        return (
            -seen.distance_m * cos_dec * math.sin(hour_angle),
            seen.distance_m * (self._cos_lat * sin_dec - self._sin_lat * meridian) - self._north_m,
            seen.distance_m * (self._sin_lat * sin_dec + self._cos_lat * meridian) - self._up_m,
        )

    def direction(self, body: Body, ut_s: float) -> Direction:
        """The body's direction, distance and semidiameter at the instant."""
        return direction_of(body, self.vector_m(body, ut_s))


def azimuth_of(east: float, north: float) -> float:
    """Azimuth in degrees, 0 to 360, of a direction given by its parts towards east and north."""
    azimuth = math.degrees(math.atan2(east, north)) % 360.0
    return azimuth if azimuth < 360.0 else 0.0  # a tiny negative angle rounds up to a full turn


def direction_of(body: Body, vector_m: Vector) -> Direction:
    """The angles and the distance of a body at east, north and up in metres."""
    east, north, up = vector_m
    level_m = math.hypot(east, north)
    distance_m = math.hypot(level_m, up)
    return Direction(
        azimuth_deg=azimuth_of(east, north),
        altitude_deg=math.degrees(math.atan2(up, level_m)),
        distance_m=distance_m,
        semidiameter_deg=math.degrees(math.asin(RADIUS_M[body] / distance_m)),
    )


def _from_earth_centre(sin_lat: float, cos_lat: float, elevation_m: float) -> tuple[float, float]:
    """North and up components of the place, seen from the Earth's centre, along the place's own vertical (metres)."""
    squash = (1.0 - FLATTENING) ** 2
    normal_m = EARTH_RADIUS_M / math.sqrt(cos_lat**2 + squash * sin_lat**2)
    from_axis_m = (normal_m + elevation_m) * cos_lat
    along_axis_m = (squash * normal_m + elevation_m) * sin_lat
    return along_axis_m * cos_lat - from_axis_m * sin_lat, from_axis_m * cos_lat + along_axis_m * sin_lat
