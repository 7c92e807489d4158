"""Where one point of the Earth lies from another: WGS 84 positions, Earth-centred vectors, east, north and up.

Heights are metres above sea level and are taken as heights above the ellipsoid. The two differ by up to 100 m, but by
nearly the same amount at both ends of a line of sight, so the error of an angle is far below what can be seen.
"""

import math
from typing import NamedTuple

from fieldplan.sky.geocentric import EARTH_RADIUS_M
from fieldplan.sky.station import FLATTENING, Place, Vector

ECCENTRICITY_2 = FLATTENING * (2.0 - FLATTENING)
DEEPEST_M = 1.0e6  # nothing is looked at from further inside the Earth


def checked(place: Place) -> Place:
    """The same place. Raises ValueError for a latitude beyond 90 degrees or a part that is no finite number."""
    if not all(map(math.isfinite, place)):
        raise ValueError(f"not a place: {tuple(place)}")
    if abs(place.latitude_deg) > 90.0:
        raise ValueError(f"latitude {place.latitude_deg} lies beyond 90 degrees")
    return place


def to_earth_centred(place: Place) -> Vector:
    """Metres from the Earth's centre: towards 0 N 0 E, 0 N 90 E and the north pole. Raises ValueError for no place."""
    checked(place)
    latitude, longitude = math.radians(place.latitude_deg), math.radians(place.longitude_deg)
    sin_lat = math.sin(latitude)
    normal_m = EARTH_RADIUS_M / math.sqrt(1.0 - ECCENTRICITY_2 * sin_lat**2)
    from_axis_m = (normal_m + place.elevation_m) * math.cos(latitude)
    return (
        from_axis_m * math.cos(longitude),
        from_axis_m * math.sin(longitude),
        (normal_m * (1.0 - ECCENTRICITY_2) + place.elevation_m) * sin_lat,
    )


def from_earth_centred(vector_m: Vector) -> Place:
    """The place at an Earth-centred vector, to a micrometre. Raises ValueError deep inside the Earth (1000 km)."""
    x, y, z = vector_m
    from_axis_m = math.hypot(x, y)
    if not EARTH_RADIUS_M - DEEPEST_M < math.hypot(from_axis_m, z) < math.inf:
        raise ValueError(f"no place near the surface of the Earth: {vector_m}")
    latitude = math.atan2(z, from_axis_m * (1.0 - ECCENTRICITY_2))
    for _ in range(8):  # each round gains two digits and more
        sin_lat = math.sin(latitude)
        normal_m = EARTH_RADIUS_M / math.sqrt(1.0 - ECCENTRICITY_2 * sin_lat**2)
        latitude = math.atan2(z + ECCENTRICITY_2 * normal_m * sin_lat, from_axis_m)
    sin_lat = math.sin(latitude)
    height_m = from_axis_m * math.cos(latitude) + z * sin_lat
    height_m -= EARTH_RADIUS_M * math.sqrt(1.0 - ECCENTRICITY_2 * sin_lat**2)
    return Place(math.degrees(latitude), math.degrees(math.atan2(y, x)), height_m)


class Frame(NamedTuple):
    """A place made ready for looking around: where it is, and its east, north and up, all Earth-centred."""

    origin_m: Vector
    east: Vector
    north: Vector
    up: Vector

    def seen(self, point_m: Vector) -> Vector:
        """East, north and up, in metres, of an Earth-centred point seen from here."""
        x, y, z = point_m[0] - self.origin_m[0], point_m[1] - self.origin_m[1], point_m[2] - self.origin_m[2]
        return (
            self.east[0] * x + self.east[1] * y,
            self.north[0] * x + self.north[1] * y + self.north[2] * z,
            self.up[0] * x + self.up[1] * y + self.up[2] * z,
        )

    def pointing(self, azimuth_deg: float, altitude_deg: float) -> Vector:
        """The Earth-centred unit vector of a direction in the sky from here."""
        east, north, up = unit_vector(azimuth_deg, altitude_deg)
        x, y, z = (east * e + north * n + up * u for e, n, u in zip(self.east, self.north, self.up, strict=True))
        return x, y, z


def frame_at(place: Place) -> Frame:
    """The frame of a place. At a pole, north runs along the longitude given. ValueError for no place."""
    origin_m = to_earth_centred(place)
    latitude, longitude = math.radians(place.latitude_deg), math.radians(place.longitude_deg)
    sin_lat, cos_lat = math.sin(latitude), math.cos(latitude)
    sin_lon, cos_lon = math.sin(longitude), math.cos(longitude)
    return Frame(
        origin_m,
        (-sin_lon, cos_lon, 0.0),
        (-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat),
        (cos_lat * cos_lon, cos_lat * sin_lon, sin_lat),
    )


def east_north_up(viewpoint: Place, target: Place) -> Vector:
    """Metres towards east, north and up of the viewpoint at which the target lies, in a straight line through space."""
    return frame_at(viewpoint).seen(to_earth_centred(target))


def unit_vector(azimuth_deg: float, altitude_deg: float) -> Vector:
    """East, north and up of a direction, of length one."""
    azimuth, altitude = math.radians(azimuth_deg), math.radians(altitude_deg)
    level = math.cos(altitude)
    return level * math.sin(azimuth), level * math.cos(azimuth), math.sin(altitude)


def curvature_radius_m(latitude_deg: float, bearing_deg: float) -> float:
    """Radius of the ellipsoid along a bearing, metres (Euler's theorem)."""
    latitude, bearing = math.radians(latitude_deg), math.radians(bearing_deg)
    bulge = 1.0 - ECCENTRICITY_2 * math.sin(latitude) ** 2
    along_meridian_m = EARTH_RADIUS_M * (1.0 - ECCENTRICITY_2) / math.pow(bulge, 1.5)
    across_meridian_m = EARTH_RADIUS_M / math.sqrt(bulge)
    return 1.0 / (math.cos(bearing) ** 2 / along_meridian_m + math.sin(bearing) ** 2 / across_meridian_m)
