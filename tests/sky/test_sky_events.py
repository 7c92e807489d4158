"""Events of days that are known beforehand, and the line of the ground."""

import datetime as dt
import math
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.sky.events import EVENT_NAMES, day_events, local_day, skyline_altitude_deg, skyline_crossings
from fieldplan.sky.positions import Place, direction
from fieldplan.sky.refraction import (
    apparent_altitude_deg,
    bennett_deg,
    saemundsson_deg,
    true_altitude_deg,
)

DAY_S = 86400.0
AMSTERDAM = Place(52.37, 4.89)


def day(*date: int) -> float:
    return dt.datetime(*date, tzinfo=dt.UTC).timestamp()  # type: ignore[arg-type]


def names(place: Place, start_s: float, end_s: float | None = None) -> list[str]:
    return [e.name for e in day_events(place, start_s, start_s + DAY_S if end_s is None else end_s)]


def test_polar_day_and_polar_night_have_no_sunrise() -> None:
    # 78 N, where the sun stays up in June and down in December (geometry: latitude over 90 - 23.44 deg).
    june, december = names(Place(78.2, 15.6), day(2027, 6, 21)), names(Place(78.2, 15.6), day(2027, 12, 21))
    for found in (june, december):
        assert "sunrise" not in found
        assert "sunset" not in found
        assert found.count("sun_transit") == 1
    assert "civil_dawn" not in december
    assert "nautical_dawn" in december


def test_at_the_pole_the_sun_rises_once_a_year() -> None:
    # The declination passes -50' before the equinox of 2027-03-20 20:25 UT (almanacs; from memory) by some two days.
    found = [e for e in day_events(Place(90.0, 0.0), day(2027, 1, 1), day(2028, 1, 1)) if "sun" in e.name]
    rises = [e.ut_s for e in found if e.name == "sunrise"]
    assert len(rises) == len([e for e in found if e.name == "sunset"]) == 1
    assert 1.5 * DAY_S < dt.datetime(2027, 3, 20, 20, 25, tzinfo=dt.UTC).timestamp() - rises[0] < 2.7 * DAY_S
    assert len([e for e in found if e.name == "sun_transit"]) in (365, 366)


def test_a_lunar_month_has_a_day_without_moonrise_and_one_without_moonset() -> None:
    # The moon rises some 50 minutes later each day, so within a month each is skipped once (29.5 rises in 30.5 days).
    missing = {"moonrise": 0, "moonset": 0, "moon_transit": 0}
    for k in range(30):
        found = names(AMSTERDAM, day(2027, 4, 1) + k * DAY_S)
        for name in missing:
            assert found.count(name) <= 1
            missing[name] += name not in found
    assert all(1 <= count <= 2 for count in missing.values())


def test_two_moonrises_in_one_day_at_high_latitude() -> None:
    # Beyond 60 deg the rise can come earlier from day to day for a while, so that a date holds two.
    place = Place(67.0, 20.0)
    most = max(names(place, day(2025, 1, 1) + k * DAY_S).count("moonrise") for k in range(365))
    assert most == 2


def test_a_white_night_has_two_ends_in_one_day_or_none() -> None:
    # Solar midnight moves over 24:00 while the sun only just dips: late sunset and early sunrise in the same date.
    found = [names(Place(65.9, 25.0), day(2027, 6, 1) + k * DAY_S) for k in range(45)]
    assert any("sunset" not in one for one in found)
    assert all(abs(one.count("sunset") - one.count("sunrise")) <= 1 for one in found)


def test_local_days_of_23_and_25_hours_hold_their_events() -> None:
    zone = ZoneInfo("Europe/Amsterdam")
    for date in (dt.date(2027, 3, 28), dt.date(2027, 10, 31)):
        found = day_events(AMSTERDAM, *local_day(date, zone))
        for name in ("sunrise", "sunset", "civil_dawn", "astronomical_dusk", "sun_transit"):
            assert [dt.datetime.fromtimestamp(e.ut_s, zone).date() for e in found if e.name == name] == [date]


