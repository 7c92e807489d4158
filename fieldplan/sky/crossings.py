"""When a curve passes a level: a search that knows nothing of what the curve means."""

import math
from collections.abc import Callable
from itertools import pairwise

ROOT_S = 1e-3  # a crossing is told to the millisecond
EXTREME_S = 0.05  # how closely a highest or lowest point is looked at
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0

Curve = Callable[[float], float]


def crossings(f: Curve, limit: float, start_s: float, end_s: float, step_s: float = 600.0) -> list[tuple[float, bool]]:
    """The instants of [start_s, end_s) at which f passes the limit, in order, each with True when f rises there.

    At or over the limit counts as over. Every turn of f between samples is followed to its highest or lowest point, so
    a short visit beyond the limit shows as its two crossings. f is asked up to one step outside the span, must have at
    most one turn within two steps, and may have corners and jumps. Adjoining spans share no crossing and lose none.
    """
    if end_s <= start_s:
        return []
    count = max(1, math.ceil((end_s - start_s) / step_s))
    step = (end_s - start_s) / count
    times = [start_s + k * step for k in range(-1, count + 2)]
    times[count + 1] = end_s
    values = [f(t) for t in times]
    sides = [(t, value >= limit) for t, value in zip(times[1:-1], values[1:-1], strict=True)]
    visits = [(t, not over) for t, over in _visits(f, limit, times, values) if start_s < t < end_s]
    points = sorted(sides + visits)
    return [
        (_pass(f, limit, before, after, rising), rising)
        for (before, was_over), (after, rising) in pairwise(points)
        if was_over != rising
    ]


def _visits(f: Curve, limit: float, times: list[float], values: list[float]) -> list[tuple[float, bool]]:
    """Instants between samples at which f is beyond the limit though the samples around are not, with their side."""
    found: list[tuple[float, bool]] = []
    for k in range(1, len(times) - 1):
        left, middle, right = values[k - 1 : k + 2]
        over = middle >= limit
        if (left >= limit) != over or (right >= limit) != over:
            continue
        if (middle <= left and middle < right) if over else (middle >= left and middle > right):
            t = _beyond(f, limit, times[k - 1], times[k + 1], over)
            if t is not None:
                found.append((t, over))
    return found


def _beyond(f: Curve, limit: float, low: float, high: float, over: bool) -> float | None:
    """An instant near the turn of f between low and high at which f is on the other side of the limit, or None.

    Golden section: it needs no slope, so a curve with corners will do.
    """

    def inside(t: float) -> float:
        return f(t) - limit if over else limit - f(t)

    first = high - GOLDEN * (high - low)
    second = low + GOLDEN * (high - low)
    at_first, at_second = inside(first), inside(second)
    while high - low > EXTREME_S:
        best, at_best = (first, at_first) if at_first < at_second else (second, at_second)
        if at_best < 0.0 or (not over and at_best == 0.0):
            return best
        if at_first < at_second:
            high, second, at_second = second, first, at_first
            first = high - GOLDEN * (high - low)
            at_first = inside(first)
        else:
            low, first, at_first = first, second, at_second
            second = low + GOLDEN * (high - low)
            at_second = inside(second)
    return None


def _pass(f: Curve, limit: float, before: float, after: float, rising: bool) -> float:
    """The last instant, to a millisecond, before f comes to lie on its new side; never the end of the span."""
    while after - before > ROOT_S:
        middle = (before + after) / 2.0
        if (f(middle) >= limit) == rising:
            after = middle
        else:
            before = middle
    return before
