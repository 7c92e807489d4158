"""The card as plain text, 80 terminal cells wide."""

from __future__ import annotations

from collections.abc import Iterable

from fieldplan.card.sheet import Block, Sheet, sheet_of
from fieldplan.card.tables import Table
from fieldplan.pictures.cells import clean, text_cells
from fieldplan.pictures.wrapping import WIDTH, wrap
from fieldplan.planner.answers import PlanAnswers

_LABEL = 11
_INDENT = "  "
_LEAST_TEXT = 16  # cells that a column of text keeps, whatever the figures beside it take


def _pad(text: str, width: int, left: bool = True) -> str:
    blanks = " " * max(width - text_cells(text), 0)
    return text + blanks if left else blanks + text


def labelled(label: str, text: str) -> list[str]:
    """ "light      EV 12, given" with the text hanging under itself."""
    body = wrap(text, WIDTH - _LABEL)
    return [_pad(label, _LABEL) + body[0], *(" " * _LABEL + line for line in body[1:])]


def _widths(table: Table, width: int) -> list[int]:
    """Cells of each column; the one of text takes what the others leave."""
    rows = (table.head, *table.rows)
    widths = [max(text_cells(clean(row[i])) for row in rows) for i in range(len(table.columns))]
    spare = width - len(_INDENT) - sum(widths) - 2 * (len(widths) - 1)
    if spare < 0 and "w" in table.columns:
        text = table.columns.index("w")
        widths[text] = max(_LEAST_TEXT, widths[text] + spare)
    return widths


def table_lines(table: Table, wide: int = WIDTH) -> Iterable[str]:
    """A table under its title, so many cells wide at most."""
    widths = _widths(table, wide)
    yield from wrap(table.title, wide)
    for row in (table.head, *table.rows):
        cells = [wrap(cell, width, " ") for cell, width in zip(row, widths, strict=True)]
        for y in range(max(map(len, cells))):
            parts = (
                _pad(lines[y] if y < len(lines) else "", width, kind != "r")
                for lines, width, kind in zip(cells, widths, table.columns, strict=True)
            )
            yield _INDENT + "  ".join(parts)
    if table.note:
        yield from (_INDENT + line for line in wrap(table.note, wide - len(_INDENT)))


def titled(title: str, rule: str) -> list[str]:
    """A title over a rule."""
    lines = wrap(title, WIDTH)
    return [*lines, rule * max(map(text_cells, lines))]


def _block(block: Block) -> Iterable[str]:
    yield from titled(block.title, "-")
    for label, text in block.lines:
        yield from labelled(label, text)
    for table in block.tables:
        yield ""
        yield from table_lines(table)


def lay_out(sheet: Sheet) -> str:
    """A sheet as text."""
    lines = titled(sheet.title, "=")
    for label, text in sheet.heading:
        lines += labelled(label, text)
    for table in sheet.opening:
        lines += ["", *table_lines(table)]
    for block in sheet.blocks:
        lines += ["", *_block(block)]
    for table in sheet.closing:
        lines += ["", *table_lines(table)]
    if sheet.cautions:
        lines += ["", *wrap(sheet.cautions_title, WIDTH)]
        for caution in sheet.cautions:
            lines += [_INDENT + line for line in wrap(f"- {caution}", WIDTH - len(_INDENT), "  ")]
    lines += ["", sheet.blanks_title]
    lines += [_INDENT + _pad(blank, 22) + "." * 54 for blank in sheet.blanks]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def as_text(answers: PlanAnswers) -> str:
    """The card of a plan, 80 columns."""
    return lay_out(sheet_of(answers))
