"""The ranked answers as a table, and in words why the first is first and what is wrong with the next."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.notation.display import length_text, size_text, span_text, weight_text
from fieldplan.notation.marks import f_mark, far_over, iso_mark, share_text, time_mark
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.tui.rows import crop, left, right, safe, wrapped

_MARKS = {"works": " ", "short": "!", "cannot": "x"}


class Column(NamedTuple):
    """A column of figures: head, cells, and whether only wide screens have room for it."""

    head: str
    cells: int
    wide: bool = False


_COLUMNS = (
    Column("held", 7), Column("mm", 4), Column("fill", 4), Column("px", 5), Column("f/", 3), Column("time", 6),
    Column("ISO", 5), Column("depth", 7), Column("fills as wanted", 16, True), Column("blur behind", 11, True),
    Column("weight", 8, True),
)  # fmt: skip
_AT = Column("at", 7)


def _columns(answers: ShotAnswers, width: int) -> list[Column]:
    columns = [column for column in _COLUMNS if not column.wide or width >= 120]
    if answers.missing == "distance":  # the distance is what was asked for: it takes the place of the pixels
        at = next(i for i, column in enumerate(columns) if column.head == "px")
        columns[at] = _AT
    return columns


def _figure(a: Answer, head: str, units: str) -> str:
    """One cell. "-" where there is no number."""
    match head:
        case "held":
            return a.hold
        case "mm":
            return "-" if a.focal_m is None else f"{a.focal_m * 1000:.0f}"
        case "fill":
            return "-" if a.fill is None else share_text(a.fill).replace(" ", "")
        case "px":
            return "-" if a.pixels_on_subject is None else size_text(a.pixels_on_subject)
        case "at":
            return length_text(a.distance_m, units)
        case "f/":
            return "-" if a.f_number is None else f_mark(a.f_number).removeprefix("f/")
        case "time":
            return "-" if a.shutter_s is None else time_mark(a.shutter_s)
        case "ISO":
            return "-" if a.iso is None else _iso_cell(a.iso, a.iso_ceiling)
        case "depth":
            return length_text(a.depth_m, units).replace("infinity", "to inf.")
        case "fills as wanted":
            return (
                "-"
                if a.fills_from_m is None or a.fills_to_m is None
                else span_text(a.fills_from_m, a.fills_to_m, units)
            )
        case "blur behind":
            return length_text(a.background_blur_m, "metric")
        case _:
            return weight_text(a.weight_kg, units)


def _iso_cell(iso: float, ceiling: float | None) -> str:
    """Five cells; an ISO far over the ceiling is told as the dark that it means."""
    if far_over(iso, ceiling):
        return "dark"
    return iso_mark(iso) if iso < 99_000 else f"{iso / 1000:.0f}k"


def label_text(a: Answer, width: int) -> str:
    """Body + lens in so many cells: closer set, then with the body's name shortened, where it is long."""
    label = safe(a.label)
    if text_cells(label) <= width:
        return label
    parts = [part.strip() for part in label.split(" + ")]
    close = "+".join(parts)
    if text_cells(close) <= width or len(parts) < 2:
        return crop(close, width)
    rest = "+" + "+".join(parts[1:])
    room = width - text_cells(rest)
    if room >= 5:
        return crop(parts[0], room) + rest
    return crop("+".join(_shortened(parts, width - len(parts) + 1)), width)


def _shortened(parts: list[str], room: int) -> list[str]:
    """Every part cut so that all are seen, the longest first: two rows of one body and lens stay apart."""
    cut = list(parts)
    while sum(map(text_cells, cut)) > room and max(map(len, cut)) > 1:
        longest = max(range(len(cut)), key=lambda i: text_cells(cut[i]))
        cut[longest] = cut[longest][:-1].rstrip()
    return cut


def head_row(answers: ShotAnswers, width: int) -> Row:
    """The names of the columns."""
    columns = _columns(answers, width)
    room = width - sum(column.cells + 1 for column in columns) - 3
    names = [left(column.head, column.cells) if column.head == "held" else right(column.head, column.cells)
             for column in columns]  # fmt: skip
    return (("   " + left("body + lens", room) + " " + " ".join(names), "dim"),)


def answer_row(answers: ShotAnswers, index: int, picked: bool, width: int, units: str) -> Row:
    """One answer: its place, "!" where something is in the way, "x" where it cannot be taken."""
    a = answers.rigs[index]
    columns = _columns(answers, width)
    room = width - sum(column.cells + 1 for column in columns) - 3
    cells = [
        (left if column.head == "held" else right)(_figure(a, column.head, units), column.cells) for column in columns
    ]
    if a.verdict == "cannot":
        wrong = a.shortfalls[0].text if a.shortfalls else "cannot be taken"
        rest = width - 3 - room - 1 - _COLUMNS[0].cells - 1
        cells = [left(a.hold, _COLUMNS[0].cells), left(wrong, rest)]
    place = f"{index + 1}" if index < 9 else "+"
    text = f"{place}{_MARKS[a.verdict]}{'>' if picked else ' '}{left(label_text(a, room), room)} {' '.join(cells)}"
    return ((text, "picked" if picked else "best" if index == 0 and a.verdict == "works" else
             "dim" if a.verdict == "cannot" else ""),)  # fmt: skip


def table(answers: ShotAnswers, picked: int, count: int, width: int, units: str) -> list[Row]:
    """Head and so many answers, scrolled so that the picked one is in sight."""
    first = max(0, min(picked - count + 1, len(answers.rigs) - count))
    shown = range(first, min(first + count, len(answers.rigs)))
    return [head_row(answers, width), *(answer_row(answers, i, i == picked, width, units) for i in shown)]


def in_the_way(a: Answer) -> str:
    """What stands in the way of an answer, with what would mend it."""
    if not a.shortfalls:
        return "nothing in the way"
    return "; ".join(s.text + (f" - {s.cure}" if s.cure else "") for s in a.shortfalls)


def _next_index(answers: ShotAnswers) -> int | None:
    """The next answer that uses other gear than the first."""
    first = answers.rigs[0].label
    return next((i for i, a in enumerate(answers.rigs) if a.label != first), None)


def reasons(answers: ShotAnswers, picked: int, width: int) -> list[Row]:
    """Why the first is first, what is in its way, and what is wrong with the picked one or the next."""
    best = answers.rigs[0]
    rows = wrapped(f"1 first: {safe(answers.why_first)}", width, "", hang=2, most=2)
    if best.shortfalls:
        rows += wrapped(f"1! {in_the_way(best)}", width, "warn", hang=3, most=2)
    other = picked if picked else _next_index(answers)
    if other is not None and other < len(answers.rigs):
        a = answers.rigs[other]
        mark = _MARKS[a.verdict].strip()
        text = f"{other + 1}{mark} {label_text(a, 40)} {a.hold}: {in_the_way(a)}"
        rows += wrapped(text, width, "warn" if a.shortfalls else "dim", hang=3, most=2)
    return rows
