"""The light on a subject through a whole day, or through a night from noon to noon."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache
from typing import NamedTuple

from fieldplan.model.plan import Plan
from fieldplan.planner.nightsky import night_bounds
from fieldplan.planner.scene import Conditions, LevelLight, bounded, corrected, level_light, metered
from fieldplan.planner.skybook import SkyBook, SkyDay, SkyState, seconds


class Curve(NamedTuple):
    """EV 100 over a day at even steps: instants [s], values, bounds, the sky at each, and how the subject is lit."""

    times_s: tuple[float, ...]
    ev100: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    states: tuple[SkyState, ...]
    lits: tuple[str, ...] = ()


def light_curve(plan: Plan, given: Conditions, day: SkyDay, book: SkyBook, step_s: float = 60.0) -> Curve:
    """The light of a whole local day under the same conditions; kept by the day for the next asking."""
    key = (given, plan.readings, plan.date, step_s)
    kept = day.curves.get(key)
    if isinstance(kept, Curve):
        return kept
    readings = metered(plan, given, book, day.date)
    states = day.states(step_s)
    values = [bounded(state, given, level)
              for state, level in zip(states, _levels(given.sky, day, step_s), strict=True)]  # fmt: skip
    if readings:
        values = [corrected(raw, state, readings)[0] for raw, state in zip(values, states, strict=True)]
    ev100, low, high, _, lits = zip(*values, strict=True)
    curve = Curve(tuple(s.ut_s for s in states), ev100, low, high, states, lits)
    day.curves[key] = curve
    return curve


@lru_cache(maxsize=4)
def _levels(sky: str, day: SkyDay, step_s: float) -> tuple[LevelLight, ...]:
    """The light on level ground through a day; the subjects of a day come one after the other."""
    return tuple(level_light(state, sky) for state in day.states(step_s))


def night_curve(plan: Plan, given: Conditions, when: dt.datetime, book: SkyBook) -> Curve:
    """The light of a whole night under the same conditions, from the noon before ``when`` to the noon after it."""
    noons = night_bounds(seconds(when), book.zone)
    days = [book.day(dt.datetime.fromtimestamp(noon, tz=book.zone).date()) for noon in noons]
    key = ("night", given, plan.readings, plan.date)
    kept_whole = days[0].curves.get(key)
    if isinstance(kept_whole, Curve):
        return kept_whole
    midnight = days[1].start_s
    parts = [light_curve(plan, given, day, book) for day in days]
    kept = [[noons[0] <= t < midnight for t in parts[0].times_s], [midnight <= t <= noons[1] for t in parts[1].times_s]]
    joined = [tuple(v for part, keep in zip(parts, kept, strict=True) for v, k in zip(part[i], keep, strict=True) if k)
              for i in range(len(Curve._fields))]  # fmt: skip
    curve = days[0].curves[key] = Curve(*joined)  # type: ignore[arg-type]
    return curve
