"""The present moment: which shot is next, how long it still works, what to give up first; the instant is given."""

from __future__ import annotations

import datetime as dt

import pytest

from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import Answer, Light, ShotAnswers, WorkSpan
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rightnow import (
    RightNow,
    is_due,
    is_today,
    next_shot,
    right_now,
    site_time,
    stops_off,
    time_left,
)
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import book_for

from .shots import Table, gear, lists, thing

ZONE = "Europe/Berlin"
DATE = dt.date(2027, 3, 14)
SITE: Table = {"name": "hide", "position": "53.43, 12.75", "time_zone": ZONE, "sky": "clear"}
STILL: Table = {"subject": thing(height="1 m", speed="0.4 m/s"), "distance": "30 m", "hold": "level", "aim": 285}


def plan_of(*shots: Table, **more: object) -> Plan:
    named = [{"name": f"shot {i}", **STILL, **shot} for i, shot in enumerate(shots)]
    return Plan.model_validate({"fieldplan_plan": 1, "title": "x", "date": DATE, "site": SITE, "shot": named, **more})


def at(clock: str, date: dt.date = DATE) -> dt.datetime:
    """An instant on the site's clock: UTC+1 before 28 March 2027 (tz database)."""
    return dt.datetime.combine(date, dt.time.fromisoformat(clock), tzinfo=dt.timezone(dt.timedelta(hours=1)))


def asked(plan: Plan) -> tuple[Kit, Setting, ShotAnswers, Answer]:
    kit, setting = prepare(Profile.model_validate(gear())), Setting(lists(), ZONE, (), book_for(plan.site, ZONE))
    found = assess_shot(plan, plan.shots[0], kit, setting)
    return kit, setting, found, found.rigs[0]


def now_of(plan: Plan, clock: str, deep: bool = True) -> RightNow:
    kit, setting, found, answer = asked(plan)
    return right_now(plan, found, answer, kit, setting, at(clock), deep)


def test_the_site_clock_is_asked_not_the_computers() -> None:
    """23:30 UTC on the 13th is half past midnight on the 14th in Berlin (tz database)."""
    instant = dt.datetime(2027, 3, 13, 23, 30, tzinfo=dt.UTC)
    assert f"{site_time(instant, ZONE):%d %H:%M}" == "14 00:30"
    assert is_today(plan_of({}), site_time(instant, ZONE)) and not is_today(plan_of({}), instant)
    assert is_today(plan_of({}, {"date": "2027-03-13"}), instant)


@pytest.mark.parametrize(
    ("clock", "index"), [("05:00", 0), ("07:20", 0), ("07:21", 1), ("08:30", 1), ("08:31", 2), ("23:00", 2)]
)
def test_next_is_the_first_that_is_not_past_and_a_span_lasts_to_its_end(clock: str, index: int) -> None:
    plan = plan_of({"time": "07:20"}, {"from": "07:40", "to": "08:30"}, {"time": "18:00"}, {"time": "17:00",
                   "date": "2027-03-15"}, {})  # fmt: skip
    found = next_shot(plan, at(clock))
    assert found is not None and found.at == index
    assert next_shot(plan, at(clock, dt.date(2027, 3, 20))) is None


@pytest.mark.parametrize(("clock", "due"), [("06:19", False), ("06:20", True), ("08:20", True), ("08:21", False)])
def test_a_shot_is_due_within_an_hour_of_its_time(clock: str, due: bool) -> None:
    """One hour: common practice."""
    plan = plan_of({"time": "07:20"})
    assert is_due(plan, plan.shots[0], at(clock)) is due
    free = plan_of({})
    assert is_due(free, free.shots[0], at(clock))
    assert not is_due(free, free.shots[0], at(clock, dt.date(2027, 3, 15)))


def test_the_light_now_is_that_of_an_answer_planned_for_now() -> None:
    """Asking now for a shot planned for another hour is asking for the same shot planned for now."""
    moved = now_of(plan_of({"time": "12:00"}), "17:55")
    _, _, found, answer = asked(plan_of({"time": "17:55"}))
    assert moved.light == found.light
    assert moved.by_now == answer
    assert moved.planned_min == pytest.approx(-355.0)


def test_a_given_light_stays_the_shots_and_the_sky_is_told_beside_it() -> None:
    now = now_of(plan_of({"time": "12:00", "light": "EV 5"}), "12:00")
    assert now.light is not None and now.light.source == "estimate" and now.light.ev100 > 12.0
    assert now.by_now is not None and now.by_now.iso is not None


@pytest.mark.parametrize(("ev100", "off"), [(9.0, 0.0), (8.0, 0.0), (10.5, -0.5), (14.0, -4.0), (6.5, 1.5)])
def test_the_light_now_is_off_by_what_lies_beyond_its_range(ev100: float, off: float) -> None:
    """From EV 8 to 10 now: a stop is one EV (ISO 2720)."""
    now = Light(9.0, 8.0, 10.0, 1.0, "estimate", "")
    assert stops_off(Light(ev100, ev100, ev100, 1.0, "given", ""), now) == off


