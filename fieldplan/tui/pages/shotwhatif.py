"""What if: one thing changed by one key, the new answer beside the old; kept in the plan or dropped with one key."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from fieldplan.notation.display import focal_text, length_text, size_text, span_text
from fieldplan.notation.marks import f_mark, iso_words, share_text, time_mark
from fieldplan.notation.words import read_light
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, Light, ShotAnswers
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.whatif import WhatIf, what_if
from fieldplan.tui.commands import Command
from fieldplan.tui.pages.answerrows import in_the_way, label_text
from fieldplan.tui.pages.shotview import BACK, PICKING, ShotView
from fieldplan.tui.rows import crop, left, safe, wrap, wrapped

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

_LABEL = 12
_OFFERS = (  # key, kind, words, further keys
    ("i", "iso", "a stop of ISO more", ()), ("o", "wider", "a stop wider", ()), ("s", "slower", "half the motion", ()),
    ("up", "longer", "next longer lens", ("+",)), ("down", "shorter", "next shorter lens", ("-",)),
    ("c", "closer", "closer by a third", ()), ("r", "turned", "upright or level", ()),
)  # fmt: skip
Line = tuple[str, str]


def _ask(key: str, kind: str, label: str, more: tuple[str, ...]) -> Command:
    return Command(f"if_{kind}", (key, *more), "", f"what if: {label}", 3)


class WhatIfView(ShotView):
    """Seven questions, each one key; the answer of each beside the one that was picked."""

    commands: ClassVar[tuple[Command, ...]] = (
        *(_ask(*offer) for offer in _OFFERS),
        *PICKING,
        Command("leave", ("w", *BACK), "back", "back to the shot", 12, opener="what_if"),
    )
    asked_commands: ClassVar[tuple[Command, ...]] = (
        Command("keep", ("enter", "="), "keep it", "write the change into the plan (undo takes it back)", 1),
        Command("drop", ("w", *BACK), "drop it", "drop the change", 2, opener="what_if"),
        *commands[:-1],
    )

    def __init__(self, page: ShotOver, by: tuple[Light, str] | None = None) -> None:
        super().__init__(page, page.shot_form)
        self.asked = ""
        self.by = by  # the light that the figures are for, with its name; None: as planned
        self._held: tuple[ShotAnswers, ShotAnswers] | None = None

    def ask(self, kind: str) -> None:
        """Change one thing."""
        self.asked = kind

    def do_if_iso(self) -> None:
        """One stop of ISO more."""
        self.ask("iso")

    def do_if_wider(self) -> None:
        """One stop wider."""
        self.ask("wider")

    def do_if_slower(self) -> None:
        """Half the motion."""
        self.ask("slower")

    def do_if_longer(self) -> None:
        """The next longer lens."""
        self.ask("longer")

    def do_if_shorter(self) -> None:
        """The next shorter lens."""
        self.ask("shorter")

    def do_if_closer(self) -> None:
        """Closer by a third."""
        self.ask("closer")

    def do_if_turned(self) -> None:
        """Held the other way."""
        self.ask("turned")

    def _case(self) -> tuple[ShotAnswers, Answer] | None:
        """The answers and the picked one by the light that counts here."""
        desk, answer, answers = self.page.desk, self.page.answer, self.page.desk.answers()
        if answer is None or answers is None:
            return None
        if self.by is None:
            return answers, answer
        if self._held is None or self._held[0] is not answers:
            lit = answers.shot.model_copy(
                update={"light": read_light(f"EV {self.by[0].ev100:.2f}"), "light_offset": 0.0}
            )
            self._held = (answers, assess_shot(desk.plan.value, lit, desk.kit(), desk.setting()))
        found = self._held[1]
        same = (a for a in found.rigs if (a.label, a.hold) == (answer.label, answer.hold))
        return found, next(same, answer)

    def _light_name(self, answers: ShotAnswers) -> str:
        """ ", by the light now, 10:12", ", light of 12:30"."""
        if self.by is not None:
            return f", {self.by[1]}"
        if answers.light is None or answers.light.source == "given":
            return "" if answers.light is None else ", light as given"
        return "" if answers.when is None else f", light of {answers.when:%H:%M}"

    def _found(self) -> WhatIf | None:
        desk, case = self.page.desk, self._case()
        if not self.asked or case is None:
            return None
        answers, answer = case
        return what_if(self.asked, desk.plan.value, answers, answer, desk.kit(), desk.setting())

    def do_keep(self) -> None:
        """Write the change into the plan, and look at its answer."""
        found, desk, at = self._found(), self.page.desk, self.page.desk.shot_index
        if found is None or found.shot is None:
            self.page.message = "nothing to keep: choose a change first"
            return
        before = desk.plan.value.shots[at]
        after = found.shot.model_copy(update={"light": before.light, "light_offset": before.light_offset})
        problem = desk.put_shot(at, after)
        if problem:
            self.page.message = problem
            return
        self.page.picked, self.asked = found.at, ""
        self.page.message = f"kept: {found.what}; {self.page.key('undo')} takes it back"
        self.page.close_view()

    def do_drop(self) -> None:
        """The answer as it was."""
        self.asked = ""

    def live(self) -> tuple[Command, ...]:
        """Keep and drop live once something is asked."""
        return self.asked_commands if self.asked else self.commands

    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """The questions, and two columns: as it is, and as it would be."""
        if answer is None:
            return wrapped(f"No answer yet: {safe(answers.problem or '')}", width, "warn")
        units = self.page.desk.units
        case = self._case()
        answers, answer = case if case is not None else (answers, answer)
        found = self._found()
        head: Row = (("what if  ", "title"), (crop(safe(answers.shot.name), width - 9), ""))
        rows: list[Row] = [head, *_offers(self.page, self.asked, width)]
        if found is not None and (found.what or found.why_not):
            parts = [part for part in (found.what, found.why_not) if part]
            rows += wrapped(safe(f"if {': '.join(parts)}"), width, "warn" if found.why_not else "title", 2)
        half, after = (width - _LABEL - 2) // 2, None if found is None else found.answer
        new = [] if found is None or found.found is None or after is None else lines(found.found, after, units)
        title = "as it would be (* new)" if new else ""
        rows += [
            (),
            (
                (left("", _LABEL), ""),
                (left(f"as it is{self._light_name(answers)}", half + 2), "label"),
                (crop(title, half), "label"),
            ),
        ]
        rows += two_columns(lines(answers, answer, units), new, half, height - len(rows) - 1)
        if found is not None and found.note:
            rows.append(((crop(safe(found.note), width), "dim"),))
        return rows


def _offers(page: ShotOver, asked: str, width: int) -> list[Row]:
    """The questions with their keys, as many on a row as fit."""
    rows: list[Row] = []
    row: list[tuple[str, str]] = []
    used = 0
    for _, kind, label, _ in _OFFERS:
        key = page.key(f"if_{kind}")
        wide = len(key) + 1 + len(label) + 2
        if row and used + wide > width:
            rows.append(tuple(row))
            row, used = [], 0
        row += [(key, "key"), (f" {label}", "picked" if kind == asked else ""), ("  ", "")]
        used += wide
    return [*rows, tuple(row)]


def lines(s: ShotAnswers, a: Answer, units: str) -> list[Line]:
    """The figures of an answer as label and text, the same lines for every answer."""
    distance = s.wanted.distance if s.wanted is not None else None
    ends = "-" if a.fill is None else share_text(a.fill)
    return [
        ("body + lens", label_text(a, 60)), ("focal", "-" if a.focal_m is None else focal_text(a.focal_m)),
        ("f-number", "-" if a.f_number is None else f_mark(a.f_number)),
        ("shutter", "-" if a.shutter_s is None else time_mark(a.shutter_s)),
        ("ISO", "-" if a.iso is None else iso_words(a.iso, a.iso_ceiling)), ("in the way", in_the_way(a)),
        ("distance", span_text(*distance, units) if distance is not None else length_text(a.distance_m, units)),
        ("fill", ends if a.fill_axis is None else f"{ends} of the {a.fill_axis}"),
        ("depth", length_text(a.depth_m, units)), ("held", a.hold),
        ("pixels", "-" if a.pixels_on_subject is None else size_text(a.pixels_on_subject)),
    ]  # fmt: skip


def two_columns(before: list[Line], after: list[Line], half: int, room: int) -> list[Row]:
    """Old and new side by side; what changes has a mark and stands out, without colour too.

    Where the room is short, what stays as it is goes first, from the end.
    """
    other = dict(after)
    blocks = [_block(label, text, other.get(label), half) for label, text in before]
    for index in range(len(blocks) - 1, -1, -1):
        if sum(map(len, blocks)) > room and before[index] in (after or before):
            blocks[index] = []
    return [row for block in blocks for row in block][:room]


def _block(label: str, text: str, new: str | None, half: int) -> list[Row]:
    """One line of the two columns, wrapped."""
    changed = new is not None and new != text
    old_lines, new_lines = wrap(safe(text), half), wrap(safe(new or ""), half)
    rows: list[Row] = []
    for y in range(max(len(old_lines), len(new_lines), 1)):
        one = old_lines[y] if y < len(old_lines) else ""
        two = new_lines[y] if y < len(new_lines) else ""
        rows.append(((left(label if y == 0 else "", _LABEL), "label"), (left(one, half), ""),
                     ("* " if changed and y == 0 else "  ", "key"), (two, "best" if changed else "dim")))  # fmt: skip
    return rows
