"""A curve over time with what goes with it under the same axis: bands, spans, a cursor."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.pictures.canvas import Canvas
from fieldplan.pictures.cells import Level, Picture, fit, text_cells
from fieldplan.pictures.glyphs import DOTS
from fieldplan.pictures.labels import place_labels


class Band(NamedTuple):
    """A named stretch of the axis, such as civil twilight."""

    x_from: float
    x_to: float
    name: str
    role: str = "label"


class Span(NamedTuple):
    """A stretch of the axis told by a bar, such as the time that a shot works."""

    x_from: float
    x_to: float
    label: str
    role: str = "sharp"


Label = tuple[float, str]

_LEAST_PLOT_ROWS = 2
_MOST_GUTTER = 3  # y labels take at most this part of the width
_ENDS: dict[Level, tuple[str, str, str]] = {
    "braille": ("\u251c", "\u2500", "\u2524"),
    "block": ("\u251c", "\u2500", "\u2524"),
    "ascii": ("[", "-", "]"),
}
_RULES: dict[Level, tuple[str, str, str]] = {  # y axis, y axis at a label, cursor
    "braille": ("\u2502", "\u2524", "\u2506"),
    "block": ("\u2502", "\u2524", "\u2506"),
    "ascii": ("|", "+", ":"),
}


class Layout(NamedTuple):
    """Where things are: columns of the plot, its rows, and the first rows of what is below it (None: no room)."""

    first: int
    wide: int
    plot_rows: int
    label_row: int | None
    band_row: int | None
    span_row: int
    span_rows: int
    x0: float
    x1: float

    def column(self, x: float) -> float:
        """Column of an x, in cells with fractions, held to one cell beyond the plot on both sides."""
        share = (x - self.x0) / (self.x1 - self.x0)
        return self.first + min(max(share * self.wide, -1.0), self.wide + 1.0)


def draw_curve(
    width: int,
    height: int,
    xs: Sequence[float],
    ys: Sequence[float],
    *,
    x_labels: Sequence[Label] = (),
    y_labels: Sequence[Label] = (),
    bands: Sequence[Band | tuple[float, float, str]] = (),
    spans: Sequence[Span | tuple[float, float, str]] = (),
    cursor_x: float | None = None,
    second_ys: Sequence[float] | None = None,
    level: Level = "braille",
    x_range: tuple[float, float] | None = None,
    y_range: tuple[float, float] | None = None,
    role: str = "sun",
    second_role: str = "moon",
) -> Picture:
    """ys over xs as a line, second_ys dotted; labels, then a row of band names, then bars for spans below.

    x_labels, y_labels: (value, text) in the units of xs and ys; those that overlap or lie outside are left out.
    bands, spans: a Band or Span, or a plain (from, to, text). A band's name is cut to its width, down to one letter.
    Spans that overlap take rows of their own. In a low picture spans give way first, then bands, then x labels.
    cursor_x: a column of its own. x_range, y_range: what the axes cover, else the data with the y labels.

    The line breaks where a value is NaN or infinite; a span or band may be infinite at either end. xs and ys need not
    be of one length: the shorter counts. Without two finite values on an axis it is one unit long about what there is.
    Never raises for any size; below 1 x 1 the picture is empty.
    """
    canvas = Canvas(width, height, level=level)
    gutter = _gutter(canvas, [text for _, text in y_labels])
    all_bands = [band for band in (Band(*band) for band in bands) if _is_stretch(band)]
    all_spans = [span for span in (Span(*span) for span in spans) if _is_stretch(span)]
    x0, x1 = _extent(x_range, xs)
    y0, y1 = _extent(y_range, [*ys, *(second_ys or ()), *(y for y, _ in y_labels)])
    lanes = _lanes(all_spans, x0, x1)
    layout = _lay_out(canvas, gutter, bool(x_labels), bool(all_bands), len(lanes), x0, x1)
    if layout.wide < 1 or layout.plot_rows < 1:
        return canvas.picture()
    _draw_y_axis(canvas, layout, y_labels, y0, y1)
    if second_ys is not None:
        _draw_line(canvas, layout, xs, second_ys, (y0, y1), second_role, dotted=True)
    _draw_line(canvas, layout, xs, ys, (y0, y1), role, dotted=False)
    if layout.label_row is not None:
        _draw_x_labels(canvas, layout, x_labels)
    if layout.band_row is not None:
        _draw_bands(canvas, layout, all_bands)
    for lane in range(layout.span_rows):
        row = layout.span_row + lane
        bars = [_draw_bar(canvas, layout, span, row) for span in lanes[lane]]
        for span, bar in zip(lanes[lane], bars, strict=True):
            _label_bar(canvas, layout, span, bar, row)
    if cursor_x is not None and x0 <= cursor_x <= x1:
        _draw_cursor(canvas, layout, cursor_x)
    return canvas.picture()


def _is_stretch(stretch: Band | Span) -> bool:
    return not (math.isnan(stretch.x_from) or math.isnan(stretch.x_to))


def _extent(given: tuple[float, float] | None, values: Sequence[float]) -> tuple[float, float]:
    finite = [v for v in (values if given is None else given) if math.isfinite(v)]
    low, high = (min(finite), max(finite)) if finite else (0.0, 0.0)
    if not (high > low and math.isfinite(high - low)):
        low, high = low - 0.5, low + 0.5
    return (low, high) if high > low else (0.0, 1.0)


def _gutter(canvas: Canvas, texts: Sequence[str]) -> int:
    """Columns for the y labels and the y axis."""
    widest = max((text_cells(canvas.prepared(text)) for text in texts), default=0)
    return min(widest, canvas.width_cells // _MOST_GUTTER) + 1


def _lay_out(canvas: Canvas, gutter: int, x_labels: bool, bands: bool, lanes: int, x0: float, x1: float) -> Layout:
    rows = canvas.height_cells
    spare = rows - _LEAST_PLOT_ROWS
    label_rows = min(int(x_labels), max(0, spare))
    band_rows = min(int(bands), max(0, spare - label_rows))
    span_rows = min(lanes, max(0, spare - label_rows - band_rows))
    plot = rows - label_rows - band_rows - span_rows
    return Layout(
        gutter,
        canvas.width_cells - gutter,
        plot,
        plot if label_rows else None,
        plot + label_rows if band_rows else None,
        plot + label_rows + band_rows,
        span_rows,
        x0,
        x1,
    )


def _lanes(spans: Sequence[Span], x0: float, x1: float) -> list[list[Span]]:
    """The spans that show, in rows in which none overlap, in the order given."""
    lanes: list[list[Span]] = []
    for span in spans:
        low, high = sorted((span.x_from, span.x_to))
        if high < x0 or low > x1:
            continue
        span = span._replace(x_from=low, x_to=high)
        for lane in lanes:
            if all(high <= other.x_from or low >= other.x_to for other in lane):
                lane.append(span)
                break
        else:
            lanes.append([span])
    return lanes


def _draw_y_axis(canvas: Canvas, layout: Layout, y_labels: Sequence[Label], y0: float, y1: float) -> None:
    rule, tick, _ = _RULES[canvas.level]
    for row in range(layout.plot_rows):
        canvas.text(layout.first - 1, row, rule, "axis")
    taken: set[int] = set()
    for y, text in y_labels:
        if not y0 <= y <= y1:
            continue
        row = min(math.floor((y1 - y) / (y1 - y0) * layout.plot_rows), layout.plot_rows - 1)
        if row in taken:
            continue
        taken.add(row)
        shown = fit(canvas.prepared(text), layout.first - 1)
        canvas.text(layout.first - 1 - text_cells(shown), row, shown)
        canvas.text(layout.first - 1, row, tick, "axis")


def _draw_line(
    canvas: Canvas,
    layout: Layout,
    xs: Sequence[float],
    ys: Sequence[float],
    y_span: tuple[float, float],
    role: str,
    *,
    dotted: bool,
) -> None:
    dots_x, dots_y = DOTS[canvas.level]
    left, right, bottom = layout.first * dots_x, canvas.dots_wide, layout.plot_rows * dots_y
    canvas.set_clip(left, right, 0, bottom)
    y0, y1 = y_span
    # the ends of the ranges fall on the middles of the outermost dots
    scale_x, scale_y = (right - left - 1) / (layout.x1 - layout.x0), (bottom - 1) / (y1 - y0)
    base = canvas.dots_high - bottom + 0.5
    points = [(left + 0.5 + (x - layout.x0) * scale_x, base + (y - y0) * scale_y) for x, y in zip(xs, ys, strict=False)]
    canvas.polyline(points, role, dotted=dotted)
    canvas.set_clip()


def _draw_x_labels(canvas: Canvas, layout: Layout, x_labels: Sequence[Label]) -> None:
    if layout.label_row is None:
        return
    shown = [(layout.column(x) + 0.5, canvas.prepared(t)) for x, t in x_labels if layout.x0 <= x <= layout.x1]
    for label in place_labels(canvas.width_cells, shown):
        if label is not None:
            canvas.text(label[0], layout.label_row, label[1])


def _cells(layout: Layout, x_from: float, x_to: float) -> tuple[int, int]:
    """First column and the one after the last of a stretch of the axis, inside the plot; empty when none is left."""
    first, end = (round(layout.column(x)) for x in sorted((x_from, x_to)))
    return max(first, layout.first), min(end, layout.first + layout.wide)


def _draw_bands(canvas: Canvas, layout: Layout, bands: Sequence[Band]) -> None:
    """Names in the middle of their bands, with a stroke where a band begins; a band of one cell is its letter."""
    if layout.band_row is None:
        return
    places = [_cells(layout, band.x_from, band.x_to) for band in bands]
    letters = {first for first, end in places if end - first == 1}
    for band, (first, end) in zip(bands, places, strict=True):
        if first >= end:
            continue
        canvas.text(first, layout.band_row, " " * (end - first), band.role)
        if first > layout.first and end - first > 1:
            canvas.text(first, layout.band_row, "|", "axis")
            first += 1
        if end in letters and end - first > 1:
            end -= 1  # a blank parts the name from the letter after it
        name = _shortened(canvas.prepared(band.name), end - first)
        canvas.text(first + (end - first - text_cells(name)) // 2, layout.band_row, name, band.role)


def _shortened(name: str, room: int) -> str:
    """As many whole words of a name as fit, else its first letter."""
    words = name.split(" ")
    whole = (" ".join(words[:n]) for n in range(len(words), 0, -1))
    return next((text for text in whole if text_cells(text) <= room), fit(name[:1], room))


def _draw_bar(canvas: Canvas, layout: Layout, span: Span, row: int) -> tuple[int, int]:
    """A bar, from its first column to the one after its last; an end beyond the axis is open."""
    left, bar, right = _ENDS[canvas.level]
    first, end = _cells(layout, span.x_from, span.x_to)
    if first >= end:  # shorter than a cell
        first = min(max(first, layout.first), layout.first + layout.wide - 1)
        end = first + 1
    canvas.text(first, row, bar * (end - first) if end - first > 1 else _RULES[canvas.level][0], span.role)
    if end - first > 1 and span.x_to <= layout.x1:
        canvas.text(end - 1, row, right, span.role)
    if end - first > 1 and span.x_from >= layout.x0:
        canvas.text(first, row, left, span.role)
    return first, end


def _label_bar(canvas: Canvas, layout: Layout, span: Span, bar: tuple[int, int], row: int) -> None:
    """The label of a bar in it, else beside it where there is room, else not at all."""
    first, end = bar
    label = canvas.prepared(span.label)
    wide = text_cells(label)
    if wide + 2 <= end - first:
        canvas.text(first + (end - first - wide) // 2, row, label, span.role)
        return
    for column in (end + 1, first - 1 - wide):
        room = range(max(column - 1, layout.first), min(column + wide + 1, canvas.width_cells))
        fits = layout.first <= column and column + wide <= canvas.width_cells
        if fits and all(canvas.is_blank(c, row) for c in room):
            canvas.text(column, row, label, span.role)
            return


def _draw_cursor(canvas: Canvas, layout: Layout, x: float) -> None:
    """A dashed column; where the curve crosses it the curve stays, in the cursor's role."""
    column = min(math.floor(layout.column(x)), layout.first + layout.wide - 1)
    for row in range(layout.plot_rows):
        if canvas.is_blank(column, row):
            canvas.text(column, row, _RULES[canvas.level][2], "cursor")
        else:
            canvas.set_role(column, row, "cursor")
