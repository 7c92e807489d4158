"""The sky over one site, opened at a date: paths of sun and moon made once and asked many times."""

from __future__ import annotations

import datetime as dt
import math
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.plan import Site
from fieldplan.sky.events import (
    Event,
    day_events,
    local_day,
    moon_quarters,
    skyline_altitude_deg,
    skyline_crossings,
)
from fieldplan.sky.positions import MoonPhase, Place, interpolated, interpolated_phase, moon_phase
from fieldplan.sky.refraction import apparent_altitude_deg

EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
_AROUND_S = 1200.0
_LOW_DEG = -2.0  # from here down no edge of the sun shows anywhere


class SkyState(NamedTuple):
    """Sun and moon at one instant. Altitudes of the centres, airless [deg]; ``sun_clear``: over the ground line.

    over_ground_deg: how far the sun's upper edge, as seen, stands over the ground line; without a skyline, infinite;
    minus infinite where the sun is well under the horizon and there is a skyline. moon_clear: as sun_clear.
    """

    ut_s: float
    sun_altitude_deg: float
    sun_azimuth_deg: float
    moon_altitude_deg: float
    moon_azimuth_deg: float
    elongation_deg: float
    parallax_deg: float
    sun_clear: bool
    over_ground_deg: float = math.inf
    moon_clear: bool = True


class SkyDay:
    """One local civil day at one site."""

    def __init__(self, place: Place, skyline: tuple[tuple[float, float], ...], zone: ZoneInfo, date: dt.date) -> None:
        self.place, self.skyline, self.zone, self.date = place, skyline, zone, date
        self.start_s, self.end_s = local_day(date, zone)
        first, last = self.start_s - _AROUND_S, max(self.end_s, self.start_s) + _AROUND_S
        self.sun = interpolated("sun", place, first, last)
        self.moon = interpolated("moon", place, first, last)
        self._phase = interpolated_phase(first, last)
        self._events: list[Event] | None = None
        self._ground: dict[str, list[Event]] = {}
        self._moon: MoonPhase | None = None
        self._states: dict[float, tuple[SkyState, ...]] = {}
        self.curves: dict[object, object] = {}

    def state(self, ut_s: float) -> SkyState:
        """Sun and moon at an instant of this day (20 minutes more at either end)."""
        sun_azimuth, sun_altitude, sun_top = self.sun.azimuth_altitude_limb_deg(ut_s)
        moon_azimuth, moon_altitude, moon_top = self.moon.azimuth_altitude_limb_deg(ut_s)
        elongation, parallax = self._phase.elongation_parallax_deg(ut_s)
        over = math.inf
        if self.skyline and sun_altitude <= _LOW_DEG:
            over = -math.inf
        elif self.skyline:
            over = apparent_altitude_deg(sun_top) - skyline_altitude_deg(self.skyline, sun_azimuth)
        moon_clear = True
        if self.skyline and moon_altitude > _LOW_DEG:
            moon_clear = apparent_altitude_deg(moon_top) >= skyline_altitude_deg(self.skyline, moon_azimuth)
        return SkyState(ut_s, sun_altitude, sun_azimuth, moon_altitude, moon_azimuth, elongation, parallax, over >= 0.0,
                        over, moon_clear)  # fmt: skip

    def states(self, step_s: float) -> tuple[SkyState, ...]:
        """Sun and moon at even steps through the day; kept for the next asking."""
        if step_s not in self._states:
            count = math.floor((self.end_s - self.start_s) / step_s)
            self._states[step_s] = tuple(self.state(self.start_s + i * step_s) for i in range(count + 1))
        return self._states[step_s]

    @property
    def events(self) -> list[Event]:
        """Rise, set, transit and twilights of the day, in order."""
        if self._events is None:
            self._events = day_events(self.place, self.start_s, self.end_s)
        return self._events

    def ground_events(self, body: str) -> list[Event]:
        """When the body clears or leaves the site's own ground line; empty without a skyline."""
        if not self.skyline:
            return []
        if body not in self._ground:
            which = "sun" if body == "sun" else "moon"
            self._ground[body] = skyline_crossings(self.place, which, self.skyline, self.start_s, self.end_s)  # type: ignore[arg-type]
        return self._ground[body]

    def minute(self, ut_s: float) -> dt.datetime:
        """The instant to the nearest whole minute of the site's clock, within the day."""
        return self.local(min(whole_minute(ut_s), self.end_s - 60.0) if ut_s < self.end_s else whole_minute(ut_s))

    def local(self, ut_s: float) -> dt.datetime:
        """The instant on the site's clock, with its offset."""
        return (EPOCH + dt.timedelta(seconds=ut_s)).astimezone(self.zone)

    @property
    def phase(self) -> MoonPhase:
        """How the moon is lit in the middle of the day; named for a principal phase where that falls in the day."""
        if self._moon is None:
            middle = moon_phase((self.start_s + self.end_s) / 2.0)
            principal = [q.name for q in moon_quarters(self.start_s, 0, 1) if q.ut_s < self.end_s]
            self._moon = middle._replace(name=principal[0]) if principal else middle
        return self._moon


class SkyBook:
    """Days of one site, each made when it is first asked for and kept. Made by the caller, handed to the planner."""

    def __init__(self, place: Place, skyline: tuple[tuple[float, float], ...], zone: ZoneInfo) -> None:
        self.place, self.skyline, self.zone = place, skyline, zone
        self._days: dict[dt.date, SkyDay] = {}

    def day(self, date: dt.date) -> SkyDay:
        """The local civil day of that date."""
        if date not in self._days:
            if len(self._days) > 40:
                self._days.clear()
            self._days[date] = SkyDay(self.place, self.skyline, self.zone, date)
        return self._days[date]


def seconds(moment: dt.datetime) -> float:
    """Seconds since 1970 of a moment with a zone."""
    return (moment - EPOCH).total_seconds()


def whole_minute(ut_s: float) -> float:
    """The nearest whole minute, as almanacs print it [s]."""
    return math.floor(ut_s / 60.0 + 0.5) * 60.0


def minute_of(moment: dt.datetime) -> dt.datetime:
    """A moment with a zone to the nearest whole minute, on the same clock."""
    return _at_minute(moment, whole_minute(seconds(moment)))


def minute_from(moment: dt.datetime) -> dt.datetime:
    """The first whole minute from which on something is so that is so from a moment on."""
    return _at_minute(moment, math.ceil(seconds(moment) / 60.0) * 60.0)


def minute_until(moment: dt.datetime) -> dt.datetime:
    """The last whole minute at which something is still so that is so until a moment."""
    return _at_minute(moment, math.floor(seconds(moment) / 60.0) * 60.0)


def _at_minute(moment: dt.datetime, ut_s: float) -> dt.datetime:
    return (EPOCH + dt.timedelta(seconds=ut_s)).astimezone(moment.tzinfo)


def book_for(site: Site | None, time_zone: str | None) -> SkyBook | None:
    """The sky over a site; None where its position or zone is not known."""
    if site is None or site.position is None or time_zone is None:
        return None
    place = Place(site.position.latitude_deg, site.position.longitude_deg, float(site.elevation))
    return SkyBook(place, tuple((p.bearing, p.altitude) for p in site.skyline), ZoneInfo(time_zone))
