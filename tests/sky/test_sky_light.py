"""The model's pieces, the words of a plan, how a subject is lit, bands and zones."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.sky.bands import TWILIGHT_BANDS, Band, band_spans, bands_at
from fieldplan.sky.illuminance import (
    LIT_OFFSETS,
    MOON_PIECES,
    NIGHT_FLOOR_LUX,
    SKY_STOPS,
    SUN_PIECES,
    horizontal_lux,
    lit_from_aim,
    lit_offset_stops,
    moon_disc_ev100,
    moon_lux,
    sun_lux,
    uncertainty_stops,
)
from fieldplan.sky.zones import countries_of_zone, country_name, zone_at


def test_the_pieces_join() -> None:
    for pieces, lux in ((SUN_PIECES, sun_lux), (MOON_PIECES, lambda h: moon_lux(h, 180.0, 0.951))):
        for edge, _ in pieces[:-1]:
            assert abs(math.log2(lux(edge) / lux(edge - 1e-9))) < 0.03


def test_each_light_has_its_end() -> None:
    assert sun_lux(-18.0) > 0.0
    assert sun_lux(-18.001) == 0.0
    assert moon_lux(-0.8, 180.0, 0.951) > 0.0
    assert moon_lux(-0.801, 180.0, 0.951) == 0.0
    assert horizontal_lux(-40.0, -40.0, 90.0, 0.951, -3.3) == NIGHT_FLOOR_LUX


@given(st.floats(-90.0, 90.0), st.floats(-90.0, 90.0), st.floats(0.0, 180.0), st.sampled_from(sorted(SKY_STOPS)))
def test_the_sky_takes_from_sun_and_moon_alone(sun: float, moon: float, elongation: float, sky: str) -> None:
    clear = horizontal_lux(sun, moon, elongation, 0.95) - NIGHT_FLOOR_LUX
    under = horizontal_lux(sun, moon, elongation, 0.95, SKY_STOPS[sky]) - NIGHT_FLOOR_LUX
    assert under == pytest.approx(clear * 2.0 ** SKY_STOPS[sky], abs=1e-12)


def test_the_moon_fades_with_phase_and_distance() -> None:
    full = moon_lux(45.0, 180.0, 0.951)
    # Explanatory Supplement (1992), ch. 9: a quarter moon gives about a tenth of a full one.
    assert moon_lux(45.0, 90.0, 0.951) / full == pytest.approx(0.1, abs=0.025)
    assert moon_lux(45.0, 0.0, 0.951) / full < 0.001
    assert moon_lux(45.0, 180.0, 2 * 0.951) / full == pytest.approx(4.0)  # the inverse square


def test_offsets_hold_above_and_run_out_below() -> None:
    assert lit_offset_stops("front-lit", 80.0) == -0.6
    assert lit_offset_stops("front-lit", 45.0) == 0.0
    assert lit_offset_stops("front-lit", 7.5) == pytest.approx(2.3)
    assert lit_offset_stops("front-lit", 1.1) == pytest.approx(1.5)
    assert lit_offset_stops("side-lit", 20.0) == pytest.approx(0.6)
    assert lit_offset_stops("back-lit", 25.0) == pytest.approx(-2.2)
    assert lit_offset_stops("open shade", 60.0) == -2.9
    for kind in LIT_OFFSETS:
        assert lit_offset_stops(kind, -0.8) == lit_offset_stops(kind, -10.0) == 0.0
        assert lit_offset_stops(kind, 20.0, "heavy overcast") == 0.0
        assert lit_offset_stops(kind, 20.0, "hazy") == lit_offset_stops(kind, 20.0)
        for edge in (-0.8, 3.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0):
            step = lit_offset_stops(kind, edge + 1e-7) - lit_offset_stops(kind, edge - 1e-7)
            assert abs(step) < 1e-5
    with pytest.raises(KeyError):
        lit_offset_stops("lit from below", 20.0)  # type: ignore[arg-type]


@pytest.mark.parametrize("altitude_deg", [5.0, 10.0, 20.0, 30.0, 45.0, 60.0])
def test_the_table_follows_from_beam_and_diffuse_light(altitude_deg: float) -> None:
    # pvlib, simplified Solis (aod 0.1): a vertical plane gets the beam by its slant, half of the sky, and half of
    # what the ground throws back (albedo 0.2); in shade or turned away no beam. The sky is not even, so half a stop.
    from pvlib import clearsky

    solis = clearsky.simplified_solis(altitude_deg, aod700=0.1)
    beam, level, diffuse = (float(solis[name]) for name in ("dni", "ghi", "dhi"))
    around = 0.5 * diffuse + 0.1 * level
    facing = math.log2((beam * math.cos(math.radians(altitude_deg)) + around) / level)
    assert lit_offset_stops("front-lit", altitude_deg) == pytest.approx(facing, abs=0.5)
    assert lit_offset_stops("back-lit", altitude_deg) == pytest.approx(math.log2(around / level), abs=0.5)


@pytest.mark.parametrize(
    ("aim_deg", "sun_deg", "lit"),
    [
        (90.0, 90.0, "back-lit"),  # into the sun
        (350.0, 20.0, "back-lit"),
        (270.0, 90.0, "front-lit"),  # the sun behind the photographer
        (10.0, 200.0, "front-lit"),
        (0.0, 90.0, "side-lit"),
        (0.0, 270.0, "side-lit"),
        (0.0, 59.9, "back-lit"),
        (0.0, 60.0, "side-lit"),
        (0.0, 120.0, "front-lit"),
        (720.0, -180.0, "front-lit"),
    ],
)
def test_how_a_subject_is_lit(aim_deg: float, sun_deg: float, lit: str) -> None:
    assert lit_from_aim(aim_deg, sun_deg) == lit


@pytest.mark.parametrize(
    ("sun_altitude_deg", "sky", "below", "above"),
    [
        (30.0, "clear", 0.5, 0.5),
        (10.0, "clear", 1.0, 1.0),
        (-12.0, "clear", 1.0, 1.0),
        (-12.1, "clear", 1.5, 1.5),
        (3.0, "hazy", 3.0, 1.0),
        (30.0, "hazy", 0.5, 0.5),
        (30.0, None, 3.5, 0.5),
        (30.0, "thin cloud", 1.0, 1.0),
        (30.0, "heavy overcast", 1.0, 1.0),
        (-30.0, None, 3.5, 1.5),
    ],
)
def test_uncertainty(sun_altitude_deg: float, sky: str | None, below: float, above: float) -> None:
    assert uncertainty_stops(sun_altitude_deg, sky) == (below, above)


@given(st.floats(0.0, 180.0), st.floats(-5.0, 90.0))
def test_the_disc_is_a_range_that_dims_downward(elongation: float, altitude: float) -> None:
    low, high = moon_disc_ev100(elongation, altitude)
    assert low < high <= 15.0
    assert moon_disc_ev100(elongation, altitude - 0.5)[0] <= low
    assert moon_disc_ev100(elongation, altitude - 0.5)[1] <= high + 1e-12
    assert moon_disc_ev100(min(180.0, elongation + 1.0), altitude)[1] >= high - 1e-12


def test_bands_and_their_spans() -> None:
    assert bands_at(-6.0) == ["civil twilight"]
    assert bands_at(-6.001) == ["nautical twilight"]
    assert bands_at(90.0) == ["day"]
    own = (*TWILIGHT_BANDS, Band("low sun", -4.0, 6.0))
    assert bands_at(-2.0, own) == ["civil twilight", "low sun"]
    # A sun that climbs one degree an hour from -20: each band lasts as many hours as it is wide.
    spans = {s.name: s for s in band_spans(lambda t: -20.0 + t / 3600.0, own, 0.0, 30.0 * 3600.0)}
    assert spans["night"].start_s == 0.0
    assert spans["civil twilight"].start_s == pytest.approx(14.0 * 3600.0, abs=0.01)
    assert spans["low sun"].end_s - spans["low sun"].start_s == pytest.approx(10.0 * 3600.0, abs=0.01)
    assert spans["day"].end_s == 30.0 * 3600.0
    assert band_spans(lambda t: 0.0, own, 5.0, 5.0) == []


@given(st.floats(-90.0, 90.0))
def test_the_twilights_leave_no_altitude_unnamed(altitude: float) -> None:
    assert len(bands_at(altitude)) == 1


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "name"),
    [
        (52.37, 4.90, "Europe/Amsterdam"),
        (27.72, 85.32, "Asia/Kathmandu"),
        (-13.83, -171.77, "Pacific/Apia"),
        (-13.83, 188.23, "Pacific/Apia"),
        (-43.95, -176.55, "Pacific/Chatham"),
        (0.0, 180.0, "Etc/GMT+12"),
        (30.0, -30.0, "Etc/GMT+2"),
    ],
)
def test_zone_of_a_position(latitude_deg: float, longitude_deg: float, name: str) -> None:
    # The zones' own principal places: tz database, zone.tab; Etc zones have their sign the other way round.
    assert zone_at(latitude_deg, longitude_deg) == name


def test_every_corner_of_the_globe_has_a_zone() -> None:
    for latitude in (-90.0, -60.0, 0.0, 60.0, 90.0):
        for longitude in range(-180, 541, 15):
            assert zone_at(latitude, float(longitude))
    for wrong in (90.1, -91.0, math.nan):
        with pytest.raises(ValueError, match="latitude"):
            zone_at(wrong, 0.0)
    with pytest.raises(LookupError):
        zone_at(0.0, math.nan)


def test_countries_of_zones() -> None:
    # tz database: zone.tab, zone1970.tab, backward
    assert countries_of_zone("Europe/Amsterdam") == ("NL",)
    assert set(countries_of_zone("Europe/Brussels")) == {"BE", "LU", "NL"}
    assert countries_of_zone("Europe/Brussels")[0] == "BE"
    assert countries_of_zone("Asia/Calcutta") == countries_of_zone("Asia/Kolkata") == ("IN",)
    assert countries_of_zone("Etc/GMT+2") == ()
    assert country_name("NL") == "Netherlands"
