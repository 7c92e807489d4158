"""The day itself on days when the clock changes and over midnight. Instants by the rules of the EU: clocks go from
UTC+1 to UTC+2 at 01:00 UTC on the last Sunday of March, and back at 01:00 UTC on the last Sunday of October."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from fieldplan.model.plan import Plan
from fieldplan.model.taken import LogEntry
from fieldplan.planner.moments import ends_of, moment, stretch_at
from fieldplan.planner.rightnow import is_due, is_today, minutes_between, next_shot, planned_kept, right_now
from fieldplan.planner.seen import Seen, equivalent_m, instant_of
from fieldplan.planner.taken import differences
from fieldplan.planner.taken import instant_of as entry_instant

from .test_rightnow import ZONE, asked, plan_of

BERLIN = ZoneInfo(ZONE)


def on(date: str, utc: str) -> dt.datetime:
    return dt.datetime.fromisoformat(f"{date}T{utc}:00+00:00").astimezone(BERLIN)


def to_go(plan: Plan, here: dt.datetime) -> float | None:
    kit, setting, found, answer = asked(plan)
    return right_now(plan, found, answer, kit, setting, here, False).planned_min


@pytest.mark.parametrize(
    ("date", "clock", "utc", "minutes"),
    [
        ("2027-03-28", "03:30", "00:45", 45.0),  # 03:30 is 01:30 UTC after the jump
        ("2027-10-31", "03:30", "00:40", 110.0),  # 02:40 summer time; 03:30 is 02:30 UTC
        ("2027-10-31", "02:30", "01:20", -50.0),  # the first 02:30 is 00:30 UTC; now is the second 02:20
    ],
)
def test_minutes_that_really_pass(date: str, clock: str, utc: str, minutes: float) -> None:
    here, plan = on(date, utc), plan_of({"date": date, "time": clock})
    assert to_go(plan, here) == pytest.approx(minutes)
    assert is_due(plan, plan.shots[0], here) is (abs(minutes) <= 60.0)


def test_in_the_repeated_hour_a_shot_of_the_first_pass_is_past() -> None:
    plan = plan_of({"date": "2027-10-31", "time": "02:30"}, {"date": "2027-10-31", "time": "06:00"})
    found = next_shot(plan, on("2027-10-31", "01:20"))
    assert found is not None and found.at == 1
    assert minutes_between(on("2027-10-31", "00:40"), on("2027-10-31", "02:30")) == 110


NIGHT = ({"time": "20:00"}, {"from": "23:00", "to": "01:30"})


def test_a_span_over_midnight_is_next_and_goes_on() -> None:
    plan = plan_of(*NIGHT)
    at = on("2027-03-14", "22:10")  # 23:10 in Berlin
    found = next_shot(plan, at)
    assert found is not None and found.at == 1 and f"{found.when:%d %H:%M} {found.end:%d %H:%M}" == "14 23:00 15 01:30"
    late = on("2027-03-14", "23:20")  # 00:20 on the 15th
    found = next_shot(plan, late)
    assert found is not None and found.at == 1 and is_today(plan, late) and to_go(plan_of(NIGHT[1]), late) == 0.0
    over = on("2027-03-15", "00:40")
    assert next_shot(plan, over) is None and not is_today(plan, over)


def test_a_long_span_is_counted_to_its_beginning() -> None:
    plan = plan_of({"from": "08:00", "to": "18:00"})
    assert to_go(plan, on("2027-03-14", "06:30")) == pytest.approx(30.0)
    assert to_go(plan, on("2027-03-14", "12:00")) == 0.0
    assert to_go(plan, on("2027-03-14", "17:20")) == pytest.approx(-20.0)


def test_a_camera_that_is_behind_is_put_right_on_its_own_clock_face() -> None:
    """It shows 02:10 in the night of the jump and is an hour behind: 03:10 summer time, 01:10 UTC."""
    found = instant_of(Seen("a", dt.datetime(2027, 3, 28, 2, 10)), BERLIN, 3600.0)
    assert found is not None and found.isoformat() == "2027-03-28T03:10:00+02:00"
    known = instant_of(Seen("a", dt.datetime(2027, 3, 28, 0, 10), 0), BERLIN, 3600.0)
    assert known is not None and known.isoformat() == "2027-03-28T03:10:00+02:00", "0:10 UTC and an hour"
    assert instant_of(Seen("a", dt.datetime.max), BERLIN, 3600.0) is None


def test_an_equivalent_focal_length_the_camera_contradicts_is_not_believed() -> None:
    """A picture made smaller with its old focal-plane resolution: 7.2 x 4.8 mm by it, full frame by the camera's tag
    (Exif 2.32: FocalLengthIn35mmFilm equal to FocalLength)."""
    small = Seen("a", focal_m=0.05, equivalent_m=0.05, sensor=(0.0072, 0.0048), pixels=(1200, 800))
    assert equivalent_m(small) == pytest.approx(0.05, rel=1e-3)
    sound = Seen("a", focal_m=0.05, equivalent_m=0.077, sensor=(0.0235, 0.0156), pixels=(6000, 4000))
    assert equivalent_m(sound) == pytest.approx(0.05 * 43.2666 / 28.2066, rel=1e-3)


def test_the_first_change_of_the_day_keeps_what_was_planned() -> None:
    plan = plan_of({"distance": "45-60 m"}, {"distance": "27.5 m"}, {"distance": "20 m"})
    before, once, twice = plan.shots
    changed = planned_kept(before, once)
    assert changed.planned_distance == before.distance and changed.distance == once.distance
    again = planned_kept(changed, changed.model_copy(update={"distance": twice.distance}))
    assert again.planned_distance == before.distance
    back = planned_kept(again, again.model_copy(update={"distance": before.distance}))
    assert back.planned_distance is None and planned_kept(before, before) == before


@pytest.mark.parametrize(
    ("date", "first", "last", "utc"),
    [
        ("2027-03-28", "00:30", "04:30", "01:00"),  # 23:30 to 02:30 UTC: three hours, not four
        ("2027-10-31", "01:00", "05:00", "01:30"),  # 23:00 to 04:00 UTC: five hours
        ("2027-03-27", "23:00", "04:00", "00:00"),  # over midnight into the change: 22:00 to 02:00 UTC
        ("2027-06-01", "01:00", "05:00", "01:00"),
    ],
)
def test_the_middle_of_a_span_is_by_the_time_that_passes(date: str, first: str, last: str, utc: str) -> None:
    plan = plan_of({"date": date, "from": first, "to": last})
    middle = moment(plan, plan.shots[0], ZONE)
    assert middle is not None and f"{middle.astimezone(dt.UTC):%H:%M}" == utc
    ends = ends_of(plan, plan.shots[0], BERLIN)
    start, end = stretch_at(plan.shots[0], middle)
    assert ends == (start, end)


def test_a_span_whose_beginning_the_clocks_skip_does_not_end_before_it() -> None:
    """From 02:30, which becomes 03:30 summer time, to 03:00: nothing of it is left but its beginning."""
    plan = plan_of({"date": "2027-03-28", "from": "02:30", "to": "03:00"})
    ends = ends_of(plan, plan.shots[0], BERLIN)
    assert ends is not None and ends[0] == ends[1] == on("2027-03-28", "01:30")


@pytest.mark.parametrize(
    ("taken", "told"),
    [("02:40", ""), ("04:20", "20 min later than planned"), ("00:10", "20 min earlier than planned")],
)
def test_what_was_done_is_compared_over_the_change_of_the_clock(taken: str, told: str) -> None:
    """From 00:30 to 04:00 in the night of the jump forward: 23:30 to 02:00 UTC. 02:40 does not exist and is 03:40."""
    plan = plan_of({"date": "2027-03-28", "from": "00:30", "to": "04:00"})
    entry = LogEntry.model_validate({"shot": plan.shots[0].name, "time": taken})
    found = asked(plan)[2]
    words = [
        text for text in differences(entry, found, "metric", entry_instant(entry, plan, ZONE)) if "planned" in text
    ]
    assert words == ([told] if told else [])
