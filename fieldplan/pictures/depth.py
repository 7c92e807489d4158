"""The depth of field along the line of sight, seen from the side."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from fieldplan.pictures.canvas import Canvas
from fieldplan.pictures.cells import Level, Picture, text_cells
from fieldplan.pictures.glyphs import DOTS
from fieldplan.pictures.labels import place_labels
from fieldplan.pictures.line_scale import LineScale, choose_scale

_INFINITY = "infinity"
_BREAK = "//"
_GLYPHS: dict[Level, tuple[str, str, str, str, str]] = {  # out of focus, sharp, near limit, far limit, focus
    "block": ("\u2504", "\u2501", "\u2523", "\u252b", "\u254b"),
    "ascii": (".", "=", "[", "]", "+"),
}
_LABELLED_CAMERA = 5  # its word stands where the picture is this many times as wide


def draw_depth(
    width_cells: int,
    near_m: float,
    far_m: float,
    focus_m: float,
    camera: str = "camera",
    *,
    format_m: Callable[[float], str],
    subject_from_m: float,
    subject_to_m: float,
    background_m: float | None = None,
    level: Level = "braille",
    subject: str = "subject",
    rows: int = 4,
) -> Picture:
    """The line of sight, camera at the left: the subject's own depth, the sharp part of the axis, the distances.

    All distances in metres from one point of the camera, above zero; any but near_m may be infinite.
    format_m writes a finite distance; infinity is written here. camera, subject: words beside their marks.
    rows: 4 (subject; axis; near, focus, far, background; the ends of the axis and its kind of scale), or 3 (without the
    last), or 2 (without the subject too); others are held to 2..4.

    The scale is even and zoomed (a break "//" then parts it from the camera, or from a far background) while the
    distances lie within a ratio of 4, logarithmic beyond and where one is infinite. What of the subject lies outside
    the sharp part is hatched ("warn"). Distances that are NaN or not above zero are left out, as is a background nearer
    than the axis; without any finite distance the axis says so. A reversed pair is put in order. Never raises for any
    width; below 1 the rows are empty.
    """
    rows = min(max(rows, 2), 4)
    canvas = Canvas(width_cells, rows, level=level)
    sharp, body = _in_order(near_m, far_m), _in_order(subject_from_m, subject_to_m)
    axis_row = 0 if rows == 2 else 1
    first = _draw_camera(canvas, axis_row, camera)
    scale = choose_scale(first, canvas.width_cells, (*sharp, focus_m, *body), background_m)
    if scale is None:
        canvas.text(first, axis_row, "no distance")
        return canvas.picture()
    background = background_m if background_m is not None and background_m > scale.low_m else None
    _draw_axis(canvas, axis_row, scale, sharp, focus_m)
    _draw_breaks(canvas, axis_row, scale, sharp[1], background)
    if rows > 2:
        _draw_subject(canvas, scale, body, sharp, canvas.prepared(subject))
    _draw_distances(canvas, axis_row + 1, scale, sharp, focus_m, background, format_m)
    if rows > 3:
        _draw_ends(canvas, scale, format_m)
    return canvas.picture()


def _in_order(a: float, b: float) -> tuple[float, float]:
    return (b, a) if b < a else (a, b)


def _draw_camera(canvas: Canvas, row: int, camera: str) -> int:
    """The camera at the left; returns the first column for the axis."""
    word = canvas.prepared(camera)
    if not 0 < text_cells(word) * _LABELLED_CAMERA <= canvas.width_cells:
        word = "[]" if canvas.width_cells >= 8 else "["
    return canvas.text(0, row, word, "frame") + 1


def _band(canvas: Canvas, row: int, columns: tuple[float, float], dots: tuple[int, int], role: str) -> None:
    """A solid bar between two columns, in the dots from..to (0 the topmost) of a row of cells."""
    dots_x, dots_y = DOTS[canvas.level]
    top = canvas.dots_high - row * dots_y
    canvas.fill_rectangle(columns[0] * dots_x, columns[1] * dots_x, top - dots[1], top - dots[0], role)


def _draw_axis(canvas: Canvas, row: int, scale: LineScale, sharp: tuple[float, float], focus_m: float) -> None:
    near, far = (scale.column(m) if m > 0 else None for m in sharp)
    focus = min(scale.column(focus_m), scale.end) if focus_m > 0 else None
    near, far = (None if at is None else min(at, scale.end) for at in (near, far))
    limits = (near, None if math.isinf(sharp[1]) else far)
    if canvas.level == "braille":
        dots_x, dots_y = DOTS["braille"]
        middle = canvas.dots_high - row * dots_y - 1.5 - 1
        canvas.line(scale.first * dots_x, middle, scale.end * dots_x - 1, middle, "blur", dotted=True)
        if near is not None and far is not None:
            _band(canvas, row, (near, far), (1, 3), "sharp")
        for limit, inward in zip(limits, (0.5, -0.5), strict=True):
            if limit is not None:
                _band(canvas, row, (min(limit, limit + inward), max(limit, limit + inward)), (0, 4), "sharp")
        if focus is not None:
            _band(canvas, row, (focus - 0.5, focus + 0.5), (0, 4), "cursor")
        return
    blur_glyph, sharp_glyph, near_glyph, far_glyph, focus_glyph = _GLYPHS[canvas.level]
    canvas.text(scale.first, row, blur_glyph * (scale.end - scale.first), "blur")
    if near is not None and far is not None:
        start, end = _cell(scale, near), _cell(scale, far)
        canvas.text(start, row, sharp_glyph * (end - start + 1), "sharp")
    marks = ((limits[0], near_glyph, "sharp"), (limits[1], far_glyph, "sharp"), (focus, focus_glyph, "cursor"))
    for at, glyph, role in marks:
        if at is not None:
            canvas.text(_cell(scale, at), row, glyph, role)


def _cell(scale: LineScale, column: float) -> int:
    return min(math.floor(column), scale.end - 1)


def _draw_breaks(canvas: Canvas, row: int, scale: LineScale, far_m: float, background_m: float | None) -> None:
    if scale.broken:
        canvas.text(scale.first - 3, row, _BREAK, "axis")
    if background_m is not None and background_m <= scale.high_m:
        canvas.text(_cell(scale, scale.column(background_m)), row, "|", "ground")
    if scale.tail:
        endless = math.isinf(far_m) or background_m is None or math.isinf(background_m)
        canvas.text(scale.end, row, _BREAK, "axis")
        canvas.text(scale.end + 2, row, ">" if endless else "|", "sharp" if math.isinf(far_m) else "ground")


def _draw_subject(
    canvas: Canvas, scale: LineScale, body: tuple[float, float], sharp: tuple[float, float], word: str
) -> None:
    """The subject's depth as a bar in the row above the axis: solid where it is sharp, hatched where it is not."""
    if not (body[0] > 0 and body[1] > 0):
        return
    start, end = (min(scale.column(m), scale.end) for m in body)
    dots_x, dots_y = DOTS[canvas.level]
    lower, upper = canvas.dots_high - dots_y, canvas.dots_high
    canvas.fill_rectangle(start * dots_x, end * dots_x, lower, upper, "warn", hatch=True, ascii_ink="x")
    in_focus = max(body[0], sharp[0]), min(body[1], sharp[1])
    if sharp[0] > 0 and sharp[1] > 0 and in_focus[0] <= in_focus[1]:
        solid = [min(scale.column(m), scale.end) * dots_x for m in in_focus]
        canvas.fill_rectangle(solid[0], solid[1], lower, upper, "subject")
    wide = text_cells(word)
    after, before = math.ceil(end) + 1, math.floor(start) - 1 - wide
    if after + wide <= canvas.width_cells:
        canvas.text(after, 0, word)
    elif before >= 0:
        canvas.text(before, 0, word)


