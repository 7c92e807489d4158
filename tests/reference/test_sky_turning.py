"""How stars' images move, against skyfield: stars put at chosen directions, looked at half a minute later."""

from __future__ import annotations

import math

import pytest
from skyfield.api import Star, wgs84

from fieldplan.sky.turning import declination_deg, fastest_trail_m_per_s, trail_m_per_s

from ..de421 import load_de421

PLACES = [(53.43, 12.75), (-33.9, 151.2), (0.0, -78.5), (69.6, 18.9)]
AIMS = [(180.0, 30.0), (0.0, 50.0), (92.0, 10.0), (270.0, 70.0), (305.0, 25.0)]


def test_the_rate_of_the_sky_is_the_sidereal_one() -> None:
    # 360 degrees in a sidereal day of 86164.0905 s (Explanatory Supplement to the Astronomical Almanac): 15.0411"/s.
    arcsec = math.degrees(trail_m_per_s(1.0, 0.0)) * 3600.0
    assert arcsec == pytest.approx(1296000.0 / 86164.0905, rel=2e-6)
    assert arcsec == pytest.approx(15.041, abs=5e-4)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("aim", AIMS)
def test_declinations_are_those_of_skyfield(place: tuple[float, float], aim: tuple[float, float]) -> None:
    ts, planets = load_de421()
    instant = ts.ut1(2027, 3, 8, 21)
    at = (planets["earth"] + wgs84.latlon(*place)).at(instant)
    _, declination, _ = at.from_altaz(alt_degrees=aim[1], az_degrees=aim[0]).radec(epoch=instant)
    # Aberration and polar motion are left out there and here; the sum is under 0.01 deg.
    assert declination_deg(place[0], *aim) == pytest.approx(declination.degrees, abs=0.01)


def image(aim: tuple[float, float], azimuth_deg: float, altitude_deg: float, focal_m: float) -> tuple[float, float]:
    """The gnomonic picture of a direction (Snyder, Map Projections, 22-4 and 22-5), metres right and up."""
    turn = math.radians(azimuth_deg - aim[0])
    h, h0 = math.radians(altitude_deg), math.radians(aim[1])
    along = math.sin(h0) * math.sin(h) + math.cos(h0) * math.cos(h) * math.cos(turn)
    x = math.cos(h) * math.sin(turn) / along
    y = (math.cos(h0) * math.sin(h) - math.sin(h0) * math.cos(h) * math.cos(turn)) / along
    return focal_m * x, focal_m * y


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("aim", AIMS)
def test_trails_in_the_middle_and_in_the_corners_are_those_of_stars(
    place: tuple[float, float], aim: tuple[float, float]
) -> None:
    ts, planets = load_de421()
    earth, focal, wide, high, late_s = planets["earth"] + wgs84.latlon(*place), 0.024, 0.036, 0.024, 30.0
    begun = ts.ut1(2027, 3, 8, 21, 0, 0)
    after = ts.ut1(2027, 3, 8, 21, 0, late_s)
    speeds = []
    for across, upward in [(0.0, 0.0), *((x / 4.0 - 0.5, y / 4.0 - 0.5) for x in range(5) for y in range(5))]:
        # The direction of that point of the frame, as azimuth and altitude.
        h0, x, y = math.radians(aim[1]), across * wide / focal, upward * high / focal
        forward, rise = math.cos(h0) - y * math.sin(h0), math.sin(h0) + y * math.cos(h0)
        azimuth = aim[0] + math.degrees(math.atan2(x, forward))
        altitude = math.degrees(math.atan2(rise, math.hypot(x, forward)))
        if altitude < -20.0:
            continue
        ra, dec, _ = earth.at(begun).from_altaz(alt_degrees=altitude, az_degrees=azimuth % 360.0).radec()
        star = Star(ra_hours=ra.hours, dec_degrees=dec.degrees)
        places = []
        for instant in (begun, after):
            seen_alt, seen_az, _ = earth.at(instant).observe(star).apparent().altaz()
            places.append(image(aim, seen_az.degrees, seen_alt.degrees, focal))
        speeds.append(math.dist(*places) / late_s)
    declination = declination_deg(place[0], *aim)
    assert trail_m_per_s(focal, declination) == pytest.approx(speeds[0], rel=0.01)
    assert fastest_trail_m_per_s(focal, wide, high, place[0], *aim) == pytest.approx(max(speeds), rel=0.02)


def test_a_long_lens_has_the_same_speed_all_over_the_frame() -> None:
    middle = trail_m_per_s(0.6, declination_deg(53.43, 180.0, 30.0))
    assert fastest_trail_m_per_s(0.6, 0.036, 0.024, 53.43, 180.0, 30.0) == pytest.approx(middle, rel=0.01)


def test_at_the_pole_the_middle_stands_still() -> None:
    assert trail_m_per_s(0.05, declination_deg(53.43, 0.0, 53.43)) == pytest.approx(0.0, abs=1e-15)
    assert fastest_trail_m_per_s(0.05, 0.036, 0.024, 53.43, 0.0, 53.43) == pytest.approx(
        7.2921e-5 * math.hypot(0.018, 0.012), rel=1e-4
    )
