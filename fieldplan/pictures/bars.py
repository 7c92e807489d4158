"""Counts as horizontal bars, one to a row, all to one scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.pictures.cells import Level, Picture, Row, fit, text_cells, to_ascii

_EIGHTHS = " \u258f\u258e\u258d\u258c\u258b\u258a\u2589\u2588"  # left one-eighth block (258F) to full block (2588)
_LEAST_BAR = 4
_GAP = " "


class Bar(NamedTuple):
    """One row: what stands before the bar, how long it is, and what is said after it."""

    label: str
    length: float
    note: str = ""


def _bar(cells: float, room: int, level: Level) -> str:
    """A bar of so many cells; whatever is more than nothing shows at least its thinnest piece."""
    cells = min(cells, float(room))
    if cells <= 0.0:
        return ""
    if level == "ascii":
        return "#" * max(1, round(cells))
    eighths = max(1, round(cells * 8.0)) if level == "braille" else 4 * max(1, round(cells * 2.0))
    whole, part = divmod(eighths, 8)
    return _EIGHTHS[8] * whole + (_EIGHTHS[part] if part else "")


def draw_bars(bars: Sequence[Bar], width_cells: int, level: Level = "braille", longest: float | None = None) -> Picture:
    """The bars in rows of at most ``width_cells`` cells: label, bar, note; the longest fills the room between them.

    level: "braille" draws eighths of a cell, "block" halves, "ascii" whole cells as "#". longest: the length that fills
    the room, where several drawings are to be compared; left out, the longest of these. A length below 0, or that is
    no finite number, draws no bar. Labels take at most a third of the width, and are cut at their end.
    """
    if width_cells <= 0 or not bars:
        return ()
    if level == "ascii":
        bars = [Bar(to_ascii(bar.label), bar.length, to_ascii(bar.note)) for bar in bars]
    labels = [fit(bar.label, max(width_cells // 3, 1)) for bar in bars]
    before = max(map(text_cells, labels))
    after = max(text_cells(bar.note) for bar in bars)
    room = max(width_cells - before - after - 2 * len(_GAP), min(_LEAST_BAR, width_cells))
    lengths = [bar.length if 0.0 < bar.length < float("inf") else 0.0 for bar in bars]
    full = max(lengths) if longest is None else longest
    rows: list[Row] = []
    for bar, label, length in zip(bars, labels, lengths, strict=True):
        drawn = _bar(room * (length / full) if full > 0.0 else 0.0, room, level)
        parts = [
            (label + " " * (before - text_cells(label)) + _GAP, "label"),
            (drawn, "subject"),
            (_GAP + bar.note, ""),
        ]
        rows.append(_cropped(parts, width_cells))
    return tuple(rows)


def _cropped(parts: list[tuple[str, str]], width_cells: int) -> Row:
    """The runs that hold anything, cut at the width."""
    kept, left = [], width_cells
    for text, role in parts:
        part = fit(text, left)
        left -= text_cells(part)
        if part:
            kept.append((part, role))
    return tuple(kept)
