"""What reaches what: every picture of a trip against every body and lens of the profile, and what nothing does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.notation.display import size_text
from fieldplan.notation.marks import f_mark, iso_mark, share_text, time_mark
from fieldplan.planner.answers import Answer
from fieldplan.planner.gaps import Gap, gap_of
from fieldplan.planner.inpart import NEARLY, InPart, in_part
from fieldplan.planner.ranking import ranked
from fieldplan.planner.rigs import Kit
from fieldplan.planner.trip import TripShot, again, wish_as_owned


class Pair(NamedTuple):
    """A body and a lens; owned: both are."""

    body: str
    lens: str
    owned: bool


class Reached(NamedTuple):
    """How well one body and lens do one picture: the best of their answers; None where the shot names other gear."""

    pair: Pair
    answer: Answer | None

    @property
    def does(self) -> bool:
        """Whether the picture can be taken so, with nothing in the way."""
        return self.answer is not None and self.answer.verdict == "works"

    @property
    def word(self) -> str:
        """ "works", "short", "cannot", or "-" where the shot names other gear."""
        return "-" if self.answer is None else self.answer.verdict

    @property
    def text(self) -> str:
        """In one line: what it makes of the picture, or the first thing in the way with its cure."""
        return "the shot names other gear" if self.answer is None else how_well(self.answer)


class Row(NamedTuple):
    """One picture: how each body and lens do it, in the order of the coverage's pairs; the gap, where none owned does.

    candidates: bodies and lenses not owned that do it. part: how something owned has it nearly or partly.
    """

    shot: str
    must: bool
    cells: tuple[Reached, ...]
    gap: Gap | None
    candidates: tuple[Pair, ...]
    problem: str | None
    part: InPart | None = None


class Coverage(NamedTuple):
    """The whole table: pairs across, pictures down."""

    pairs: tuple[Pair, ...]
    rows: tuple[Row, ...]

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """What nothing owned does, in the order of the plan."""
        return tuple(row.gap for row in self.rows if row.gap is not None)

    @property
    def text(self) -> str:
        """How many pictures something owned does, in a sentence."""
        lost = [f"{row.shot} ({row.part.word})" if row.part else row.shot
                for row in self.rows if row.gap is not None or row.problem is not None]  # fmt: skip
        kept = len(self.rows) - len(lost)
        if not lost:
            return f"Every picture of the {len(self.rows)} can be taken with what is owned."
        return f"{kept} of {len(self.rows)} pictures can be taken with what is owned; not: {', '.join(lost)}."


def extras_text(answer: Answer) -> str:
    """ " + 1.4x" and so on: what is fitted besides body and lens; empty where nothing is."""
    return "".join(f" + {part}" for part in (answer.converter, answer.tube, answer.close_up_lens) if part)


def how_well(answer: Answer) -> str:
    """One line: share, f-number, shutter, ISO and pixels; where something is in the way, that first, with its cure."""
    figures = []
    if answer.fill is not None:
        figures.append(f"fills {share_text(answer.fill)}")
    if answer.f_number is not None:
        figures.append(f_mark(answer.f_number))
    if answer.shutter_s is not None:
        figures.append(time_mark(answer.shutter_s))
    if answer.iso is not None:
        figures.append(f"ISO {iso_mark(answer.iso)}")
    if answer.pixels_on_subject is not None:
        figures.append(f"{size_text(answer.pixels_on_subject)} pixels on the subject")
    said = ", ".join(figures)
    fitted = extras_text(answer).removeprefix(" + ")
    said = f"with {fitted}: {said}" if fitted and said else said
    if answer.verdict == "works":
        return said or "works"
    first = answer.shortfalls[0]
    way = f"; {first.cure}" if first.cure else ""
    more = f"; {len(answer.shortfalls) - 1} more in the way" if len(answer.shortfalls) > 1 else ""
    return f"{first.text}{way}{more}"


def _pairs(kit: Kit) -> tuple[Pair, ...]:
    bodies = {item.name: item.owned for item in kit.profile.bodies}
    lenses = {item.name: item.owned for item in kit.profile.lenses}
    found = dict.fromkeys((rig.body, rig.lens) for rig in kit.rigs)
    return tuple(Pair(body, lens, bodies[body] and lenses[lens]) for body, lens in found)


def owned_only(answers: Sequence[Answer], kit: Kit) -> tuple[Answer, ...]:
    """The answers whose every part is owned."""
    profile = kit.profile
    lacking = {("body", i.name) for i in profile.bodies if not i.owned} | {
        ("lens", i.name) for i in profile.lenses if not i.owned
    }
    lacking |= {("converter", i.name) for i in profile.converters if not i.owned}
    lacking |= {("tube", i.name) for i in profile.tubes if not i.owned}
    lacking |= {("close-up lens", i.name) for i in profile.close_up_lenses if not i.owned}

    def have(a: Answer) -> bool:
        parts = (("body", a.body), ("lens", a.lens), ("converter", a.converter), ("tube", a.tube),
                 ("close-up lens", a.close_up_lens))  # fmt: skip
        return not any(part in lacking for part in parts)

    return tuple(a for a in answers if have(a))


def as_owned(shot: TripShot, kit: Kit) -> tuple[Answer, ...]:
    """The shot's answers, by hand where it names a support that is not owned."""
    wanted = wish_as_owned(shot, kit)
    return shot.found.rigs if wanted is None or wanted is shot.found.wanted else again(shot, kit, wanted)


def _part(shot: TripShot, owned: Sequence[Answer], kit: Kit) -> InPart | None:
    """How something owned has the picture in part: nearly before partly, then in the order of answers."""
    wanted = wish_as_owned(shot, kit)
    if wanted is None:
        return None
    rigs = {rig.label: rig for rig in kit.rigs}
    light, units = shot.found.light, shot.plan.units
    parts = [part for a in ranked(list(owned)) if (part := in_part(rigs[a.label], wanted, a, light, units))]
    return min(parts, key=lambda part: part.word != NEARLY, default=None)


def _row(shot: TripShot, kit: Kit, pairs: tuple[Pair, ...]) -> Row:
    answers = shot.found.rigs
    best: dict[tuple[str, str], Answer] = {}
    for answer in ranked(list(answers)):
        key = (answer.body, answer.lens)
        held = best.get(key)
        if held is None or (held.verdict != "works" and answer.verdict == "works"):
            best[key] = answer
    cells = tuple(Reached(pair, best.get((pair.body, pair.lens))) for pair in pairs)
    owned = owned_only(as_owned(shot, kit), kit)
    done = any(a.verdict == "works" for a in owned)
    gap = None if done or shot.found.problem is not None else gap_of(shot, owned, kit)
    buys = () if done else tuple(cell.pair for cell in cells if cell.does)
    part = None if gap is None else _part(shot, owned, kit)
    return Row(shot.name, shot.must, cells, gap, buys, shot.found.problem, part)


def coverage(shots: Sequence[TripShot], kit: Kit) -> Coverage:
    """The pictures of a trip against the whole profile.

    kit: as the shots were assessed with; made with ``candidates=True`` it shows what would be gained by what is not
    owned. A gap is what nothing owned does. An extra that is not owned (a converter) makes its cell a candidate too.
    """
    pairs = _pairs(kit)
    return Coverage(pairs, tuple(_row(shot, kit, pairs) for shot in shots))
