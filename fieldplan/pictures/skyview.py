"""What a lens sees of the sky: a landmark, the skyline, the disc of moon or sun, and its path, to scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from fieldplan.pictures.canvas import Canvas
from fieldplan.pictures.cells import Level, Picture, text_cells
from fieldplan.pictures.field import Field, draw_ring, fit_field, is_length
from fieldplan.pictures.glyphs import DOTS


class Disc(NamedTuple):
    """A disc in the sky: the azimuth and altitude of its middle and its radius, degrees; role "moon" or "sun"."""

    azimuth_deg: float
    altitude_deg: float
    radius_deg: float
    label: str = ""
    role: str = "moon"


class Landmark(NamedTuple):
    """A landmark as an upright block: azimuths of its sides, altitudes of its foot and top, degrees."""

    azimuth_left_deg: float
    azimuth_right_deg: float
    foot_deg: float
    top_deg: float


def draw_skyview(
    width: int,
    height: int,
    *,
    field_w_deg: float,
    field_h_deg: float,
    centre_az_deg: float,
    centre_alt_deg: float,
    skyline: Sequence[tuple[float, float]] = (),
    landmark: Landmark | tuple[float, float, float, float] | None = None,
    discs: Sequence[Disc | tuple[float, float, float, str, str]] = (),
    path: Sequence[tuple[float, float]] = (),
    level: Level = "braille",
    cell_ratio: float = 0.5,
) -> Picture:
    """The frame of a lens aimed at a centre, and what is in it. All in degrees, azimuths from north.

    Across, a degree is a degree of arc: azimuth differences (the short way round) times the cosine of the centre's
    altitude. That is flat-field drawing: true to 1 % for fields up to 20 degrees or so, at altitudes below 30.
    skyline, path: (azimuth, altitude) points joined by lines; the ground below the skyline is hatched, the path dotted.
    Both break where a value is not finite or where the azimuth jumps by more than half the horizon.
    Ground and landmark stand before the discs and hide them. A disc is an outline, its label beside it where
    there is room in the frame.
    cell_ratio: width / height of a character cell.

    A disc, landmark or point that is not finite is left out. Without a finite aim or a field above zero the picture is
    blank. Never raises for any size; below 1 x 1 the picture is empty.
    """
    canvas = Canvas(width, height, level=level)
    usable = is_length(field_w_deg) and is_length(field_h_deg)
    if not usable or not (math.isfinite(centre_az_deg) and math.isfinite(centre_alt_deg)):
        return canvas.picture()
    shape = field_w_deg / field_h_deg
    field = fit_field(canvas.width_cells, canvas.height_cells, shape, level=level, cell_ratio=cell_ratio)
    view = _View(canvas, field, field_w_deg, field_h_deg, centre_az_deg, centre_alt_deg)
    canvas.set_clip(field.left, field.right, field.top, field.bottom)
    for stretch in view.stretches(path):
        canvas.polyline(stretch, "axis", dotted=True)
    shown = [Disc(*disc) for disc in discs]
    for disc in shown:
        x, y = view.place(disc.azimuth_deg, disc.altitude_deg)
        radius_x, radius_y = disc.radius_deg * view.dots_per_deg_x, disc.radius_deg * view.dots_per_deg_y
        canvas.ellipse(x, y, radius_x, radius_y, disc.role)
    _draw_ground(canvas, view, skyline)  # over the path and the discs: it hides what lies behind it
    if landmark is not None and all(map(math.isfinite, landmark)):
        _draw_landmark(canvas, view, Landmark(*landmark))
    canvas.set_clip()
    draw_ring(canvas, field)
    for disc in shown:
        _label_disc(canvas, view, disc)
    return canvas.picture()


class _View:
    """Directions to dots, y up from the lower edge of the picture."""

    def __init__(
        self, canvas: Canvas, field: Field, wide_deg: float, high_deg: float, azimuth_deg: float, altitude_deg: float
    ) -> None:
        self.field = field
        self.dots_per_deg_x, self.dots_per_deg_y = field.wide / wide_deg, field.high / high_deg
        self._x = (field.left + field.right) / 2
        self._y = canvas.dots_high - (field.top + field.bottom) / 2
        self.lower = canvas.dots_high - field.bottom
        self._azimuth_deg, self._altitude_deg = azimuth_deg, altitude_deg
        self._shrink = math.cos(math.radians(altitude_deg))

    def place(self, azimuth_deg: float, altitude_deg: float) -> tuple[float, float]:
        """Where a direction is in dots; both NaN where it is not finite."""
        if not (math.isfinite(azimuth_deg) and math.isfinite(altitude_deg)):
            return math.nan, math.nan
        off_deg = (azimuth_deg - self._azimuth_deg + 180) % 360 - 180
        x = self._x + off_deg * self._shrink * self.dots_per_deg_x
        y = self._y + (altitude_deg - self._altitude_deg) * self.dots_per_deg_y
        return (x, y) if math.isfinite(x) and math.isfinite(y) else (math.nan, math.nan)

    def stretches(self, points: Sequence[tuple[float, float]]) -> list[list[tuple[float, float]]]:
        """Lines of points in dots, parted where the direction is not finite or passes behind the photographer."""
        lines: list[list[tuple[float, float]]] = [[]]
        behind = 180 * abs(self._shrink) * self.dots_per_deg_x
        for azimuth_deg, altitude_deg in points:
            x, y = self.place(azimuth_deg, altitude_deg)
            if math.isnan(x) or (lines[-1] and abs(x - lines[-1][-1][0]) > behind):
                lines.append([])
            if not math.isnan(x):
                lines[-1].append((x, y))
        return lines


def _draw_ground(canvas: Canvas, view: _View, skyline: Sequence[tuple[float, float]]) -> None:
    """The skyline, and the ground under it hatched: a block, and dot columns above it."""
    for line in view.stretches(skyline):
        for (ax, ay), (bx, by) in pairwise(line):
            if ax > bx:
                ax, ay, bx, by = bx, by, ax, ay
            first, end = max(view.field.left, math.ceil(ax - 0.5)), min(view.field.right, math.ceil(bx - 0.5))
            if first >= end:
                continue
            level_y = max(min(ay, by), view.lower)  # below it the ground is one block
            if level_y > view.lower:
                canvas.fill_rectangle(first, end, view.lower, level_y, "ground", hatch=True, ascii_ink=".")
            for column in range(first, end):
                y = ay + (by - ay) * (column + 0.5 - ax) / (bx - ax)
                if y > level_y + 0.5:
                    canvas.fill_rectangle(column, column + 1, level_y, y, "ground", hatch=True, ascii_ink=".")
        canvas.polyline(line, "ground")


def _draw_landmark(canvas: Canvas, view: _View, landmark: Landmark) -> None:
    left, lower = view.place(landmark.azimuth_left_deg, landmark.foot_deg)
    right, upper = view.place(landmark.azimuth_right_deg, landmark.top_deg)
    canvas.fill_rectangle(left, right, lower, upper, "subject")


def _label_disc(canvas: Canvas, view: _View, disc: Disc) -> None:
    """The label to the right of the disc, else to the left, else above or below, in the frame and clear of dots."""
    label = canvas.prepared(disc.label)
    wide = text_cells(label)
    x, y = view.place(disc.azimuth_deg, disc.altitude_deg)
    radius_x, radius_y = disc.radius_deg * view.dots_per_deg_x, disc.radius_deg * view.dots_per_deg_y
    if not wide or not all(map(math.isfinite, (x, y, radius_x, radius_y))):
        return
    field, (dots_x, dots_y) = view.field, DOTS[canvas.level]
    if not (field.left <= x <= field.right and view.lower <= y <= view.lower + field.high):
        return
    row, middle = math.floor((canvas.dots_high - y) / dots_y), round(x / dots_x - wide / 2)
    places = (
        (math.ceil((x + radius_x) / dots_x) + 1, row),
        (math.floor((x - radius_x) / dots_x) - 1 - wide, row),
        (middle, math.floor((canvas.dots_high - y - radius_y) / dots_y) - 1),
        (middle, math.ceil((canvas.dots_high - y + radius_y) / dots_y)),
    )
    first, end = math.ceil(field.left / dots_x), field.right // dots_x
    top, bottom = math.ceil(field.top / dots_y), field.bottom // dots_y
    for column, line in places:
        inside = first <= column and column + wide <= end and top <= line < bottom
        if inside and all(canvas.is_blank(column + i, line) for i in range(wide)):
            canvas.text(column, line, label, disc.role)
            return
