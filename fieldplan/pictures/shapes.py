"""The arithmetic of drawing in dots: clipping a segment, the rows of an ellipse, a character for a slope."""

from __future__ import annotations

import math


def slope_char(across: float, down: float) -> str:
    """The ASCII character that lies most like a line with these differences (down is positive)."""
    if abs(down) * 2 <= abs(across):
        return "-"
    if abs(across) * 2 <= abs(down):
        return "|"
    return "\\" if (across > 0) == (down > 0) else "/"


def clip_segment(
    start: tuple[float, float], end: tuple[float, float], clip: tuple[int, int, int, int]
) -> tuple[float, float, float, float] | None:
    """The part of a segment inside left <= x < right, top <= y < bottom, or None. After Liang and Barsky (1984)."""
    (ax, ay), (bx, by) = start, end
    left, right, top, bottom = clip
    if left >= right or top >= bottom:
        return None
    if left <= ax < right and left <= bx < right and top <= ay < bottom and top <= by < bottom:
        return ax, ay, bx, by
    right_edge, bottom_edge = math.nextafter(right, left), math.nextafter(bottom, top)
    dx, dy = bx - ax, by - ay
    enter, leave = 0.0, 1.0
    for delta, room in ((-dx, ax - left), (dx, right_edge - ax), (-dy, ay - top), (dy, bottom_edge - ay)):
        if delta == 0:
            if room < 0:
                return None
            continue
        share = room / delta
        if delta < 0:
            enter = max(enter, share)
        else:
            leave = min(leave, share)
        if enter > leave:
            return None
    x0, y0, x1, y1 = ax + dx * enter, ay + dy * enter, ax + dx * leave, ay + dy * leave
    # rounding may leave a point a hair outside
    x0, x1 = (min(max(x, left), right_edge) for x in (x0, x1))
    y0, y1 = (min(max(y, top), bottom_edge) for y in (y0, y1))
    return x0, y0, x1, y1


def whole_span(middle: float, length: float) -> tuple[int, int]:
    """The whole number of dots nearest to a length (at least one), about a middle: first dot, and the one after."""
    count = max(1, math.floor(length + 0.5))
    first = math.floor(middle - count / 2 + 0.5)
    return first, first + count


def ellipse_rows(
    middle_x: float, middle_y: float, wide: float, high: float, clip_top: int, clip_bottom: int
) -> dict[int, tuple[int, int]]:
    """Row -> (first dot, dot after the last) of a filled ellipse, in dots, for the rows in the clip and one beyond.

    Its box is whole_span by whole_span: the middle row or rows have the full width, the outermost are never empty.
    """
    left, right = whole_span(middle_x, wide)
    top, bottom = whole_span(middle_y, high)
    x, y = (left + right) / 2, (top + bottom) / 2
    radius_x, radius_y = (right - left) / 2, (bottom - top) / 2
    rows = {}
    for row in range(max(top, clip_top - 1), min(bottom, clip_bottom + 1)):
        off = abs(row + 0.5 - y)
        if off <= 0.5:
            rows[row] = (left, right)
            continue
        half = radius_x * math.sqrt(max(0.0, 1 - (off / radius_y) ** 2))
        first, end = math.ceil(x - half - 0.5), math.ceil(x + half - 0.5)
        if first >= end:
            first = math.floor(x) if (right - left) % 2 else math.floor(x) - 1
            end = first + (1 if (right - left) % 2 else 2)
        rows[row] = (first, end)
    return rows
