"""How far is it? What is seen and counted goes in at the left of a form; the range that it gives goes into the shot."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from fieldplan.model.gear import Photographer
from fieldplan.model.sighting import Sighting
from fieldplan.notation.display import focal_text, length_text, span_text
from fieldplan.notation.quantity import Span, Value
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.howfar import HowFar, how_far, odd_measures, own_step_m
from fieldplan.planner.rigs import Rig
from fieldplan.planner.rough import rough_span
from fieldplan.planner.tofill import ToFill, size_that_counts, to_fill
from fieldplan.tui.commands import Command
from fieldplan.tui.form import Form
from fieldplan.tui.loose import LooseSource
from fieldplan.tui.pages.shotview import BACK, ShotView
from fieldplan.tui.rows import BLANK, crop, safe, wrapped
from fieldplan.tui.source import RecordSource

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

_OWN = ("arm", "finger", "thumb", "fist", "spread", "pace")


class HowFarView(ShotView):
    """Lines of thought, each with its error, and what they give together."""

    commands: ClassVar[tuple[Command, ...]] = (
        Command("use", ("space",), "use it", "write the range into the shot's distance (undo takes it back)", 1),
        Command("own", ("o",), "own hand", "your own arm, hand and step, in the gear profile; again to go back", 15),
        Command("own_step", ("s",), "own step", "keep the step just walked as your own, in the gear profile", 16),
        Command("turn", ("r",), "turn", "the camera held upright while you judge the share, or level", 14),
        Command("leave", ("h", *BACK), "back", "back to the shot", 2, opener="how_far"),
    )
    arrows = "←→ field; ↑↓ step"
    with_form = True

    def __init__(self, page: ShotOver) -> None:
        desk = page.desk
        self.source = LooseSource(Sighting(), lambda: desk.units)
        self.seen_form = Form(self.source)
        own = RecordSource(desk, desk.gear, lambda: [(("photographer",), Photographer)], _OWN)
        self.own_form = Form(own)
        super().__init__(page, self.seen_form)
        self._begin()

    def _begin(self) -> None:
        """What the shot knows already: the subject's size along the side that fills first, the focal length."""
        answers, answer = self.page.desk.answers(), self.page.answer
        self._shot = None if answers is None else answers.shot.name
        self.source.record, self.source.trial = Sighting(), None
        size = size_that_counts(None if answers is None else answers.wanted, answer)
        if size is not None:
            self.source.put(size=Span(*size, span_text(*size, self.source.units)))
            self.seen_form.select_key("share")
        if answer is not None and answer.focal_m is not None:
            self.source.put(focal=Value(answer.focal_m, focal_text(answer.focal_m)))

    def _own(self) -> Photographer:
        return (self.page.desk.trial_gear or self.page.desk.gear.value).photographer

    def _rig(self, answer: Answer | None) -> Rig | None:
        return None if answer is None else next((r for r in self.page.desk.kit().rigs if r.label == answer.label), None)

    def _found(self, answer: Answer | None) -> HowFar:
        return how_far(self.source.shown, self._own(), answer, self._rig(answer), self.source.units)

    def do_own(self) -> None:
        """The form of the photographer's own measures, or of what is seen."""
        self.form = self.seen_form if self.form is self.own_form else self.own_form
        self.page.form = self.form

    def do_use(self) -> None:
        """The range into the shot."""
        found, desk, at = self._found(self.page.answer), self.page.desk, self.page.desk.shot_index
        if found.low_m is None or found.high_m is None:
            self.page.message = "no distance yet: give a size and its share, a hand, or steps"
            return
        text = rough_span(found.low_m, found.high_m, desk.units, outward=True)
        problem = desk.put(desk.plan, ("shot", at, "distance"), text)
        self.page.message = problem or f"the shot's distance is {text}; {self.page.key('undo')} takes it back"
        if not problem:
            self.page.close_view()

    def do_turn(self) -> None:
        """Judge the share with the camera held the other way."""
        answer, held = self.page.answer, self.source.record.held
        if answer is not None:
            self.source.put(held="level" if (held or answer.hold) == "upright" else "upright")

    def do_own_step(self) -> None:
        """The step that was walked over a known distance becomes the photographer's own."""
        one, desk = own_step_m(self.source.record), self.page.desk
        if one is None:
            keeps = self.page.key("own_step")
            self.page.message = f"count your steps over a distance you know: give both, then {keeps} keeps your step"
            return
        text = length_text(one, desk.gear.value.units)
        problem = desk.edit(desk.gear, lambda gear: gear.set(("photographer", "pace"), text))
        undo = self.page.key("undo")
        self.page.message = problem or f"your step is {text}, kept in the gear profile; {undo} takes it back"

    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """What is seen, what each line of thought gives, and the range of them all."""
        if answers.shot.name != self._shot:
            self._begin()
        units = self.page.desk.units
        own = self.form is self.own_form
        title = "your own hand and step" if own else f"how far? {safe(_name(answers))}"
        columns = 2 if width >= 76 else 1
        found = self._found(answer)
        told = _told(found, units, width)
        if own or self.source.shown.hand is not None:
            told += [row for text in odd_measures(self._own()) for row in wrapped(text, width, "warn")]
        one = own_step_m(self.source.shown)
        if one is not None:
            keeps = self.page.key("own_step")
            told += wrapped(f"your step: {length_text(one, units)}; {keeps} keeps it as your own", width, "best")
        way = to_fill(answers.wanted, found, answer, self._rig(answer), self._own())
        told += [] if way is None else wrapped(way_text(way, units), width, "")
        fields = max(min(4 if columns == 2 else 7, height - len(told) - 4), 1)
        rows: list[Row] = [((crop(title, width), "title"),), *self.form.rows(width, fields, columns)]
        return [*rows, self.form.help_row(width), BLANK, *told]


def way_text(way: ToFill, units: str) -> str:
    """ "to fill as wanted walk 12 steps nearer (9 m), by anybody's step", or that there is no need to walk."""
    if way.focals is not None:
        ends = " to ".join(dict.fromkeys(map(focal_text, way.focals)))
        return f"no need to walk: {ends} fills as wanted from there"
    count = f"{way.steps} step{'' if way.steps == 1 else 's'} {'nearer' if way.metres > 0.0 else 'back'}"
    measured = "" if way.own_step else ", by anybody's step"
    care = "; keep the distance that the animal asks for" if way.animal and way.metres > 0.0 else ""
    return f"to fill as wanted walk {count} ({length_text(abs(way.metres), units)}){measured}{care}"


def _name(answers: ShotAnswers) -> str:
    return answers.wanted.subject if answers.wanted is not None and answers.wanted.subject else answers.shot.name


def _told(found: HowFar, units: str, width: int) -> list[Row]:
    """Each line of thought with its range, and all of them together."""
    rows: list[Row] = []
    for line in found.lines:
        text = f"  {span_text(line.low_m, line.high_m, units)}: {safe(line.by)}"
        rows.append(((crop(text, width), ""),))
    for what in found.missing:
        rows.append(((crop(f"  still wanted: {what}", width), "dim"),))
    if found.low_m is None or found.high_m is None:
        return [*rows, *wrapped("a known size with its share of the frame or a hand held up; or steps", width, "dim")]
    text = rough_span(found.low_m, found.high_m, units, outward=True)
    if not found.agree:
        return [*rows, *wrapped(f"they disagree: {text} holds them all; look again, or Space uses it", width, "warn")]
    together = "together " if len(found.lines) > 1 else ""
    return [*rows, (("= ", "key"), (f"{together}{text}", "best"), ("   Space writes it into the shot", "dim"))]
