"""Lines and the picture of the Light page: events, the curve of the day, figures at an instant, the week, the order."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

from fieldplan.card.daywords import TWILIGHTS, moon_text, named, sun_text
from fieldplan.model.catalogue import LightBand
from fieldplan.notation.display import bearing_text, ev_text, lux_text
from fieldplan.notation.marks import FAR_OVER, f_mark, iso_mark, iso_words, share_text, time_mark
from fieldplan.notation.signed import signed, unsigned_zero
from fieldplan.pictures import Band, Picture, Row, Span, draw_curve
from fieldplan.planner.answers import Answer, Light, WorkSpan
from fieldplan.planner.cursorlight import is_down, isos_then, moon_ev100
from fieldplan.planner.curves import Curve
from fieldplan.planner.daylight import DayLight
from fieldplan.planner.exposing import within_ceiling
from fieldplan.planner.order import SHOT, DayLine
from fieldplan.planner.rigs import Rig
from fieldplan.planner.scene import Conditions
from fieldplan.planner.skybook import SkyBook, SkyDay, SkyState, seconds
from fieldplan.sky.bands import Band as SkyBand
from fieldplan.sky.bands import bands_at
from fieldplan.tui.rows import columns, crop, left, safe, wrapped

_EVERY = 5  # samples of the curve, a minute apart, for each point drawn


def clock(day: SkyDay, ut_s: float) -> str:
    """ "07:20" on the site's clock."""
    return f"{day.minute(ut_s):%H:%M}"


def zone_text(day: SkyDay) -> str:
    """ "Europe/Berlin UTC+01:00", or both offsets of a day on which the clocks change."""
    ends = [day.local(ut_s).strftime("%z") for ut_s in (day.start_s, max(day.end_s - 1.0, day.start_s))]
    return f"{day.zone.key} {' to '.join(dict.fromkeys(f'UTC{end[:3]}:{end[3:5]}' for end in ends))}"


def event_rows(found: DayLight, width: int) -> list[Row]:
    """Sun, twilights and moon, a line each, and what does not happen in words."""
    lines = [("sun", sun_text(found)), *_twilights(found, width), ("moon", _moon(found, width))]
    rows: list[Row] = [((left(label, 5), "label"), (crop(text, width - 5), "")) for label, text in lines if text]
    return rows + wrapped("; ".join(found.sentences), width, "title", 0, 2)


def _twilights(found: DayLight, width: int) -> list[tuple[str, str]]:
    dawn = named(found, ((letter, f"{name}_dawn") for letter, name in TWILIGHTS))
    dusk = named(found, ((letter, f"{name}_dusk") for letter, name in reversed(TWILIGHTS)))
    legend = " (twilight)" if width < 100 else "  (a astronomical, n nautical, c civil twilight)"
    if not dawn:
        return [("dusk", dusk + legend)] if dusk else []
    return [("dawn", dawn + (f"; dusk {dusk}" if dusk else "") + legend)]


def _moon(found: DayLight, width: int) -> str:
    dotted = "dotted" if width < 100 else "dotted in the curve: EV of the moon and the night sky alone"
    return f"{moon_text(found)}; {dotted}"


def curve_picture(
    width: int, height: int, found: DayLight, curve: Curve, given: Conditions, bands: Sequence[LightBand],
    spans: Sequence[WorkSpan], cursor_s: float,
) -> Picture:  # fmt: skip
    """EV over the day, the moon's share of it dotted, bands and the hours in which the shot works below."""
    day = found.day
    states, ys = curve.states[::_EVERY], curve.ev100[::_EVERY]
    finite = [y for y in ys if math.isfinite(y)] or [0.0]
    low, high = math.floor(min(finite)), math.ceil(max(finite))
    moon = [moon_ev100(state, given) for state in states]
    fixed = {band.name for band in bands if band.kind == "fixed"}
    bars = [
        Span(s.start_s, s.end_s, "works") if s.sure else Span(s.start_early_s, s.end_late_s, "perhaps") for s in spans
    ]
    if height >= 16:
        bars += [Span(b.start_s, b.end_s, safe(b.name), "label") for b in found.bands if b.name not in fixed]
    step = next((s for s in (5, 10) if (high - low) / s <= max(height - 2, 2)), 20)
    return draw_curve(
        width, height, curve.times_s[::_EVERY], ys,
        x_labels=[(ut_s, text) for ut_s, text in _hours(day, 1 if width >= 120 else 2)],
        y_labels=[(ev, f"EV{ev:4d}") for ev in range(-20, 20, step) if low <= ev <= high],
        bands=[Band(b.start_s, b.end_s, safe(b.name)) for b in found.bands if b.name in fixed],
        spans=bars, cursor_x=cursor_s, x_range=(day.start_s, day.end_s), y_range=(low, high),
        second_ys=[y if y >= low else math.nan for y in moon],
    )  # fmt: skip


