"""Stations, tracks and phases: that the cheap ways agree with the exact one, and the geometry at odd places."""

import math
import subprocess
import sys
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.sky.phases import PHASE_NAMES, moon_phase, moon_quarters
from fieldplan.sky.positions import (
    Body,
    Direction,
    Place,
    Station,
    altitude_deg,
    direction,
    interpolated,
    interpolated_phase,
)

DAY_S = 86400.0
START_S = 1_800_000_000.0
LUNATION_S = 29.530588853 * DAY_S  # mean synodic month, Meeus, Astronomical Algorithms, 49.1

places = st.builds(Place, st.floats(-90.0, 90.0), st.floats(-180.0, 180.0), st.sampled_from([0.0, 3000.0]))
instants = st.floats(-631_152_000.0, 2_524_608_000.0)
bodies = st.sampled_from(["sun", "moon"])


def apart_deg(one: Direction, azimuth_deg: float, altitude_deg: float) -> float:
    around = math.radians((one.azimuth_deg - azimuth_deg + 180.0) % 360.0 - 180.0)
    up, other = math.radians(one.altitude_deg), math.radians(altitude_deg)
    half = math.sin((up - other) / 2.0) ** 2 + math.cos(up) * math.cos(other) * math.sin(around / 2.0) ** 2
    return math.degrees(2.0 * math.asin(min(1.0, math.sqrt(half))))


@settings(deadline=None)
@given(places, instants, bodies, st.floats(0.0, 7200.0))
def test_a_track_agrees_with_exact_positions(place: Place, start_s: float, body: Body, into_s: float) -> None:
    track = interpolated(body, place, start_s, start_s + 7200.0)
    exact = direction(body, start_s + into_s, place)
    assert apart_deg(exact, *track.azimuth_altitude_deg(start_s + into_s)) < 1e-4
    close = track.direction(start_s + into_s)
    assert close.distance_m == pytest.approx(exact.distance_m, rel=1e-6)
    assert close.semidiameter_deg == pytest.approx(exact.semidiameter_deg, rel=1e-6)
    assert 0.0 <= close.azimuth_deg < 360.0
    assert track.altitude_deg(start_s + into_s) == close.altitude_deg
    assert track.azimuth_deg(start_s + into_s) == close.azimuth_deg
    assert track.upper_limb_deg(start_s + into_s) == pytest.approx(close.altitude_deg + close.semidiameter_deg)


def test_a_track_passes_north_and_the_zenith() -> None:
    # At 23.44 N the sun of the June solstice passes the zenith; at 70 N it passes north above the horizon.
    solstice_s = 1_813_600_000.0  # 2027-06-21
    for place in (Place(23.44, 0.0), Place(70.0, 0.0)):
        station = Station(place)
        track = interpolated("sun", place, solstice_s, solstice_s + DAY_S)
        seen = [station.direction("sun", solstice_s + 60.0 * k) for k in range(1441)]
        for k, exact in enumerate(seen):
            assert apart_deg(exact, *track.azimuth_altitude_deg(solstice_s + 60.0 * k)) < 1e-4
    assert min(one.altitude_deg for one in seen) > 3.0
    assert min(one.azimuth_deg for one in seen) < 0.3
    assert max(one.azimuth_deg for one in seen) > 359.7


def test_a_track_ends_where_it_was_said_to_end() -> None:
    track = interpolated("sun", Place(0.0, 0.0), START_S, START_S + 1200.0)
    assert track.altitude_deg(START_S + 1200.0) == pytest.approx(
        altitude_deg("sun", START_S + 1200.0, Place(0.0, 0.0)), abs=1e-6
    )
    for outside_s in (START_S - 1.0, START_S + 1201.0, math.nan):
        with pytest.raises(ValueError, match="outside"):
            track.altitude_deg(outside_s)
        with pytest.raises(ValueError, match="outside"):
            interpolated_phase(START_S, START_S + 1200.0, 600.0).elongation_parallax_deg(outside_s)
    for make in (lambda: interpolated("sun", Place(0.0, 0.0), 1.0, 0.0), lambda: interpolated_phase(1.0, 0.0)):
        with pytest.raises(ValueError, match="no span"):
            make()


@pytest.mark.parametrize(
    "place",
    [Place(90.1, 0.0), Place(-91.0, 0.0), Place(math.nan, 0.0), Place(0.0, math.inf), Place(0.0, 0.0, math.nan)],
)
def test_what_is_no_place_is_refused(place: Place) -> None:
    with pytest.raises(ValueError, match=r"place|latitude"):
        direction("sun", START_S, place)


