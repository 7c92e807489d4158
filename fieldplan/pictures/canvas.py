"""A canvas of character cells: dots by braille or half blocks or plain characters, and text in cells.

Glyph levels, and the dots in a cell (across x down): braille 2 x 4, block (half blocks) 1 x 2, ascii 1 x 1.
A dot is drawn where its centre lies inside a shape, so every edge is within half a dot of where it belongs.

Coordinates are a window (x0, x1, y0, y1) of the caller's own units, y upwards; without one the unit is the dot, with
(0, 0) at the lower left corner. Everything is clipped. A NaN draws nothing; an infinite coordinate is a far edge for
rectangles and breaks a line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fieldplan.pictures.cells import Level, Picture, Row, clean, split_cells, to_ascii
from fieldplan.pictures.glyphs import DOTS, row_glyphs
from fieldplan.pictures.shapes import clip_segment, ellipse_rows, slope_char

_SOLID = {"braille": 1, "block": 1, "ascii": ord("#")}  # what a row of dots holds for a drawn dot
_BLOCK_HATCH = 2
_HATCH_STEP = 4
_FAR = 1e7  # dots; what an infinite edge is drawn at


class Canvas:
    """A drawing in progress. Sizes in cells, below zero taken as zero; ``picture()`` gives the finished rows.

    to_scale: one unit is as long across as up; the window is widened about its middle on the axis with room to spare.
    cell_ratio: width of a cell divided by its height.
    """

    def __init__(
        self,
        width_cells: int,
        height_cells: int,
        *,
        level: Level = "braille",
        window: tuple[float, float, float, float] | None = None,
        to_scale: bool = False,
        cell_ratio: float = 0.5,
    ) -> None:
        self.width_cells = max(0, width_cells)
        self.height_cells = max(0, height_cells)
        self.level: Level = level
        self._dx, self._dy = DOTS[level]
        self.dots_wide = self.width_cells * self._dx
        self.dots_high = self.height_cells * self._dy
        self._dots = [bytearray(self.dots_wide) for _ in range(self.dots_high)]
        self._role_ids = {"": 0}
        self._roles = [bytearray(self.width_cells) for _ in range(self.height_cells)]
        self._over: list[dict[int, str]] = [{} for _ in range(self.height_cells)]
        self._clip = (0, self.dots_wide, 0, self.dots_high)
        self.window = self._make_window(window, to_scale, cell_ratio)
        x0, x1, y0, y1 = self.window
        self._x0, self._y1 = x0, y1
        self._sx = self.dots_wide / (x1 - x0)
        self._sy = self.dots_high / (y1 - y0)

    def _make_window(
        self, window: tuple[float, float, float, float] | None, to_scale: bool, cell_ratio: float
    ) -> tuple[float, float, float, float]:
        usable = window is not None and all(map(math.isfinite, window))
        if window is None or not usable or window[1] <= window[0] or window[3] <= window[2]:
            return (0.0, float(self.dots_wide or 1), 0.0, float(self.dots_high or 1))
        if not to_scale or not self.dots_wide or not self.dots_high:
            return window
        x0, x1, y0, y1 = window
        shape = self.width_cells * cell_ratio / self.height_cells
        if x1 - x0 < (y1 - y0) * shape:
            spare = ((y1 - y0) * shape - (x1 - x0)) / 2
            return (x0 - spare, x1 + spare, y0, y1)
        spare = ((x1 - x0) / shape - (y1 - y0)) / 2
        return (x0, x1, y0 - spare, y1 + spare)

    def to_dot(self, x: float, y: float) -> tuple[float, float]:
        """A point of the window in dots from the upper left corner (down is positive); dot i spans i to i + 1."""
        return (x - self._x0) * self._sx, (self._y1 - y) * self._sy

    def set_clip(self, left: int | None = None, right: int = 0, top: int = 0, bottom: int = 0) -> None:
        """Draw dots only in left <= i < right, top <= j < bottom, dots from the upper left; no argument: everywhere."""
        if left is None:
            self._clip = (0, self.dots_wide, 0, self.dots_high)
        else:
            self._clip = (max(0, left), min(self.dots_wide, right), max(0, top), min(self.dots_high, bottom))

    # ---- dots ----

    def _ink(self, ascii_ink: str) -> int:
        return ord(ascii_ink[0]) if self.level == "ascii" and ascii_ink else _SOLID[self.level]

    def _role_id(self, role: str) -> int:
        return self._role_ids.setdefault(role, len(self._role_ids))

    def _span(self, row: int, left: int, right: int, role_id: int, ink: int, hatch: bool = False) -> None:
        """Dots left <= i < right of a dot row."""
        clip_left, clip_right, clip_top, clip_bottom = self._clip
        left, right = max(left, clip_left), min(right, clip_right)
        if left >= right or not clip_top <= row < clip_bottom:
            return
        dots = self._dots[row]
        count = right - left
        if not hatch:
            dots[left:right] = bytes((ink,)) * count
        elif self.level == "braille":
            first = left + (-(left + row)) % _HATCH_STEP
            dots[left:right] = bytes(count)
            dots[first:right:_HATCH_STEP] = b"\x01" * len(range(first, right, _HATCH_STEP))
        else:
            dots[left:right] = bytes((_BLOCK_HATCH if self.level == "block" else ink,)) * count
        first_cell, end_cell = left // self._dx, (right - 1) // self._dx + 1
        self._roles[row // self._dy][first_cell:end_cell] = bytes((role_id,)) * (end_cell - first_cell)

    def _edges(self, from_dots: float, to_dots: float) -> tuple[int, int] | None:
        """Dots whose centres lie between two edges; at least one, so that nothing thin vanishes. None for NaN."""
        if math.isnan(from_dots) or math.isnan(to_dots):
            return None
        low, high = sorted((max(-_FAR, min(_FAR, from_dots)), max(-_FAR, min(_FAR, to_dots))))
        first, end = math.ceil(low - 0.5), math.ceil(high - 0.5)
        if first == end:
            first = math.floor((low + high) / 2)
            end = first + 1
        return first, end

    def _box(self, x0: float, x1: float, y0: float, y1: float) -> tuple[int, int, int, int] | None:
        across = self._edges((x0 - self._x0) * self._sx, (x1 - self._x0) * self._sx)
        down = self._edges((self._y1 - y1) * self._sy, (self._y1 - y0) * self._sy)
        return None if across is None or down is None else (*across, *down)

    def point(self, x: float, y: float, role: str = "", *, ascii_ink: str = "*") -> None:
        """One dot."""
        if math.isfinite(x) and math.isfinite(y):
            dot_x, dot_y = self.to_dot(x, y)
            if abs(dot_x) < _FAR and abs(dot_y) < _FAR:
                column = math.floor(dot_x)
                self._span(math.floor(dot_y), column, column + 1, self._role_id(role), self._ink(ascii_ink))

    def line(
        self, x0: float, y0: float, x1: float, y1: float, role: str = "", *, dotted: bool = False, ascii_ink: str = ""
    ) -> None:
        """A straight line; dotted: every other dot. ascii_ink: its character, else one that follows the slope."""
        self.polyline(((x0, y0), (x1, y1)), role, dotted=dotted, ascii_ink=ascii_ink)

    def polyline(
        self, points: Sequence[tuple[float, float]], role: str = "", *, dotted: bool = False, ascii_ink: str = ""
    ) -> None:
        """Straight lines from point to point, broken where a coordinate is not finite."""
        role_id = self._role_id(role)
        step = 2 if dotted else 1
        before: tuple[float, float] | None = None
        drawn = 0
        for x, y in points:
            if not (math.isfinite(x) and math.isfinite(y)):
                before = None
                continue
            dot_x, dot_y = self.to_dot(x, y)
            here = (min(max(dot_x, -_FAR), _FAR), min(max(dot_y, -_FAR), _FAR))
            if before is not None:
                drawn = self._segment(before, here, role_id, step, drawn, ascii_ink)
            before = here

    def _segment(
        self, start: tuple[float, float], end: tuple[float, float], role_id: int, step: int, drawn: int, ascii_ink: str
    ) -> int:
        """One straight line in dots; ``drawn`` counts dots so that a dotted line keeps its rhythm over corners."""
        cut = clip_segment(start, end, self._clip)
        if cut is None:
            return drawn
        ax, ay, bx, by = cut
        if step == 1 and math.floor(ax) == math.floor(bx):
            top, bottom = sorted((math.floor(ay), math.floor(by)))
            ink = self._ink(ascii_ink or ("|" if top != bottom else "-"))
            for row in range(top, bottom + 1):
                self._dot(math.floor(ax), row, role_id, ink)
            return drawn
        steps = max(1, abs(math.floor(bx) - math.floor(ax)), abs(math.floor(by) - math.floor(ay)))
        ink = self._ink(ascii_ink or ("." if step > 1 else slope_char(bx - ax, by - ay)))
        last_x, last_y = max(math.floor(ax), math.floor(bx)), max(math.floor(ay), math.floor(by))
        for i in range(-drawn % step, steps + 1, step):
            share = i / steps  # rounding may carry the far end a dot beyond the clip
            column, row = math.floor(ax + (bx - ax) * share), math.floor(ay + (by - ay) * share)
            self._dot(min(column, last_x), min(row, last_y), role_id, ink)
        return drawn + steps

    def _dot(self, column: int, row: int, role_id: int, ink: int) -> None:
        """One dot that is known to lie in the clip."""
        self._dots[row][column] = ink
        self._roles[row // self._dy][column // self._dx] = role_id

    # ---- shapes ----

    def fill_rectangle(
        self, x0: float, x1: float, y0: float, y1: float, role: str = "", *, hatch: bool = False, ascii_ink: str = ""
    ) -> None:
        """A solid or hatched rectangle; edges may be infinite; never thinner than one dot."""
        box = self._box(x0, x1, y0, y1)
        if box is not None:
            role_id, ink = self._role_id(role), self._ink(ascii_ink or ("/" if hatch else "#"))
            for row in range(max(box[2], self._clip[2]), min(box[3], self._clip[3])):
                self._span(row, box[0], box[1], role_id, ink, hatch)

    def rectangle(self, x0: float, x1: float, y0: float, y1: float, role: str = "") -> None:
        """The outermost ring of dots of the filled rectangle."""
        box = self._box(x0, x1, y0, y1)
        if box is None:
            return
        left, right, top, bottom = box
        role_id = self._role_id(role)
        flat, upright, corner = self._ink("-"), self._ink("|"), self._ink("+")
        for row in range(max(top, self._clip[2]), min(bottom, self._clip[3])):
            if row in (top, bottom - 1):
                self._span(row, left, right, role_id, flat)
            ends = corner if row in (top, bottom - 1) else upright
            self._span(row, left, left + 1, role_id, ends)
            self._span(row, right - 1, right, role_id, ends)

    def ellipse(
        self,
        x: float,
        y: float,
        radius_x: float,
        radius_y: float,
        role: str = "",
        *,
        fill: bool = False,
        hatch: bool = False,
        ascii_ink: str = "",
    ) -> None:
        """An ellipse: its outline, or filled, or hatched with its outline. Widths and heights round to whole dots."""
        if not all(map(math.isfinite, (x, y, radius_x, radius_y))):
            return
        dot_x, dot_y = self.to_dot(x, y)
        wide, high = abs(radius_x) * 2 * self._sx, abs(radius_y) * 2 * self._sy
        if not all(abs(value) <= _FAR for value in (dot_x, dot_y, wide, high)):  # a NaN is no number of dots
            return
        shape = ellipse_rows(dot_x, dot_y, wide, high, self._clip[2], self._clip[3])
        role_id = self._role_id(role)
        ink, edge = self._ink(ascii_ink or ("/" if hatch else "#")), self._ink(ascii_ink or "o")
        for row, (left, right) in shape.items():
            if fill or hatch:
                self._span(row, left, right, role_id, ink, hatch)
            if not fill:
                above, below = shape.get(row - 1), shape.get(row + 1)
                inner_left, inner_right = right, left
                if above is not None and below is not None:
                    inner_left, inner_right = max(above[0], below[0]), min(above[1], below[1])
                self._span(row, left, max(left + 1, inner_left), role_id, edge)
                self._span(row, min(right - 1, inner_right), right, role_id, edge)

    # ---- text ----

    def prepared(self, text: str) -> str:
        """A text as it will stand in this picture: cleaned, and in ASCII at that level."""
        return clean(to_ascii(text) if self.level == "ascii" else text)

    def text(self, column: int, row: int, text: str, role: str = "label") -> int:
        """Text from a cell on (row 0 is the topmost), over any dots. Returns the cells that it takes, cut or not."""
        cells = split_cells(self.prepared(text))
        if not 0 <= row < self.height_cells:
            return len(cells)
        start, end = max(0, -column), min(len(cells), self.width_cells - column)
        if start >= end:
            return len(cells)
        over, roles, role_id = self._over[row], self._roles[row], self._role_id(role)
        if over.get(column + start) == "":
            over[column + start - 1] = " "
        if over.get(column + end) == "":
            over[column + end] = " "
        for i in range(start, end):
            over[column + i] = cells[i]
            roles[column + i] = role_id
        if cells[start] == "":  # the first half of a wide character is cut off
            over[column + start] = " "
        if end < len(cells) and cells[end] == "":  # its second half is
            over[column + end - 1] = " "
        return len(cells)

    def set_role(self, column: int, row: int, role: str) -> None:
        """Give a cell another role, whatever is in it."""
        if 0 <= row < self.height_cells and 0 <= column < self.width_cells:
            self._roles[row][column] = self._role_id(role)

    def is_blank(self, column: int, row: int) -> bool:
        """Whether a cell of the canvas holds neither text nor a dot."""
        if not (0 <= row < self.height_cells and 0 <= column < self.width_cells) or column in self._over[row]:
            return False
        left, top = column * self._dx, row * self._dy
        return not any(any(dots[left : left + self._dx]) for dots in self._dots[top : top + self._dy])

    # ---- the finished picture ----

    def picture(self) -> Picture:
        """The rows as they stand: ``height_cells`` of them, each exactly ``width_cells`` wide."""
        names = list(self._role_ids)
        return tuple(self._row(row, names) for row in range(self.height_cells))

    def _row(self, row: int, names: list[str]) -> Row:
        glyphs = row_glyphs(self.level, self._dots[row * self._dy : (row + 1) * self._dy])
        over = self._over[row]
        if over:
            cells = list(glyphs)
            for column, cell in over.items():
                cells[column] = cell
        roles = bytes(self._roles[row])
        runs = []
        start = 0
        while start < self.width_cells:
            end = len(roles) - len(roles[start:].lstrip(roles[start : start + 1]))
            runs.append(("".join(cells[start:end]) if over else glyphs[start:end], names[roles[start]]))
            start = end
        return tuple(runs)
