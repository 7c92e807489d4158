"""The camera's frame with the subject at its true share of it."""

from __future__ import annotations

import math
from typing import Literal

from fieldplan.pictures.canvas import Canvas
from fieldplan.pictures.cells import Level, Picture, text_cells
from fieldplan.pictures.field import Field, draw_ring, fit_field, is_length, ring_edges
from fieldplan.pictures.glyphs import DOTS
from fieldplan.pictures.shapes import ellipse_rows, whole_span

Shape = Literal["box", "ellipse"]

_MOST_ROOM = 1.6  # a subject larger than this many frames is cut by the picture
_LARGEST_SHARE = 1e3  # an infinite share is drawn as this


def draw_frame(
    width_cells: int,
    height_cells: int,
    frame_w: float,
    frame_h: float,
    subject_w_share: float,
    subject_h_share: float,
    *,
    level: Level = "braille",
    label: str = "",
    cell_ratio: float = 0.5,
    shape: Shape = "box",
) -> Picture:
    """The frame to scale and the subject in its middle, solid; what the frame cuts off is hatched outside it ("warn").

    frame_w, frame_h: sides of the frame as held, any one unit (taller than wide: upright).
    subject_w_share, subject_h_share: extent of the subject / side of the frame, 0 and up; above 1 it is cut off.
    label: text in the subject, else beside it in the frame, else beside the frame, else left out.
    cell_ratio: width / height of a character cell.

    Frame and subject sizes are within half a dot of true; the subject is drawn at least one dot in size.
    A share that is NaN, zero or below draws no subject; an infinite one fills the picture. A frame side that is not a
    finite number above zero draws the label alone. Never raises for any size; below 1 x 1 the picture is empty.
    """
    canvas = Canvas(width_cells, height_cells, level=level, cell_ratio=cell_ratio)
    if not (is_length(frame_w) and is_length(frame_h)):
        canvas.text(0, 0, label)
        return canvas.picture()
    share_w, share_h = (min(share, _LARGEST_SHARE) for share in (subject_w_share, subject_h_share))
    seen = share_w > 0 and share_h > 0  # NaN is not
    field = fit_field(
        canvas.width_cells,
        canvas.height_cells,
        frame_w / frame_h,
        level=level,
        cell_ratio=cell_ratio,
        room_w=_room(share_w) if seen else 1.0,
        room_h=_room(share_h) if seen else 1.0,
    )
    subject = subject_box(field, share_w, share_h) if seen else None
    if subject is not None:
        canvas.set_clip(field.left, field.right, field.top, field.bottom)
        _draw_shape(canvas, subject, shape, "subject", hatch=False)
        canvas.set_clip()
    draw_ring(canvas, field)
    if subject is not None:
        outer = ring_edges(field, level)
        _draw_beyond(canvas, subject, shape, outer)
        _open_ring(canvas, field, subject, shape, outer)
    if label:
        _draw_label(canvas, field, subject, canvas.prepared(label))
    return canvas.picture()


def subject_box(field: Field, share_w: float, share_h: float) -> Field:
    """The subject's box in dots: its shares of the field to the nearest dot, about the middle of the field."""
    left, right = whole_span((field.left + field.right) / 2, share_w * field.wide)
    top, bottom = whole_span((field.top + field.bottom) / 2, share_h * field.high)
    return Field(left, right, top, bottom)


def _room(share: float) -> float:
    return min(max(share, 1.0), _MOST_ROOM)


def _draw_beyond(canvas: Canvas, subject: Field, shape: Shape, outer: Field) -> None:
    """Hatch what of the subject lies beyond the frame's line, whose outer edges are given."""
    wide, high = canvas.dots_wide, canvas.dots_high
    for region in (
        Field(0, wide, 0, outer.top),
        Field(0, wide, outer.bottom, high),
        Field(0, outer.left, outer.top, outer.bottom),
        Field(outer.right, wide, outer.top, outer.bottom),
    ):
        if region.wide > 0 and region.high > 0:
            canvas.set_clip(region.left, region.right, region.top, region.bottom)
            _draw_shape(canvas, subject, shape, "warn", hatch=True)
    canvas.set_clip()


def _draw_shape(canvas: Canvas, box: Field, shape: Shape, role: str, *, hatch: bool) -> None:
    lower, upper = canvas.dots_high - box.bottom, canvas.dots_high - box.top
    if shape == "ellipse":
        middle = ((box.left + box.right) / 2, (lower + upper) / 2)
        canvas.ellipse(
            *middle, box.wide / 2, box.high / 2, role, fill=not hatch, hatch=hatch, ascii_ink="/" if hatch else "#"
        )
        return
    canvas.fill_rectangle(box.left, box.right, lower, upper, role, hatch=hatch)
    if hatch and canvas.level == "braille":
        canvas.rectangle(box.left, box.right, lower, upper, role)


