"""The order of the day: leaving, arriving, each shot's moment or stretch on a line of its own, and what collides."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.fitting import AT_THE_EDGE, best_spans, out_of_time
from fieldplan.planner.moments import on_the_clock, stretch

LEAVE, ARRIVE, SHOT, LIGHT = "leave", "arrive", "shot", "light"


class DayLine(NamedTuple):
    """One line of the day, on the site's clock where it is known. end: None for a single moment.

    clash: the line that it collides with, or "light" where it does not lie in its light, why: the same in words, both
    None where it collides with none. kind: "leave", "arrive" or "shot".
    """

    start: dt.datetime
    end: dt.datetime | None
    shot: str
    must: bool
    clash: str | None
    kind: str = SHOT
    why: str | None = None


def order_of_day(answers: PlanAnswers) -> tuple[DayLine, ...]:
    """The lines of the day in the order of their starts; what collides is told on the later line of the two."""
    ends = [(s, found) for s in answers.shots if (found := stretch(s)) is not None]
    shots = [DayLine(start, end, s.shot.name, s.shot.must, None) for s, (start, end) in ends]
    shots.sort(key=lambda line: _instant(line.start))
    travel = _travel(answers, shots)
    dark = {s.shot.name: why for s in answers.shots if (why := out_of_time(s, best_spans(s))) is not None}
    told = [_told(line, shots[:i], travel, dark.get(line.shot)) for i, line in enumerate(shots)]
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
        lines.append(DayLine(on_the_clock(date - before, plan.leave, zone), None, LEAVE, False, None, LEAVE))
    if plan.arrive is not None:
        lines.append(DayLine(on_the_clock(date, plan.arrive, zone), None, ARRIVE, False, None, ARRIVE))
    return lines


def _told(line: DayLine, earlier: list[DayLine], travel: list[DayLine], dark: str | None) -> DayLine:
    """The line with its first collision. dark: why it does not lie in its light, where it does not."""
    for going in reversed(travel):
        if _before(line, going, travel):
            what = "arrive" if going.kind == ARRIVE else "leave"
            return line._replace(clash=going.kind, why=f"before you {what} at {going.start:%H:%M}")
    for other in earlier:
        why = _collision(line, other)
        if why is not None:
            return line._replace(clash=other.shot, why=why)
    return line if dark is None or dark == AT_THE_EDGE else line._replace(clash=LIGHT, why=dark)


def _before(line: DayLine, going: DayLine, travel: list[DayLine]) -> bool:
    """Whether a shot begins before leaving or arriving, on the same day or on the way; others are other outings."""
    start = _instant(line.start)
    if start >= _instant(going.start):
        return False
    on_the_way = going.kind == ARRIVE and any(t.kind == LEAVE and _instant(t.start) <= start for t in travel)
    return on_the_way or line.start.date() == going.start.date()


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
