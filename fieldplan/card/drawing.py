"""Where the lines of the frame drawing go, for PDF and SVG alike: millimetres from the upper left corner."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.card.sheet import Frame

MOST_SHARE = 1.35  # a subject larger than this many frames runs out of the picture


class Box(NamedTuple):
    """A rectangle [mm]: left, top (downwards), width, height."""

    left: float
    top: float
    width: float
    height: float


class Drawing(NamedTuple):
    """The frame to scale with the subject in its middle.

    inside: the subject's part in the frame. outside: the outline of a subject that the frame cuts off, as far as the
    picture goes. bar: where only one extent is known, a measure across the frame instead of a shape (x0, y0, x1, y1).
    """

    width: float
    height: float
    frame: Box
    inside: Box | None
    outside: Box | None
    bar: tuple[float, float, float, float] | None


def draw(frame: Frame, width_mm: float, height_mm: float) -> Drawing:
    """Lay the frame out in a picture of that size, as large as it will go."""
    wide, tall = frame.wide_share, frame.tall_share
    room_w = min(max(wide or 0.0, 1.0), MOST_SHARE)
    room_h = min(max(tall or 0.0, 1.0), MOST_SHARE)
    scale = min(width_mm / (frame.width * room_w), height_mm / (frame.height * room_h))
    w, h = frame.width * scale, frame.height * scale
    box = Box((width_mm - w) / 2, (height_mm - h) / 2, w, h)
    x, y = width_mm / 2, height_mm / 2
    if wide is None and tall is None:
        return Drawing(width_mm, height_mm, box, None, None, None)
    if wide is None or tall is None:
        half_w = 0.0 if wide is None else min(wide * w, width_mm) / 2
        half_h = 0.0 if tall is None else min(tall * h, height_mm) / 2
        return Drawing(width_mm, height_mm, box, None, None, (x - half_w, y - half_h, x + half_w, y + half_h))
    inside = _centred(x, y, min(wide, 1.0) * w, min(tall, 1.0) * h)
    cut = wide > 1.0 or tall > 1.0
    outside = _centred(x, y, min(wide * w, width_mm), min(tall * h, height_mm)) if cut else None
    return Drawing(width_mm, height_mm, box, inside, outside, None)


def _centred(x: float, y: float, width: float, height: float) -> Box:
    return Box(x - width / 2, y - height / 2, width, height)