def test_a_date_that_never_was_has_no_events() -> None:
    assert day_events(Place(-13.8, -171.8), *local_day(dt.date(2011, 12, 30), ZoneInfo("Pacific/Apia"))) == []


@settings(deadline=None, max_examples=40)
@given(
    st.builds(Place, st.floats(-90.0, 90.0), st.floats(-180.0, 180.0), st.sampled_from([0.0, 3000.0])),
    st.integers(-7300, 29_200),
    st.floats(0.0, DAY_S),
)
def test_every_event_is_where_it_says(place: Place, day_number: int, cut_s: float) -> None:
    start_s = day_number * DAY_S
    whole = day_events(place, start_s, start_s + DAY_S)
    assert [e.ut_s for e in whole] == sorted(e.ut_s for e in whole)
    halves = day_events(place, start_s, start_s + cut_s) + day_events(place, start_s + cut_s, start_s + DAY_S)
    assert [e.name for e in halves] == [e.name for e in whole]
    for event in whole:
        assert event.name in EVENT_NAMES
        assert start_s <= event.ut_s < start_s + DAY_S
        seen = direction("moon" if "moon" in event.name else "sun", event.ut_s, place)
        off = (seen.azimuth_deg - event.azimuth_deg + 180.0) % 360.0 - 180.0
        assert abs(off) * math.cos(math.radians(seen.altitude_deg)) < 0.001


@pytest.mark.parametrize("place", [AMSTERDAM, Place(-33.9, 151.2), Place(0.0, 0.0)])
def test_a_transit_is_on_the_meridian(place: Place) -> None:
    for event in day_events(place, day(2027, 5, 5), day(2027, 5, 6)):
        if event.name.endswith("transit"):
            assert abs(math.sin(math.radians(event.azimuth_deg))) < 1e-4


def test_dip_moves_rise_and_set_and_no_twilight() -> None:
    plain = {e.name: e.ut_s for e in day_events(AMSTERDAM, day(2027, 3, 14), day(2027, 3, 15))}
    high = {e.name: e.ut_s for e in day_events(AMSTERDAM, day(2027, 3, 14), day(2027, 3, 15), dip_m=100.0)}
    assert plain.keys() == high.keys()
    for name, ut_s in plain.items():
        if name in ("sunrise", "moonrise"):
            assert 90.0 < ut_s - high[name] < 200.0  # 17.6' at 6 to 10 arc minutes a minute of time
        elif name in ("sunset", "moonset"):
            assert 90.0 < high[name] - ut_s < 200.0
        else:
            assert ut_s == high[name]
    sun = direction("sun", high["sunrise"], AMSTERDAM)
    # The Nautical Almanac: dip of the sea horizon 1.76' times the root of the height in metres.
    assert sun.altitude_deg == pytest.approx(-50.0 / 60.0 - 17.6 / 60.0, abs=0.001)
    with pytest.raises(ValueError, match="above the horizon"):
        day_events(AMSTERDAM, day(2027, 3, 14), day(2027, 3, 15), dip_m=-1.0)


def test_a_level_skyline_is_the_horizon() -> None:
    # Saemundsson lifts by 34.5' where the convention says 34', worth 3 to 5 s here.
    rise_set = [e for e in day_events(AMSTERDAM, day(2027, 3, 14), day(2027, 3, 15)) if e.name in ("sunrise", "sunset")]
    for line in ((), ((10.0, 0.0),)):
        over = skyline_crossings(AMSTERDAM, "sun", line, day(2027, 3, 14), day(2027, 3, 15))
        assert [e.name for e in over] == ["sun_clears_ground", "sun_leaves_ground"]
        for ground, horizon in zip(over, rise_set, strict=True):
            assert ground.ut_s == pytest.approx(horizon.ut_s, abs=6.0)


