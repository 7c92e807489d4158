"""The axis of the depth picture: which distances it spans, evenly or logarithmically, and where its breaks are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

_EVEN_RATIO = 4.0  # distances of interest within this ratio are drawn on an even scale
_MARGIN = 0.2  # of the span of interest, beyond both its ends, on an even scale
_LOG_MARGIN = 1.5  # as a factor, on a logarithmic scale
_LOG_MARGIN_TO_INFINITY = 3.0
_BREAK_CELLS = 3  # two strokes, and a blank before or a mark behind
_LEAST_CELLS = 4
_NEAREST_M, _FARTHEST_M = 1e-9, 1e15  # distances beyond these are drawn as these


@dataclass(frozen=True)
class LineScale:
    """Metres to columns (in cells, with fractions) between ``first`` and ``end``.

    tail: whether a broken-off end at the right stands for what is beyond high_m.
    """

    low_m: float
    high_m: float
    first: int
    end: int
    logarithmic: bool
    tail: bool

    @property
    def broken(self) -> bool:
        """Whether the axis leaves out what is between the camera and low_m."""
        return self.low_m > 0

    def column(self, distance_m: float) -> float:
        """Where a distance lies: on the axis, held to its first column, or in the middle of the tail's last cell."""
        if distance_m <= self.low_m:
            return self.first
        if distance_m >= self.high_m:
            return self.end + _BREAK_CELLS - 0.5 if self.tail and distance_m > self.high_m else self.end
        if self.logarithmic:
            share = math.log(distance_m / self.low_m) / math.log(self.high_m / self.low_m)
        else:
            share = (distance_m - self.low_m) / (self.high_m - self.low_m)
        return self.first + share * (self.end - self.first)


def choose_scale(
    first: int, width_cells: int, distances_m: Sequence[float], background_m: float | None
) -> LineScale | None:
    """A scale for the distances of interest (m; NaN and those not above zero are passed over), or None without any.

    first: the first free column; the axis ends at width_cells. The background is drawn in where that costs little.
    """
    shown = [m for m in distances_m if m > 0]
    finite = [min(max(m, _NEAREST_M), _FARTHEST_M) for m in shown if m < math.inf]
    if not finite:
        return None
    low, high = min(finite), max(finite)
    to_infinity = len(finite) < len(shown)
    logarithmic = to_infinity or high > low * _EVEN_RATIO
    far_background = background_m if background_m is not None and background_m > high else 0.0
    if logarithmic:
        low, high = low / _LOG_MARGIN, high * (_LOG_MARGIN_TO_INFINITY if to_infinity else _LOG_MARGIN)
        if far_background <= _FARTHEST_M:
            high = max(high, far_background * 1.1)
    else:
        span = max(high - low, 0.1 * low)
        low, high = low - _MARGIN * span, high + _MARGIN * span
        if far_background <= high + span:
            high = max(high, far_background + 0.1 * span)
        if low < span:
            low = 0.0
    tail = to_infinity or far_background > high
    start = first + (_BREAK_CELLS if low > 0 else 0)
    end = width_cells - (_BREAK_CELLS if tail else 0)
    if end - start < _LEAST_CELLS:
        start = min(start, max(0, end - _LEAST_CELLS))
    return LineScale(low, high, start, max(end, start + 1), logarithmic, tail)
