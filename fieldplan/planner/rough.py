"""Ranges of lengths: to two figures for what is stepped off, guessed or held up against a hand; to three else."""

from __future__ import annotations

import math
from collections.abc import Callable

from fieldplan.notation.display import figures, span_text
from fieldplan.notation.quantity import FOOT, INCH, MILE

_FIGURES = 2
_MILES_FROM_M = 1500.0 * FOOT  # as lengths are shown


def rough_span(low_m: float, high_m: float, units: str = "metric", outward: bool = False) -> str:
    """ "17-21 m" for 16.7 and 20.7 m. outward: never narrower than the range given: "16-21 m"."""
    down, up = (math.floor, math.ceil) if outward else (round, round)
    return span_text(_rounded(low_m, units, down), _rounded(high_m, units, up), units)


def close_span(low_m: float, high_m: float, units: str = "metric") -> str:
    """ "16.7-20.7 m": three figures, in metres or feet."""
    size, unit = (FOOT, "ft") if units == "imperial" else (1.0, "m")
    first, second = (figures(end / size, 3) for end in (low_m, high_m))
    return f"{first} {unit}" if first == second else f"{first}-{second} {unit}"


def _rounded(metres: float, units: str, way: Callable[[float], int]) -> float:
    """Two figures in the unit that it will be shown in."""
    if not math.isfinite(metres) or metres <= 0.0:
        return metres
    size = 1.0
    if units == "imperial":
        size = INCH if metres < FOOT else FOOT if metres < _MILES_FROM_M else MILE
    value = metres / size
    step = 10.0 ** (math.floor(math.log10(value)) - _FIGURES + 1)
    rounded = way(round(value / step, 6)) * step * size
    return _rounded(rounded, units, way) if size == FOOT and rounded >= _MILES_FROM_M else rounded
