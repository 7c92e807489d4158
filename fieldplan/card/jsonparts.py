"""What every JSON of the answers is written by: its format, and numbers of which JSON knows the finite ones only."""

from __future__ import annotations

import math

FORMAT = "fieldplan-answers/1"


def finite(value: float | None, scale: float = 1.0) -> float | None:
    """A number times the scale; null for what has no end or is not known."""
    return None if value is None or not math.isfinite(value) else value * scale


def finite_ends(low_high: tuple[float, float] | None) -> list[float | None] | None:
    """Both ends of a range; null where there is none."""
    return None if low_high is None else [finite(end) for end in low_high]
