"""The present moment at the site: which shot is next, the light now, the minutes left, and what to give up first.

No clock here: the instant is given. All of it rests on the plan's own sky, readings and site; what is missing is None.
"""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.plan import Plan, Shot
from fieldplan.planner.answers import Answer, Gain, Light, ShotAnswers, WorkSpan
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.curves import Curve
from fieldplan.planner.moments import ends_of, seconds_between
from fieldplan.planner.rigs import Kit
from fieldplan.planner.scene import scene_light
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import seconds
from fieldplan.planner.times import DAY_ENDS, View, gains, work_spans
from fieldplan.planner.workday import curve_round, look, over_midnight, works_by_day

DUE_WITHIN = dt.timedelta(hours=1)  # of its planned time, a shot is being taken now: common practice
NO_HURRY_MIN = 120.0  # with more than that left, nothing needs to be given up


class Next(NamedTuple):
    """The shot that is next by the clock, or the last one of the day: its place, and when it is planned, on the site's
    clock; both ends are the same for a shot with one time."""

    at: int
    when: dt.datetime
    end: dt.datetime


class Left(NamedTuple):
    """How long a shot still works, or until it begins to. state: "works", "perhaps", "later", "over" or "never".

    early_min, late_min: minutes from now to the end (to the beginning where it is "later", since the end where it is
    "over"), as a range. longer: the end is only that of
    the day (or night) looked at; the light lasts longer.
    """

    state: str
    early_min: float = 0.0
    late_min: float = 0.0
    reason: str = ""
    longer: bool = False


class GiveUp(NamedTuple):
    """What giving one thing up buys in the rest of the day [minutes]; works_now: with it, the shot works at once."""

    what: str
    minutes: float
    works_now: bool


class RightNow(NamedTuple):
    """The moment for one shot and one answer to it.

    here: on the site's clock. light: on the subject, by sky and readings, whatever light the shot itself is given.
    by_now: the answer by that light. due: the shot is planned for about now, so that the light now counts for it.
    planned_min: minutes until it is to begin, 0 while its span
    runs, negative since its end. left: None where the sky is not known.
    """

    here: dt.datetime
    light: Light | None
    by_now: Answer | None
    due: bool
    planned_min: float | None
    left: Left | None
    give_up: tuple[GiveUp, ...] = ()


def site_time(instant: dt.datetime, time_zone: str | None) -> dt.datetime:
    """An aware instant on the site's clock; as it is where the zone is not known."""
    return instant if time_zone is None else instant.astimezone(ZoneInfo(time_zone))


def planned_kept(before: Shot, after: Shot) -> Shot:
    """A shot as changed on the day, with the distance that was planned kept beside the new one."""
    if before.distance is None or after.distance == before.distance:
        return after
    planned = before.planned_distance or before.distance
    return after.model_copy(update={"planned_distance": None if after.distance == planned else planned})


def minutes_between(first: dt.datetime, second: dt.datetime) -> int:
    """Whole minutes that really pass from one moment to another, also over a change of the clock."""
    return round(seconds_between(first, second) / 60.0)


class _Due(NamedTuple):
    """When a shot is taken, both ends in UTC, so that a change of the clock between two times counts."""

    start: dt.datetime
    end: dt.datetime

    @property
    def middle(self) -> dt.datetime:
        return self.start + (self.end - self.start) / 2


def _due(plan: Plan, shot: Shot, here: dt.datetime) -> _Due | None:
    """By the site's clock; None without a date or a time. A span that ends before it begins ends on the next day."""
    ends = ends_of(plan, shot, here.tzinfo)
    return None if ends is None else _Due(*(end.astimezone(dt.UTC) for end in ends))


def _runs(due: _Due | None, here: dt.datetime) -> bool:
    return due is not None and due.start <= here <= due.end


def is_today(plan: Plan, here: dt.datetime) -> bool:
    """Whether the plan, or any of its shots, is for the date of the site's clock, or a shot of yesterday still runs."""
    if here.date() in {plan.date, *(shot.date or plan.date for shot in plan.shots)}:
        return True
    return any(_runs(_due(plan, shot, here), here) for shot in plan.shots)


def next_shot(plan: Plan, here: dt.datetime) -> Next | None:
    """The first shot of today that is not past, or else the last of today; None where none of today has a time.

    A shot with from and to is past when its end is; one that began yesterday counts while it runs.
    """
    timed = []
    for index, shot in enumerate(plan.shots):
        due = _due(plan, shot, here)
        if due is not None and ((shot.date or plan.date) == here.date() or _runs(due, here)):
            timed.append((due.middle, index, Next(index, *(end.astimezone(here.tzinfo) for end in due))))
    timed.sort()
    coming = (found for _, _, found in timed if found.end.astimezone(dt.UTC) >= here)
    return next(coming, timed[-1][2] if timed else None)


