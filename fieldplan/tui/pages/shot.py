"""Page 2: the subject and the distance, and the body and lens that do it."""

from __future__ import annotations

from fieldplan.model.plan import RigChoice, Shot, Site
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import FieldAt, Form, fields_at
from fieldplan.tui.page import Page
from fieldplan.tui.pages import answerlines, shotlines
from fieldplan.tui.pages.suggesting import suggest
from fieldplan.tui.rows import beside, crop, safe, wrapped

SHOWN = 5
WIDE = 120
_ORDER = ("subject", "activity", "distance", "fill", "light", "focal", "depth_of_field", "hold", "support", "panned",
          "direction", "speed", "background", "circle", "time", "from", "to", "date", "lit", "light_offset", "aim",
          "aim_altitude", "sharp_from", "sharp_to", "sway", "name", "must", "note")  # fmt: skip


class ShotPage(Page):
    """The list of shots, the form of one, its ranked answers, and one of them in full."""

    number = 2
    title = "Shot"
    commands = (
        Command("last_shot", ("left_square_bracket",), "[", "shot", "the shot before"),
        Command("next_shot", ("right_square_bracket",), "]", "shot", "the next shot"),
        Command("last_answer", ("comma",), ",", "up", "the answer above"),
        Command("next_answer", ("full_stop",), ".", "answer", "the answer below"),
        Command("details", ("d", "space"), "d", "in full", "the highlighted answer in full, with pictures"),
        Command("picture", ("v",), "v", "picture", "the frame, or the depth along the line of sight"),
        Command("shots", ("l",), "l", "list", "the list of shots"),
        Command("add_shot", ("a",), "a", "add", "a new shot after this one"),
        Command("copy_shot", ("c",), "c", "copy", "a copy of this shot"),
        Command("delete_shot", ("x",), "x", "delete", "take this shot out (u brings it back)"),
        Command("save_over", ("w",), "w", "write over", "write over a file that another program changed"),
        Command("read_again", ("z",), "z", "read again", "read files again from disk"),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.form = Form(desk, "plan", lambda at, text: suggest(desk, at, text))
        self.chosen = 0
        self.view = "form"
        self.depth_shown = False

    # keys

    def _go(self, way: int) -> None:
        count = len(self.desk.plan.shots)
        if count:
            self.desk.shot_index = (self.desk.shot_index + way) % count
            self.chosen = 0

    def do_last_shot(self) -> None:
        self._go(-1)

    def do_next_shot(self) -> None:
        self._go(1)

    def do_last_answer(self) -> None:
        self.chosen = max(self.chosen - 1, 0)

    def do_next_answer(self) -> None:
        found = self.desk.answers()
        self.chosen = min(self.chosen + 1, len(found.rigs) - 1 if found and found.rigs else 0)

    def do_details(self) -> None:
        self.view = "form" if self.view == "full" else "full"

    def do_shots(self) -> None:
        self.view = "form" if self.view == "list" else "list"

    def do_picture(self) -> None:
        if self.view != "full":
            self.view = "full"
        else:
            self.depth_shown = not self.depth_shown

    def do_add_shot(self) -> None:
        at = self.desk.shot_index + 1 if self.desk.plan.shots else 0
        problem = self.desk.add("plan", ("shot",), at, {"name": "new shot"})
        self._after(problem, at)

    def do_copy_shot(self) -> None:
        if self.desk.shot is not None:
            self._after(self.desk.copy("plan", ("shot", self.desk.shot_index)), self.desk.shot_index + 1)

    def do_delete_shot(self) -> None:
        if self.desk.shot is not None:
            name = self.desk.shot.name
            problem = self.desk.remove("plan", ("shot", self.desk.shot_index))
            self._after(problem, max(self.desk.shot_index, 0))
            self.desk.message = problem or f'"{name}" taken out; u brings it back'

    def do_save_over(self) -> None:
        self.desk.message = self.desk.save_over()

    def do_read_again(self) -> None:
        self.desk.message = self.desk.read_again()

    def _after(self, problem: str, index: int) -> None:
        self.chosen = 0
        self.desk.message = problem
        if not problem:
            self.desk.shot_index = max(0, min(index, len(self.desk.plan.shots) - 1))
        self.desk.refresh()

    # drawing

    def _fields(self) -> tuple[FieldAt, ...]:
        base = ("shot", self.desk.shot_index)
        rig = fields_at(RigChoice, (*base, "rig"), prefix="only ")
        site = fields_at(Site, ("site",), ("sky", "position", "elevation", "time_zone"), "site ")
        return (*fields_at(Shot, base, _ORDER), *rig, *site)

    def draw(self, width: int, height: int) -> list[Row]:
        """The page at a glance; at 120 columns and more the pictures stand beside it."""
        assert self.form is not None
        found = self.desk.answers()
        if found is None:
            self.form.show(())
            return [(("This plan has no shots yet. Press a to add one.", "warn"),)]
        self.form.show(self._fields())
        if width < WIDE:
            return self._glance(found, width, height)
        first = self._glance(found, 79, height)
        return beside(first, 79, self._side(found, width - 82, height), 3)

    def _glance(self, found: ShotAnswers, width: int, height: int) -> list[Row]:
        rows = shotlines.heading(self.desk, found, width)
        rows += self._answers(found, width)
        room = height - len(rows)
        if self.view == "full" and found.rigs:
            rows += self._full(found, width, room)
        elif self.view == "list":
            rows += shotlines.shot_list(self.desk, width, room)
        else:
            assert self.form is not None
            rows.append(())
            rows += self.form.rows(width, room - 1, 2)
        return rows

    def _answers(self, found: ShotAnswers, width: int) -> list[Row]:
        units = self.desk.units
        if found.problem is not None:
            rows = wrapped(f"no answer: {safe(found.problem)}", width, "problem", 2, 3)
            return rows + shotlines.caution(found, width)
        self.chosen = min(self.chosen, len(found.rigs) - 1)
        top = max(0, min(self.chosen - SHOWN + 1, len(found.rigs) - SHOWN))
        rows = [answerlines.head(width)]
        rows += [answerlines.line(a, width, top + i == self.chosen, units) for i, a in enumerate(found.rigs[top : top + SHOWN])]
        left_over = len(found.rigs) - SHOWN
        more = f" ({left_over} more: . and ,)" if left_over > 0 else ""
        rows.append(((crop(f"first because: {safe(found.why_first)}{more}", width), ""),))
        rows += shotlines.trouble(found, self.chosen, width)
        return rows + shotlines.caution(found, width)

    def _chosen(self, found: ShotAnswers) -> Answer:
        return found.rigs[self.chosen]

    def _full(self, found: ShotAnswers, width: int, room: int) -> list[Row]:
        answer = self._chosen(found)
        text = answerlines.in_full(answer, width - 32, self.desk.units)
        if self.depth_shown:
            return [*shotlines.depth_picture(found, answer, width, self.desk.units), *text][:room]
        return beside(text, width - 32, shotlines.frame_picture(found, answer, 30, min(room, 12)), 2)[:room]

    def _side(self, found: ShotAnswers, width: int, height: int) -> list[Row]:
        if not found.rigs:
            return []
        answer = self._chosen(found)
        rows = shotlines.frame_picture(found, answer, min(width, 50), 13)
        rows += shotlines.depth_picture(found, answer, width, self.desk.units)
        rows.append(())
        rows += answerlines.in_full(answer, width, self.desk.units)
        return rows[:height]


