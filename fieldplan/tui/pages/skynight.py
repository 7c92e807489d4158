"""The night on the Moon & sun page: a line of what sun and moon do, and on tall screens the curve of altitudes."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from fieldplan.notation.signed import signed
from fieldplan.pictures import Picture, Row, draw_curve
from fieldplan.planner.nightsky import Night
from fieldplan.tui.pages.skylines import clock
from fieldplan.tui.rows import crop

_SUN = {"sunset": "sunset", "civil_dusk": "dusk", "civil_dawn": "dawn", "sunrise": "sunrise"}
_MOON = {"moonrise": "up", "moonset": "down"}
_LOWEST_DEG = -20.0  # below it the curve tells nothing
_HOURS = range(12, 37, 4)


def night_row(night: Night, zone: ZoneInfo, width: int) -> Row:
    """ "sunset 18:23, dusk 18:58, dawn 05:32, sunrise 06:07; moon up 17:29, down 05:46".

    Dusk and dawn are the ends of civil twilight.
    """
    sun = _told(night, _SUN, zone) or ("sun up all night" if min(night.sun_deg) > 0.0 else "sun down all day")
    moon = _told(night, _MOON, zone) or ("up all night" if min(night.moon_deg) > 0.0 else "down all night")
    return ((crop(f"{sun}; moon {moon}", width), ""),)


def _told(night: Night, words: dict[str, str], zone: ZoneInfo) -> str:
    return ", ".join(f"{words[one.name]} {clock(one.ut_s, zone)}" for one in night.events if one.name in words)


def night_curve(night: Night, now_s: float, zone: ZoneInfo, size: tuple[int, int]) -> Picture:
    """Altitudes of the sun (drawn out) and the moon (dotted) from noon to noon, with the moment shown."""
    noon = dt.datetime.fromtimestamp(night.start_s, tz=zone)
    marks = [(noon + dt.timedelta(hours=hour - 12)) for hour in _HOURS]
    highest = max(*night.sun_deg, *night.moon_deg, 10.0)
    return draw_curve(
        *size, night.times_s, [max(deg, _LOWEST_DEG) for deg in night.sun_deg],
        second_ys=[max(deg, _LOWEST_DEG) for deg in night.moon_deg],
        x_labels=[(mark.timestamp(), f"{mark:%H}") for mark in marks],
        y_labels=[(deg, signed(deg, 0)) for deg in (-18.0, 0.0, 20.0, 40.0, 60.0, 80.0) if deg <= highest],
        cursor_x=now_s,
    )  # fmt: skip
