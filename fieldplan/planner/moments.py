"""When a shot is taken: its moment or stretch on the site's clock, also where that clock jumps."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from fieldplan.model.plan import Plan, Shot
from fieldplan.planner.answers import ShotAnswers

LONGEST_NIGHT_H = 18.0  # a stretch over midnight longer than this is asked about


def ends_of(plan: Plan, shot: Shot, zone: dt.tzinfo | None) -> tuple[dt.datetime, dt.datetime] | None:
    """From and to of a shot on the clock of the zone, both alike for one with a single time; None without date or time.

    One that ends before it begins ends on the next day.
    """
    date = shot.date or plan.date
    return None if date is None else _ends(date, shot, zone)


def _ends(date: dt.date, shot: Shot, zone: dt.tzinfo | None) -> tuple[dt.datetime, dt.datetime] | None:
    first, last = (shot.time, shot.time) if shot.time is not None else (shot.start, shot.end)
    if first is None or last is None:
        return None
    start, end = on_the_clock(date, first, zone), on_the_clock(date + dt.timedelta(days=last < first), last, zone)
    return start, (end if seconds_between(start, end) >= 0.0 else start)  # where the clocks skip its beginning


def seconds_between(first: dt.datetime, second: dt.datetime) -> float:
    """Seconds that really pass from one moment to another, also over a change of the clock."""
    if first.tzinfo is not None:
        first, second = first.astimezone(dt.UTC), second.astimezone(dt.UTC)
    return (second - first).total_seconds()


def moment(plan: Plan, shot: Shot, time_zone: str | None) -> dt.datetime | None:
    """When the shot is taken, with its zone where it is known; the middle of from and to, to the second."""
    ends = ends_of(plan, shot, ZoneInfo(time_zone) if time_zone else None)
    if ends is None:
        return None
    start, half = ends[0], dt.timedelta(seconds=seconds_between(*ends) // 2)
    return start + half if start.tzinfo is None else (start.astimezone(dt.UTC) + half).astimezone(start.tzinfo)


def on_the_clock(date: dt.date, clock: dt.time, zone: dt.tzinfo | None) -> dt.datetime:
    """A date and a clock time as a moment. One that the clocks skip is the same time by the offset before the jump,
    as the clock then shows it (02:30 becomes 03:30); of one that comes twice it is the first."""
    when = dt.datetime.combine(date, clock, tzinfo=zone)
    return when if zone is None else when.astimezone(dt.UTC).astimezone(zone)


def clock_notes(plan: Plan, shot: Shot, time_zone: str | None) -> list[str]:
    """What to know where a clock time of the shot does not exist on its date, or comes twice."""
    date = shot.date or plan.date
    if date is None or time_zone is None:
        return []
    zone, notes = ZoneInfo(time_zone), _length_notes(shot)
    for clock in (shot.time, shot.start, shot.end):
        if clock is None:
            continue
        day = date + dt.timedelta(days=clock == shot.end and shot.start is not None and clock < shot.start)
        typed, real = dt.datetime.combine(day, clock), on_the_clock(day, clock, zone)
        if real.replace(tzinfo=None, fold=0) != typed:
            notes.append(f"{clock:%H:%M} does not exist on {day}: the clocks go forward; taken as {real:%H:%M}")
        elif real.utcoffset() != real.replace(fold=1).utcoffset():
            notes.append(f"{clock:%H:%M} comes twice on {day}: the clocks go back; the first is taken")
    return notes


def _length_notes(shot: Shot) -> list[str]:
    """What to know of a stretch over midnight that is likelier two times the wrong way round."""
    if shot.start is None or shot.end is None or shot.end >= shot.start:
        return []
    first, last = (clock.hour + clock.minute / 60.0 for clock in (shot.start, shot.end))
    hours = last + 24.0 - first
    if hours <= LONGEST_NIGHT_H:
        return []
    return [f"from {shot.start:%H:%M} to {shot.end:%H:%M} of the next day is {hours:.0f} hours: are they swapped?"]


def stretch(answers: ShotAnswers) -> tuple[dt.datetime, dt.datetime | None] | None:
    """From and to of a shot; to is None for a single moment. None where the shot has no date or no time."""
    return None if answers.when is None else stretch_at(answers.shot, answers.when)


def stretch_at(shot: Shot, when: dt.datetime) -> tuple[dt.datetime, dt.datetime | None]:
    """From and to of a shot whose middle is known; to is None for a single moment."""
    if shot.start is None or shot.end is None:
        return when, None
    day = when.date() - dt.timedelta(days=shot.end < shot.start and when.time() < shot.start)
    return _ends(day, shot, when.tzinfo) or (when, None)