def is_due(plan: Plan, shot: Shot, here: dt.datetime) -> bool:
    """Whether the shot is planned for about now: within an hour of its time or span, or today at no set time."""
    due = _due(plan, shot, here)
    if due is None:
        return (shot.date or plan.date) == here.date()
    return due.start - DUE_WITHIN <= here <= due.end + DUE_WITHIN


def _minutes_to(due: _Due | None, here: dt.datetime) -> float | None:
    """Minutes until it begins, negative since its end, 0 while it runs."""
    if due is None or _runs(due, here):
        return None if due is None else 0.0
    instant = here.astimezone(dt.UTC)
    return ((due.start if instant < due.start else due.end) - instant).total_seconds() / 60.0


def light_now(plan: Plan, shot: Shot, setting: Setting, here: dt.datetime) -> Light | None:
    """The light on the subject now, by sky and readings; None where position or zone is not known."""
    return None if setting.book is None else scene_light(plan, shot, setting.book, here)


def stops_off(used: Light, now: Light) -> float:
    """Stops by which the light now lies under (-) or over (+) the light reckoned with; 0 within its range."""
    if now.ev100_low <= used.ev100 <= now.ev100_high:
        return 0.0
    return (now.ev100_high if used.ev100 > now.ev100_high else now.ev100_low) - used.ev100


def by_light(answer: Answer, found: ShotAnswers, kit: Kit, light: Light | None, units: str) -> Answer | None:
    """The same body and lens, held the same way, by another light."""
    rig = next((rig for rig in kit.rigs if rig.label == answer.label), None)
    if rig is None or found.wanted is None or light is None:
        return None
    return assess_rig(rig, found.wanted, answer.hold, light, units)


def right_now(
    plan: Plan, found: ShotAnswers, answer: Answer, kit: Kit, setting: Setting, instant: dt.datetime, deep: bool = True
) -> RightNow:
    """The moment for an answer to a shot. deep: also what giving one thing up buys, unless there are hours left."""
    shot, here = found.shot, site_time(instant, setting.time_zone)
    light = light_now(plan, shot, setting, here) if works_by_day(shot) else None
    planned = _minutes_to(_due(plan, shot, here), here)
    due = is_due(plan, shot, here)
    now = RightNow(here, light, by_light(answer, found, kit, light, plan.units), due, planned, None)
    if setting.book is None or light is None or answer.needs_ev100 is None:
        return now
    tonight = over_midnight(shot) and (here.hour >= 12 or planned == 0.0)
    curve, now_s = curve_round(plan, shot, here, setting.book, tonight), seconds(here)
    view = look(shot, answer, setting)
    left = time_left(work_spans(answer, curve, view), now_s)
    now = now._replace(left=left)
    if not deep or (left.state == "works" and left.early_min > NO_HURRY_MIN):
        return now
    return now._replace(give_up=_give_up(plan, found, answer, now, kit, _rest(curve, now_s), view))


def time_left(spans: list[WorkSpan], now_s: float) -> Left:
    """How long a shot still works, from the spans of the day in which it does. Instants in seconds since 1970."""
    for span in spans:
        if now_s > span.end_late_s:
            continue
        if now_s < span.start_early_s:
            return Left("later", (span.start_early_s - now_s) / 60.0, (span.start_late_s - now_s) / 60.0,
                        span.start_reason)  # fmt: skip
        sure = span.start_late_s <= now_s <= span.end_early_s
        early, late = max(span.end_early_s - now_s, 0.0), span.end_late_s - now_s
        state = "works" if sure and span.sure else "perhaps"
        return Left(state, early / 60.0, late / 60.0, span.end_reason, span.end_reason == DAY_ENDS)
    if not spans:
        return Left("never")
    last = spans[-1]
    return Left("over", (now_s - last.end_late_s) / 60.0, (now_s - last.end_early_s) / 60.0, last.end_reason)


def _rest(curve: Curve, now_s: float) -> Curve:
    """The part of the day that is still to come."""
    first = next((i for i, ut_s in enumerate(curve.times_s) if ut_s >= now_s), len(curve.times_s))
    return Curve._make(part[first:] for part in curve)


def _give_up(
    plan: Plan, found: ShotAnswers, answer: Answer, now: RightNow, kit: Kit, rest: Curve, view: View
) -> tuple[GiveUp, ...]:
    """What giving one thing up buys: first what makes it work at once, then what buys most minutes."""
    rig = next((rig for rig in kit.rigs if rig.label == answer.label), None)
    if rig is None or found.wanted is None or now.light is None or answer.needs_ev100 is None:
        return ()
    dark = now.light.ev100 < answer.needs_ev100

    def given_up(gain: Gain) -> GiveUp:
        return GiveUp(gain.what, gain.minutes, dark and gain.needs_ev100 <= now.light.ev100)  # type: ignore[union-attr]

    offers = [given_up(g) for g in gains(answer, rig, found.wanted, now.light, rest, view, plan.units, found.rigs)]
    return tuple(sorted(offers, key=lambda offer: (not offer.works_now, -offer.minutes)))
