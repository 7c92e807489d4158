"""Where things stand on the Shot page, for small and for wide terminals. Pure layout of what the planner said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldplan.card import wording
from fieldplan.notation.display import ev_text, focal_text, length_text, span_text
from fieldplan.pictures.cells import Row, Run, text_cells
from fieldplan.planner.answers import ShotAnswers
from fieldplan.tui.pages import answerrows
from fieldplan.tui.pages.facts import fact_rows, facts
from fieldplan.tui.pages.shotpictures import DEPTH_ABOUT, FRAME_ABOUT, depth_picture, frame_picture
from fieldplan.tui.rows import BLANK, beside, crop, crop_row, fitted, safe, wrapped

if TYPE_CHECKING:
    from fieldplan.tui.pages.shot import ShotPage

WIDE, HIGH = 120, 30
_FEWEST_FIELDS = 3  # rows that the form keeps, whatever else there is to say
_ANSWERS = 5


def strip(page: ShotPage, width: int) -> Row:
    """The shots side by side, the present one in brackets, as many of its neighbours as fit."""
    shots = page.desk.shown_plan.shots
    at = min(page.desk.shot_index, len(shots) - 1)
    names = [crop(safe(shot.name) + ("*" if shot.must else ""), 30) for shot in shots]
    count = f"{at + 1}/{len(shots)} "
    room = width - text_cells(count) - 4
    first = last = at
    used = text_cells(names[at]) + 2
    grown = True
    while grown:
        grown = False
        for candidate in (last + 1, first - 1):
            if 0 <= candidate < len(names) and used + text_cells(names[candidate]) + 2 <= room:
                first, last = min(first, candidate), max(last, candidate)
                used += text_cells(names[candidate]) + 2
                grown = True
    row: list[Run] = [(count, "dim"), ("< " if first else "  ", "key")]
    row += [(f"[{names[i]}]", "tab") if i == at else (f" {names[i]} ", "") for i in range(first, last + 1)]
    row.append((" >" if last < len(names) - 1 else "", "key"))
    return tuple(row)


def glance(answers: ShotAnswers, units: str) -> str:
    """Subject, distance, what is wanted and the light, in one line."""
    w, shot = answers.wanted, answers.shot
    parts = [] if w is None else [", ".join(part for part in (w.subject, w.activity) if part)]
    if w is not None and w.distance is not None:
        parts.append(f"at {span_text(*w.distance, units)}")
    if w is not None and w.fill is not None:
        parts.append(f"{wording.share_span(w.fill)} of the frame" + (" (assumed)" if w.fill_assumed else ""))
    if w is not None and w.depth_m is not None:
        parts.append(f"depth {length_text(w.depth_m, units)}")
    if w is not None and w.sharp_from_m is not None:
        parts.append(f"sharp from {span_text(w.sharp_from_m, w.sharp_to_m or float('inf'), units)}")
    if answers.light is not None:
        parts.append(f"{ev_text(answers.light.ev100)} {answers.light.source}")
    parts += [text for text in (wording.clock_text(answers), "must" if shot.must else "") if text]
    return safe(" | ".join(part for part in parts if part))


def _caution(answers: ShotAnswers, width: int) -> list[Row]:
    """The gravest caution, and how many more the answer in full holds."""
    if not answers.cautions:
        return []
    more = f" (+{len(answers.cautions) - 1} in full)" if len(answers.cautions) > 1 else ""
    text = f"Care: {safe(answers.cautions[0].text)}"
    return [((crop(text, width - len(more)), "warn"), (more, "dim"))]


def _found(answers: ShotAnswers, units: str) -> str:
    """What was left out and found, or what would be needed."""
    if answers.missing == "size" and answers.needed_size:
        size = answers.needed_size[0]
        return (f"found: {span_text(size.width_low_m, size.width_high_m, units)} along the frame's width, "
                f"{span_text(size.height_low_m, size.height_high_m, units)} along its height")  # fmt: skip
    if answers.missing == "distance" and answers.needed_distance:
        at = answers.needed_distance[0]
        return f"found: {length_text(at.distance_m, units)} ({span_text(at.low_m, at.high_m, units)} by its size)"
    if answers.needed_focal and (answers.best is None or answers.best.verdict != "works"):
        wanted = "; ".join(f"{focal_text(n.focal_m)} on {n.body} {n.hold}" for n in answers.needed_focal)
        return safe(f"needed: {wanted}")
    return ""


def _said(page: ShotPage, answers: ShotAnswers, width: int) -> list[Row]:
    """The words under the answers: reasons, what was found, notes."""
    rows = answerrows.reasons(answers, page.picked, width) if answers.rigs else []
    found = _found(answers, page.desk.units)
    rows += [((crop(found, width), "dim"),)] if found else []
    rows += [((crop(f"note: {safe(note)}", width), "dim"),) for note in answers.notes[:1]]
    return rows


def _table(page: ShotPage, answers: ShotAnswers, count: int, width: int) -> list[Row]:
    if answers.problem is not None:
        return [BLANK, *wrapped(f"No answer yet: {safe(answers.problem)}", width, "warn")]
    return answerrows.table(answers, page.picked, count, width, page.desk.units)


def narrow(page: ShotPage, answers: ShotAnswers, width: int, height: int) -> list[Row]:
    """80 x 20: shots, the line that tells it all, the form, the answers, the words."""
    table = _table(page, answers, _ANSWERS, width)
    care = _caution(answers, width)
    fixed = 3 + len(table) + len(care)
    said = _said(page, answers, width)[: max(height - fixed - _FEWEST_FIELDS, 0)]
    fields = max(height - fixed - len(said), 1)
    top = [strip(page, width), ((crop(glance(answers, page.desk.units), width), "title"),)]
    form = list(fitted(page.form.rows(width, fields, 2), width, fields))
    return [*top, *form, page.form.help_row(width), *table, *said, *care]


def wide(page: ShotPage, answers: ShotAnswers, width: int, height: int) -> list[Row]:
    """From 120 columns and 30 rows on: the pictures stand beside the form, and the picked answer is told in full."""
    half = min(width // 2 - 2, 80)
    beside_width = width - half - 3
    fields = max(height // 2 - 4, 8)
    top = [strip(page, width), ((crop(glance(answers, page.desk.units), width), "title"),)]
    form = [*fitted(page.form.rows(half, fields, 2), half, fields), page.form.help_row(half)]
    a = page.answer
    pictures: list[Row] = []
    if a is not None:
        pictures = [*frame_picture(answers, a, beside_width, fields - 3),
                    *depth_picture(answers, a, beside_width, 4, page.desk.units)]  # fmt: skip
    block = beside(form, half, pictures[: fields + 1], 3)
    care = _caution(answers, width)
    rest = height - len(top) - len(block) - len(care)
    table = _table(page, answers, max(min(8, rest - 8), 5), width)
    said = _said(page, answers, width)
    full = [] if a is None else _full_columns(answers, page, width, rest - len(table) - len(said) - 1)
    return [*top, *block, *table, *said, *full, *care]


def _full_columns(answers: ShotAnswers, page: ShotPage, width: int, height: int) -> list[Row]:
    """The facts of the picked answer in two columns, if there is room for them."""
    a = page.answer
    if a is None or height < 4:
        return []
    wide = (width - 3) // 2
    rows = fact_rows([fact for fact in facts(answers, a, page.desk.units) if fact[0] not in ("in the way",)], wide)
    high = -(-len(rows) // 2)
    return [BLANK, *beside(rows[:high], wide, rows[high:], 3)][:height]


def in_full(page: ShotPage, answers: ShotAnswers, width: int, height: int) -> list[Row]:
    """The picked answer: facts, one picture (both on wide terminals), every caution and note."""
    a = page.answer
    if a is None:
        return narrow(page, answers, width, height)
    units = page.desk.units
    title: Row = (("> ", "key"), (f"{page.picked + 1} ", "title"), (safe(a.label), "title"))
    told = facts(answers, a, units)
    told += [("note", note) for note in answers.notes]
    told += [("care", caution.text) for caution in answers.cautions]
    room = height - 2
    both = width >= WIDE
    rows: list[Row]
    if page.depth_shown and not both:
        picture = depth_picture(answers, a, width, 4, units)
        rows = [*picture, *_about(DEPTH_ABOUT, width), *fact_rows(told, width)[: room - 6]]
    else:
        side = width // 2 if both else 30
        left_width = width - side - 2
        high = min(room - (6 if both else 1), side // 2)
        pictures = [*frame_picture(answers, a, side, high), *_about(FRAME_ABOUT, side)]
        if both:
            pictures += [*depth_picture(answers, a, side, 4, units), *_about(DEPTH_ABOUT, side)]
        rows = beside(fact_rows(told, left_width)[:room], left_width, pictures)
    return [crop_row(strip(page, width), width), title, *rows]


def _about(text: str, width: int) -> list[Row]:
    return [((crop(text, width), "dim"),)]


def without_shots(page: ShotPage, width: int, height: int) -> list[Row]:
    """A plan with no shot yet: what to do, and the form of the plan."""
    rows = wrapped("This plan holds no shot yet: a adds one.", width, "title")
    if page.form is page.plan_form:
        rows += [BLANK, *page.form.rows(width, height - 4, 2), page.form.help_row(width)]
    return rows
