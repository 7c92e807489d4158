"""A position on the earth in WGS 84, and what every notation of one shares."""

from __future__ import annotations

import math
from typing import NamedTuple

# One minute of latitude is one nautical mile, 1852 m (its definition of 1929): good to 0.6 % anywhere, which is
# enough to say how finely a position was written.
METRES_PER_DEGREE = 60 * 1852.0
EXAMPLE = 'write for example "52.3012, 4.9711" or "52 18.07 N 4 58.27 E"'


class Position(NamedTuple):
    """A place: latitude -90..90, north +; longitude -180 <= x < 180, east + [deg, WGS 84].

    ``resolution_m`` is half the width of the last written digit or of the grid cell [m]: how far the place can be
    from the numbers although they were copied rightly. ``height_m`` is a height that came with it [m], else None.
    """

    latitude_deg: float
    longitude_deg: float
    resolution_m: float
    height_m: float | None = None


def wrapped(longitude_deg: float) -> float:
    """Longitude in -180 <= x < 180 [deg]. A value already inside comes back unchanged."""
    if -180.0 <= longitude_deg < 180.0:
        return longitude_deg + 0.0  # -0.0 becomes 0.0
    return (longitude_deg + 180.0) % 360.0 - 180.0


def placed(latitude_deg: float, longitude_deg: float, resolution_m: float, height_m: float | None = None) -> Position:
    """A Position with its ranges checked. Longitudes up to 360 east are turned to -180..180. Raises ValueError."""
    if not (math.isfinite(latitude_deg) and math.isfinite(longitude_deg)):
        raise ValueError(f"a latitude and a longitude must be finite numbers; {EXAMPLE}")
    if abs(latitude_deg) > 90.0:
        raise ValueError(f"latitude {latitude_deg:.10g} is beyond 90 degrees; {EXAMPLE}")
    if not -180.0 <= longitude_deg <= 360.0:
        raise ValueError(f"longitude {longitude_deg:.10g} is beyond 180 degrees; {EXAMPLE}")
    return Position(latitude_deg + 0.0, wrapped(longitude_deg), resolution_m, height_m)


def half_width_m(latitude_deg: float, half_latitude_deg: float, half_longitude_deg: float) -> float:
    """The larger of two half-widths of a box in latitude and longitude, in metres on the ground."""
    shrink = math.cos(math.radians(min(abs(latitude_deg), 90.0)))
    return METRES_PER_DEGREE * max(half_latitude_deg, half_longitude_deg * shrink)


def half_digit(number: str) -> float:
    """Half the worth of the last digit of a decimal number: 0.005 for "52.30", 0.5 for "52"."""
    return 0.5 * 10.0 ** -len(number.partition(".")[2])
