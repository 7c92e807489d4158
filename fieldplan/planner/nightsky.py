"""The night round an instant, from noon to noon on the local clock: what sun and moon do, and how high they stand."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.sky.events import Event, day_events
from fieldplan.sky.positions import Place, interpolated
from fieldplan.sky.refraction import apparent_altitude_deg

STEP_S = 600.0
TOLD = ("sunset", "civil_dusk", "moonrise", "moon_transit", "moonset", "civil_dawn", "sunrise")
_AROUND_S = 1200.0


class Night(NamedTuple):
    """Events in order of time; altitudes as seen through the air [deg] at the instants times_s, every ten minutes."""

    start_s: float
    end_s: float
    events: tuple[Event, ...]
    times_s: tuple[float, ...]
    sun_deg: tuple[float, ...]
    moon_deg: tuple[float, ...]


def night_bounds(ut_s: float, zone: ZoneInfo) -> tuple[float, float]:
    """The noons on the local clock before and after an instant."""
    now = dt.datetime.fromtimestamp(ut_s, tz=zone)
    day = now.date() if now.hour >= 12 else now.date() - dt.timedelta(days=1)
    noons = (dt.datetime.combine(day + dt.timedelta(days=late), dt.time(12), tzinfo=zone) for late in (0, 1))
    first, last = (noon.timestamp() for noon in noons)
    return first, last


def night_around(place: Place, ut_s: float, zone: ZoneInfo) -> Night:
    """The night that holds an instant; place: of the eye."""
    start_s, end_s = night_bounds(ut_s, zone)
    tracks = [interpolated(body, place, start_s - _AROUND_S, end_s + _AROUND_S) for body in ("sun", "moon")]
    times = tuple(start_s + n * STEP_S for n in range(int((end_s - start_s) // STEP_S) + 1))
    sun, moon = (tuple(apparent_altitude_deg(track.altitude_deg(ut)) for ut in times) for track in tracks)
    events = tuple(event for event in day_events(place, start_s, end_s) if event.name in TOLD)
    return Night(start_s, end_s, events, times, sun, moon)
