"""One sheet of answers in words, from which text, PDF and HTML are laid out: the same content on all of them."""

from __future__ import annotations

from dataclasses import dataclass

from fieldplan.card import wording as w
from fieldplan.card.done import done_tables
from fieldplan.card.heading import day_table, heading
from fieldplan.card.lighttables import distance_table, exposure_table, ladder_table
from fieldplan.card.morelines import carried_tables, more_lines
from fieldplan.card.shotlines import after_lines, answer_lines, before_lines
from fieldplan.card.standlines import stand_lines, stand_tables
from fieldplan.card.tables import Table
from fieldplan.notation.display import weight_text
from fieldplan.planner.answers import Caution, PlanAnswers, ShotAnswers
from fieldplan.planner.inframe import shares_of_frame
from fieldplan.planner.kit import kind_text

BLANKS = ("tide", "permit", "phone", "who knows where I am", "back by")


@dataclass(frozen=True)
class Frame:
    """What the drawing of the frame needs: sides as held [m] and the subject's share of each, None where unknown."""

    width: float
    height: float
    wide_share: float | None
    tall_share: float | None


@dataclass(frozen=True)
class Block:
    """One shot: heading, lines of (label, text) before, of and after the answer, and the frame of the best answer."""

    title: str
    before: tuple[tuple[str, str], ...]
    answer: tuple[tuple[str, str], ...]
    after: tuple[tuple[str, str], ...]
    frame: Frame | None
    tables: tuple[Table, ...] = ()

    @property
    def lines(self) -> tuple[tuple[str, str], ...]:
        """All lines in order."""
        return self.before + self.answer + self.after


@dataclass(frozen=True)
class Sheet:
    """Everything on the card."""

    title: str
    heading: tuple[tuple[str, str], ...]
    opening: tuple[Table, ...]
    blocks: tuple[Block, ...]
    closing: tuple[Table, ...]
    cautions: tuple[str, ...]
    blanks: tuple[str, ...] = BLANKS
    cautions_title: str = "take care; local rules and licensed practice come first"
    blanks_title: str = "to fill in"


def _frame(s: ShotAnswers) -> Frame | None:
    best, wanted = s.best, s.wanted
    if best is None or wanted is None or best.frame_width_m is None or best.frame_height_m is None:
        return None
    wide, tall = (None, None) if best.fill is None else shares_of_frame(wanted, best)
    return Frame(best.frame_width_m, best.frame_height_m, wide, tall)


def _blocks(answers: PlanAnswers) -> tuple[Block, ...]:
    units = answers.plan.units
    supports = frozenset(s.name for s in answers.profile.supports if s.owned)
    lowest = {b.name: b.lowest_iso for b in answers.profile.bodies}
    fills = {t.shot: t for t in answers.distance_tables}
    isos = {t.shot: t for t in answers.exposure_tables}
    ladders = {ladder.shot: ladder for ladder in answers.ladders}
    stands = {stand.shot: stand for stand in answers.stands}
    blocks = []
    for s in answers.shots:
        name, clock = s.shot.name, w.clock_text(s)
        tables = [distance_table(fills[name], units)] if name in fills else []
        if name in isos:
            tables.append(exposure_table(isos[name], lowest.get(s.best.body) if s.best else None))
        if name in ladders:
            tables.append(ladder_table(ladders[name]))
        stand = stands.get(name)
        tables += [] if stand is None else stand_tables(stand, units)
        after = (
            after_lines(s, units, answers.time_zone, answers.clock)
            + (() if stand is None else stand_lines(stand, units))
            + more_lines(answers, name)
        )
        title = f"{f'{clock} ' if clock else ''}{name} ({'must' if s.shot.must else 'nice to have'})"
        blocks.append(Block(title, before_lines(s, units), answer_lines(s, units, supports), after,
                            _frame(s), tuple(tables)))  # fmt: skip
    return tuple(blocks)


def _kit_table(answers: PlanAnswers) -> Table:
    units, limit, total = answers.plan.units, answers.bag_limit_kg, answers.weight_kg
    rows = tuple((k.name, kind_text(k), weight_text(k.weight_kg, units)) for k in answers.kit)
    note = "total not known" if total is None else f"total {weight_text(total, units)}"
    unknown = sum(1 for k in answers.kit if k.weight_kg is None)
    if unknown and total is not None:
        note += f" without {unknown} of unknown weight"
    if limit is not None:
        note += f", bag limit {weight_text(limit, units)}"
        if total is not None and total > limit:
            note += f": over by {weight_text(total - limit, units)}"
    return Table("kit", "wlr", ("what", "kind", "weight"), rows, note)


def _cautions(answers: PlanAnswers) -> tuple[str, ...]:
    """Each caution once, with its source and the shots it belongs to."""
    found: dict[str, list[Caution]] = {}
    for caution in (*(c for s in answers.shots for c in s.cautions), *answers.cautions):
        found.setdefault(caution.text, []).append(caution)
    lines = []
    for text, group in found.items():
        shots = ", ".join(dict.fromkeys(c.shot for c in group if c.shot))
        lines.append(f"{f'{shots}: ' if shots else ''}{text} [{group[0].source}]")
    return tuple(lines)


def sheet_of(answers: PlanAnswers) -> Sheet:
    """The whole card in words."""
    return Sheet(
        answers.plan.title,
        heading(answers),
        day_table(answers),
        _blocks(answers),
        (_kit_table(answers), *carried_tables(answers), *done_tables(answers)),
        _cautions(answers),
    )
