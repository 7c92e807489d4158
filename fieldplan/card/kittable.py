"""Bags side by side as tables of at most so many cells: as many choices as fit, the first one in each of them."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.card.tables import Table
from fieldplan.pictures.cells import clean, text_cells
from fieldplan.pictures.wrapping import wrap
from fieldplan.planner.kitwords import Grid

HEAD = 12  # cells of a choice's name before it goes on below
_LEAST_NAME = 24  # cells that the pictures' names keep
TITLE = "bags side by side"


def _wide(grid: Grid, at: int) -> int:
    """Cells that a choice takes, with the gap before it."""
    cells = [row[at + 1] for row in (*grid.pictures, *grid.totals)]
    return 2 + max(*(text_cells(clean(cell)) for cell in cells), *map(text_cells, wrap(grid.head[at], HEAD)))


def blocks(grid: Grid, width: int) -> list[list[int]]:
    """Choices that stand in one table each; 0, the first one, in all of them."""
    room = width - 2 - _LEAST_NAME - _wide(grid, 0)
    found: list[list[int]] = [[0]]
    left = room
    for at in range(1, len(grid.head)):
        if _wide(grid, at) > left and len(found[-1]) > 1:
            found.append([0])
            left = room
        found[-1].append(at)
        left -= _wide(grid, at)
    return found


def kit_table(grid: Grid, block: Sequence[int], picked: int | None = None) -> Table:
    """One table; the picked choice stands in brackets."""
    columns = [0, *(at + 1 for at in block)]
    rows = tuple(tuple(row[i] for i in columns) for row in (*grid.pictures, *grid.totals))
    names = [f"[{grid.head[at]}]" if at == picked else grid.head[at] for at in block]
    lines = [wrap(name, HEAD) for name in names]
    high = max(map(len, lines))
    heads = [("", *(([""] * high + some)[-high:][y] for some in lines)) for y in range(high)]
    return Table(TITLE, "w" + "r" * len(block), heads[0], (*heads[1:], *rows))
