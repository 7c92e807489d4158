"""The order of the day, and the cautions that go by sun, dark and season (common practice; WMO winter months)."""

from __future__ import annotations

import datetime as dt

import pytest

from fieldplan.card import render
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.cautions import in_winter
from fieldplan.planner.order import DayLine, order_of_day

from .shots import Table, gear, plan_answers, thing

DAY = dt.date(2027, 3, 20)
BASE: Table = {"subject": thing(height="1 m"), "distance": "50 m", "light": "EV 12"}
FIELD: Table = {"name": "field", "position": "45, 0", "sky": "clear"}


def planned(*shots: Table, zone: str | None = "UTC", **plan: object) -> PlanAnswers:
    named = [{**BASE, "name": name, **shot} for name, shot in zip("abcdef", shots, strict=False)]
    return plan_answers(named, gear(), zone, **{"date": DAY, **plan})


def lines(*shots: Table, **plan: object) -> tuple[DayLine, ...]:
    return order_of_day(planned(*shots, **plan))  # type: ignore[arg-type]


def stretch(begin: str, end: str) -> Table:
    return {"from": begin, "to": end}


def test_leaving_and_arriving_have_lines_of_their_own() -> None:
    found = lines({"time": "07:20"}, stretch("08:00", "09:00"), leave="05:10", arrive="06:20")
    assert [(line.kind, line.shot, f"{line.start:%H:%M}") for line in found] == [
        ("leave", "leave", "05:10"),
        ("arrive", "arrive", "06:20"),
        ("shot", "a", "07:20"),
        ("shot", "b", "08:00"),
    ]
    assert [line.end and f"{line.end:%H:%M}" for line in found] == [None, None, None, "09:00"]


def test_leaving_later_by_the_clock_than_arriving_is_the_night_before() -> None:
    first, second = lines(leave="23:30", arrive="01:10")
    assert (first.start.date(), second.start.date()) == (DAY - dt.timedelta(days=1), DAY)


CLASHES = [
    ("a time inside another's stretch", {"time": "08:30"}, "in the middle of a, which lasts until 09:00"),
    ("stretches that overlap", stretch("08:59", "10:00"), "overlaps a, which lasts until 09:00"),
    ("a stretch within another", stretch("08:10", "08:20"), "overlaps a, which lasts until 09:00"),
    ("the same time", {"time": "08:00"}, "at the same time as a"),
    ("the same start", stretch("08:00", "08:30"), "at the same time as a"),
    ("one after the other", {"time": "09:00"}, None),
    ("a stretch that follows", stretch("09:00", "10:00"), None),
]


@pytest.mark.parametrize(("other", "why"), [pytest.param(o, w, id=name) for name, o, w in CLASHES])
def test_what_collides_is_told_in_words(other: Table, why: str | None) -> None:
    first, second = lines(stretch("08:00", "09:00"), other)
    assert first.clash is None and first.why is None
    assert second.why == why
    assert second.clash == ("a" if why else None)


def test_single_times_collide_only_when_they_are_the_same() -> None:
    found = lines({"time": "08:00"}, {"time": "08:01"}, {"time": "08:01"})
    assert [line.why for line in found] == [None, None, "at the same time as b"]


def test_a_stretch_over_midnight_reaches_into_the_next_day() -> None:
    late, next_day = lines(stretch("23:00", "01:30"), {"time": "00:30", "date": "2027-03-21"})
    assert late.end == dt.datetime(2027, 3, 21, 1, 30, tzinfo=dt.UTC)
    assert next_day.clash == "a"


def test_nothing_is_taken_before_arriving() -> None:
    found = lines({"time": "06:00"}, {"time": "06:20"}, {"time": "05:00", "date": "2027-03-21"}, arrive="06:20")
    told = {line.shot: line.why for line in found}
    assert told == {"arrive": None, "a": "before you arrive at 06:20", "b": None, "c": None}


def test_the_hour_that_comes_twice_is_sorted_by_what_comes_first() -> None:
    # EU directive 2000/84/EC: on 31 October 2027 02:00 to 03:00 comes twice in Berlin; a plain 02:30 is the first
    found = lines({"time": "03:00"}, stretch("02:30", "02:50"), zone="Europe/Berlin", date=dt.date(2027, 10, 31))
    assert [line.shot for line in found] == ["b", "a"]


def test_without_a_zone_the_day_is_ordered_by_the_clock() -> None:
    assert [line.shot for line in lines({"time": "09:00"}, {"time": "08:00"}, zone=None, arrive="07:00")] == [
        "arrive",
        "b",
        "a",
    ]


