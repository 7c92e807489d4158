"""The night on the Moon & sun page: a line of what sun and moon do, and on tall screens the curve of their altitudes."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from fieldplan.notation.display import bearing_text
from fieldplan.pictures import Picture, Row, draw_curve
from fieldplan.planner.nightsky import Night
from fieldplan.tui.pages.skylines import clock
from fieldplan.tui.rows import crop

_WORDS = {
    "sunset": "sunset",
    "civil_dusk": "dusk",
    "civil_dawn": "dawn",
    "sunrise": "sunrise",
    "moonrise": "moonrise",
    "moonset": "moonset",
}
_LOWEST_DEG = -20.0  # below it the curve tells nothing
_HOURS = range(12, 37, 4)


def night_row(night: Night, zone: ZoneInfo, width: int) -> Row:
    """ "night: moonrise 17:37 (086), sunset 18:22, dusk 18:55 ..."; dusk and dawn are the ends of civil twilight."""
    told = [
        f"{_WORDS[event.name]} {clock(event.ut_s, zone)}"
        + (f" ({bearing_text(event.azimuth_deg)})" if event.name in ("moonrise", "moonset") else "")
        for event in night.events
        if event.name in _WORDS
    ]
    names = {event.name for event in night.events}
    if not names & {"sunset", "sunrise"}:
        told.insert(0, "sun up all night" if min(night.sun_deg) > 0.0 else "sun down all day")
    if not names & {"moonrise", "moonset"}:
        told.append("moon up all night" if min(night.moon_deg) > 0.0 else "moon down all night")
    return ("night ", "label"), (crop(", ".join(told), width - 6), "")


def night_curve(night: Night, now_s: float, zone: ZoneInfo, size: tuple[int, int]) -> Picture:
    """Altitudes of the sun (drawn out) and the moon (dotted) from noon to noon, with the moment shown."""
    noon = dt.datetime.fromtimestamp(night.start_s, tz=zone)
    marks = [(noon + dt.timedelta(hours=hour - 12)) for hour in _HOURS]
    highest = max(*night.sun_deg, *night.moon_deg, 10.0)
    return draw_curve(
        *size, night.times_s, [max(deg, _LOWEST_DEG) for deg in night.sun_deg],
        second_ys=[max(deg, _LOWEST_DEG) for deg in night.moon_deg],
        x_labels=[(mark.timestamp(), f"{mark:%H}") for mark in marks],
        y_labels=[(deg, f"{deg:+.0f}") for deg in (-18.0, 0.0, 20.0, 40.0, 60.0, 80.0) if deg <= highest],
        cursor_x=now_s,
    )  # fmt: skip
