"""Placing short texts along one row without overlap."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.pictures.cells import text_cells

Placed = tuple[int, str]


def place_labels(width_cells: int, labels: Sequence[tuple[float, str]]) -> list[Placed | None]:
    """A start column for each (middle column, text), or None where there is no room left; the first have precedence.

    A label stays within its own width of its place, keeps one blank from its neighbours, and keeps their order.
    Middles that are not finite numbers are None.
    """
    taken: list[tuple[float, int, int]] = []  # middle, first column, column after the last
    placed: list[Placed | None] = []
    for middle, text in labels:
        wide = text_cells(text)
        if not wide or wide > width_cells or not -1e6 < middle < 1e6:
            placed.append(None)
            continue
        low = max((end + 1 for at, _, end in taken if at <= middle), default=0)
        high = min((start - 1 for at, start, _ in taken if at > middle), default=width_cells) - wide
        ideal = round(middle - wide / 2)
        start = min(max(ideal, low), high)
        # at the rim of the row a label may have to move by half its width, and no label by more than its width
        if start < low or abs(start - ideal) > wide:
            placed.append(None)
            continue
        taken.append((middle, start, start + wide))
        placed.append((start, text))
    return placed
