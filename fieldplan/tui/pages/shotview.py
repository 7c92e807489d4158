"""A view that lies over the Shot page for a while: its own keys, its own drawing, and the page's shot and answer."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, ClassVar

from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.tui.commands import Command
from fieldplan.tui.form import Form

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

BACK = ("escape", "ctrl+g")
PICKING: tuple[Command, ...] = (
    Command("previous_answer", ("k", ","), "answer", "pick the answer before", 22, "j k"),
    Command("next_answer", ("j", "."), "", "pick the next answer", 23),
)
SHOTS: tuple[Command, ...] = (
    Command("previous_shot", ("[",), "shot", "the shot before", 20, "[ ]"),
    Command("next_shot", ("]",), "", "the next shot", 21),
)


class ShotView(ABC):
    """One view. form: takes the keys while a field is open. with_form: its own keys to select and step live too.

    ``do_<id>`` of its commands are looked for here first, then on the page.
    """

    commands: ClassVar[tuple[Command, ...]] = ()
    arrows: ClassVar[str] = ""
    with_form: ClassVar[bool] = False

    def __init__(self, page: ShotOver, form: Form) -> None:
        self.page, self.form = page, form

    def live(self) -> tuple[Command, ...]:
        """Its keys at this moment."""
        return self.commands

    @abstractmethod
    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """The view in at most ``height`` rows."""

    def do_leave(self) -> None:
        """Back to the page."""
        self.page.close_view()
