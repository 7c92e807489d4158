"""One sheet of answers in words, from which text, PDF and HTML are laid out: the same content on all of them."""

from __future__ import annotations

from dataclasses import dataclass

from fieldplan.card import wording as w
from fieldplan.card.shotlines import after_lines, answer_lines, before_lines
from fieldplan.notation.display import focal_text, length_text, weight_text
from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.notation.position import write_position
from fieldplan.planner.answers import Caution, DistanceTable, ExposureTable, Ladder, PlanAnswers, ShotAnswers
from fieldplan.planner.exposing import within_ceiling
from fieldplan.planner.order import DayLine, order_of_day

FORMAT = "fieldplan-answers/1"
BLANKS = ("tide", "permit", "phone", "who knows where I am", "back by")
_UNDER = 0.96  # an ISO this far below the lowest is under it; nearer, it is the same printed mark
_MOST_SHARE = 9.995  # a share beyond this is only told as cut off


@dataclass(frozen=True)
class Frame:
    """What the drawing of the frame needs: sides as held [m] and the subject's share of each, None where unknown."""

    width: float
    height: float
    wide_share: float | None
    tall_share: float | None


@dataclass(frozen=True)
class Table:
    """A titled table. columns, one letter each: w text that takes the room that is left, l text, r figures."""

    title: str
    columns: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


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
    m = best.magnification or 0.0

    def share(ends: tuple[float, float] | None, side: float) -> float | None:
        return None if ends is None or best.fill is None else (ends[0] + ends[1]) / 2.0 * m / side

    wide, tall = share(wanted.width, best.frame_width_m), share(wanted.height, best.frame_height_m)
    return Frame(best.frame_width_m, best.frame_height_m, wide, tall)


def _share_cell(fill: float | None) -> str:
    return "-" if fill is None else "cut" if fill > _MOST_SHARE else f"{fill * 100:.0f}"


def _distance_table(t: DistanceTable, units: str) -> Table:
    rows = tuple((f"{label}, {focal_text(focal)}", *map(_share_cell, shares)) for label, focal, shares in t.rows)
    head = ("% of the frame at", *(length_text(d, units) for d in t.distances_m))
    note = "zooms at their longest; over 100: cut off; -: does not focus there"
    return Table(f"distance against share, held {t.hold}", "w" + "r" * len(t.distances_m), head, rows, note)


def _iso_cell(iso: float, lowest: float | None, ceiling: float) -> str:
    over = "" if within_ceiling(iso, ceiling) else "!"
    under = "*" if lowest is not None and iso < lowest * _UNDER else ""
    return f"{iso_mark(iso)}{over}{under}"


def _iso_notes(cells: tuple[str, ...], lowest: float | None, ceiling: float) -> str:
    notes = []
    if any("!" in c for c in cells):
        notes.append(f"!: over the ISO ceiling of {iso_mark(ceiling)}")
    if lowest is not None and any("*" in c for c in cells):
        notes.append(f"*: under the lowest ISO of {iso_mark(lowest)}")
    return "; ".join(notes)


def _exposure_table(e: ExposureTable, lowest: float | None) -> Table:
    cells = tuple(_iso_cell(iso, lowest, e.iso_ceiling) for _, iso in e.rows)
    head = (f"at {f_mark(e.f_number)}", *(time_mark(time) for time, _ in e.rows))
    notes = _iso_notes(cells, lowest, e.iso_ceiling)
    return Table("ISO against shutter", "l" + "r" * len(cells), head, (("ISO", *cells),), notes)


