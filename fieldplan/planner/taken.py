"""What was taken: an answer as an entry of the log, and what was planned beside what was done."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.plan import Plan, Shot
from fieldplan.model.taken import LogEntry
from fieldplan.notation.display import focal_text, length_text, span_text
from fieldplan.notation.marks import f_mark, far_over, iso_mark, stops_text, time_mark
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.quantity import FOOT
from fieldplan.planner.answers import Answer, PlanAnswers, ShotAnswers
from fieldplan.planner.moments import on_the_clock, seconds_between, stretch_at
from fieldplan.planner.owned import as_owned

_SAME_STOPS = 0.1  # nearer than this, two settings are one mark on most cameras (common practice)
_SAME_SHARE = 0.01
_SAME_LIGHT = 0.3  # three marks together are as far from their thirds as this
_SAME_MINUTES = 1.0
_FAR_M = 1e7  # from here on, as for moon and sun, a distance is as good as infinite
GONE = "the plan has no shot of this name any more"
NOT_LOGGED = "nothing logged"


class Done(NamedTuple):
    """One entry of the log, its place in the log, and how it differs from what was planned, in words."""

    entry: LogEntry
    at: int
    differences: tuple[str, ...]


class ShotDone(NamedTuple):
    """Planned beside done for one shot. planned: the answer that stands first now, None where there is none.

    word: why there is nothing to compare, else "".
    """

    shot: str
    planned: Answer | None
    when: dt.datetime | None
    done: tuple[Done, ...]
    word: str = ""


def taken_from(answer: Answer, shot: Shot, instant: dt.datetime, units: str = "metric") -> dict[str, Any]:
    """An entry for ``plan.insert(("taken",), n, entry)``: the answer as it was used at an instant.

    instant: on the plan's clock. Settings are written as the marks that stand on the camera. What the answer does not
    know is left out; whether it is sharp is for the photographer to say.
    """
    entry: dict[str, Any] = {
        "shot": shot.name,
        "date": instant.date(),
        "time": instant.time().replace(microsecond=0, tzinfo=None),
        "body": answer.body,
        "lens": answer.lens,
        "converter": answer.converter,
        "tube": answer.tube,
        "close_up_lens": answer.close_up_lens,
        "focal": None if answer.focal_m is None else f"{trimmed(answer.focal_m * 1000.0, 1)} mm",
        "f_number": None if answer.f_number is None else f_mark(answer.f_number).removeprefix("f/"),
        "shutter": _writable(answer.shutter_s, time_mark),
        "iso": _iso(answer),
        "distance": _distance(answer.distance_m, units),
        "planned_distance": _planned_text(shot),
        "support": answer.support,
        "panned": shot.panned,
    }
    return {key: value for key, value in entry.items() if value is not None}


def _iso(answer: Answer) -> float | None:
    """The mark of the ISO; none where it lies so far over the ceiling that no camera was set to it."""
    if answer.iso is None or far_over(answer.iso, answer.iso_ceiling):
        return None
    return float(iso_mark(answer.iso))


def _planned_text(shot: Shot) -> str | None:
    """The distance as the plan has it, or had it before the day."""
    planned = shot.planned_distance or shot.distance
    return None if planned is None else planned.typed


def _writable(value: float | None, write: Callable[[float], str]) -> str | None:
    return None if value is None or not math.isfinite(value) else write(value)


def _distance(metres: float | None, units: str) -> str | None:
    if metres is None:
        return None
    if metres > _FAR_M:
        return "infinity"
    size, unit = (FOOT, "ft") if units == "imperial" else (1.0, "m")
    places = 2 if metres >= 10.0 * size else 4
    return f"{trimmed(metres / size, places)} {unit}"


def instant_of(entry: LogEntry, plan: Plan, time_zone: str | None) -> dt.datetime | None:
    """When an entry was taken; its date, else its shot's, else the plan's. None where date or time is not known."""
    shot = next((shot for shot in plan.shots if shot.name == entry.shot), None)
    date = entry.date or (shot.date if shot is not None else None) or plan.date
    if date is None or entry.time is None:
        return None
    return on_the_clock(date, entry.time, ZoneInfo(time_zone) if time_zone else None)


def plan_and_done(plan: Plan, answers: PlanAnswers) -> tuple[ShotDone, ...]:
    """For every shot of the plan, planned beside done; after them the entries whose shot is gone, each name once."""
    by_shot: dict[str, list[tuple[int, LogEntry]]] = {}
    for index, entry in enumerate(plan.taken):
        by_shot.setdefault(entry.shot, []).append((index, as_owned(entry, answers.profile)))
    lines = [_shot_done(plan, answers, s, by_shot.pop(s.shot.name, [])) for s in answers.shots]
    for name, entries in by_shot.items():
        lines.append(ShotDone(name, None, None, tuple(Done(entry, index, ()) for index, entry in entries), GONE))
    return tuple(lines)


def _shot_done(
    plan: Plan, answers: PlanAnswers, s: ShotAnswers, entries: list[tuple[int, LogEntry]]
) -> ShotDone:  # fmt: skip
    done = tuple(
        Done(entry, index, differences(entry, s, plan.units, instant_of(entry, plan, answers.time_zone)))
        for index, entry in entries
    )
    return ShotDone(s.shot.name, s.as_planned or s.best, s.when, done, "" if done else NOT_LOGGED)


def differences(
    entry: LogEntry, s: ShotAnswers, units: str = "metric", instant: dt.datetime | None = None
) -> tuple[str, ...]:
    """How an entry differs from the first answer to its shot: metres, %, stops, minutes. Nothing where it does not."""
    planned = s.as_planned or s.best
    told = [_later(instant, s), *_gear(entry, planned), _farther(entry, s, planned, units)]
    if planned is not None:
        told += [
            _longer(entry.focal, planned.focal_m),
            _stops("f-number", entry.f_number, planned.f_number, f_mark, -2.0),
            _stops("shutter", entry.shutter, planned.shutter_s, time_mark, 1.0),
            _stops("ISO", entry.iso, planned.iso, iso_mark, 1.0, ("higher", "lower")),
        ]
    return tuple(text for text in (*told, _light(entry, planned)) if text)


def _later(instant: dt.datetime | None, s: ShotAnswers) -> str:
    """Minutes from the planned time, or from the nearer end of the planned span."""
    if instant is None or s.when is None or (instant.tzinfo is None) != (s.when.tzinfo is None):
        return ""
    first, last = stretch_at(s.shot, s.when)
    early_s, late_s = seconds_between(instant, first), seconds_between(last or first, instant)
    minutes = max(early_s, late_s) / 60.0
    if minutes <= _SAME_MINUTES:
        return ""
    span = f"{minutes:.0f} min" if minutes < 600.0 else f"{minutes / 60.0:.0f} h"
    return f"{span} {'earlier' if early_s > late_s else 'later'} than planned"


def _gear(entry: LogEntry, planned: Answer | None) -> list[str]:
    """Body, lens and converter, where others were used than those that stand first."""
    if planned is None:
        return []
    pairs = ((entry.body, planned.body), (entry.lens, planned.lens))
    told = [f"{used} instead of {meant}" for used, meant in pairs if used is not None and used != meant]
    if entry.lens is not None and entry.converter != planned.converter:
        told.append(f"{entry.converter or 'no converter'} instead of {planned.converter or 'none'}")
    return told


def _farther(entry: LogEntry, s: ShotAnswers, planned: Answer | None, units: str) -> str:
    """Distance against the planned one or the planned range."""
    ends = s.wanted.distance if s.wanted is not None and s.wanted.distance is not None else None
    before = entry.planned_distance or s.shot.planned_distance
    if before is not None:
        ends = (before.low, before.high)
    if ends is None and planned is not None and planned.distance_m is not None:
        ends = (planned.distance_m, planned.distance_m)
    if entry.distance is None or ends is None:
        return ""
    done = float(entry.distance)
    near, far = ends
    if done > _FAR_M and far > _FAR_M:
        return ""
    if near * (1.0 - _SAME_SHARE) <= done <= far * (1.0 + _SAME_SHARE):
        return ""
    if math.isinf(done) or math.isinf(near):
        return f"at {length_text(done, units)} instead of {span_text(near, far, units)}"
    end = near if done < near else far
    way = "nearer" if done < near else "farther"
    share = abs(done / end - 1.0)
    return f"{length_text(abs(done - end), units)} ({share * 100:.0f} %) {way} than {span_text(near, far, units)}"


def _longer(done: float | None, planned: float | None) -> str:
    if done is None or planned is None or abs(done / planned - 1.0) < _SAME_SHARE:
        return ""
    way = "longer" if done > planned else "shorter"
    return f"{focal_text(done)} instead of {focal_text(planned)}, {abs(done / planned - 1.0) * 100:.0f} % {way}"


def _stops(
    what: str, done: float | None, planned: float | None, mark: Callable[[float], str], per_doubling: float,
    ways: tuple[str, str] = ("more light", "less light"),
) -> str:  # fmt: skip
    """A setting in stops from the planned one; per_doubling: stops of light that a doubling of it lets in."""
    if done is None or planned is None or not math.isfinite(planned) or planned <= 0.0 or done <= 0.0:
        return ""
    stops = per_doubling * math.log2(done / planned)
    if abs(stops) < _SAME_STOPS:
        return ""
    return f"{what} {mark(done)} instead of {mark(planned)}, {stops_text(abs(stops))} {ways[0 if stops > 0 else 1]}"


def exposed_ev100(entry: LogEntry) -> float | None:
    """EV at ISO 100 that the settings are right for: log2(N^2/t) - log2(S/100); None when not all are known."""
    if entry.f_number is None or entry.shutter is None or entry.iso is None:
        return None
    return math.log2(float(entry.f_number) ** 2 / float(entry.shutter)) - math.log2(entry.iso / 100.0)


def _light(entry: LogEntry, planned: Answer | None) -> str:
    """The light that the settings are right for against that of the planned settings."""
    done = exposed_ev100(entry)
    if done is None or planned is None or planned.f_number is None or not planned.shutter_s or not planned.iso:
        return ""
    meant = math.log2(planned.f_number**2 / planned.shutter_s) - math.log2(planned.iso / 100.0)
    if abs(done - meant) < _SAME_LIGHT:
        return ""
    way = "more" if done > meant else "less"
    return f"settings for EV {trimmed(done, 1)}: {stops_text(abs(done - meant))} {way} light than planned for"
