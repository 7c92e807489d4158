"""Shutter, f-number and ISO for one rig: the shutter from the blur allowed, the ISO from the light."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from fieldplan.optics.exposure import (
    exposure_value,
    f_number_third_up,
    iso_for,
    iso_third_nearest,
    iso_third_up,
    time_for,
    time_third_faster,
)

_SLACK = 0.06  # stops: a printed mark (ISO 5000, f/22, 1/4000) lies this near to its exact third
_MORE, _LESS = math.pow(2.0, _SLACK), math.pow(2.0, -_SLACK)


class Limits(NamedTuple):
    """What a body allows: ISO, exposure times [s], and the lens's smallest f-number."""

    lowest_iso: float
    iso_ceiling: float
    fastest_s: float
    longest_s: float
    smallest_n: float


class Exposure(NamedTuple):
    """Settings; iso None where the light is not known. over_ceiling and too_bright in stops, 0 where all is well."""

    f_number: float
    shutter_s: float
    iso: float | None
    over_ceiling: float
    too_bright: float
    shutter_short_of: float | None


def within_ceiling(iso: float, ceiling: float) -> bool:
    """Whether an ISO is at most the ceiling, a printed ceiling counting as the third that it stands for."""
    return iso <= ceiling * _MORE


def shutter_for(limit_s: float, limits: Limits) -> float:
    """The next third faster than the blur limit, as far as the body goes [s]."""
    return _by_blur(limit_s, limits.fastest_s, limits.longest_s)[0]


@lru_cache(maxsize=8)
def _by_blur(limit_s: float, fastest_s: float, longest_s: float) -> tuple[float, float | None]:
    """``shutter_for``, and what it falls short of, if it does [s]. One rig asks four times for the same."""
    if not math.isfinite(limit_s):
        return longest_s, None
    wanted = time_third_faster(limit_s)
    if wanted < fastest_s * _LESS:
        return min(fastest_s, longest_s), wanted
    return min(wanted, longest_s), None


def expose(f_number: float, light_factor: float, limit_s: float, ev100: float | None, limits: Limits) -> Exposure:
    """Settings at one f-number.

    light_factor: effective over marked f-number. With no blur limit: the lowest ISO and the time that the light
    gives, at most the body's longest. Below the lowest ISO: the lowest ISO, then a shorter time, then a smaller stop.
    """
    shutter, short_of = _by_blur(limit_s, limits.fastest_s, limits.longest_s)
    if ev100 is None or ev100 == -math.inf:
        return Exposure(f_number, shutter, None, 0.0, 0.0, short_of)
    need = iso_for(f_number * light_factor, shutter, ev100)
    lowest = limits.lowest_iso
    if need >= lowest:
        iso = iso_third_up(need)
        over = 0.0 if within_ceiling(iso, limits.iso_ceiling) else math.log2(iso / iso_or_mark(limits.iso_ceiling))
        return Exposure(f_number, shutter, iso, over, 0.0, short_of)
    exact = time_for(f_number * light_factor, lowest, ev100)
    if exact >= limits.fastest_s:
        return Exposure(f_number, max(time_third_faster(exact), limits.fastest_s), lowest, 0.0, 0.0, short_of)
    wide = f_number * math.sqrt(limits.fastest_s / exact)
    stopped = f_number_third_up(wide)
    if stopped <= limits.smallest_n * _MORE:
        return Exposure(stopped, limits.fastest_s, lowest, 0.0, 0.0, short_of)
    smallest = max(limits.smallest_n, f_number)
    return Exposure(smallest, limits.fastest_s, lowest, 0.0, 2.0 * math.log2(wide / smallest), short_of)


def iso_or_mark(iso: float) -> float:
    """The exact third that a printed ISO stands for; the number itself where it stands for none."""
    third = iso_third_nearest(iso)
    return third if abs(math.log2(third / iso)) <= _SLACK else iso


def least_ev100(effective_n: float, limit_s: float, limits: Limits) -> float:
    """The least EV 100 at which the ISO, a third, stays within the ceiling at the shutter that the blur limit asks."""
    return exposure_value(effective_n, shutter_for(limit_s, limits), highest_iso(limits.iso_ceiling))


@lru_cache(maxsize=64)
def highest_iso(ceiling: float) -> float:
    """The highest third of ISO within a ceiling, a printed ceiling counting as the third that it stands for."""
    third = iso_third_nearest(ceiling)
    return third if within_ceiling(third, ceiling) else third / 2.0 ** (1.0 / 3.0)


def iso_range(
    f_number: float, light_factor: float, limit_s: float, low: float, high: float, limits: Limits
) -> tuple[float | None, float | None]:
    """ISO (low, high) that ``expose`` would settle on over a light from EV ``low`` to ``high``."""
    return (
        expose(f_number, light_factor, limit_s, high, limits).iso,
        expose(f_number, light_factor, limit_s, low, limits).iso,
    )
