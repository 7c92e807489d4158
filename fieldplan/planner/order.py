"""The order of the day: each shot's moment and stretch on one line, and what collides."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fieldplan.planner.answers import PlanAnswers, ShotAnswers

USUAL = dt.timedelta(minutes=15)  # a shot with a single time is taken to need about so long, common practice


class DayLine(NamedTuple):
    """One line of the day: from, to (on the site's clock where it is known), what, and what it collides with."""

    start: dt.datetime
    end: dt.datetime
    shot: str
    must: bool
    clash: str | None


def _stretch(answers: ShotAnswers) -> tuple[dt.datetime, dt.datetime] | None:
    shot, when = answers.shot, answers.when
    if when is None:
        return None
    if shot.start is not None and shot.end is not None:
        half = _half(shot.start, shot.end)
        return when - half, when + half
    return when, when + USUAL


def _half(start: dt.time, end: dt.time) -> dt.timedelta:
    first, last = (t.hour * 3600 + t.minute * 60 + t.second for t in (start, end))
    return dt.timedelta(seconds=((last - first) % 86400) / 2.0)


def order_of_day(answers: PlanAnswers) -> tuple[DayLine, ...]:
    """The shots in the order of their moments; one that starts before the one before it is over is a clash."""
    found = [(s, stretch) for s in answers.shots if (stretch := _stretch(s)) is not None]
    found.sort(key=lambda pair: pair[1][0])
    lines: list[DayLine] = []
    for shot, (start, end) in found:
        before = next((line for line in lines if line.end > start), None)
        lines.append(DayLine(start, end, shot.shot.name, shot.shot.must, before.shot if before else None))
    return tuple(lines)
