"""The camera's frame in a picture: the largest field of a given shape, in whole dots, with a line just around it.

The line lies outside the field, so that a share of the field is a share of its dots. At the block level the line is
made of eighths of a cell that touch the field, so the field ends on cell borders there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from fieldplan.pictures.canvas import Canvas
from fieldplan.pictures.cells import Level
from fieldplan.pictures.glyphs import DOTS

_WIDEST = 1e4  # a shape, of frame or cell, beyond 10 000 : 1 is taken as that


@dataclass(frozen=True)
class Field:
    """A field in dots from the upper left corner of the picture: left <= x < right, top <= y < bottom."""

    left: int
    right: int
    top: int
    bottom: int

    @property
    def wide(self) -> int:
        """Dots across."""
        return self.right - self.left

    @property
    def high(self) -> int:
        """Dots down."""
        return self.bottom - self.top


def is_length(value: float) -> bool:
    """Whether a number is finite and above zero."""
    return math.isfinite(value) and value > 0


def fit_field(
    width_cells: int,
    height_cells: int,
    shape: float,
    *,
    level: Level,
    cell_ratio: float = 0.5,
    room_w: float = 1.0,
    room_h: float = 1.0,
) -> Field:
    """The largest field of a shape (width / height as seen) in the middle of a picture, with room for its line.

    room_w, room_h (>= 1): how many times as wide and high the space should be, for what lies outside the frame.
    The width is within half a dot of what the height asks for, where the picture is large enough for that shape.
    A shape or cell ratio that is not a finite number above zero is taken as 1 and 0.5.
    """
    dots_x, dots_y = DOTS[level]
    shape = min(max(shape, 1 / _WIDEST), _WIDEST) if is_length(shape) else 1.0
    cell_ratio = min(max(cell_ratio, 1 / _WIDEST), _WIDEST) if is_length(cell_ratio) else 0.5
    step = 2 if level == "block" else 1
    most_w = _most_dots(width_cells, dots_x, 1 if level == "braille" else dots_x, room_w)
    most_h = _most_dots(height_cells, dots_y, 1 if level == "braille" else dots_y, room_h)
    dots_per_dot = shape * dots_x / (dots_y * cell_ratio)  # dots across for one dot down
    high = max(step, math.floor(min(most_h, most_w / dots_per_dot)) // step * step)
    wide = min(max(1, math.floor(high * dots_per_dot + 0.5)), max(1, math.floor(most_w)))
    left = (width_cells * dots_x - wide) // 2
    top = (height_cells * dots_y - high) // 2 // step * step
    return Field(left, left + wide, top, top + high)


def _most_dots(cells: int, dots_per_cell: int, line_dots: int, room: float) -> float:
    """Dots for the field along one side: less the line on both ends, less as much again where room is wanted."""
    most = cells * dots_per_cell - 2 * line_dots
    return max(1, most if room <= 1 else min(most / room, most - 2 * line_dots))


def ring_edges(field: Field, level: Level) -> Field:
    """The outer edges of the line around a field: a dot beyond it in braille, else a cell."""
    dots_x, dots_y = (1, 1) if level == "braille" else DOTS[level]
    return Field(field.left - dots_x, field.right + dots_x, field.top - dots_y, field.bottom + dots_y)


def draw_ring(canvas: Canvas, field: Field, role: str = "frame") -> None:
    """The line around a field."""
    if canvas.level == "braille":
        outer = ring_edges(field, "braille")
        canvas.rectangle(outer.left, outer.right, canvas.dots_high - outer.bottom, canvas.dots_high - outer.top, role)
        return
    rows_per_cell = DOTS[canvas.level][1]
    top, bottom = field.top // rows_per_cell - 1, field.bottom // rows_per_cell
    over, under, left, right, corner = (
        ("-", "-", "|", "|", "+") if canvas.level == "ascii" else ("\u2581", "\u2594", "\u2595", "\u258f", " ")
    )
    canvas.text(field.left - 1, top, corner + over * field.wide + corner, role)
    canvas.text(field.left - 1, bottom, corner + under * field.wide + corner, role)
    for row in range(top + 1, bottom):
        canvas.text(field.left - 1, row, left, role)
        canvas.text(field.right, row, right, role)
