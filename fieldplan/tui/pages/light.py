"""The Light page: the light of one day at the site, and how long the shot in hand works in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import ClassVar

from fieldplan.model.plan import Plan, Shot
from fieldplan.pictures.cells import Picture, Row
from fieldplan.planner.curves import Curve, light_curve
from fieldplan.planner.daylight import DayLight, day_light
from fieldplan.planner.moments import moment
from fieldplan.planner.scene import Conditions, conditions, scene_light
from fieldplan.planner.skybook import SkyBook, SkyDay, seconds
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import Entry, Form
from fieldplan.tui.page import Page
from fieldplan.tui.pages import lightlines as lines
from fieldplan.tui.pages.lightwork import Key, Work, order_on, work_of, work_rows
from fieldplan.tui.rows import BLANK, crop_row, fitted, safe
from fieldplan.tui.source import RecordSource

_STEP, _HOUR = 10, 60  # minutes
_TALL = 30
_ORDER, _FORM = 4, 4  # rows
_LEAST_CURVE = 3
_FIELDS = (("date",), *(("site", key) for key in ("name", "position", "sky", "time_zone", "elevation")))
_GROUND = Shot.model_validate({"name": "open ground", "lit": "level ground"})
CURSOR = (
    Command("earlier", ("left",), "", "the cursor ten minutes earlier", 10),
    Command("later", ("right",), "", "the cursor ten minutes later", 11),
    Command("hour_earlier", ("down", "pagedown"), "", "the cursor an hour earlier", 12),
    Command("hour_later", ("up", "pageup"), "", "the cursor an hour later", 13),
    Command("shot_time", ("home",), "", "the cursor to the time of the shot", 14),
    Command("now", ("n",), "", "the cursor to the present moment, when the day shown is today", 15),
)


class _DaySource(RecordSource):
    """The fields of plan and site on which the light of a day rests."""

    def entries(self) -> Sequence[Entry]:
        """The date, and where the site is."""
        return [entry for entry in super().entries() if entry.path in _FIELDS]


class LightPage(Page):
    """A day: its events, the curve of light with a cursor, the hours of the shot in hand, the order of the shots."""

    number = 3
    title = "Light"
    commands: ClassVar[tuple[Command, ...]] = (
        Command("previous_shot", ("[",), "shot", "the shot before", 20, "[ ]"),
        Command("next_shot", ("]",), "", "the next shot", 21),
        Command("previous_day", (",",), "day", "show the day before (the plan keeps its date)", 22, ", ."),
        Command("next_day", (".",), "", "show the next day", 23),
        Command("date", ("d",), "set date", "write the day shown into the plan", 30),
        Command("week", ("w",), "week", "sun and moon for seven days, or the order of the day again", 31),
        Command("place", ("e",), "place", "the fields of date and place, or the cursor again", 32),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.place_form = Form(_DaySource(desk, desk.plan, lambda: (((), Plan),)))
        self.shown_date: dt.date | None = None
        self.minute: float | None = None
        self.week = False
        self._light: tuple[SkyDay, Conditions, DayLight] | None = None
        self._work: Work | None = None

    @property
    def arrows(self) -> str:
        """The cursor's arrows, or those of the form."""
        return super().arrows if self.form is not None else "←→ 10 min; ↑↓ hour"

    def live_commands(self) -> tuple[Command, ...]:
        """The arrows belong to the form while it is shown, else to the cursor."""
        return super().live_commands() if self.form is not None else (*self.commands, *CURSOR)

    def read_clock(self) -> dt.datetime:
        """The present moment."""
        return self.desk.clock.now()

    # what is shown

    @property
    def date(self) -> dt.date | None:
        """The day shown: as chosen here, else the shot's, else the plan's."""
        shot = self.desk.shot
        return self.shown_date or (shot.date if shot is not None else None) or self.desk.shown_plan.date

    def _day(self) -> SkyDay | None:
        book, date = self.desk.setting().book, self.date
        return None if book is None or date is None else book.day(date)

    def _asked(self) -> Shot:
        """The shot in hand by the light of the sky, or level ground where the plan has no shot."""
        shot = self.desk.shot
        return _GROUND if shot is None else shot.model_copy(update={"light": None})

    def _given(self) -> Conditions:
        return conditions(self.desk.shown_plan, self._asked())

    def _daylight(self, day: SkyDay) -> DayLight:
        given = self._given()
        if self._light is None or self._light[0] is not day or self._light[1] != given:
            bands = self.desk.setting().catalogue.bands
            self._light = (day, given, day_light(day, given, tuple(bands)))
        return self._light[2]

    def _curve(self, day: SkyDay, book: SkyBook) -> Curve:
        return light_curve(self.desk.shown_plan, self._given(), day, book)

    def _working(self, day: SkyDay) -> Work | None:
        shot = self.desk.shot
        if shot is None:
            return None
        key = Key(self.desk.shown_plan, shot, self.desk.kit(), day)
        if self._work is None or any(a is not b for a, b in zip(self._work.key, key, strict=True)):
            self._work = work_of(key, self.desk.setting())
        return self._work

    def _home(self, day: SkyDay) -> float:
        """Minute of the day of the shot; without a time, of the sun's highest."""
        shot, last = self.desk.shot, (day.end_s - day.start_s) / 60.0 - 1.0
        asked = None if shot is None else shot.model_copy(update={"date": day.date})
        when = None if asked is None else moment(self.desk.shown_plan, asked, day.zone.key)
        if when is not None:
            return min(max((seconds(when) - day.start_s) / 60.0, 0.0), max(last, 0.0))
        middle = (day.start_s + day.end_s) / 2.0
        highest = next((event.ut_s for event in day.events if event.name == "sun_transit"), middle)
        return round((highest - day.start_s) / 60.0 / _STEP) * _STEP

    def cursor_minute(self, day: SkyDay) -> float:
        """Where the cursor stands, in minutes since the day began."""
        last = max((day.end_s - day.start_s) / 60.0 - 1.0, 0.0)
        return min(self._home(day) if self.minute is None else self.minute, last)

    # what the keys do

    def _step(self, way: int, size: int) -> None:
        day = self._day()
        if day is None:
            return
        at = self.cursor_minute(day) / _STEP
        whole = (at // 1 if way > 0 else -(-at // 1)) * _STEP
        last = max((day.end_s - day.start_s) / 60.0 - _STEP, 0.0)
        self.minute = min(max(whole + way * size, 0.0), last)

    def do_earlier(self) -> None:
        """Ten minutes earlier."""
        self._step(-1, _STEP)

    def do_later(self) -> None:
        """Ten minutes later."""
        self._step(1, _STEP)

    def do_hour_earlier(self) -> None:
        """An hour earlier."""
        self._step(-1, _HOUR)

    def do_hour_later(self) -> None:
        """An hour later."""
        self._step(1, _HOUR)

    def do_shot_time(self) -> None:
        """To the time of the shot."""
        self.minute = None

    def do_now(self) -> None:
        """To the present moment, and to the shot that is next."""
        now = self.read_clock()
        if self.desk.is_today():
            self.message = self.desk.go_now(now)
            self.shown_date = None
        day = self._day()
        if day is None:
            return
        here = now.astimezone(day.zone)
        if here.date() != day.date:
            self.message = f"the day shown is not today: there it is {here:%a %Y-%m-%d %H:%M}"
            return
        self.minute = (seconds(now) - day.start_s) // 60.0

    def _turn(self, days: int) -> None:
        date = self.date
        if date is None:
            self.message = f"no date yet: {self.key('place')} opens the fields"
            return
        try:
            shown = date + dt.timedelta(days=days)
            shown + dt.timedelta(days=8)
        except OverflowError:
            self.message = "the calendar ends here"
            return
        self.shown_date = shown

    def do_previous_day(self) -> None:
        """Show the day before."""
        self._turn(-1)

    def do_next_day(self) -> None:
        """Show the next day."""
        self._turn(1)

    def _look(self, way: int) -> None:
        self.desk.go(way)
        self.minute = self.shown_date = None

    def do_previous_shot(self) -> None:
        """The shot before, on its own day."""
        self._look(-1)

    def do_next_shot(self) -> None:
        """The next shot, on its own day."""
        self._look(1)

    def do_date(self) -> None:
        """Write the day shown into the plan."""
        date = self.date
        if date is None:
            self.message = f"no date yet: {self.key('place')} opens the fields"
            return
        text = date.isoformat()
        problem = self.desk.edit(self.desk.plan, lambda plan: plan.set(("date",), text))
        self.message = problem or f"the plan's date is {text}"

    def do_week(self) -> None:
        """Seven days, or the order of the day."""
        self.week = not self.week

    def do_place(self) -> None:
        """The fields of date and place, or the cursor."""
        self.form = None if self.form is not None else self.place_form

    # drawing

    def draw(self, width: int, height: int) -> Picture:
        """Events above, the curve, the figures at the cursor, and what was asked for below."""
        day, book = self._day(), self.desk.setting().book
        if day is None or book is None or day.end_s <= day.start_s:
            rows = [((self._missing(day), "warn"),), BLANK, *self._fields(width, height - 2)]
            return fitted(rows, width, height)
        found, given, curve, work = self._daylight(day), self._given(), self._curve(day, book), self._working(day)
        bands = self.desk.setting().catalogue.bands
        minute = self.cursor_minute(day)
        index = min(round(minute), len(curve.states) - 1)
        top = [self._head(day, width), *lines.event_rows(found, width)]
        light = scene_light(self.desk.shown_plan, self._asked(), book, day.local(curve.times_s[index]))
        figures = lines.cursor_rows(day, curve.states[index], light, bands, width)
        if work is not None and work.found.best is not None:
            rig = next((rig for rig in self.desk.kit().rigs if rig.label == work.found.best.label), None)
            figures.append(lines.iso_row(work.found.best, rig, light, width))
        bottom = self._bottom(book, day, work, width, height)
        room = max(height - len(top) - len(figures) - len(bottom), _LEAST_CURVE)
        spans = work.spans if work is not None else ()
        picture = lines.curve_picture(width, room, found, curve, given, bands, spans, curve.times_s[index])
        return fitted([*top, *picture, *figures, *bottom], width, height)

    def _missing(self, day: SkyDay | None) -> str:
        """Why there is no day to show."""
        if day is not None:
            return "this date does not exist in this zone: the clocks went past it"
        site, lacks = self.desk.shown_plan.site, []
        if site is None or site.position is None:
            lacks.append("the site's position")
        elif self.desk.setting().book is None:
            lacks.append("a time zone that is known")
        if self.date is None:
            lacks.append("a date")
        return f"the light of a day wants {' and '.join(lacks)}: {self.key('place')} opens the fields"

    def _head(self, day: SkyDay, width: int) -> Row:
        site, date = self.desk.shown_plan.site, self.desk.shown_plan.date
        shot = self.desk.shot
        name = safe(site.name) if site is not None else ""
        planned = "" if day.date in (date, shot.date if shot else None) else "  (not the plan's date)"
        told = f"  {lines.zone_text(day)}{planned}  {name}"
        return crop_row(((f"{day.date:%a %d %b %Y}", "title"), (told, "")), width)

    def _fields(self, width: int, room: int) -> list[Row]:
        form = self.place_form
        if self.form is None:
            return []
        return [*form.rows(width, max(min(room - 1, 3), 1), 2), form.help_row(width)]

    def _bottom(self, book: SkyBook, day: SkyDay, work: Work | None, width: int, height: int) -> list[Row]:
        if self.form is not None:
            return self._fields(width, _FORM)
        if self.week:
            return lines.week_rows(book, day.date, width)
        told = [] if work is None else work_rows(work, width, 2 if height < _TALL else 6)
        order = order_on(self.desk.shown_plan, self.desk.gear.value, day.zone.key, day.date)
        hand = self.desk.shot.name if self.desk.shot is not None else ""
        return told + lines.order_rows(order, hand, width, _ORDER if height < _TALL else 2 * _ORDER)