@settings(deadline=None)
@given(instants)
def test_all_meridians_meet_at_the_poles(ut_s: float) -> None:
    for latitude in (90.0, -90.0):
        one, other = direction("moon", ut_s, Place(latitude, 0.0)), direction("moon", ut_s, Place(latitude, 90.0))
        assert one.altitude_deg == pytest.approx(other.altitude_deg, abs=1e-9)
        turned = (other.azimuth_deg - one.azimuth_deg) % 360.0
        assert turned == pytest.approx(90.0 if latitude > 0 else 270.0, abs=1e-6)


def test_parallax_grows_with_height() -> None:
    # Climbing 3000 m under a moon at the zenith brings it 3000 m nearer: plain geometry.
    place = Place(10.0, 20.0)
    track = interpolated("moon", place, START_S, START_S + DAY_S)
    overhead_s = max((START_S + 60.0 * k for k in range(1440)), key=track.altitude_deg)
    low, high = (direction("moon", overhead_s, place._replace(elevation_m=h)) for h in (0.0, 3000.0))
    rise = math.sin(math.radians(low.altitude_deg))
    assert low.distance_m - high.distance_m == pytest.approx(3000.0 * rise, abs=20.0)


@settings(deadline=None, max_examples=50)
@given(instants, st.floats(0.0, DAY_S))
def test_phase_between_hours(start_s: float, into_s: float) -> None:
    exact = moon_phase(start_s + into_s)
    elongation, parallax = interpolated_phase(start_s, start_s + DAY_S).elongation_parallax_deg(start_s + into_s)
    assert elongation == pytest.approx(exact.elongation_deg, abs=0.15)
    assert parallax == pytest.approx(exact.horizontal_parallax_deg, abs=1e-3)


@settings(deadline=None, max_examples=50)
@given(instants)
def test_quarters_come_in_turn_and_are_what_they_are_called(ut_s: float) -> None:
    quarters = moon_quarters(ut_s, before=4, after=4)
    assert len(quarters) == 8
    assert quarters[3].ut_s < ut_s <= quarters[4].ut_s
    assert {q.name for q in quarters[:4]} == {q.name for q in quarters[4:]} == {q.name for q in quarters[2:6]}
    for earlier, later in pairwise(quarters):
        assert 6.0 * DAY_S < later.ut_s - earlier.ut_s < 9.0 * DAY_S
    for quarter in quarters:
        phase = moon_phase(quarter.ut_s)
        assert phase.name == quarter.name
        lit = {"new moon": 0.0, "full moon": 1.0}.get(quarter.name, 0.5)
        assert phase.lit_fraction == pytest.approx(lit, abs=0.006)
    assert quarters[7].ut_s - quarters[3].ut_s == pytest.approx(LUNATION_S, abs=10.0 * 3600.0)


def test_asking_for_no_quarters_gives_none() -> None:
    assert moon_quarters(START_S, before=0, after=0) == []
    assert len(moon_quarters(START_S, before=0, after=1)) == 1
    at = moon_quarters(START_S, before=0, after=1)[0].ut_s
    assert moon_quarters(at + 1.0, before=1, after=0)[0].ut_s == pytest.approx(at, abs=0.1)


def test_names_of_a_lunation_come_in_order() -> None:
    start_s = moon_quarters(START_S, before=0, after=4)[0].ut_s
    names = [moon_phase(start_s + 3600.0 * hour).name for hour in range(int(LUNATION_S / 3600.0))]
    turns = [name for k, name in enumerate(names) if k == 0 or name != names[k - 1]]
    first = PHASE_NAMES.index(turns[0])
    assert turns[:8] == [PHASE_NAMES[(first + k) % 8] for k in range(8)]
    for name in ("new moon", "first quarter", "full moon", "last quarter"):
        assert 19 <= names.count(name) <= 28  # hours: half a day before and after


@pytest.mark.parametrize("module", ["illuminance", "refraction", "crossings", "days", "positions", "events", "zones"])
def test_no_library_is_loaded_before_it_is_needed(module: str) -> None:
    code = f"import sys, fieldplan.sky.{module}; print([m for m in ('ephem', 'astral', 'tzfpy') if m in sys.modules])"
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"