def _draw_distances(
    canvas: Canvas,
    row: int,
    scale: LineScale,
    sharp: tuple[float, float],
    focus_m: float,
    background_m: float | None,
    format_m: Callable[[float], str],
) -> None:
    """The distances under their places: with their names, or the background's bare, or all bare, as there is room."""
    far_word = "far"
    if background_m is not None and background_m == sharp[1]:
        far_word, background_m = "far, background", None
    named = [("focus", focus_m), ("near", sharp[0]), (far_word, sharp[1])]
    if background_m is not None:
        named.append(("background", background_m))
    known = [(word, distance_m) for word, distance_m in named if distance_m > 0]
    texts = [canvas.prepared(_INFINITY if math.isinf(m) else format_m(m)) for _, m in known]
    columns = [scale.column(m) for _, m in known]
    full = [f"{word} {text}" for (word, _), text in zip(known, texts, strict=True)]
    short = [text if word == "background" else name for (word, _), text, name in zip(known, texts, full, strict=True)]
    placed: list[tuple[int, str] | None] = []
    for variant in (full, short, texts):
        placed = place_labels(canvas.width_cells, list(zip(columns, variant, strict=True)))
        if None not in placed:
            break
    for (word, _), label in zip(known, placed, strict=True):
        if label is not None:
            canvas.text(label[0], row, label[1], "ground" if word == "background" else "label")


def _draw_ends(canvas: Canvas, scale: LineScale, format_m: Callable[[float], str]) -> None:
    """What the first and the last column of the axis stand for, and the kind of scale between them."""
    kind = "logarithmic scale" if scale.logarithmic else "even scale"
    ends: Sequence[tuple[float, str]] = [
        (scale.first, canvas.prepared(format_m(scale.low_m))),
        (scale.end, canvas.prepared(format_m(scale.high_m))),
        ((scale.first + scale.end) / 2, kind),
    ]
    for label in place_labels(canvas.width_cells, ends):
        if label is not None:
            canvas.text(label[0], 3, label[1], "axis")
