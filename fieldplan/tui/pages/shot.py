"""The Shot page: the subject, the distance, and the body and lens that do it."""

from __future__ import annotations

from typing import ClassVar

from fieldplan.model.plan import Shot
from fieldplan.pictures.cells import Picture
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import Form
from fieldplan.tui.pages import shotlayout as layout
from fieldplan.tui.pages.shotover import OVER, ShotOver
from fieldplan.tui.rows import fitted
from fieldplan.tui.source import plan_source, shot_source


class ShotPage(ShotOver):
    """One shot at a time, with its answers; the picked answer in full at a key."""

    number = 2
    title = "Shot"
    commands: ClassVar[tuple[Command, ...]] = (
        *OVER,
        Command("previous_shot", ("[",), "shot", "the shot before", 20, "[ ]"),
        Command("next_shot", ("]",), "", "the next shot", 21),
        Command("previous_answer", ("k", ","), "answer", "pick the answer before", 22, "j k"),
        Command("next_answer", ("j", "."), "", "pick the next answer", 23),
        Command("full", ("space", "v"), "in full", "the picked answer in full, with its picture; again to go back", 24),
        Command(
            "picture",
            ("f",),
            "picture",
            "in full, the other picture: the frame, or the depth along the line of sight",
            95,
        ),
        Command("add", ("a",), "add", "add a shot after this one", 92),
        Command("copy", ("c",), "copy", "copy this shot", 93),
        Command("remove", ("d",), "delete", "delete this shot, a must only when asked twice (undo takes it back)", 94),
        Command("earlier", ("<",), "", "move this shot before the one before", 33),
        Command("later", (">",), "", "move this shot after the next one", 34),
        Command("outing", ("p",), "plan", "the form of the plan and its site, or of the shot again", 91),
        Command("forget", ("escape", "ctrl+g"), "", "forget a text that could not be read", 36),
    )
    full_commands: ClassVar[tuple[Command, ...]] = (
        Command("full", ("space", "v", "escape", "ctrl+g", "enter"), "back", "back to the form and all answers", 1),
        Command("picture", ("f",), "other picture", "the frame, or the depth along the line of sight", 2),
        *commands[len(OVER) : len(OVER) + 4],
        Command("up", ("up", "pageup"), "", "further up", 5),
        Command("down", ("down", "pagedown"), "", "further down", 6),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.shot_form, self.plan_form = Form(shot_source(desk)), Form(plan_source(desk))
        self.form: Form = self.shot_form
        self.in_full = False
        self.depth_shown = False
        self.top = 0
        self._asked: tuple[Shot, str] | None = None  # a must that is asked about, and the line that asks

    @property
    def arrows(self) -> str:
        """In full the arrow keys scroll; else they belong to the form."""
        if self.view is not None and not self.typing:
            return self.view.arrows
        return "↑↓ scroll" if self.in_full else super().arrows

    def live_commands(self) -> tuple[Command, ...]:
        """In full the form is out of sight, and so are its keys."""
        over = self.view_commands()
        return over if over is not None else self.full_commands if self.in_full else super().live_commands()

    def draw(self, width: int, height: int) -> Picture:
        """The page for this size."""
        if self._asked is not None and self.message != self._asked[1]:
            self._asked = None  # another key has taken the line away
        answers = self.desk.answers()
        if answers is None:
            if self.view is not None:
                self.close_view()
            return fitted(layout.without_shots(self, width, height), width, height)
        self.picked = max(0, min(self.picked, len(answers.rigs) - 1))
        answer = self.answer
        if self.view is not None:
            rows = self.view.draw(answers, answer, width, height)
        elif self.in_full and answer is not None:
            rows = layout.in_full(self, answers, answer, width, height)
        elif width >= layout.WIDE and height >= layout.HIGH:
            rows = layout.wide(self, answers, width, height)
        else:
            rows = layout.narrow(self, answers, width, height)
        return fitted(rows, width, height)

    def do_previous_shot(self) -> None:
        """The shot before."""
        self._look(-1)

    def do_next_shot(self) -> None:
        """The next shot."""
        self._look(1)

    def _look(self, way: int) -> None:
        self.desk.go(way)
        self.picked = 0
        self.form = self.shot_form

    def do_previous_answer(self) -> None:
        """Pick the answer before."""
        self.picked -= 1

    def do_next_answer(self) -> None:
        """Pick the next answer."""
        self.picked += 1

    def do_full(self) -> None:
        """The picked answer in full, or the page again."""
        self.in_full = not self.in_full and self.answer is not None
        self.top = 0

    def do_picture(self) -> None:
        """The other picture."""
        self.depth_shown = not self.depth_shown
        self.in_full = self.answer is not None

    def do_up(self) -> None:
        """Scroll the facts up."""
        self.top -= 3

    def do_down(self) -> None:
        """Scroll the facts down."""
        self.top += 3

    def do_forget(self) -> None:
        """A text that could not be read is forgotten."""
        if self.form.entry is not None:
            self.form.source.restore(self.form.entry.path)

    def do_outing(self) -> None:
        """The form of the plan, or of the shot."""
        self.form = self.shot_form if self.form is self.plan_form else self.plan_form

    def do_add(self) -> None:
        """A new shot after this one, its name open."""
        shots = self.desk.plan.value.shots
        at = min(self.desk.shot_index + 1, len(shots))
        taken = {shot.name for shot in shots}
        name = next(word for n in range(1, len(taken) + 2) if (word := f"shot {len(shots) + n}") not in taken)
        if self._edited(self.desk.edit(self.desk.plan, lambda plan: plan.insert(("shot",), at, {"name": name})), at):
            self.form.select_key("name")
            self.message = f'"{name}" added; {self.key("open")} opens its name, then choose a subject and a distance'

    def do_copy(self) -> None:
        """A copy after this shot."""
        at = self.desk.shot_index
        if self.desk.shot is not None:
            self._edited(self.desk.edit(self.desk.plan, lambda plan: plan.copy(("shot", at))), at + 1)

    def do_remove(self) -> None:
        """Away with this shot."""
        at, shot = self.desk.shot_index, self.desk.shot
        if shot is not None and shot.must and (self._asked is None or self._asked[0] is not shot):
            self.message = f'"{shot.name}" is a must: {self.key("remove")} again deletes it'
            self._asked = shot, self.message
        elif shot is not None:
            last = len(self.desk.plan.value.shots) - 2
            if self._edited(
                self.desk.edit(self.desk.plan, lambda plan: plan.remove(("shot", at))), max(min(at, last), 0)
            ):
                self.message = f'"{shot.name}" deleted; {self.key("undo")} takes it back'

    def do_earlier(self) -> None:
        """This shot one place up the list."""
        self._move(-1)

    def do_later(self) -> None:
        """This shot one place down the list."""
        self._move(1)

    def _move(self, way: int) -> None:
        at = self.desk.shot_index
        to = at + way
        if 0 <= to < len(self.desk.plan.value.shots):
            self._edited(self.desk.edit(self.desk.plan, lambda plan: plan.move(("shot", at), to)), to)

    def _edited(self, problem: str, look_at: int) -> bool:
        self.message = problem
        if not problem:
            self.desk.shot_index = look_at
            self.form, self.picked, self.in_full = self.shot_form, 0, False
        return not problem
