"""The order of the day: leaving, arriving, each shot's moment or stretch on a line of its own, and what collides."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.planner.answers import PlanAnswers, ShotAnswers

LEAVE, ARRIVE, SHOT = "leave", "arrive", "shot"


class DayLine(NamedTuple):
    """One line of the day, on the site's clock where it is known. end: None for a single moment.

    clash: the line that it collides with, why: the same in words, both None where it collides with none. kind:
    "leave", "arrive" or "shot".
    """

    start: dt.datetime
    end: dt.datetime | None
    shot: str
    must: bool
    clash: str | None
    kind: str = SHOT
    why: str | None = None


def stretch(answers: ShotAnswers) -> tuple[dt.datetime, dt.datetime | None] | None:
    """From and to of a shot; to is None for a single moment. None where the shot has no date or no time."""
    shot, when = answers.shot, answers.when
    if when is None:
        return None
    if shot.start is None or shot.end is None:
        return when, None
    day = when.date() if shot.start <= when.time() else when.date() - dt.timedelta(days=1)
    after = day + dt.timedelta(days=1) if shot.end < shot.start else day
    return dt.datetime.combine(day, shot.start, when.tzinfo), dt.datetime.combine(after, shot.end, when.tzinfo)


def order_of_day(answers: PlanAnswers) -> tuple[DayLine, ...]:
    """The lines of the day in the order of their starts; what collides is told on the later line of the two."""
    ends = [(s, found) for s in answers.shots if (found := stretch(s)) is not None]
    shots = [DayLine(start, end, s.shot.name, s.shot.must, None) for s, (start, end) in ends]
    shots.sort(key=lambda line: _instant(line.start))
    travel = _travel(answers, shots)
    arrive = next((line for line in travel if line.kind == ARRIVE), None)
    told = [_told(line, shots[:i], arrive) for i, line in enumerate(shots)]
    return tuple(sorted((*travel, *told), key=lambda line: _instant(line.start)))


def _travel(answers: PlanAnswers, shots: list[DayLine]) -> list[DayLine]:
    """Leaving and arriving on the plan's date, else the first shot's; leaving later by the clock: the day before."""
    plan = answers.plan
    date = plan.date or (shots[0].start.date() if shots else None)
    if date is None:
        return []
    zone = ZoneInfo(answers.time_zone) if answers.time_zone else None
    lines = []
    if plan.leave is not None:
        before = dt.timedelta(days=1 if plan.arrive is not None and plan.leave > plan.arrive else 0)
        lines.append(DayLine(dt.datetime.combine(date - before, plan.leave, zone), None, LEAVE, False, None, LEAVE))
    if plan.arrive is not None:
        lines.append(DayLine(dt.datetime.combine(date, plan.arrive, zone), None, ARRIVE, False, None, ARRIVE))
    return lines


def _told(line: DayLine, earlier: list[DayLine], arrive: DayLine | None) -> DayLine:
    """The line with its first collision."""
    if arrive is not None and _before(line, arrive):
        return line._replace(clash=ARRIVE, why=f"before you arrive at {arrive.start:%H:%M}")
    for other in earlier:
        why = _collision(line, other)
        if why is not None:
            return line._replace(clash=other.shot, why=why)
    return line


def _before(line: DayLine, arrive: DayLine) -> bool:
    """Whether a shot of the day of arrival begins before it; those of other days are other outings."""
    same_day = line.start.date() == arrive.start.date()
    return same_day and _instant(line.start) < _instant(arrive.start)


def _collision(line: DayLine, other: DayLine) -> str | None:
    """Why a line collides with one that does not start after it, in words; None where it does not."""
    start, begun = _instant(line.start), _instant(other.start)
    if start == begun:
        return f"at the same time as {other.shot}"
    if other.end is None or start >= _instant(other.end):
        return None
    until = f"{other.shot}, which lasts until {other.end:%H:%M}"
    return f"in the middle of {until}" if line.end is None else f"overlaps {until}"


def _instant(moment: dt.datetime) -> dt.datetime:
    """The moment in universal time where its zone is known, so that the hour that comes twice sorts rightly."""
    return moment if moment.tzinfo is None else moment.astimezone(dt.UTC)
