"""Positions, phases and refraction against worked examples and published values."""

import datetime as dt
import math

import pytest

from fieldplan.sky.events import moon_quarters
from fieldplan.sky.geocentric import Almanac, ecliptic_longitude_deg, separation_deg
from fieldplan.sky.phases import moon_phase
from fieldplan.sky.positions import Place, direction
from fieldplan.sky.refraction import bennett_deg, saemundsson_deg


def ut(*parts: int) -> float:
    return dt.datetime(*parts, tzinfo=dt.UTC).timestamp()


TERRESTRIAL_AHEAD_S = {1992: 59.0}  # TT - UT1, IERS


def test_sun_of_the_nrel_example() -> None:
    # Reda and Andreas, NREL/TP-560-34302, appendix A.5: zenith 50.111622 is refracted by 0.016332 deg.
    sun = direction("sun", ut(2003, 10, 17, 19, 30, 30), Place(39.742476, -105.1786, 1830.14))
    assert sun.altitude_deg == pytest.approx(39.872046, abs=0.001)
    assert sun.azimuth_deg == pytest.approx(194.340241, abs=0.001)


def test_moon_of_meeus_47a() -> None:
    # Meeus, Astronomical Algorithms, example 47.a: 1992-04-12 0h TD. The library's distance is good to about 5 km.
    when = ut(1992, 4, 12) - TERRESTRIAL_AHEAD_S[1992]
    moon = Almanac().place("moon", when)
    assert ecliptic_longitude_deg(moon, when) == pytest.approx(133.167265, abs=0.001)
    assert moon.distance_m / 1000.0 == pytest.approx(368409.7, abs=6.0)
    assert math.degrees(moon.right_ascension) == pytest.approx(134.688470, abs=0.001)
    assert math.degrees(moon.declination) == pytest.approx(13.768368, abs=0.001)


def test_lit_fraction_of_meeus_48a() -> None:
    # Meeus, example 48.a, the same instant: k = 0.6786, elongation 110.7929.
    phase = moon_phase(ut(1992, 4, 12) - TERRESTRIAL_AHEAD_S[1992])
    assert phase.lit_fraction == pytest.approx(0.6786, abs=0.0001)
    assert phase.waxing
    assert phase.name == "waxing gibbous"


@pytest.mark.parametrize(
    ("day", "distance_km"),
    [
        ((1912, 1, 4), 356375.0),  # Meeus, ch. 50: the nearest perigee of 1500 to 2500 but one
        ((2125, 2, 3), 406720.0),  # Meeus, ch. 50: an extreme apogee
    ],
)
def test_extreme_distances_of_the_moon(day: tuple[int, int, int], distance_km: float) -> None:
    hours = [moon_phase(ut(*day) + 3600.0 * hour).distance_m / 1000.0 for hour in range(-24, 49)]
    nearest = min(hours, key=lambda km: abs(km - distance_km))
    assert nearest == pytest.approx(distance_km, abs=5.0)
    assert nearest in (min(hours), max(hours))


@pytest.mark.parametrize("moment", [(2026, 11, 24, 14, 53), (2026, 12, 24, 1, 28)])
def test_full_moons_of_2026(moment: tuple[int, int, int, int, int]) -> None:
    # Full moons of 2026 as almanacs publish them, to the minute of UT.
    published = ut(*moment)
    quarters = moon_quarters(published - 86400.0, before=0, after=1)
    assert [quarter.name for quarter in quarters] == ["full moon"]
    assert quarters[0].ut_s == pytest.approx(published, abs=60.0)
    assert moon_phase(published).name == "full moon"


def test_eclipse_of_2026_august_12() -> None:
    # NASA eclipse tables: greatest eclipse 17:45:51 UT at 65.2 N 25.2 W, a total one.
    when = ut(2026, 8, 12, 17, 45, 51)
    place = Place(65.2, -25.2)
    sun = direction("sun", when, place)
    moon = direction("moon", when, place)
    assert sun.altitude_deg == pytest.approx(moon.altitude_deg, abs=0.01)
    assert sun.azimuth_deg == pytest.approx(moon.azimuth_deg, abs=0.02)
    assert moon.semidiameter_deg > sun.semidiameter_deg
    assert sun.altitude_deg == pytest.approx(26.0, abs=0.5)  # the same tables; from memory
    almanac = Almanac()
    apart = [
        separation_deg(almanac.place("sun", t), almanac.place("moon", t)) for t in (when - 3600, when, when + 3600)
    ]
    assert apart[1] < min(apart[0], apart[2])
    new = moon_quarters(when, before=1, after=0)
    assert new[0].name == "new moon"
    assert new[0].ut_s == pytest.approx(ut(2026, 8, 12, 17, 37), abs=60.0)  # almanacs; from memory


@pytest.mark.parametrize(("apparent_deg", "arc_minutes"), [(0.0, 34.48), (1.0, 24.33), (5.0, 9.88), (10.0, 5.39)])
def test_bennett(apparent_deg: float, arc_minutes: float) -> None:
    # Bennett 1982, by Meeus 16.3.
    assert bennett_deg(apparent_deg) * 60.0 == pytest.approx(arc_minutes, abs=0.01)


def test_refraction_of_meeus_16a() -> None:
    # Meeus, example 16.a: the sun's lower limb at an apparent 0.5 deg is lifted by 28.754'. From that true altitude
    # Saemundsson's formula gives 28.8' back.
    assert bennett_deg(0.5) * 60.0 == pytest.approx(28.754, abs=0.002)
    assert saemundsson_deg(0.5 - 28.754 / 60.0) * 60.0 == pytest.approx(28.8, abs=0.1)
