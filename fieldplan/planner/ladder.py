"""The light ladder: the light round a shot by the clock, with the ISO that it asks for, to be read without a laptop."""

from __future__ import annotations

import datetime as dt
import math

from fieldplan.model.plan import Plan, Shot, SkySubject
from fieldplan.optics.exposure import iso_for, iso_third_up, time_for, time_third_faster
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.exposing import iso_or_mark
from fieldplan.planner.moments import stretch
from fieldplan.planner.scene import Conditions, Estimate, bounded, conditions, corrected, metered
from fieldplan.planner.skybook import SkyBook, seconds
from fieldplan.planner.tables import Ladder, LadderRow

ROWS = 12
_BEFORE_S = 3600.0  # the ladder begins so long before the shot
_TEN_MIN_S = 600.0
_STEPS_S = (
    _TEN_MIN_S,
    1200.0,
    1800.0,
    3600.0,
    7200.0,
    10800.0,
)  # the finest with which the rows reach the end of the shot
_SLOWER = 2.0  # the second shutter is a stop slower


def light_ladder(
    plan: Plan, found: ShotAnswers, book: SkyBook, lowest_iso: float | None, fastest_s: float = 0.0
) -> Ladder | None:
    """The light by the clock for the best answer to a shot.

    None where the light is given, where no time and no working stretch is known, and for sun or moon, whose own
    light is another. lowest_iso, fastest_s: the body's, where they are known.
    """
    shot, best = found.shot, found.best
    if best is None or shot.light is not None or _is_disc(shot):
        return None
    if best.f_number is None or best.effective_f_number is None or best.iso_ceiling is None:
        return None
    span, shutter = _span(found, best), _shutter(best)
    if span is None or shutter is None:
        return None
    shutters = (shutter, shutter * _SLOWER)
    given = conditions(plan, shot)
    rows = []
    for ut_s in _instants(*span, book):
        light, when = _light(plan, given, book, ut_s)
        isos = tuple(iso_third_up(iso_for(best.effective_f_number, time, light.ev100)) for time in shutters)
        instead = tuple(_instead(best.effective_f_number, iso, light.ev100, lowest_iso, fastest_s) for iso in isos)
        rows.append(LadderRow(when, light.ev100, light.low, light.high, isos, instead))
    return Ladder(
        shot.name, best.f_number, best.effective_f_number, shutters, tuple(rows), lowest_iso, best.iso_ceiling
    )


def _instead(effective_n: float, iso: float, ev100: float, lowest: float | None, fastest_s: float) -> float | None:
    """The shutter at the lowest ISO [s] where an ISO is over a stop under it; None where it is not, or none is fast
    enough."""
    if lowest is None or iso * _SLOWER >= lowest:
        return None
    time = time_third_faster(time_for(effective_n, lowest, ev100))
    return time if time >= fastest_s else None


def _is_disc(shot: Shot) -> bool:
    return isinstance(shot.subject, SkySubject)


def _shutter(best: Answer) -> float | None:
    """The shutter chosen [s]; without a time of the shot, the slowest that the blur allows, by which it works."""
    if best.shutter_s is not None or best.needs_ev100 is None:
        return best.shutter_s
    assert best.effective_f_number is not None and best.iso_ceiling is not None
    return time_for(best.effective_f_number, iso_or_mark(best.iso_ceiling), best.needs_ev100)


def _span(found: ShotAnswers, best: Answer) -> tuple[float, float] | None:
    """From and to of the shot [s]; without a time of its own, the start of the best answer's working stretch."""
    own = stretch(found)
    if own is not None and own[0].tzinfo is not None:
        start = seconds(own[0])
        return start, start if own[1] is None else max(start, seconds(own[1]))
    works = next((s for s in found.times if (s.rig, s.hold) == (best.label, best.hold)), None)
    return None if works is None else (works.start_s, works.start_s)


def _instants(start_s: float, end_s: float, book: SkyBook) -> list[float]:
    """Twelve instants on whole ten minutes of the site's clock [s], from an hour before the start.

    A stretch that twelve rows would not see the end of begins later, at its own start at the latest, and the longest
    ones go by wider steps.
    """
    first = _ten_before(start_s, book)
    last = first + math.ceil((end_s - first) / _TEN_MIN_S) * _TEN_MIN_S
    step = next((s for s in _STEPS_S if first + (ROWS - 1) * s >= last), _STEPS_S[-1])
    reach = (ROWS - 1) * step
    begin = max(first - _BEFORE_S, min(first, last - reach)) if step == _TEN_MIN_S else first
    return [begin + i * step for i in range(ROWS)]


def _ten_before(ut_s: float, book: SkyBook) -> float:
    """The whole ten minutes of the clock at or before an instant [s]."""
    local = dt.datetime.fromtimestamp(ut_s, tz=book.zone)
    return ut_s - (local.minute % 10) * 60.0 - local.second - local.microsecond / 1e6


def _light(plan: Plan, given: Conditions, book: SkyBook, ut_s: float) -> tuple[Estimate, dt.datetime]:
    """The light at an instant, with meter readings laid over it, and the instant on the site's clock."""
    when = dt.datetime.fromtimestamp(round(ut_s), tz=book.zone)
    state = book.day(when.date()).state(ut_s)
    readings = metered(plan, given, book, when.date())
    return corrected(bounded(state, given), state, readings)[0], when