def test_a_ridge_delays_the_sun_by_limb() -> None:
    ridge = ((60.0, 0.0), (90.0, 5.0), (120.0, 5.0), (150.0, 0.0))
    cleared = {}
    for limb, share in (("upper", 1.0), ("centre", 0.0), ("lower", -1.0)):
        event = skyline_crossings(AMSTERDAM, "sun", ridge, day(2027, 3, 14), day(2027, 3, 15), limb)[0]  # type: ignore[arg-type]
        seen = direction("sun", event.ut_s, AMSTERDAM)
        shown = apparent_altitude_deg(seen.altitude_deg + share * seen.semidiameter_deg)
        assert shown == pytest.approx(skyline_altitude_deg(ridge, seen.azimuth_deg), abs=0.001)
        cleared[limb] = event.ut_s
    assert cleared["upper"] < cleared["centre"] < cleared["lower"]


def test_a_peak_hides_the_sun_for_a_while() -> None:
    seen = direction("sun", day(2027, 3, 14) + 12 * 3600.0, AMSTERDAM)
    peak = ((seen.azimuth_deg - 3.0, 0.0), (seen.azimuth_deg, 60.0), (seen.azimuth_deg + 3.0, 0.0))
    found = skyline_crossings(AMSTERDAM, "sun", peak, day(2027, 3, 14), day(2027, 3, 15))
    assert [e.name.split("_")[1] for e in found] == ["clears", "leaves", "clears", "leaves"]
    assert found[1].ut_s < day(2027, 3, 14) + 12 * 3600.0 < found[2].ut_s
    high = ((0.0, 89.0),)
    assert skyline_crossings(AMSTERDAM, "moon", high, day(2027, 3, 14), day(2027, 3, 15)) == []
    assert skyline_crossings(AMSTERDAM, "moon", high, day(2027, 3, 14), day(2027, 3, 14)) == []


@pytest.mark.parametrize(
    ("bearing_deg", "altitude_deg"),
    [
        (95.0, 2.5),
        (107.5, 1.75),
        (120.0, 1.0),
        (287.5, 1.75),
        (455.0, 2.5),
        (-265.0, 2.5),
        (0.0, 1.0 + 1.5 * 240.0 / 335.0),
        (359.0, 1.0 + 1.5 * 239.0 / 335.0),
    ],
)
def test_the_skyline_is_straight_between_points_and_round_the_back(bearing_deg: float, altitude_deg: float) -> None:
    # By hand: 1.0 at 120 to 2.5 at 95 + 360, over 335 degrees, apart from the leg between the points.
    line = ((120.0, 1.0), (95.0, 2.5))
    assert skyline_altitude_deg(line, bearing_deg) == pytest.approx(altitude_deg)


def test_odd_skylines() -> None:
    assert skyline_altitude_deg((), 77.0) == 0.0
    assert skyline_altitude_deg(((350.0, 4.0),), 10.0) == 4.0
    assert skyline_altitude_deg(((90.0, 1.0), (450.0, 3.0), (90.0, 2.0)), 90.0) == 3.0
    assert skyline_altitude_deg(((0.0, 1.0), (360.0, 2.0), (180.0, 0.0)), 360.0) == 2.0


@given(st.floats(-90.0, 90.0))
def test_refraction_lifts_and_keeps_the_order(altitude: float) -> None:
    assert 0.0 <= saemundsson_deg(altitude) <= 0.65
    assert 0.0 <= bennett_deg(altitude) <= 0.66
    assert apparent_altitude_deg(altitude + 1e-3) > apparent_altitude_deg(altitude)
    if altitude > -0.5:
        # Meeus ch. 16: the two formulas agree within 4 arc seconds, 0.1' near the horizon.
        assert true_altitude_deg(apparent_altitude_deg(altitude)) == pytest.approx(altitude, abs=0.2 / 60.0)
