"""What lies over the Shot page: the views and the keys that open them, one key each."""

from __future__ import annotations

from typing import ClassVar

from fieldplan.pictures.cells import Level
from fieldplan.planner.answers import Answer, Light
from fieldplan.tui.commands import FORM, TYPING, Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import Form
from fieldplan.tui.page import Page
from fieldplan.tui.pages.shotnow import Moments
from fieldplan.tui.pages.shotview import ShotView
from fieldplan.tui.terminal import level_of_terminal

OVER: tuple[Command, ...] = (
    Command("glance", ("g",), "glance", "the figures of this shot, large; another distance is typed there", 11),
    Command("what_if", ("w",), "what if", "one thing changed, the new answer beside the old", 26),
    Command("how_far", ("h",), "how far", "the distance from a known size, a hand held up, or steps", 27),
    Command("more", ("m",), "more", "more on this answer: close up, both ends, sweep, converter, other bodies", 25),
    Command("took", ("l",), "log", "log the shot as taken now with the picked answer (undo takes it back)", 28),
    Command("log", ("e",), "", "what was logged for this shot, to put right", 29),
    Command("clock", ("z",), "", "this computer's clock against the site's, and how far it is off", 46),
)


class ShotOver(Page):
    """The part of the Shot page that opens views; ``view`` is the one in sight, None for the page itself."""

    full_commands: ClassVar[tuple[Command, ...]] = ()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.view: ShotView | None = None
        desk.on_the_spot = False
        self.moments = Moments(desk)
        self.level: Level = level_of_terminal()
        self.shot_form: Form
        self.picked = 0

    @property
    def answer(self) -> Answer | None:
        """The picked answer."""
        answers = self.desk.answers()
        if answers is None or not answers.rigs:
            return None
        return answers.rigs[min(self.picked, len(answers.rigs) - 1)]

    @property
    def holders(self) -> tuple[object, ...]:
        """The view in sight first."""
        return (self,) if self.view is None else (self.view, self)

    def view_commands(self) -> tuple[Command, ...] | None:
        """The keys of the view in sight; None for the page itself."""
        if self.view is None or self.typing:
            return TYPING if self.typing else None
        return (*self.view.live(), *(FORM if self.view.with_form else ()))

    def open_view(self, view: ShotView) -> None:
        """Lay a view over the page."""
        self.view, self.form = view, view.form
        self.desk.on_the_spot = True

    def close_view(self) -> None:
        """The page again, with the form of the shot."""
        self.view, self.form = None, self.shot_form
        self.desk.on_the_spot = False

    def _wants_answer(self) -> bool:
        if self.answer is None:
            answers = self.desk.answers()
            why = f"the plan holds no shot yet: {self.key('add')} adds one" if answers is None else answers.problem
            self.message = f"no answer to this shot yet: {why}"
        return self.answer is not None

    def do_glance(self) -> None:
        """The few figures, large."""
        from fieldplan.tui.pages.shotglance import GlanceView

        if self.desk.answers() is not None:
            self.open_view(GlanceView(self))

    def do_what_if(self) -> None:
        """One thing changed."""
        from fieldplan.tui.pages.shotwhatif import WhatIfView

        if self._wants_answer():
            by = self._light_in_sight()
            self.open_view(WhatIfView(self, by))

    def _light_in_sight(self) -> tuple[Light, str] | None:
        """The light now with its name, where the view in sight shows the figures by it; None: the plan's."""
        from fieldplan.tui.pages.shotglance import GlanceView

        answers, answer = self.desk.answers(), self.answer
        if not isinstance(self.view, GlanceView) or answers is None or answer is None:
            return None
        _, light, by = self.view.used(answers, answer)
        return None if light is None or light is answers.light else (light, by)

    def do_how_far(self) -> None:
        """The distance without a range finder."""
        from fieldplan.tui.pages.shothowfar import HowFarView

        if self.desk.answers() is not None:
            self.open_view(HowFarView(self))

    def do_more(self) -> None:
        """More on the picked answer."""
        from fieldplan.tui.pages.shotmore import MoreView

        if self._wants_answer():
            self.open_view(MoreView(self))

    def do_took(self) -> None:
        """Log the shot."""
        from fieldplan.tui.pages.shottook import took

        if self._wants_answer():
            self.message = took(self)

    def do_log(self) -> None:
        """What was logged, to put right."""
        from fieldplan.tui.pages.shottook import LogView, entries_of

        if self.desk.shot is None or not entries_of(self.desk):
            self.message = f"nothing logged for this shot yet: {self.key('took')} logs it as taken"
            return
        self.open_view(LogView(self))

    def do_clock(self) -> None:
        """The clock."""
        from fieldplan.tui.pages.shotclock import ClockView

        if self.desk.answers() is not None:
            self.open_view(ClockView(self))
