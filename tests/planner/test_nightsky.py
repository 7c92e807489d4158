"""The night round an instant, against PyEphem's own risings, settings and altitudes."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import ephem
import pytest

from fieldplan.planner.nightsky import night_around, night_bounds
from fieldplan.sky.positions import Place

BERLIN, SVALBARD = ZoneInfo("Europe/Berlin"), ZoneInfo("Arctic/Longyearbyen")
HIDE = Place(53.43, 12.75, 63.6)


def observer(when_s: float) -> ephem.Observer:
    there = ephem.Observer()
    there.lat, there.lon, there.elevation, there.pressure = str(HIDE[0]), str(HIDE[1]), HIDE[2], 0
    there.date = ephem.Date(dt.datetime.fromtimestamp(when_s, tz=dt.UTC).replace(tzinfo=None))
    return there


@pytest.mark.parametrize("hour", [12, 18, 23, 0, 5, 11])
def test_a_night_runs_from_noon_to_noon_and_holds_its_instant(hour: int) -> None:
    now = dt.datetime(2027, 3, 21, hour, 30, tzinfo=BERLIN)
    first, last = (dt.datetime.fromtimestamp(s, tz=BERLIN) for s in night_bounds(now.timestamp(), BERLIN))
    assert first <= now < last and first.hour == last.hour == 12 and (last.date() - first.date()).days == 1


def test_rising_and_setting_are_those_of_pyephem() -> None:
    night = night_around(HIDE, dt.datetime(2027, 3, 21, 20, tzinfo=BERLIN).timestamp(), BERLIN)
    there = observer(night.start_s)
    there.horizon = "-0:34"
    wanted = {
        "sunset": there.next_setting(ephem.Sun()),
        "sunrise": there.next_rising(ephem.Sun()),
        "moonrise": there.next_rising(ephem.Moon()),
        "moonset": there.next_setting(ephem.Moon()),
    }
    found = {event.name: event.ut_s for event in night.events}
    for name, when in wanted.items():
        # Sunrise here is the centre at -50', there the limb at -34' with the disc's own size: a few seconds.
        assert found[name] == pytest.approx(when.datetime().replace(tzinfo=dt.UTC).timestamp(), abs=20.0)


def test_altitudes_are_those_of_pyephem_lifted_by_the_air() -> None:
    night = night_around(HIDE, dt.datetime(2027, 3, 21, 20, tzinfo=BERLIN).timestamp(), BERLIN)
    for n in range(0, len(night.times_s), 11):
        there = observer(night.times_s[n])
        for body, shown in ((ephem.Sun(there), night.sun_deg[n]), (ephem.Moon(there), night.moon_deg[n])):
            h = math.degrees(body.alt)
            if h > -1.0:  # Meeus 16.4
                assert shown == pytest.approx(h + 1.02 / 60 / math.tan(math.radians(h + 10.3 / (h + 5.11))), abs=0.03)
            else:
                assert shown == pytest.approx(h, abs=0.8)


def test_a_polar_day_has_no_sunset() -> None:
    night = night_around(Place(78.22, 15.65, 20.0), dt.datetime(2027, 6, 21, 20, tzinfo=SVALBARD).timestamp(), SVALBARD)
    assert not {"sunset", "sunrise", "civil_dusk"} & {event.name for event in night.events}
    assert min(night.sun_deg) > 5.0
