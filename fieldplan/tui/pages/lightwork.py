"""The shot in hand on one day, by the light of the sky alone: when it works, and what giving one thing up buys."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fieldplan.card.wording import work_text
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Shot
from fieldplan.notation.display import ev_text
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Gain, PlanAnswers, ShotAnswers, WorkSpan
from fieldplan.planner.fitting import out_of_time
from fieldplan.planner.moments import moment
from fieldplan.planner.order import DayLine, order_of_day
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import Kit
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import SkyDay
from fieldplan.planner.workday import gained, working, works_by_day
from fieldplan.tui.rows import crop, crop_row, safe, wrapped


class Key(NamedTuple):
    """What the work of a shot rests on; the same objects give the same work."""

    plan: Plan
    shot: Shot
    kit: Kit
    day: SkyDay


class Work(NamedTuple):
    """Answers to a shot on a day, the spans in which the first of them works, and what giving one thing up buys."""

    key: Key
    found: ShotAnswers
    spans: tuple[WorkSpan, ...]
    gains: tuple[Gain, ...]


def work_of(key: Key, setting: Setting) -> Work:
    """The work of a shot; a light written into the shot is set aside."""
    plan, shot, kit, day = key
    asked = shot.model_copy(update={"date": day.date, "light": None})
    found = assess_shot(plan, asked, kit, setting)
    best = found.best
    if best is None:
        return Work(key, found, (), ())
    spans = tuple(working(plan, asked, best, setting, nights=False))
    return Work(key, found._replace(times=spans), spans, gained(plan, asked, found, best, kit, setting, nights=False))


def order_on(plan: Plan, gear: Profile, zone: str, date: dt.date) -> list[DayLine]:
    """The shots of a date in order, by their moments alone, which is all that the order asks for."""
    found = tuple(
        ShotAnswers(shot, moment(plan, shot, zone), None, None, (), (), (), (), None, None, (), (), "")
        for shot in plan.shots
    )
    answers = PlanAnswers(plan, gear, zone, found, (), (), None, None, (), ())
    return [line for line in order_of_day(answers) if line.start.date() == date]


def work_rows(work: Work, width: int, most: int) -> list[Row]:
    """How long the shot works, each end as a range with its reason; what giving one thing up buys."""
    shot, best = work.key.shot, work.found.best
    by = f", by the sky (its own light, {safe(shot.light.typed)}, set aside)" if shot.light is not None else ""
    name: Row = ((crop(safe(shot.name), width // 2), "title"), (by, "dim"))
    if best is None:
        why = work.found.problem or "no body and lens here can take it"
        return [crop_row((*name[:1], (f": {safe(why)}", "warn")), width)]
    rows = [crop_row(name, width)]
    if work.spans:
        told = "; ".join(work_text(span, work.key.day.zone) for span in work.spans)
        rows += wrapped(f"works {told}", width, "sharp", 2, most)
        outside = out_of_time(work.found, work.spans)
        if outside is not None:
            rows.append(((crop(f"! {outside}", width), "warn"),))
    elif not works_by_day(shot):
        rows.append(((crop("its hours are those of the disc, not of the day's light: see page 4", width), "dim"),))
    else:
        need = "" if best.needs_ev100 is None else f": it needs {ev_text(best.needs_ev100)}"
        rows.append(((crop(f"works at no time of this day{need}", width), "warn"),))
    if work.gains:
        told = "; ".join(f"{gain.what} +{gain.minutes:.0f} min" for gain in work.gains)
        rows += wrapped(f"give up, over the whole day: {told}", width, "", 2, most)
    return rows