def test_minutes_left_shrink_by_the_minute_and_end_when_the_light_does() -> None:
    plan = plan_of({"time": "17:30"})
    first, later = now_of(plan, "16:30").left, now_of(plan, "16:40").left
    assert first is not None and later is not None and first.state == later.state == "works"
    assert first.early_min - later.early_min == pytest.approx(10.0)
    assert first.late_min - later.late_min == pytest.approx(10.0)
    over = now_of(plan, "18:35").left
    assert over is not None and over.state == "over" and over.early_min < over.late_min
    before = now_of(plan, "06:00").left
    assert before is not None and before.state == "later"
    night = now_of(plan, "23:50").left  # in the dark the night goes on past midnight, to the morning's light
    assert night is not None and night.state == "later" and 6.0 * 60 < night.early_min < 8.0 * 60


def span(start: tuple[float, float, float], end: tuple[float, float, float], sure: bool = True) -> WorkSpan:
    """Early, middle and late of both ends, in minutes of an invented day."""
    s, e = [60.0 * m for m in start], [60.0 * m for m in end]
    return WorkSpan("rig", "level", s[1], s[0], s[2], "dawn", e[1], e[0], e[2], "dusk", sure)


@pytest.mark.parametrize(
    ("minute", "state", "early", "late"),
    [
        (0, "later", 90, 110),
        (95, "perhaps", 95, 115),  # it may have begun
        (120, "works", 70, 90),
        (200, "perhaps", 0, 10),  # it may be over
        (230, "later", 60, 80),  # the second stretch
        (400, "over", 30, 50),
    ],
)
def test_time_left_is_a_range_at_both_ends(minute: float, state: str, early: float, late: float) -> None:
    spans = [span((90, 100, 110), (190, 200, 210)), span((290, 300, 310), (350, 360, 370))]
    left = time_left(spans, minute * 60.0)
    assert (left.state, left.early_min, left.late_min) == (state, early, late)


def test_no_span_and_a_span_that_only_the_day_ends() -> None:
    assert time_left([], 0.0).state == "never"
    day = span((0, 0, 0), (1439, 1439, 1439))._replace(end_reason="the day ends")
    assert time_left([day], 0.0).longer and not time_left([day._replace(end_reason="dusk")], 0.0).longer


def test_what_to_give_up_first_makes_it_work_at_once_or_buys_most() -> None:
    dusk = plan_of({"time": "18:20"})
    left = now_of(dusk, "18:20").left
    assert left is not None
    kit, setting, found, answer = asked(dusk)
    for clock in ("17:45", "18:00", "18:20", "18:30", "18:45"):
        now = right_now(dusk, found, answer, kit, setting, at(clock))
        keys = [(not offer.works_now, -offer.minutes) for offer in now.give_up]
        assert keys == sorted(keys)
        assert now.light is not None and answer.needs_ev100 is not None
        for offer in now.give_up:
            assert offer.minutes >= 0.5
            assert not offer.works_now or now.light.ev100 < answer.needs_ev100
    dark = next(now_of(dusk, f"18:{minute}") for minute in range(10, 60)
                if (one := now_of(dusk, f"18:{minute}").left) is not None and one.state == "over")  # fmt: skip
    assert dark.give_up and dark.give_up[0].works_now  # a stop more, when a stop is all that lacks
    assert not now_of(dusk, "12:00").give_up  # hours are left
    assert not now_of(dusk, "17:45", deep=False).give_up


def test_without_a_position_the_moment_still_has_a_clock() -> None:
    plan = plan_of({"time": "07:20"}, site={"name": "hide", "time_zone": ZONE})
    kit, found = prepare(Profile.model_validate(gear())), None
    setting = Setting(lists(), ZONE, (), None)
    found = assess_shot(plan, plan.shots[0], kit, setting)
    now = right_now(plan, found, found.rigs[0], kit, setting, at("07:05"))
    assert (now.light, now.by_now, now.left, now.give_up) == (None, None, None, ())
    assert now.planned_min == pytest.approx(15.0)


@pytest.mark.parametrize(("clock", "hours"), [("17:30", 18.5), ("10:00", 14.0)])
def test_a_shot_over_midnight_is_given_its_night_before_it_is_dark(clock: str, hours: float) -> None:
    """A lens that works in any light: at 17:30, the sun still up, it works to the noon of the next day; in the morning
    before, the day is what is looked at."""
    plan = plan_of({"from": "17:00", "to": "01:30", "subject": thing(height="1 m"), "support": "tripod"})
    profile = Profile.model_validate(gear({"f_number": 1.4}, {"iso_ceiling": 819200, "longest_shutter": "30 s"},
                                          support=[{"name": "tripod"}]))  # fmt: skip
    kit, setting = prepare(profile), Setting(lists(), ZONE, (), book_for(plan.site, ZONE))
    found = assess_shot(plan, plan.shots[0], kit, setting)
    left = right_now(plan, found, found.rigs[0], kit, setting, at(clock), deep=False).left
    assert left is not None and left.state == "works" and left.longer
    assert left.late_min == pytest.approx(hours * 60.0)
