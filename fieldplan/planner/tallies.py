"""How many pictures were taken at which focal length, f-number, shutter and ISO, with which body and lens."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.notation.display import figures
from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.planner.owned import names_of
from fieldplan.planner.seen import Seen, equivalent_m

_HALVES = 2  # bins of focal length in one doubling (common practice: the steps of fixed lenses)
_BASE_MM = 50.0  # a border between two bins
_MOST_BINS = 30  # beyond it single far-off pictures are gathered into the first or the last bin


class Bin(NamedTuple):
    """One bin: its ends [mm, f-number, s, or ISO], its name, and how many pictures it holds."""

    low: float
    high: float
    label: str
    pictures: int


class Tally(NamedTuple):
    """One histogram. unknown: pictures that do not say."""

    title: str
    bins: tuple[Bin, ...]
    unknown: int

    @property
    def known(self) -> int:
        """Pictures counted."""
        return sum(one.pictures for one in self.bins)


class Used(NamedTuple):
    """Everything counted: of so many pictures, the five histograms, and pictures by body, by lens and by both."""

    pictures: int
    tallies: tuple[Tally, ...]
    bodies: tuple[tuple[str, int], ...]
    lenses: tuple[tuple[str, int], ...]
    pairs: tuple[tuple[str, str, int], ...]


NO_BODY, NO_LENS = "no body named", "no lens named"


def sensors_of(profile: Profile | None) -> dict[str, tuple[float, float]]:
    """Sides of the sensors in a profile by the name of their body in lower case [m]."""
    if profile is None:
        return {}
    sides = ((name, body.sensor) for body in profile.bodies for name in names_of(body))
    return {name.casefold(): (sensor.width, sensor.height) for name, sensor in sides}


def tally(pictures: Sequence[Seen], sensors: Mapping[str, tuple[float, float]] | None = None) -> Used:
    """Counts of all pictures. sensors: sides by body in lower case [m], which go before what the files say."""
    known = sensors or {}

    def equivalent(seen: Seen) -> float | None:
        return equivalent_m(seen, known.get((seen.body or "").casefold()))

    tallies = (
        _histogram("focal length", pictures, lambda seen: _mm(seen.focal_m), _focal_bin, _focal_ends, _focal_label),
        _histogram(
            "equivalent on 36x24 mm, by the diagonal", pictures, lambda seen: _mm(equivalent(seen)), _focal_bin,
            _focal_ends, _focal_label,
        ),
        _histogram("f-number", pictures, lambda seen: seen.f_number, _stop_bin(2.0, 1.0), _stop_ends(2.0, 1.0),
                   lambda k: f_mark(2.0 ** (k / 2.0))),
        _histogram("shutter", pictures, lambda seen: seen.shutter_s, _stop_bin(-1.0, 1.0), _stop_ends(-1.0, 1.0),
                   lambda k: time_mark(2.0**-k)),
        _histogram("ISO", pictures, lambda seen: seen.iso, _stop_bin(1.0, 100.0), _stop_ends(1.0, 100.0),
                   lambda k: iso_mark(100.0 * 2.0**k)),
    )  # fmt: skip
    pairs = Counter((seen.body or NO_BODY, seen.lens or NO_LENS) for seen in pictures)
    return Used(
        len(pictures),
        tallies,
        _ranked(seen.body or NO_BODY for seen in pictures),
        _ranked(seen.lens or NO_LENS for seen in pictures),
        tuple((body, lens, count) for (body, lens), count in sorted(pairs.items(), key=lambda p: (-p[1], p[0]))),
    )


def _ranked(names: Iterable[str]) -> tuple[tuple[str, int], ...]:
    """Names with their counts, the most frequent first."""
    return tuple(sorted(Counter(names).items(), key=lambda pair: (-pair[1], pair[0])))


def _mm(metres: float | None) -> float | None:
    return None if metres is None else metres * 1000.0


def _focal_bin(mm: float) -> int:
    return math.floor(_HALVES * math.log2(mm / _BASE_MM) + 1e-9)


def _focal_ends(k: int) -> tuple[float, float]:
    return _BASE_MM * 2.0 ** (k / _HALVES), _BASE_MM * 2.0 ** ((k + 1) / _HALVES)


def _focal_label(k: int) -> str:
    low, high = _focal_ends(k)
    return f"{figures(float(f'{low:.2g}'))}-{figures(float(f'{high:.2g}'))} mm"


def _stop_bin(per_doubling: float, base: float) -> Callable[[float], int]:
    """The nearest whole stop from the base."""
    return lambda value: math.floor(per_doubling * math.log2(value / base) + 0.5)


def _stop_ends(per_doubling: float, base: float) -> Callable[[int], tuple[float, float]]:
    def ends(k: int) -> tuple[float, float]:
        a, b = (base * 2.0 ** ((k + half) / per_doubling) for half in (-0.5, 0.5))
        return min(a, b), max(a, b)

    return ends


def _histogram(
    title: str, pictures: Sequence[Seen], value: Callable[[Seen], float | None], bin_of: Callable[[float], int],
    ends: Callable[[int], tuple[float, float]], label: Callable[[int], str],
) -> Tally:  # fmt: skip
    """Counts in bins from the first to the last that hold any, empty ones between them too."""
    counts: Counter[int] = Counter()
    unknown = 0
    for seen in pictures:
        found = value(seen)
        if found is None or not 0.0 < found < math.inf:
            unknown += 1
        else:
            counts[bin_of(found)] += 1
    if not counts:
        return Tally(title, (), unknown)
    low, high = _core(counts)
    beyond = {min(max(k, low), high) for k in counts if not low <= k <= high}
    for k in [k for k in counts if not low <= k <= high]:
        counts[min(max(k, low), high)] += counts.pop(k)
    rows = []
    for k in range(low, high + 1):
        first, last = ends(k)
        rows.append(Bin(first, last, label(k) + (" and beyond" if k in beyond else ""), counts.get(k, 0)))
    return Tally(title, tuple(rows), unknown)


def _core(counts: Mapping[int, int]) -> tuple[int, int]:
    """First and last bin; where they lie too far apart, those round the fullest one."""
    low, high = min(counts), max(counts)
    if high - low < _MOST_BINS:
        return low, high
    middle = max(counts, key=lambda k: (counts[k], -k))
    low = min(max(low, middle - _MOST_BINS // 2), high - _MOST_BINS + 1)
    return low, low + _MOST_BINS - 1
