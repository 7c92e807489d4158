"""Where a yes turns into a no along a scale, from single yeses and noes, with how sure that is.

Model: the share of yes falls along the scale as a logistic curve, half of it at the threshold. Its steepness is fitted
too, held loosely to what a blur of two random directions scatters by (Rayleigh: its logarithm has a standard deviation
of pi / sqrt 24, which is 0.93 of a doubling). The interval is that of the profile likelihood (Venzon and Moolgavkar,
Applied Statistics 37, 1988): every threshold whose best fit is not worse than the best of all by more than half of the
95 % point of chi squared with one degree of freedom; and a fifth of a doubling more at either end, since nobody knows
that the curve is logistic (a fall shaped by Rayleigh's own distribution is missed by a tenth, that of a blur spread
evenly over a range by 0.16).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

LEAST = 12  # yeses and noes in all below which nothing is said
LEAST_OF_EACH = 3
WIDEST = 2.5  # doublings from end to end of an interval that still says something
_CHI_SQUARED_95 = 3.841459  # NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4
_WIDTHS = tuple(0.12 * 2.0 ** (i / 3.0) for i in range(13))  # 0.12 to 1.92 doublings
_USUAL_WIDTH = math.pi / math.sqrt(24.0) / math.log(2.0) * math.sqrt(3.0) / math.pi
_LOOSENESS = 0.7  # standard deviation of ln(width) round the usual one, common practice
_STEP = 0.05
_SHAPE = 0.2  # doublings that another shape of the curve may move the threshold by
_ROUNDED = 50.0  # places on the scale are told apart to a fiftieth of a doubling


class Threshold(NamedTuple):
    """The threshold with its 95 % interval on the scale, the width of the change, and the counts it rests on."""

    at: float
    low: float
    high: float
    width: float
    yes: int
    no: int

    def with_share(self, share: float) -> float:
        """Where on the scale such a share of yes is reached, 0 to 1 (ends left out)."""
        return self.at - self.width * math.log(share / (1.0 - share))


class TooFew(NamedTuple):
    """Why nothing is said, and the counts that there are."""

    why: str
    yes: int
    no: int


def fit_threshold(points: Iterable[tuple[float, bool]], low: float = -9.0, high: float = 9.0) -> Threshold | TooFew:
    """The threshold of (place on the scale in doublings, yes or no), looked for between low and high.

    TooFew where the counts are small, the interval is wider than WIDEST or not closed, or the scale does not decide.
    """
    counts: Counter[tuple[float, bool]] = Counter(
        (round(min(max(x, low - 4.0), high + 4.0) * _ROUNDED) / _ROUNDED, ok) for x, ok in points if not math.isnan(x)
    )
    yes = sum(n for (_, ok), n in counts.items() if ok)
    no = sum(n for (_, ok), n in counts.items() if not ok)
    if yes + no < LEAST or min(yes, no) < LEAST_OF_EACH:
        wants = f"wants {LEAST} in all, {LEAST_OF_EACH} of either"
        return TooFew(f"too few: {wants}", yes, no)
    rows = [(x, 1.0 if ok else -1.0, float(n)) for (x, ok), n in counts.items()]
    steps = round((high - low) / _STEP)
    places = [low + i * _STEP for i in range(steps + 1)]
    best = [max((_fit(rows, at, width), width) for width in _WIDTHS) for at in places]
    top = max(range(len(places)), key=lambda i: best[i][0])
    if best[top][1] == _WIDTHS[-1]:
        return TooFew("unclear: yes and no lie mixed all along the scale, so that something else decides", yes, no)
    floor = best[top][0] - _CHI_SQUARED_95 / 2.0
    first = next(i for i in range(len(places)) if best[i][0] >= floor)
    last = next(i for i in reversed(range(len(places))) if best[i][0] >= floor)
    if first == 0 or last == len(places) - 1 or places[last] - places[first] + 2.0 * _SHAPE > WIDEST:
        return TooFew("too few near the limit: nearly all lie far from it", yes, no)
    ends = [_crossing(places, [fit for fit, _ in best], i, j, floor) for i, j in ((first, first - 1), (last, last + 1))]
    return Threshold(places[top], ends[0] - _SHAPE, ends[1] + _SHAPE, best[top][1], yes, no)


def _fit(rows: list[tuple[float, float, float]], at: float, width: float) -> float:
    """Logarithm of the likelihood, with what is known of the width."""
    off = math.log(width / _USUAL_WIDTH) / _LOOSENESS
    total = -0.5 * off * off
    for x, sign, n in rows:
        z = sign * (x - at) / width
        total -= n * (math.log1p(math.exp(z)) if z < 30.0 else z)
    return total


def _crossing(places: list[float], fits: list[float], inside: int, outside: int, floor: float) -> float:
    """Where the likelihood crosses the floor between two neighbours."""
    share = (fits[inside] - floor) / (fits[inside] - fits[outside])
    return places[inside] + (places[outside] - places[inside]) * share