def _open_ring(canvas: Canvas, field: Field, subject: Field, shape: Shape, outer: Field) -> None:
    """Hatch the line itself where what is cut off does not reach beyond it, or the picture ends there."""
    if subject.top < field.top and (subject.top >= outer.top or outer.top <= 0):
        _hatch(canvas, subject, shape, Field(field.left, field.right, outer.top, field.top))
    if subject.bottom > field.bottom and (subject.bottom <= outer.bottom or outer.bottom >= canvas.dots_high):
        _hatch(canvas, subject, shape, Field(field.left, field.right, field.bottom, outer.bottom))
    if subject.left < field.left and (subject.left >= outer.left or outer.left <= 0):
        _hatch(canvas, subject, shape, Field(outer.left, field.left, field.top, field.bottom))
    if subject.right > field.right and (subject.right <= outer.right or outer.right >= canvas.dots_wide):
        _hatch(canvas, subject, shape, Field(field.right, outer.right, field.top, field.bottom))


def _hatch(canvas: Canvas, subject: Field, shape: Shape, strip: Field) -> None:
    """Hatch the part of the subject in a strip of the line; at the cell levels in whole cells."""
    rows_per_cell = DOTS[canvas.level][1]
    mark = "/" if canvas.level == "ascii" else "\u2592"
    for row, (left, right) in _dot_rows(subject, shape, strip).items():
        left, right = max(left, strip.left), min(right, strip.right)
        if left >= right:
            continue
        if canvas.level == "braille":
            lower = canvas.dots_high - row - 1
            canvas.fill_rectangle(left, right, lower, lower + 1, "warn", hatch=True)
        else:
            canvas.text(left, row // rows_per_cell, mark * (right - left), "warn")


def _dot_rows(subject: Field, shape: Shape, strip: Field) -> dict[int, tuple[int, int]]:
    """Row -> (first dot, dot after the last) of the subject in the rows of a strip."""
    if shape == "box":
        rows = range(max(subject.top, strip.top), min(subject.bottom, strip.bottom))
        return dict.fromkeys(rows, (subject.left, subject.right))
    middle = ((subject.left + subject.right) / 2, (subject.top + subject.bottom) / 2)
    rows_beyond = ellipse_rows(*middle, subject.wide, subject.high, strip.top, strip.bottom)
    return {row: span for row, span in rows_beyond.items() if strip.top <= row < strip.bottom}


def _draw_label(canvas: Canvas, field: Field, subject: Field | None, label: str) -> None:
    """The label in the subject where a cell of it stays free on both sides, else at the first place that holds it."""
    wide = text_cells(label)
    inside = _cells(canvas, field)
    if subject is None:
        places = [inside]
    else:
        body = _cells(canvas, _common(field, subject))
        if body.wide >= wide + 2 and body.high >= 1:
            padded = f" {label} " if body.wide >= wide + 4 else label
            column = body.left + (body.wide - text_cells(padded)) // 2
            canvas.text(column, (body.top + body.bottom - 1) // 2, padded)
            return
        outer = _cells(canvas, _common(field, subject), outwards=True)
        places = [
            Field(inside.left, inside.right, outer.bottom, min(outer.bottom + 1, inside.bottom)),
            Field(inside.left, inside.right, max(outer.top - 1, inside.top), outer.top),
            Field(outer.right, inside.right, inside.top, inside.bottom),
        ]
    frame = _cells(canvas, field, outwards=True)
    rows = (0, canvas.height_cells)
    spill = 1 if subject is None else max(1, _cells(canvas, subject, outwards=True).right - frame.right)
    places.append(Field(frame.right + spill, canvas.width_cells, *rows))
    for place in places:
        if place.high >= 1 and place.wide >= wide:
            canvas.text(place.left + (place.wide - wide) // 2, (place.top + place.bottom - 1) // 2, label)
            return


def _common(a: Field, b: Field) -> Field:
    return Field(max(a.left, b.left), min(a.right, b.right), max(a.top, b.top), min(a.bottom, b.bottom))


def _cells(canvas: Canvas, box: Field, *, outwards: bool = False) -> Field:
    """A box of dots in whole cells: those fully in it, or with ``outwards`` those that it touches."""
    dots_x, dots_y = DOTS[canvas.level]
    if outwards:
        return Field(
            box.left // dots_x, math.ceil(box.right / dots_x), box.top // dots_y, math.ceil(box.bottom / dots_y)
        )
    return Field(math.ceil(box.left / dots_x), box.right // dots_x, math.ceil(box.top / dots_y), box.bottom // dots_y)
