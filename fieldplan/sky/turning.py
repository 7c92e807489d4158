"""How fast the turning sky draws the image of a star over a sensor."""

import math

# The Earth's rate in WGS 84 (NIMA TR8350.2, table 3.1): 15.041 seconds of arc a second, against the stars.
EARTH_RAD_PER_S = 7.292115e-5
_GRID = 5  # points along either side of the frame at which the speed is looked at

Vector = tuple[float, float, float]


def declination_deg(latitude_deg: float, azimuth_deg: float, altitude_deg: float) -> float:
    """Declination of the direction in which a lens is aimed; azimuth from north through east (Meeus 13.6, turned)."""
    latitude, altitude = math.radians(latitude_deg), math.radians(altitude_deg)
    sine = math.sin(latitude) * math.sin(altitude)
    sine += math.cos(latitude) * math.cos(altitude) * math.cos(math.radians(azimuth_deg))
    return math.degrees(math.asin(max(-1.0, min(1.0, sine))))


def trail_m_per_s(focal_m: float, declination_deg: float) -> float:
    """Speed of a star's image in the middle of the frame: f w cos(declination), metres a second on the sensor."""
    return focal_m * EARTH_RAD_PER_S * math.cos(math.radians(declination_deg))


def fastest_trail_m_per_s(
    focal_m: float, width_m: float, height_m: float, latitude_deg: float, azimuth_deg: float, altitude_deg: float
) -> float:
    """The same where it is fastest in the frame of a lens that keeps straight lines straight.

    Towards the celestial equator stars move faster, and off the middle such a lens draws the sky larger. focal_m is
    the focal length at infinity, width_m and height_m the sides of the frame as held, level. Looked at in 25 points.
    """
    forward, right, up = _axes(azimuth_deg, altitude_deg)
    latitude = math.radians(latitude_deg)
    pole = (0.0, math.cos(latitude), math.sin(latitude))
    turn = tuple(EARTH_RAD_PER_S * _dot(pole, axis) for axis in (right, up, forward))
    steps = [n / (_GRID - 1) - 0.5 for n in range(_GRID)]
    return max(
        focal_m * _speed(turn, across * width_m / focal_m, upward * height_m / focal_m)
        for across in steps
        for upward in steps
    )


def _speed(turn: tuple[float, ...], x: float, y: float) -> float:
    """Speed at (x, y) = image / focal length, for a turn about the axes right, up and forward."""
    about_x, about_y, about_z = turn
    # s = (x, y, 1); its change is turn x s, and that of x/z and y/z follows.
    change_x, change_y, change_z = about_y - about_z * y, about_z * x - about_x, about_x * y - about_y * x
    return math.hypot(change_x - x * change_z, change_y - y * change_z)


def _axes(azimuth_deg: float, altitude_deg: float) -> tuple[Vector, Vector, Vector]:
    """Forward, right and up of a level camera as east, north, up."""
    azimuth, altitude = math.radians(azimuth_deg), math.radians(altitude_deg)
    sin_a, cos_a, sin_h, cos_h = math.sin(azimuth), math.cos(azimuth), math.sin(altitude), math.cos(altitude)
    return (sin_a * cos_h, cos_a * cos_h, sin_h), (cos_a, -sin_a, 0.0), (-sin_a * sin_h, -cos_a * sin_h, cos_h)


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
