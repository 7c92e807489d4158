"""How the moon is lit, and the moments of new moon, first quarter, full moon and last quarter."""

import math
from typing import NamedTuple

from fieldplan.sky.geocentric import (
    DAY_S,
    EARTH_RADIUS_M,
    Almanac,
    Equatorial,
    ecliptic_longitude_deg,
    separation_deg,
)

PHASE_NAMES = (
    "new moon",
    "waxing crescent",
    "first quarter",
    "waxing gibbous",
    "full moon",
    "waning gibbous",
    "last quarter",
    "waning crescent",
)
# The four principal phases are moments; the day around each bears its name: half a day at 12.19 deg a day.
PHASE_HALF_WIDTH_DEG = 6.1  # common practice

QUARTER_NAMES = ("new moon", "first quarter", "full moon", "last quarter")
SYNODIC_RATE = 360.0 / (29.530588853 * DAY_S)  # degrees a second; mean synodic month, Meeus 49.1
CLOSE_S = 0.01


class MoonPhase(NamedTuple):
    """How the moon is lit, seen from the centre of the Earth.

    lit_fraction 0 to 1; elongation_deg the angle between sun and moon, 0 to 180; waxing from new to full moon;
    name one of PHASE_NAMES; horizontal_parallax_deg the equatorial one; distance_m from centre to centre.
    """

    lit_fraction: float
    elongation_deg: float
    waxing: bool
    name: str
    horizontal_parallax_deg: float
    distance_m: float


class Quarter(NamedTuple):
    """A principal phase and its instant: apparent longitudes of moon and sun differ by 0, 90, 180 or 270 degrees."""

    name: str
    ut_s: float


def moon_phase(ut_s: float) -> MoonPhase:
    """How the moon is lit at the instant (Meeus, Astronomical Algorithms, ch. 48)."""
    return phase_at(Almanac(), ut_s)


def phase_at(almanac: Almanac, ut_s: float) -> MoonPhase:
    """The same as moon_phase, for a caller that asks many times."""
    sun = almanac.place("sun", ut_s)
    moon = almanac.place("moon", ut_s)
    elongation = separation_deg(sun, moon)
    psi = math.radians(elongation)
    # Meeus 48.3: the angle at the moon between Earth and sun.
    phase_angle = math.atan2(sun.distance_m * math.sin(psi), moon.distance_m - sun.distance_m * math.cos(psi))
    age = _age_deg(sun, moon, ut_s)
    return MoonPhase(
        lit_fraction=(1.0 + math.cos(phase_angle)) / 2.0,
        elongation_deg=elongation,
        waxing=age < 180.0,
        name=_phase_name(age),
        horizontal_parallax_deg=math.degrees(math.asin(EARTH_RADIUS_M / moon.distance_m)),
        distance_m=moon.distance_m,
    )


def moon_quarters(ut_s: float, before: int = 1, after: int = 4) -> list[Quarter]:
    """The last `before` quarters ahead of the instant and the next `after` from it on, in order of time.

    Four on either side are the last and the next one of each name.
    """
    almanac = Almanac()
    age = _age_at(almanac, ut_s)
    nearest = round(age / 90.0)
    earlier: list[Quarter] = []
    later: list[Quarter] = []
    # The nearest quarter may fall on either side, so one more than wanted is looked at each way.
    for index in range(nearest - before - 1, nearest + after + 2):
        quarter = _quarter(almanac, index, ut_s + (90.0 * index - age) / SYNODIC_RATE)
        (earlier if quarter.ut_s < ut_s else later).append(quarter)
    return earlier[max(0, len(earlier) - before) :] + later[:after]


def _age_at(almanac: Almanac, ut_s: float) -> float:
    return _age_deg(almanac.place("sun", ut_s), almanac.place("moon", ut_s), ut_s)


def _quarter(almanac: Almanac, index: int, guess_s: float) -> Quarter:
    """Newton's way at the mean rate: the true rate differs by a fifth at most, so each round gains a digit or so."""
    ut_s = guess_s
    for _ in range(40):
        short_deg = (90.0 * index - _age_at(almanac, ut_s) + 180.0) % 360.0 - 180.0
        ut_s += short_deg / SYNODIC_RATE
        if abs(short_deg) < CLOSE_S * SYNODIC_RATE:
            break
    return Quarter(QUARTER_NAMES[index % 4], ut_s)


def _age_deg(sun: Equatorial, moon: Equatorial, ut_s: float) -> float:
    return (ecliptic_longitude_deg(moon, ut_s) - ecliptic_longitude_deg(sun, ut_s)) % 360.0


def _phase_name(age_deg: float) -> str:
    quarter, past_deg = divmod(age_deg + PHASE_HALF_WIDTH_DEG, 90.0)
    return PHASE_NAMES[int(2 * quarter + (past_deg > 2 * PHASE_HALF_WIDTH_DEG)) % 8]
