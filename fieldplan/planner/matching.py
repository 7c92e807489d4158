"""Which picture belongs to which shot, by the time alone; and the entries of the log that come of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.gear import Item
from fieldplan.model.plan import Plan, Shot
from fieldplan.model.taken import LogEntry
from fieldplan.notation.marks import iso_mark, written_f, written_time
from fieldplan.notation.numbers import trimmed
from fieldplan.planner.moments import ends_of, seconds_between
from fieldplan.planner.owned import owned_name
from fieldplan.planner.seen import Seen, instant_of

MARGIN_S = 900.0  # round a shot's time, or either side of its span (common practice: half of half an hour)
_MUCH_NEARER = 2.0  # a shot takes a picture from another when it is this many times nearer in time
_RUN_S = 60.0  # pictures alike in everything and this close together are one entry of the log


class Stretch(NamedTuple):
    """When a shot is to be taken: both ends are the same for a shot with one time."""

    shot: str
    start: dt.datetime
    end: dt.datetime


class Match(NamedTuple):
    """A picture and its shot. shot is None where no stretch holds it (rivals empty) or several do (their names)."""

    seen: Seen
    instant: dt.datetime | None
    shot: str | None
    rivals: tuple[str, ...] = ()


class Matched(NamedTuple):
    """All pictures in the order of their times; shots of the plan that have no time; how long the margin is [s].

    assumed: how many pictures record no offset, so that the plan's zone was taken for theirs.
    """

    matches: tuple[Match, ...]
    untimed: tuple[str, ...]
    margin_s: float
    assumed: int

    @property
    def ambiguous(self) -> tuple[Match, ...]:
        """Those that more than one shot claims."""
        return tuple(match for match in self.matches if match.rivals)

    @property
    def unmatched(self) -> tuple[Match, ...]:
        """Those that no shot claims, or without a time."""
        return tuple(match for match in self.matches if match.shot is None and not match.rivals)


def stretch_of(plan: Plan, shot: Shot, zone: ZoneInfo | None) -> Stretch | None:
    """When a shot is to be taken; None without a date and a time. A span that ends before it begins ends next day."""
    ends = ends_of(plan, shot, zone)
    return None if ends is None else Stretch(shot.name, *ends)


def _off_s(instant: dt.datetime, stretch: Stretch) -> float:
    """Seconds outside a stretch; 0 within it. Both ends are on one clock."""
    return max(seconds_between(instant, stretch.start), seconds_between(stretch.end, instant), 0.0)


def match_pictures(
    pictures: Iterable[Seen], plan: Plan, time_zone: str | None, margin_s: float = MARGIN_S, correction_s: float = 0.0
) -> Matched:
    """Each picture to the shot whose time holds it.

    margin_s: how far outside a shot's time a picture may lie; correction_s: to be added to the camera's clock. Of
    several shots within the margin the nearest takes the picture if the next is twice as far or more.
    """
    zone = ZoneInfo(time_zone) if time_zone else None
    timed = [(shot, stretch_of(plan, shot, zone)) for shot in plan.shots]
    stretches = [stretch for _, stretch in timed if stretch is not None]
    matches, assumed = [], 0
    for seen in pictures:
        instant = instant_of(seen, zone, correction_s)
        assumed += seen.taken is not None and seen.offset_s is None
        matches.append(Match(seen, instant, *_shot_of(instant, stretches, margin_s)))
    matches.sort(key=lambda match: (match.instant is None, _sortable(match.instant), match.seen.name))
    return Matched(tuple(matches), tuple(s.name for s, stretch in timed if stretch is None), margin_s, assumed)


def _sortable(instant: dt.datetime | None) -> float:
    if instant is None:
        return 0.0
    return (instant if instant.tzinfo is not None else instant.replace(tzinfo=dt.UTC)).timestamp()


def _shot_of(
    instant: dt.datetime | None, stretches: Sequence[Stretch], margin_s: float
) -> tuple[str | None, tuple[str, ...]]:
    """(the shot, or None; the shots between which it could not be decided)."""
    if instant is None:
        return None, ()
    near = sorted((off, i) for i, stretch in enumerate(stretches) if (off := _off_s(instant, stretch)) <= margin_s)
    if not near:
        return None, ()
    if len(near) == 1 or (near[1][0] > near[0][0] and near[1][0] >= _MUCH_NEARER * near[0][0]):
        return stretches[near[0][1]].shot, ()
    rivals = [i for off, i in near if off == near[0][0] or off < _MUCH_NEARER * near[0][0]]
    return None, tuple(stretches[i].shot for i in sorted(rivals))


def entries_from(matched: Matched, plan: Plan, gear: Mapping[str, Sequence[Item]]) -> list[dict[str, Any]]:
    """New entries of the log, in the order of time, for what was matched and is not in the log yet.

    Pictures of one shot that are alike in everything and follow each other within a minute make one entry, under the
    first one's name. gear: bodies under "body" and lenses under "lens"; a name in a file that is one of theirs, or one
    that they are known as, but for letter case and blanks, is written as theirs.
    """
    shots = {shot.name: shot for shot in plan.shots}
    logged = {(entry.picture, entry.time) for entry in plan.taken}
    entries: list[dict[str, Any]] = []
    last: tuple[tuple[Any, ...], dt.datetime] | None = None
    run = 1
    for match in matched.matches:
        if match.shot is None or match.instant is None:
            continue
        alike = (match.shot, *match.seen[3:])
        if last is not None and last[0] == alike and abs((match.instant - last[1]).total_seconds()) <= _RUN_S:
            run += 1
            entries[-1]["note"] = f"{run} pictures, to {match.seen.name}"[:120]
        else:
            run = 1
            entries.append(entry_from(match, gear, shots[match.shot]))
        last = (alike, match.instant)
    return [entry for entry in entries if (entry["picture"], entry["time"]) not in logged]


def entry_from(match: Match, gear: Mapping[str, Sequence[Item]], shot: Shot) -> dict[str, Any]:
    """A matched picture as an entry of the log; what the file does not say is left out.

    No file says what the camera stood on or whether it followed: that is taken from the plan of the shot.
    """
    seen, instant = match.seen, match.instant
    assert match.shot is not None and instant is not None
    far = seen.distance_m
    entry = {
        "shot": match.shot,
        "date": instant.date(),
        "time": instant.time().replace(microsecond=0, tzinfo=None),
        "body": owned_name(seen.body, gear.get("body", ())),
        "lens": owned_name(seen.lens, gear.get("lens", ())),
        "focal": None if seen.focal_m is None else f"{trimmed(max(seen.focal_m, 0.001) * 1000.0, 2)} mm",
        "f_number": None if seen.f_number is None else written_f(seen.f_number),
        "shutter": None if seen.shutter_s is None else written_time(seen.shutter_s),
        "iso": None if seen.iso is None else float(iso_mark(seen.iso)),
        "distance": None if far is None else "infinity" if far > 1e7 else f"{trimmed(far, 3)} m",
        "support": shot.support,
        "panned": shot.panned,
        "picture": seen.name,
    }
    return {key: value for key, value in entry.items() if value is not None}


def in_order(plan: Plan, entry: Mapping[str, Any]) -> int:
    """Where an entry goes into the log so that it stays in the order of time: before the first that is later."""

    def when(held: LogEntry) -> tuple[dt.date, dt.time] | None:
        date = held.date or plan.date
        return None if date is None or held.time is None else (date, held.time)

    new = (entry["date"], entry["time"])
    return next(
        (i for i, held in enumerate(plan.taken) if (at := when(held)) is not None and at > new), len(plan.taken)
    )
