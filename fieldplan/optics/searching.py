"""Where a function of one number crosses zero, or is least: few evaluations, inside a bracket that never grows."""

from __future__ import annotations

import math
from collections.abc import Callable

_GOLDEN = (3.0 - math.sqrt(5.0)) / 2.0
_TRIES = 100
_LAST_DIGITS = 4e-16


def passed(value: Callable[[float], float], low: float, high: float) -> float:
    """Where ``value``, of different signs at the ends, crosses zero.

    False position with the Illinois step (Dowell and Jarratt, BIT 11, 1971), to the last digits; halving where a
    value is infinite.
    """
    at_low, at_high = value(low), value(high)
    kept, last = 0, math.inf
    for turn in range(_TRIES):
        span = abs(high - low)
        if math.isfinite(at_low) and math.isfinite(at_high) and turn % 4 != 3:
            middle = high - at_high * (high - low) / (at_high - at_low)
        else:
            middle = (low + high) / 2.0
        if not min(low, high) < middle < max(low, high):
            middle = (low + high) / 2.0
        if middle in (low, high) or span <= _LAST_DIGITS * abs(high):
            break
        found = value(middle)
        if found == 0.0 or abs(middle - last) <= _LAST_DIGITS * abs(middle):
            return middle
        last = middle
        if (found > 0.0) == (at_high > 0.0):
            high, at_high = middle, found
            at_low, kept = (at_low / 2.0 if kept == 1 else at_low), 1
        else:
            low, at_low = middle, found
            at_high, kept = (at_high / 2.0 if kept == -1 else at_high), -1
    return high


def least(value: Callable[[float], float], low: float, high: float) -> float:
    """Where ``value``, with one dip between the ends, is least: parabolas, golden section where they fail.

    Brent, Algorithms for Minimization without Derivatives (1973), chapter 5. Good to about 1e-8 of the bracket, as
    near as values in double precision tell.
    """
    at = second = third = low + _GOLDEN * (high - low)
    best = next_best = older = value(at)
    step = before = 0.0
    slack = 1e-9 * (high - low)
    for _ in range(_TRIES):
        middle = (low + high) / 2.0
        if abs(at - middle) <= 2.0 * slack - (high - low) / 2.0:
            break
        golden = True
        if abs(before) > slack:
            r, q = (at - second) * (best - older), (at - third) * (best - next_best)
            p, q = (at - third) * q - (at - second) * r, 2.0 * (q - r)
            p, q = (-p, q) if q > 0.0 else (p, -q)
            if math.isfinite(p) and abs(p) < abs(q * before / 2.0) and q * (low - at) < p < q * (high - at):
                before, step, golden = step, p / q, False
        if golden:
            before = (high if at < middle else low) - at
            step = _GOLDEN * before
        tried = at + (step if abs(step) >= slack else math.copysign(slack, step))
        found = value(tried)
        if found <= best:
            low, high = (at, high) if tried >= at else (low, at)
            third, second, at = second, at, tried
            older, next_best, best = next_best, best, found
            continue
        low, high = (tried, high) if tried < at else (low, tried)
        if found <= next_best or second == at:
            third, older, second, next_best = second, next_best, tried, found
        elif found <= older or third in (at, second):
            third, older = tried, found
    return at
