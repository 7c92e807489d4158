"""Illuminance against published lux, bounds and exposure tables, and a general solar library."""

import math
import warnings

import pytest

from fieldplan.sky.illuminance import (
    NIGHT_FLOOR_LUX,
    air_mass,
    horizontal_lux,
    lit_offset_stops,
    moon_disc_ev100,
    moon_lux,
    sun_lux,
)

LUX_AT_EV_0 = 2.5  # incident light, C = 250: table 3 of Wikipedia's "Exposure value", as in ANSI PH2.7


def ev100(lux: float) -> float:
    return math.log2(lux / LUX_AT_EV_0)


@pytest.mark.parametrize(
    ("altitude_deg", "low_lux", "high_lux"),
    [
        (-0.833, 410.0, 585.0),  # AMS Glossary of Meteorology, civil twilight: at its sunlit end
        (-6.0, 2.0, 3.5),  # the same: at its dark end
        (-12.0, 0.007, 0.009),  # AMS Glossary, nautical twilight: "about 0.008 lux"
        (-18.0, 5.5e-4, 6.9e-4),  # AMS Glossary, astronomical twilight: "about 6e-4 lux"
    ],
)
def test_twilight_lux(altitude_deg: float, low_lux: float, high_lux: float) -> None:
    assert low_lux <= sun_lux(altitude_deg) <= high_lux


def test_full_moon_never_exceeds_what_was_ever_measured() -> None:
    # Kyba, Mohar and Posch 2017, "How bright is moonlight?", Astronomy and Geophysics 58: 0.32 lx at most.
    nearest_parallax_deg = math.degrees(math.asin(6378.14 / 356375.0))  # Meeus, extreme perigee
    brightest = max(moon_lux(tenth / 10.0, 180.0, nearest_parallax_deg) for tenth in range(901))
    assert 0.25 < brightest <= 0.32


@pytest.mark.parametrize("altitude_deg", [10, 15, 20, 30, 45, 60, 75, 90])
def test_daylight_against_the_simplified_solis_model(altitude_deg: float) -> None:
    # pvlib, simplified Solis clear sky (Ineichen 2008), aod 0.1; 107 lm/W is the luminous efficacy of clear daylight.
    from pvlib import clearsky

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        watts = clearsky.simplified_solis(float(altitude_deg), aod700=0.1)["ghi"]
    assert math.log2(sun_lux(float(altitude_deg)) / (107.0 * float(watts))) == pytest.approx(0.0, abs=0.3)


@pytest.mark.parametrize("altitude_deg", [25.0, 35.0, 45.0, 55.0])
def test_ansi_rows_for_sunlit_scenes(altitude_deg: float) -> None:
    # ANSI PH2.7-1973/1986 (as tabulated in Wikipedia's "Exposure value"): typical scene in sun 15, open shade 12.
    level = ev100(sun_lux(altitude_deg))
    assert level + lit_offset_stops("front-lit", altitude_deg) == pytest.approx(15.0, abs=0.55)
    assert level + lit_offset_stops("open shade", altitude_deg) == pytest.approx(12.0, abs=0.55)


@pytest.mark.parametrize(("elongation_deg", "row"), [(180.0, -2.5), (135.0, -4.0), (90.0, -6.0)])
def test_ansi_rows_for_moonlit_land(elongation_deg: float, row: float) -> None:
    # ANSI PH2.7: landscape by full moon -3 to -2, gibbous -4, quarter -6. They are exposures that people liked; the
    # model must agree within the one and a half stops that are printed beside every value by moonlight.
    for altitude_deg in (45.0, 60.0, 90.0):
        assert ev100(moon_lux(altitude_deg, elongation_deg, 0.951)) == pytest.approx(row, abs=1.5)


@pytest.mark.parametrize(("elongation_deg", "row"), [(180.0, 15.0), (135.0, 14.0), (90.0, 13.0), (45.0, 12.0)])
def test_ansi_rows_for_the_disc(elongation_deg: float, row: float) -> None:
    # ANSI PH2.7: the moon above 40 deg, full 15, gibbous 14, quarter 13, crescent 12.
    low, high = moon_disc_ev100(elongation_deg, 50.0)
    assert high == pytest.approx(row)
    assert row - 0.6 < low < row


@pytest.mark.parametrize(
    ("altitude_deg", "mass"),
    # Kasten and Young 1989, table II: relative optical air mass at apparent altitudes; values from memory
    [(90.0, 1.0), (30.0, 1.994), (10.0, 5.586), (5.0, 10.306), (0.0, 37.92)],
)
def test_air_mass(altitude_deg: float, mass: float) -> None:
    assert air_mass(altitude_deg) == pytest.approx(mass, rel=0.003)


@pytest.mark.parametrize(
    ("altitude_deg", "least", "most"), [(20.0, 0.8, 1.2), (10.0, 1.5, 2.2), (5.0, 2.7, 4.1), (3.0, 4.0, 6.0)]
)
def test_extinction_of_the_disc(altitude_deg: float, least: float, most: float) -> None:
    # 0.2 to 0.3 mag per air mass (common practice) times Kasten and Young's air mass, in stops.
    low, high = moon_disc_ev100(180.0, altitude_deg)
    assert 15.0 - high == pytest.approx(least, abs=0.06)
    assert 15.0 - low == pytest.approx(most, abs=0.06)


@pytest.mark.parametrize(
    ("altitude_deg", "ev"),
    # Derived by hand from the Explanatory Supplement's table and 2.5 lx at EV 0
    [(60.0, 15.3), (20.0, 13.4), (5.0, 10.8), (0.0, 8.25), (-0.833, 7.5), (-6.0, 0.45), (-12.0, -8.3)],
)
def test_ev_of_level_ground(altitude_deg: float, ev: float) -> None:
    assert ev100(sun_lux(altitude_deg)) == pytest.approx(ev, abs=0.06)


@pytest.mark.parametrize(("stops_lost", "altitude_deg"), [(0.0, -0.36), (1.0, 0.93), (2.0, 2.70), (3.0, 5.35)])
def test_lowest_sun_for_a_wanted_exposure(stops_lost: float, altitude_deg: float) -> None:
    # 1/500 s at f/5.6 and ISO 6400 asks for EV100 log2(5.6^2 * 500 / 64) = 7.94 (the definition of EV).
    wanted = math.log2(5.6**2 * 500.0 / 64.0)
    for offset, enough in ((-0.02, False), (0.02, True)):
        lux = horizontal_lux(altitude_deg + offset, -90.0, 90.0, 0.951, -stops_lost)
        assert (ev100(lux) >= wanted) == enough


def test_night_floor_is_a_published_value() -> None:
    # Published for a moonless night under natural sky: 0.0005 to 0.002 lx.
    assert 0.0005 <= NIGHT_FLOOR_LUX <= 0.002
