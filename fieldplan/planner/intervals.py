"""How sure a mean and a quantile are, from as few values as a photographer has."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

LEAST = 5  # values below which no mean is told
_Z = 1.959964  # 97.5 % point of the normal distribution
# 97.5 % points of Student's t for 1 to 4 degrees of freedom: NIST/SEMATECH e-Handbook, table 1.3.6.7.2
_T_FEW = (12.706, 4.303, 3.182, 2.776)


class Mean(NamedTuple):
    """A mean, its 95 % interval, and the standard deviation of single values, of so many."""

    value: float
    low: float
    high: float
    spread: float
    number: int


class Quantile(NamedTuple):
    """The value that a share of all stay at or under; its 95 % interval (None: no such end in so few), of so many."""

    value: float
    low: float | None
    high: float | None
    number: int


def student_t(freedom: int) -> float:
    """97.5 % point of Student's t. Abramowitz and Stegun 26.7.5 from 5 degrees of freedom on, good to 1e-3."""
    if freedom <= len(_T_FEW):
        return _T_FEW[freedom - 1]
    z, v = _Z, float(freedom)
    terms = (
        (z**3 + z) / 4.0,
        (5.0 * z**5 + 16.0 * z**3 + 3.0 * z) / 96.0,
        (3.0 * z**7 + 19.0 * z**5 + 17.0 * z**3 - 15.0 * z) / 384.0,
        (79.0 * z**9 + 776.0 * z**7 + 1482.0 * z**5 - 1920.0 * z**3 - 945.0 * z) / 92160.0,
    )
    return z + sum(term / v ** (i + 1) for i, term in enumerate(terms))


def mean_of(values: Sequence[float]) -> Mean | None:
    """The mean with Student's interval; None of fewer than LEAST."""
    number = len(values)
    if number < LEAST:
        return None
    middle = math.fsum(values) / number
    spread = math.sqrt(math.fsum((v - middle) ** 2 for v in values) / (number - 1))
    half = student_t(number - 1) * spread / math.sqrt(number)
    return Mean(middle, middle - half, middle + half, spread, number)


def quantile_of(values: Sequence[float], share: float, least: int = 10) -> Quantile | None:
    """The quantile with an interval of order statistics, which assumes nothing of how the values lie (Conover,
    Practical Nonparametric Statistics, 3.2). None of fewer than ``least``."""
    number = len(values)
    if number < least:
        return None
    ranked = sorted(values)
    at = max(math.ceil(share * number) - 1, 0)
    below = [_binomial(k, number, share) for k in range(number + 1)]
    low_rank = max((k for k in range(number) if math.fsum(below[: k + 1]) <= 0.025), default=-1)
    high_rank = next((k for k in range(number) if math.fsum(below[: k + 1]) >= 0.975), number)
    low = ranked[low_rank] if low_rank >= 0 else None
    high = ranked[high_rank] if high_rank < number else None
    return Quantile(ranked[at], low, high, number)


def _binomial(k: int, n: int, p: float) -> float:
    ways = math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
    return math.exp(ways + k * math.log(p) + (n - k) * math.log1p(-p))