def test_the_card_prints_a_start_alone_and_tells_the_clash() -> None:
    text = str(render(planned({"time": "07:20", "must": True}, stretch("07:00", "08:00"), leave="05:00"), "text"))
    table = text.split("order of the day\n")[1].split("\n\n")[0].split("\n")
    assert [" ".join(row.split()) for row in table] == [
        "from to shot",
        "05:00 leave",
        "07:00 08:00 b (nice to have)",
        "07:20 a; clash: in the middle of b, which lasts until 08:00",
    ]


def kinds(shot: Table, site: Table = FIELD, **plan: object) -> list[str]:
    steady = {**BASE, "focal": "600 mm", "support": "tripod", **shot}
    found = plan_answers([steady], gear(), "UTC", site=site, **{"date": DAY, **plan})
    return [c.kind for c in (*found.shots[0].cautions, *found.cautions)]


@pytest.mark.parametrize(
    ("aim", "altitude", "warned"),
    [(180, 45, True), (180, 41, True), (180, 35, False), (170, 45, False), (0, 45, False), (180, -45, False)],
)
def test_the_sun_within_five_degrees_of_the_aim_is_warned_of(aim: int, altitude: int, warned: bool) -> None:
    # noon at the equinox, 45 N, 0 E: the sun stands at about 45 deg, bearing 177 (equation of time 7.5 min)
    assert ("sun" in kinds({"time": "12:00", "aim": aim, "aim_altitude": altitude})) == warned


def test_a_wide_frame_is_warned_of_the_sun_within_its_width() -> None:
    wide = {**BASE, "time": "12:00", "aim": 180, "aim_altitude": 20}
    found = plan_answers([wide], gear({"focal": 24}), "UTC", site=FIELD, date=DAY)
    assert "sun" in [c.kind for c in found.shots[0].cautions]  # 25 deg off the axis; the frame is 84 deg across


def test_the_sun_below_the_horizon_is_not_warned_of() -> None:
    assert "sun" not in kinds({"time": "00:00", "aim": 0, "aim_altitude": -45})


@pytest.mark.parametrize(("clock", "dark"), [("12:00", False), ("18:20", False), ("19:30", True), ("03:00", True)])
def test_dark_shots_have_the_reminder_of_the_night(clock: str, dark: bool) -> None:
    assert ("night" in kinds({"time": clock})) == dark


@pytest.mark.parametrize(
    ("position", "date", "cold"),
    [
        ("60, 10", "2027-01-10", True),
        ("60, 10", "2027-07-10", False),
        ("-45, 170", "2027-07-10", True),
        ("-45, 170", "2027-01-10", False),
        ("5, 100", "2027-01-10", False),
    ],
)
def test_cold_is_reminded_of_in_the_winter_of_the_hemisphere(position: str, date: str, cold: bool) -> None:
    day = dt.date.fromisoformat(date)
    assert ("cold" in kinds({"time": "12:00"}, {**FIELD, "position": position}, date=day)) == cold
    assert in_winter(day, float(position.split(",")[0])) == cold


def test_a_plan_without_a_site_or_a_date_is_not_reminded_of_cold() -> None:
    assert "cold" not in [c.kind for c in plan_answers([BASE], gear()).cautions]


def test_a_shot_planned_outside_its_light_is_told_in_the_order_and_on_the_card() -> None:
    # sunset at 45 N on the equinox is near 18:10 UT; 1/500 s at ISO 6400 wants more than EV 8 long after that
    bright = {"light": None, "speed": "3 m/s", "support": "tripod"}
    times = ({"time": "12:00"}, {"time": "20:30"}, stretch("17:00", "20:00"))
    by_day, too_late, over = ({**bright, **when} for when in times)
    answers = planned(by_day, over, too_late, site=FIELD)
    found = {line.shot: line for line in order_of_day(answers)}
    assert found["a"].why is None
    assert (found["b"].clash, found["b"].why) == ("light", "goes on after it has ceased to work")
    assert (found["c"].clash, found["c"].why) == ("light", "planned for when it does not work")
    text = " ".join(str(render(answers, "text")).split())
    assert "c (nice to have); clash: planned for when it does not work" in text


def test_what_comes_before_leaving_or_on_the_way_is_told() -> None:
    early = lines({"time": "05:00"}, leave="05:10")
    assert early[0].why == "before you leave at 05:10"
    on_the_way = lines({"time": "23:50", "date": DAY - dt.timedelta(days=1)}, leave="23:30", arrive="01:10")
    assert next(line.why for line in on_the_way if line.kind == "shot") == "before you arrive at 01:10"


def test_where_the_day_runs_over_midnight_its_lines_name_the_weekday() -> None:
    text = str(render(planned({"time": "02:00"}, leave="23:30", arrive="01:10"), "text"))
    assert "Fri 23:30" in text and "Sat 01:10" in text and "Sat 02:00" in text