def _ladder_table(ladder: Ladder) -> Table:
    """The light by the clock: EV 100, its range, and the ISO for each shutter."""
    lowest, ceiling = ladder.lowest_iso, ladder.iso_ceiling
    rows = tuple(
        (f"{row.when:%H:%M}", f"{row.ev100:.1f}", f"{row.ev100_low:.1f} to {row.ev100_high:.1f}",
         *(_iso_cell(iso, lowest, ceiling) for iso in row.isos))
        for row in ladder.rows
    )  # fmt: skip
    head = ("clock", "EV 100", "range", *(time_mark(time) for time in ladder.shutters_s))
    notes = _iso_notes(tuple(cell for row in rows for cell in row[3:]), lowest, ceiling)
    title = f"light by the clock, and ISO at {f_mark(ladder.f_number)} for two shutters"
    return Table(title, "l" + "r" * (len(head) - 1), head, rows, notes)


def _blocks(answers: PlanAnswers) -> tuple[Block, ...]:
    units = answers.plan.units
    supports = frozenset(s.name for s in answers.profile.supports)
    lowest = {b.name: b.lowest_iso for b in answers.profile.bodies}
    fills = {t.shot: t for t in answers.distance_tables}
    isos = {t.shot: t for t in answers.exposure_tables}
    ladders = {ladder.shot: ladder for ladder in answers.ladders}
    blocks = []
    for s in answers.shots:
        name, clock = s.shot.name, w.clock_text(s)
        tables = [_distance_table(fills[name], units)] if name in fills else []
        if name in isos:
            tables.append(_exposure_table(isos[name], lowest.get(s.best.body) if s.best else None))
        if name in ladders:
            tables.append(_ladder_table(ladders[name]))
        title = f"{f'{clock} ' if clock else ''}{name} ({'must' if s.shot.must else 'nice to have'})"
        blocks.append(Block(title, before_lines(s, units), answer_lines(s, units, supports), after_lines(s, units),
                            _frame(s), tuple(tables)))  # fmt: skip
    return tuple(blocks)


def _heading(answers: PlanAnswers) -> tuple[tuple[str, str], ...]:
    plan, site = answers.plan, answers.plan.site
    lines = [("date", "not given" if plan.date is None else f"{plan.date:%A %Y-%m-%d}")]
    if site is not None:
        lines.append(("site", site.name))
        if site.position is not None:
            place = write_position(site.position.latitude_deg, site.position.longitude_deg, "decimal")
            height = f"{length_text(float(site.elevation), plan.units)} above the sea"
            lines.append(("position", f"{place} (WGS 84), {height}"))
        lines.append(("sky", site.sky))
        if site.magnetic_variation is not None:
            way = "east" if site.magnetic_variation >= 0 else "west"
            lines.append(("compass", f"magnetic north lies {abs(site.magnetic_variation):g} deg {way} of true north"))
    zoned = [s.when for s in answers.shots if s.when is not None and s.when.tzinfo is not None]
    offsets = " and ".join(dict.fromkeys(offset for when in zoned if (offset := w.offset_text(when))))
    lines.append(("clock", ", ".join(part for part in (answers.time_zone or "zone not known", offsets) if part)))
    lines.append(("gear", answers.profile.name))
    lines.append(("sheet", f"{FORMAT}, {plan.units} units, distances from the sensor plane"))
    return tuple(lines)


def _day_text(line: DayLine) -> str:
    wish = "" if line.must or line.kind != "shot" else " (nice to have)"
    return f"{line.shot}{wish}{f'; clash: {line.why}' if line.why else ''}"


def _day_table(answers: PlanAnswers) -> tuple[Table, ...]:
    lines = order_of_day(answers)
    rows = tuple(
        (f"{line.start:%H:%M}", "" if line.end is None else f"{line.end:%H:%M}", _day_text(line)) for line in lines
    )
    return (Table("order of the day", "llw", ("from", "to", "shot"), rows),) if rows else ()


def _kit_table(answers: PlanAnswers) -> Table:
    units, limit, total = answers.plan.units, answers.bag_limit_kg, answers.weight_kg
    rows = tuple((k.name, k.kind, weight_text(k.weight_kg, units)) for k in answers.kit)
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
        _heading(answers),
        _day_table(answers),
        _blocks(answers),
        (_kit_table(answers),),
        _cautions(answers),
    )