def _hours(day: SkyDay, every: int) -> list[tuple[float, str]]:
    moments = ((hour, dt.datetime.combine(day.date, dt.time(hour), tzinfo=day.zone)) for hour in range(0, 24, every))
    return [(seconds(moment), f"{hour:02d}") for hour, moment in moments]


def cursor_rows(day: SkyDay, state: SkyState, light: Light, bands: Sequence[LightBand], width: int) -> list[Row]:
    """Time, sun, moon and bands; light on the subject with its range, and how it is lit."""
    names = bands_at(state.sun_altitude_deg, [SkyBand(b.name, b.low_deg, b.high_deg) for b in bands])
    hidden = " behind the ground line" if not state.sun_clear and not is_down(state.sun_altitude_deg) else ""
    sky = f"sun {signed(state.sun_altitude_deg)} deg at {bearing_text(state.sun_azimuth_deg)}{hidden}"
    lit = share_text(day.phase.lit_fraction)
    sky += f"; moon {signed(state.moon_altitude_deg)} deg at {bearing_text(state.moon_azimuth_deg)}, {lit} lit"
    told = f"{ev_text(light.ev100)} ({unsigned_zero(light.ev100_low)} to {unsigned_zero(light.ev100_high)})"
    metered = ", metered" if light.source == "metered" else ""
    told += f"{metered}, {lux_text(light.illuminance_lux)} lux, {light.lit}; {', '.join(safe(n) for n in names)}"
    return [
        ((f"{clock(day, state.ut_s)}  ", "cursor"), (crop(sky, width - 7), "")),
        ((" " * 7, ""), (crop(told, width - 7), "")),
    ]


def iso_row(best: Answer, rig: Rig | None, light: Light, width: int) -> Row:
    """ISO at the cursor for the first combination: at its shutter or the next that works, and two stops faster."""
    if best.f_number is None or best.shutter_s is None or best.iso_ceiling is None or rig is None:
        return ()
    rows = isos_then(best, rig, light)
    told = ", ".join(f"{_iso_text(iso, best.iso_ceiling)} at {time_mark(time)}" for time, iso in rows)
    told = told or f"brighter than ISO {iso_mark(rig.lowest_iso)} wants at {time_mark(best.shutter_s)}"
    return ((" " * 7, ""), (crop(f"{f_mark(best.f_number)}: {told}  ({safe(best.label)})", width - 7), ""))


def _iso_text(iso: float, ceiling: float) -> str:
    if iso > ceiling * FAR_OVER:
        return f"ISO {iso_words(iso, ceiling)}"
    over = "" if within_ceiling(iso, ceiling) else f" (over {iso_mark(ceiling)})"
    return f"ISO {iso_mark(iso)}{over}"


def week_rows(book: SkyBook, first: dt.date, width: int) -> list[Row]:
    """Seven days from the first: sunrise, sunset, moonrise, moonset, how much of the moon is lit."""
    rows: list[Row] = [((crop(f"{'':14}sunrise  sunset   moonrise moonset  moon lit", width), "label"),)]
    for ahead in range(7):
        day = book.day(first + dt.timedelta(days=ahead))
        cells = [left(_first(day, name), 9) for name in ("sunrise", "sunset", "moonrise", "moonset")]
        told = f"{share_text(day.phase.lit_fraction)} {day.phase.name}"
        text = f"{'>' if ahead == 0 else ' '} {day.date:%a %d %b}  {''.join(cells)}{told}"
        rows.append(((crop(text, width), "title" if ahead == 0 else ""),))
    return rows


def _first(day: SkyDay, name: str) -> str:
    return next((clock(day, event.ut_s) for event in day.events if event.name == name), "none")


def order_rows(lines: Sequence[DayLine], hand: str, width: int, room: int) -> list[Row]:
    """The order of the day in two columns: ">" the shot in hand, "!" one that collides, in words below."""
    if not lines:
        return [(("no shot has a time on this day", "dim"),)]
    clashes = [f"{safe(line.shot)} {safe(line.why)}" for line in lines if line.why]
    told: list[Row] = [((crop(f"! {'; '.join(clashes)}", width), "warn"),)] if clashes else []
    high = max(1, room - len(told))
    at = next((i for i, line in enumerate(lines) if line.shot == hand), 0)
    top = max(0, min(at - high, len(lines) - 2 * high))
    wide = (width - 2) // 2
    shown = [_order_cell(line, line.shot == hand, wide) for line in lines[top : top + 2 * high]]
    return [*columns(shown, width, 2), *told]


def _order_cell(line: DayLine, here: bool, width: int) -> Row:
    until = f"-{line.end:%H:%M}" if line.end is not None else ""
    what = safe(line.shot) if line.kind != SHOT else f"{'must' if line.must else 'nice'} {safe(line.shot)}"
    text = f"{'>' if here else ' '}{'!' if line.clash else ' '}{line.start:%H:%M}{until if width >= 50 else ''} {what}"
    return ((left(text, width), "picked" if here else ""),)
