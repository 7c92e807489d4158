"""Pictures to shots by time: spans, margins, rivals, zones, changes of the clock, and runs of pictures."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.files.reading import validated
from fieldplan.model.gear import Body
from fieldplan.model.plan import Plan
from fieldplan.planner.matching import entries_from, in_order, match_pictures
from fieldplan.planner.seen import Seen

ZONE = "Europe/Berlin"
DAY = dt.datetime(2027, 3, 14)


def plan(*shots: dict[str, Any], date: str | None = "2027-03-14", taken: Any = ()) -> Plan:
    data: dict[str, Any] = {"fieldplan_plan": 1, "title": "invented", "shot": list(shots), "taken": list(taken)}
    return validated({**data, "date": date} if date else data, Plan)


SHOTS = plan(
    {"name": "dawn", "time": "06:00"},
    {"name": "heron", "from": "07:00", "to": "08:00"},
    {"name": "duck", "time": "08:20"},
    {"name": "some day"},
    {"name": "owl", "from": "23:30", "to": "00:30"},
)


def seen(clock: str, name: str = "p.jpg", day: int = 0, **more: Any) -> Seen:
    hours, minutes = (int(part) for part in clock.split(":"))
    return Seen(name, DAY + dt.timedelta(days=day, hours=hours, minutes=minutes), **more)


@pytest.mark.parametrize(
    ("clock", "shot", "rivals"),
    [
        ("06:10", "dawn", ()),
        ("06:16", None, ()),
        ("06:50", "heron", ()),
        ("07:30", "heron", ()),
        ("08:03", "heron", ()),  # 3 min after the one, 17 before the other
        ("08:06", "heron", ()),  # 6 and 14: more than twice as near
        ("08:09", None, ("heron", "duck")),  # 9 and 11
        ("08:19", "duck", ()),
        ("12:00", None, ()),
        ("23:59", "owl", ()),
    ],
)
def test_each_picture_to_its_shot(clock: str, shot: str | None, rivals: tuple[str, ...]) -> None:
    match = match_pictures([seen(clock)], SHOTS, ZONE).matches[0]
    assert (match.shot, match.rivals) == (shot, rivals)


def test_a_span_over_midnight_and_shots_without_a_time() -> None:
    found = match_pictures([seen("00:20", day=1)], SHOTS, ZONE)
    assert found.matches[0].shot == "owl"
    assert found.untimed == ("some day",)


def test_two_shots_at_one_time_are_both_named() -> None:
    both = plan({"name": "a", "time": "06:00"}, {"name": "b", "time": "06:00"})
    found = match_pictures([seen("06:00")], both, ZONE)
    assert found.ambiguous[0].rivals == ("a", "b")


def test_an_offset_in_the_file_is_believed_and_one_that_is_missing_is_told() -> None:
    there = seen("05:10", offset_s=0)  # 06:10 in Berlin, an hour ahead of UTC in March
    found = match_pictures([there, seen("06:10")], SHOTS, ZONE)
    assert [match.shot for match in found.matches] == ["dawn", "dawn"]
    assert found.assumed == 1
    assert found.matches[0].instant == found.matches[1].instant


def test_correction_of_the_camera_clock() -> None:
    found = match_pictures([seen("05:00"), seen("04:00", offset_s=0)], SHOTS, ZONE, correction_s=3600.0)
    assert [match.shot for match in found.matches] == ["dawn", "dawn"]


def test_the_margin_counts_seconds_that_passed_when_the_clock_changes() -> None:
    """On 2027-03-28 at 02:00 clocks in Berlin go on to 03:00: 03:10 is 20 minutes after 01:50 (zoneinfo)."""
    night = plan({"name": "a", "time": "01:50"}, date="2027-03-28")
    near = Seen("p", dt.datetime(2027, 3, 28, 3, 4))
    far = Seen("p", dt.datetime(2027, 3, 28, 3, 6))
    assert match_pictures([near], night, ZONE).matches[0].shot == "a"
    assert match_pictures([far], night, ZONE).matches[0].shot is None


def test_without_a_zone_the_camera_clock_is_the_plans() -> None:
    found = match_pictures([seen("06:05"), seen("06:05", offset_s=7200)], SHOTS, None)
    assert [match.shot for match in found.matches] == ["dawn", "dawn"]


def test_pictures_without_a_time_belong_to_none() -> None:
    found = match_pictures([Seen("p", None)], SHOTS, ZONE)
    assert found.unmatched[0].instant is None


@given(st.lists(st.tuples(st.integers(0, 2879), st.booleans()), max_size=30))
def test_every_picture_is_matched_rivalled_or_left_once(minutes: list[tuple[int, bool]]) -> None:
    pictures = [Seen(f"{i}", DAY + dt.timedelta(minutes=m) if timed else None) for i, (m, timed) in enumerate(minutes)]
    found = match_pictures(pictures, SHOTS, ZONE)
    assert sorted(m.seen.name for m in found.matches) == sorted(p.name for p in pictures)
    matched = [m for m in found.matches if m.shot is not None]
    assert len(matched) + len(found.ambiguous) + len(found.unmatched) == len(pictures)
    instants = [m.instant for m in found.matches if m.instant is not None]
    assert instants == sorted(instants)


BODIES = {"body": [Body.model_validate({"name": "Body A", "sensor": "36x24 mm", "pixels": "6000x4000", "mount": "A"})]}


def test_a_run_of_like_pictures_is_one_entry_and_is_not_added_twice() -> None:
    like = {"focal_m": 0.5, "f_number": 6.3, "shutter_s": 1 / 640, "iso": 1600.0, "body": "body  a"}
    run = [seen("07:10", f"p{i}.jpg", **like)._replace(taken=DAY + dt.timedelta(hours=7, seconds=20 * i))
           for i in range(5)]  # fmt: skip
    other = seen("07:30", "q.jpg", **{**like, "iso": 800.0})
    entries = entries_from(match_pictures([other, *run], SHOTS, ZONE), SHOTS, BODIES)
    assert [entry["picture"] for entry in entries] == ["p0.jpg", "q.jpg"]
    assert entries[0]["note"] == "5 pictures, to p4.jpg"
    assert entries[0]["body"] == "Body A", "the profile's own spelling"
    assert (entries[0]["focal"], entries[0]["f_number"], entries[0]["shutter"]) == ("500 mm", "6.3", "1/640")
    logged = plan(*SHOTS.model_dump(by_alias=True, exclude_unset=True)["shot"], taken=entries)
    assert logged.taken[0].iso == 1600.0
    assert entries_from(match_pictures([other, *run], logged, ZONE), logged, BODIES) == []


def test_entries_go_in_by_time() -> None:
    logged = plan(taken=[{"shot": "a", "time": "07:00"}, {"shot": "a"}, {"shot": "a", "time": "09:00"}])
    at = {"date": DAY.date(), "time": dt.time(8, 0)}
    assert in_order(logged, at) == 2
    assert in_order(logged, {**at, "time": dt.time(9, 0)}) == 3
