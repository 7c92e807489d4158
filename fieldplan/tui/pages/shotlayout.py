"""Where things stand on the Shot page, for small and for wide terminals. Pure layout of what the planner said."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fieldplan.card import wording
from fieldplan.notation.display import ev_text, length_text, span_text
from fieldplan.pictures.cells import Row, Run, text_cells
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.reach import needed_focal_text
from fieldplan.tui.pages import answerrows
from fieldplan.tui.pages.facts import fact_rows, facts
from fieldplan.tui.pages.nowlines import now_line
from fieldplan.tui.pages.shotpictures import DEPTH_ABOUT, FRAME_ABOUT, depth_picture, frame_picture
from fieldplan.tui.rows import BLANK, beside, crop, fitted, safe, wrapped

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


def glance(answers: ShotAnswers, units: str, width: int) -> str:
    """Subject, distance, what is wanted and the light, in one line; what the form shows as well is left out first."""
    w = answers.wanted
    light = "" if answers.light is None else f"{ev_text(answers.light.ev100)} {answers.light.source}"
    if w is None:
        return crop(light, width)
    at = "" if w.distance is None else f"at {span_text(*w.distance, units)}"
    fill = "" if w.fill is None else f"fill {wording.share_span(w.fill)}" + (" (assumed)" if w.fill_assumed else "")
    depth = "" if w.depth_m is None else f"depth {length_text(w.depth_m, units)}"
    if w.sharp_from_m is not None:
        depth = f"sharp {span_text(w.sharp_from_m, math.inf if w.sharp_to_m is None else w.sharp_to_m, units)}"
    for parts in ((w.subject, w.activity, at, fill, depth, light), (w.subject, at, fill, depth, light),
                  (w.subject, at, fill, light)):  # fmt: skip
        text = safe(", ".join(part for part in parts if part))
        if text_cells(text) <= width:
            return text
    return crop(text, width)


def _now(page: ShotPage, answers: ShotAnswers, width: int) -> list[Row]:
    """On the day of the plan: the light now, the minutes left, what to give up first."""
    now = page.moments.of(answers, page.answer, not page.typing)
    return [] if now is None else [((now_line(now, width), "best" if now.due else "dim"),)]


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
        return safe(f"needed: {needed_focal_text(answers.needed_focal, answers.wanted, units)}")
    return ""


def _said(page: ShotPage, answers: ShotAnswers, width: int) -> list[Row]:
    """The words under the answers: reasons, what was found, notes."""
    rows = answerrows.reasons(answers, page.picked, width) if answers.rigs else []
    found = _found(answers, page.desk.units)
    rows += [((crop(found, width), "dim"),)] if found else []
    if answers.cannot_be:
        return [*wrapped(f"NO: {safe(answers.cannot_be[0])}", width, "warn", 4, 2), *rows]
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
    top = [strip(page, width), ((glance(answers, page.desk.units, width), "title"),), *_now(page, answers, width)]
    fixed = len(top) + 1 + len(table) + len(care)
    said = _said(page, answers, width)[: max(height - fixed - _FEWEST_FIELDS, 0)]
    fields = max(height - fixed - len(said), 1)
    form = list(fitted(page.form.rows(width, fields, 2), width, fields))
    return [*top, *form, page.form.help_row(width), *table, *said, *care]


def wide(page: ShotPage, answers: ShotAnswers, width: int, height: int) -> list[Row]:
    """From 120 columns and 30 rows on: the pictures stand beside the form, and the picked answer is told in full."""
    half = min(width - 58, 90)
    beside_width = width - half - 3
    fields = max(height // 3, 9)
    top = [strip(page, width), ((glance(answers, page.desk.units, width), "title"),), *_now(page, answers, width)]
    form = [*fitted(page.form.rows(half, fields, 2), half, fields), page.form.help_row(half)]
    a = page.answer
    pictures: list[Row] = []
    if a is not None:
        pictures = [*frame_picture(answers, a, beside_width, fields - 3),
                    *depth_picture(answers, a, beside_width, 4, page.desk.units)]  # fmt: skip
    block = beside(form, half, pictures[: fields + 1], 3)
    care = _caution(answers, width)
    rest = height - len(top) - len(block) - len(care)
    table = _table(page, answers, _ANSWERS + max(0, (height - 30) // 5), width)
    said = _said(page, answers, width)
    full = [] if a is None else _full_columns(answers, page, width, rest - len(table) - len(said))
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


def in_full(page: ShotPage, answers: ShotAnswers, a: Answer, width: int, height: int) -> list[Row]:
    """The picked answer: facts, one picture (both on wide terminals), every caution and note; scrolled."""
    units = page.desk.units
    title: Row = ((f"{page.picked + 1} ", "key"), (safe(a.label), "title"), (f", {a.hold}", ""))
    told = facts(answers, a, units)
    told = [*(("NO", why) for why in answers.cannot_be), *told, *(("note", note) for note in answers.notes)]
    told += [("care", caution.text) for caution in answers.cautions]
    top: list[Row] = [strip(page, width), title]
    room = height - len(top)
    if page.depth_shown and width < WIDE:
        top += [*depth_picture(answers, a, width, 4, units), *_about(DEPTH_ABOUT, width)]
        return [*top, *_scrolled(page, fact_rows(told, width), height - len(top))]
    both = width >= WIDE
    side = width // 2 if both else 28
    picture = [*frame_picture(answers, a, side, min(room - (6 if both else 1), side // 2)), *_about(FRAME_ABOUT, side)]
    if both:
        picture += [*depth_picture(answers, a, side, 4, units), *_about(DEPTH_ABOUT, side)]
    told_width = width - side - 2
    return [*top, *beside(_scrolled(page, fact_rows(told, told_width), room), told_width, picture)]


def _scrolled(page: ShotPage, rows: list[Row], room: int) -> list[Row]:
    """The part of the facts in sight; the message says how much is below."""
    page.top = max(0, min(page.top, len(rows) - room))
    below = len(rows) - page.top - room
    if below > 0 and not page.message:
        page.message = f"{below} more lines below (Down)"
    return rows[page.top : page.top + room]


def _about(text: str, width: int) -> list[Row]:
    return [((crop(text, width), "dim"),)]


def without_shots(page: ShotPage, width: int, height: int) -> list[Row]:
    """A plan with no shot yet: what to do, and the form of the plan."""
    rows = wrapped(f"This plan holds no shot yet: {page.key('add')} adds one.", width, "title")
    if page.form is page.plan_form:
        rows += [BLANK, *page.form.rows(width, height - 4, 2), page.form.help_row(width)]
    return rows
