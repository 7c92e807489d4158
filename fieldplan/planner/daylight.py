"""The light of one day at one place: events, a ladder of rows, the moon, and sentences where nothing happens."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fieldplan.model.catalogue import LightBand
from fieldplan.planner.scene import Conditions, estimate
from fieldplan.planner.skybook import SkyDay, SkyState
from fieldplan.sky.bands import Band, BandSpan, band_spans
from fieldplan.sky.events import Event, Quarter, moon_quarters
from fieldplan.sky.positions import MoonPhase

ROW_EVERY_S = 600.0
_WORDS = {
    "sunrise": "sunrise", "sunset": "sunset", "civil_dawn": "civil dawn", "civil_dusk": "civil dusk",
    "nautical_dawn": "nautical dawn", "nautical_dusk": "nautical dusk", "astronomical_dawn": "astronomical dawn",
    "astronomical_dusk": "astronomical dusk", "sun_transit": "sun highest", "moonrise": "moonrise",
    "moonset": "moonset", "moon_transit": "moon highest", "sun_clears_ground": "sun clears the ground line",
    "sun_leaves_ground": "sun behind the ground line", "moon_clears_ground": "moon clears the ground line",
    "moon_leaves_ground": "moon behind the ground line",
}  # fmt: skip
_UPPER_LIMB_DEG = -50.0 / 60.0  # altitude of the sun's centre at rise and set, USNO


class LightRow(NamedTuple):
    """Sky and light on the subject at one instant: lux and EV 100 with bounds, how it is lit."""

    state: SkyState
    lux: float
    ev100: float
    low: float
    high: float
    lit: str


class DayLight(NamedTuple):
    """One local day: its events in order, a row every ten minutes, the bands of light, the moon."""

    day: SkyDay
    events: tuple[Event, ...]
    ground_events: tuple[Event, ...]
    rows: tuple[LightRow, ...]
    bands: tuple[BandSpan, ...]
    phase: MoonPhase
    quarters: tuple[Quarter, ...]
    sentences: tuple[str, ...]


def event_words(name: str) -> str:
    """An event's name as people say it."""
    return _WORDS.get(name, name.replace("_", " "))


def row_at(day: SkyDay, ut_s: float, given: Conditions) -> LightRow:
    """Sky and light at one instant of the day."""
    state = day.state(ut_s)
    found = estimate(state, given)
    return LightRow(state, found.lux, found.ev100, found.low, found.high, found.lit)


def day_light(day: SkyDay, given: Conditions, bands: tuple[LightBand, ...] = ()) -> DayLight:
    """Everything about the light of a day under the given conditions."""
    count = int((day.end_s - day.start_s) // ROW_EVERY_S)
    if day.start_s + count * ROW_EVERY_S >= day.end_s:
        count -= 1
    rows = tuple(row_at(day, day.start_s + i * ROW_EVERY_S, given) for i in range(count + 1))
    named = [Band(b.name, b.low_deg, b.high_deg) for b in bands]
    spans = tuple(band_spans(day.sun.altitude_deg, named, day.start_s, day.end_s)) if named else ()
    ground = sorted(day.ground_events("sun") + day.ground_events("moon"), key=lambda e: e.ut_s)
    return DayLight(day, tuple(day.events), tuple(ground), rows, spans, day.phase,
                    tuple(moon_quarters(day.start_s, 1, 4)), tuple(_sentences(day, rows)))  # fmt: skip


def _sentences(day: SkyDay, rows: tuple[LightRow, ...]) -> list[str]:
    """What does not happen on this day, in words, so that nothing is left blank."""
    if not rows:
        return ["this date does not exist in this zone: the clocks went past it"]
    names = {event.name for event in day.events}
    said = []
    if not names & {"sunrise", "sunset"}:
        up = rows[len(rows) // 2].state.sun_altitude_deg > _UPPER_LIMB_DEG
        said.append("the sun does not set today: it is up all day" if up else "the sun does not rise today")
    elif "sunrise" not in names or "sunset" not in names:
        said.append(f"no {'sunrise' if 'sunrise' not in names else 'sunset'} today")
    lowest = min(row.state.sun_altitude_deg for row in rows)
    if lowest > -18.0 and "astronomical_dusk" not in names and lowest <= _UPPER_LIMB_DEG:
        twilight = "civil" if lowest > -6.0 else "nautical" if lowest > -12.0 else "astronomical"
        said.append(f"it does not get fully dark: {twilight} twilight lasts the night")
    if not names & {"moonrise", "moonset"}:
        up = rows[0].state.moon_altitude_deg > 0.0
        said.append("the moon does not set today: it is up all day" if up else "the moon does not rise today")
    else:
        said += [f"no {name} today" for name in ("moonrise", "moonset") if name not in names]
    return said


def on_clock(day: SkyDay, ut_s: float) -> dt.datetime:
    """The instant on the place's clock, to the second."""
    return day.local(round(ut_s))
