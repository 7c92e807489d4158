"""Frames of a sweep: how many it takes to cover a part of the sky and land with overlap, in one row or several.

Spherical geometry of a straight-line (rectilinear) frame. Its upper and lower edges are great circles, so that at
an angle s from its middle an edge that stands at e there is only at atan(tan e cos s): rows seen straight ahead lose
height at their seams. A frame turned up or down spans more degrees of azimuth.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.optics.hands import angle_deg

_SLACK = 1e-9
_MOST_ROWS = 60  # of a sweep by hand, past any sense
_POLE_DEG = 90.0


class Row(NamedTuple):
    """One row: altitude of the frames' middles [deg], how many frames, and the turn between them [deg]."""

    altitude_deg: float
    frames: int
    turn_deg: float


def frame_angles_deg(width_m: float, height_m: float, image_m: float) -> tuple[float, float]:
    """Angles of view across and up of a frame at an image distance f(1+m) [deg]."""
    return angle_deg(width_m, image_m), angle_deg(height_m, image_m)


def azimuth_span_deg(width_deg: float, height_deg: float, altitude_deg: float) -> float:
    """Least span of azimuth that a frame holds over its whole height, aimed at an altitude [deg]; 360 at a pole.

    At its edge nearer the horizon: 2 atan(tan(w/2) cos(h/2) / cos(|a| - h/2)).
    """
    half_w, half_h, up = (math.radians(v) for v in (width_deg / 2.0, height_deg / 2.0, abs(altitude_deg)))
    return math.degrees(2.0 * math.atan2(math.tan(half_w) * math.cos(half_h), math.cos(up - half_h)))


def row_frames(sweep_deg: float, span_deg: float, overlap: float) -> int:
    """Frames for a sweep of azimuth: n with n span - (n-1) overlap x span >= sweep; a full turn closes on itself."""
    step = span_deg * (1.0 - overlap)
    if sweep_deg >= 360.0:
        return max(2, math.ceil(360.0 / step - _SLACK))
    if sweep_deg <= span_deg:
        return 1
    return 1 + math.ceil((sweep_deg - span_deg) / step - _SLACK)


def _edge_deg(edge_deg: float, seam_deg: float) -> float:
    """Altitude of an edge that stands at ``edge_deg`` in the middle, at an angle of azimuth from it [deg]."""
    if abs(edge_deg) >= _POLE_DEG:
        return edge_deg
    return math.degrees(math.atan(math.tan(math.radians(edge_deg)) * math.cos(math.radians(seam_deg))))


def held_deg(altitude_deg: float, height_deg: float, seam_deg: float) -> tuple[float, float]:
    """Altitudes (from, to) that a row holds everywhere, its seams lying ``seam_deg`` from the frames' middles [deg]."""
    bottom, top = altitude_deg - height_deg / 2.0, altitude_deg + height_deg / 2.0
    return (
        bottom if bottom >= 0.0 else _edge_deg(bottom, seam_deg),
        top if top <= 0.0 else _edge_deg(top, seam_deg),
    )


def _row(altitude_deg: float, sweep_deg: float, frame: tuple[float, float], overlap: float) -> Row:
    span = azimuth_span_deg(*frame, altitude_deg)
    frames = row_frames(sweep_deg, span, overlap)
    if sweep_deg >= 360.0:
        return Row(altitude_deg, frames, 360.0 / frames)
    return Row(altitude_deg, frames, (sweep_deg - span) / (frames - 1) if frames > 1 else 0.0)


def _seam_deg(row: Row, sweep_deg: float) -> float:
    """Farthest that the row's edges have to reach from the middle of the nearest frame, in azimuth [deg]."""
    if sweep_deg >= 360.0:
        return row.turn_deg / 2.0
    return (sweep_deg - (row.frames - 1) * row.turn_deg) / 2.0


def _holds(rows: list[Row], low_deg: float, high_deg: float, sweep_deg: float, height_deg: float) -> bool:
    """Whether the rows leave no gap between two altitudes."""
    reached = low_deg
    for row in rows:
        bottom, top = held_deg(row.altitude_deg, height_deg, _seam_deg(row, sweep_deg))
        if bottom > reached + _SLACK:
            return False
        reached = max(reached, top)
    return reached >= high_deg - _SLACK


def sweep_rows(
    sweep_deg: float, low_deg: float, high_deg: float, frame: tuple[float, float], overlap: float
) -> tuple[Row, ...] | None:
    """Fewest rows that hold a sweep of azimuth from altitude ``low_deg`` to ``high_deg``; None past any sense.

    frame: angles of view across and up [deg], as the camera is held; overlap: share of a frame that neighbours have
    in common, 0 to less than 1, within a row and between rows. Rows stand evenly between the outermost, and the
    outermost are moved out until their seams hold the ends.
    """
    height = frame[1]
    apart = max(0.0, high_deg - low_deg - height) / (height * (1.0 - overlap))  # rows closer than this leave gaps
    if apart >= _MOST_ROWS:
        return None
    for count in range(max(1, math.ceil(apart - 1e-6) + 1 if apart > 1e-6 else 1), _MOST_ROWS):
        for spread in (i / 10.0 for i in range(11)):
            rows = _placed(count, spread, sweep_deg, low_deg, high_deg, frame, overlap)
            close = count == 1 or rows[1].altitude_deg - rows[0].altitude_deg <= height * (1.0 - overlap) + _SLACK
            if close and _holds(rows, low_deg, high_deg, sweep_deg, height):
                return tuple(rows)
    return None


def _placed(
    count: int, spread: float, sweep_deg: float, low_deg: float, high_deg: float, frame: tuple[float, float],
    overlap: float,
) -> list[Row]:  # fmt: skip
    """Rows placed evenly; spread 0: outer edges on the ends, 1: outer rows' middles on the ends."""
    middle, half = (low_deg + high_deg) / 2.0, max(0.0, (high_deg - low_deg - frame[1]) / 2.0)
    most = (high_deg - low_deg) / 2.0
    reach = half + spread * max(0.0, most - half)
    if count == 1:
        return [_row(middle, sweep_deg, frame, overlap)]
    altitudes = [middle - reach + 2.0 * reach * i / (count - 1) for i in range(count)]
    return [_row(min(max(a, -_POLE_DEG), _POLE_DEG), sweep_deg, frame, overlap) for a in altitudes]


def parallax_distance_m(offset_m: float, turn_deg: float, image_m: float, circle_m: float) -> float:
    """Nearest thing that keeps its place against the far ground between two frames, to one circle [m].

    offset_m: of the turning axis from the entrance pupil. The pupil moves 2 e sin(turn/2) sideways.
    """
    return 2.0 * offset_m * math.sin(math.radians(turn_deg) / 2.0) * image_m / circle_m
