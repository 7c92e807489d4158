"""The clock: what this computer shows against the time at the site, and a field for how far the computer's is off."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, ClassVar

from fieldplan.model.clock import ComputerClock
from fieldplan.notation.quantity import Value
from fieldplan.notation.shift import write_shift
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.rightnow import site_time
from fieldplan.tui.commands import Command
from fieldplan.tui.form import Form
from fieldplan.tui.loose import LooseSource
from fieldplan.tui.pages.nowlines import clock_rows
from fieldplan.tui.pages.shotview import BACK, ShotView
from fieldplan.tui.rows import BLANK, wrapped

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

_ABOUT = (
    "Everything that says now goes by the site's clock. Where this computer's clock is wrong, or was set to another "
    "zone by hand, write the true time, or by how much it is ahead; it stays with this computer, not with the plan."
)


class ClockView(ShotView):
    """Two clocks, and two ways to say how far the computer's is off."""

    commands: ClassVar[tuple[Command, ...]] = (
        Command("leave", ("z", *BACK), "back", "back to the shot", 2, opener="clock"),
    )
    arrows = "↑↓ a minute"
    with_form = True

    def __init__(self, page: ShotOver) -> None:
        ahead_s = page.desk.clock.ahead.total_seconds()
        record = ComputerClock() if not ahead_s else ComputerClock(ahead=Value(ahead_s, write_shift(ahead_s)))
        self.source = LooseSource(record, lambda: page.desk.units, self._kept)
        super().__init__(page, Form(self.source))

    def _kept(self, record: ComputerClock) -> None:
        clock = self.page.desk.clock
        if record.true_time is None:
            clock.ahead = dt.timedelta(seconds=0.0 if record.ahead is None else float(record.ahead))
            return
        here = site_time(clock.computer(), self.page.desk.setting().time_zone)
        clock.ahead = ahead_of(here, record.true_time)
        seconds = clock.ahead.total_seconds()
        self.source.record = ComputerClock(ahead=Value(seconds, write_shift(seconds))) if seconds else ComputerClock()
        self.page.message = "reckoned from the true time: see the field before"

    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """The clocks, the field, and what it is for."""
        clock, zone = self.page.desk.clock, self.page.desk.setting().time_zone
        told = clock_rows(clock.computer(), site_time(clock.now(), zone), zone, clock.ahead)
        clocks = [row for text in told for row in wrapped(text, width, "", 2)]
        field = [*self.form.rows(width, 2, 1), self.form.help_row(width)]
        return [(("the time", "title"),), BLANK, *clocks, BLANK, *field, BLANK, *wrapped(_ABOUT, width, "dim")]


def ahead_of(shown: dt.datetime, true_time: dt.time) -> dt.timedelta:
    """By how much a clock face is ahead of the true time of day, at most twelve hours either way, whole seconds."""
    faces = [face.hour * 3600 + face.minute * 60 + face.second for face in (shown.time(), true_time)]
    return dt.timedelta(seconds=(faces[0] - faces[1] + 43200) % 86400 - 43200)
