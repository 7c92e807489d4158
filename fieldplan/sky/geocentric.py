"""Sun and moon as seen from the centre of the Earth, and the turning of the Earth. The only module that uses ephem.

Sun and moon both come from ephem (VSOP87 and a lunar theory fitted to a JPL ephemeris): against DE421 from 1950 to
2050 they stay within about 2 arc seconds once the clock below is set right.
"""

import math
from typing import Any, Literal, NamedTuple

Body = Literal["sun", "moon"]

AU_M = 149_597_870_700.0  # IAU 2012 resolution B2
EARTH_RADIUS_M = 6_378_137.0  # WGS 84, equatorial
UNIX_EPOCH_DUBLIN_DAYS = 25567.5  # 1970-01-01T00:00 counted from JD 2415020.0, the origin of ephem's dates
DAY_S = 86400.0

# ephem extrapolates TT - UT1 from a parabola after 2015: 73 s for 2025 where 69.1 s was measured (IERS Bulletin A),
# 108 s for 2050. The moon moves 0.55 arc seconds in a second, so the measured value is held from there on.
DELTA_T_HELD_S = 69.2

OBLIQUITY_2000_DEG = 23.4392911  # Meeus, Astronomical Algorithms, 22.2


class Equatorial(NamedTuple):
    """A geocentric apparent place of date: right ascension and declination in radians, distance in metres."""

    right_ascension: float
    declination: float
    distance_m: float

    def unit_vector(self) -> tuple[float, float, float]:
        """The direction in the frame of the true equator and equinox of date."""
        cos_dec = math.cos(self.declination)
        return (
            cos_dec * math.cos(self.right_ascension),
            cos_dec * math.sin(self.right_ascension),
            math.sin(self.declination),
        )


class Almanac:
    """Geocentric places at any instant. It holds the work objects of the library, so that a loop makes them once.

    One almanac must not be shared between threads.
    """

    def __init__(self) -> None:
        import ephem  # here, since much of the package needs no positions

        self._delta_t_s: Any = ephem.delta_t
        self._bodies: dict[Body, Any] = {"sun": ephem.Sun(), "moon": ephem.Moon()}
        self._greenwich: Any = ephem.Observer()
        self._greenwich.lon = 0.0
        self._greenwich.lat = 0.0

    def place(self, body: Body, ut_s: float) -> Equatorial:
        """The apparent place of the body's centre, free of parallax and refraction."""
        date = ut_s / DAY_S + UNIX_EPOCH_DUBLIN_DAYS
        excess_s = max(0.0, self._delta_t_s(date) - DELTA_T_HELD_S)
        computed = self._bodies[body]
        computed.compute(date - excess_s / DAY_S)
        return Equatorial(float(computed.g_ra), float(computed.g_dec), computed.earth_distance * AU_M)

    def sidereal_angle(self, ut_s: float) -> float:
        """Greenwich apparent sidereal time as an angle in radians."""
        self._greenwich.date = ut_s / DAY_S + UNIX_EPOCH_DUBLIN_DAYS
        return float(self._greenwich.sidereal_time())


def ecliptic_longitude_deg(place: Equatorial, ut_s: float) -> float:
    """Apparent longitude on the ecliptic of date, 0 to 360 degrees (Meeus 13.1, with the nutation's largest term)."""
    centuries = (ut_s / DAY_S - 10957.5) / 36525.0
    node = math.radians(125.04452 - 1934.136261 * centuries)  # Meeus ch. 22
    obliquity = math.radians(OBLIQUITY_2000_DEG - 0.0130042 * centuries + 0.00256 * math.cos(node))
    x, y, z = place.unit_vector()
    return math.degrees(math.atan2(y * math.cos(obliquity) + z * math.sin(obliquity), x)) % 360.0


def separation_deg(first: Equatorial, second: Equatorial) -> float:
    """The angle between two directions, 0 to 180 degrees, exact for small and for nearly opposite ones too."""
    ax, ay, az = first.unit_vector()
    bx, by, bz = second.unit_vector()
    cross = math.hypot(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)
    return math.degrees(math.atan2(cross, ax * bx + ay * by + az * bz))
