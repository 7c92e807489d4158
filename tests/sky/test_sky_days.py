"""Local civil days, against the rules of the tz database (announced changes of clocks and of the date line)."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.sky.days import local_day

HOUR_S = 3600.0
ZONES = (
    "Europe/Amsterdam",
    "Europe/Dublin",
    "America/New_York",
    "America/St_Johns",
    "America/Havana",
    "America/Sao_Paulo",
    "America/Nuuk",
    "America/Scoresbysund",
    "Africa/Cairo",
    "Africa/Casablanca",
    "Asia/Beirut",
    "Asia/Amman",
    "Asia/Tehran",
    "Asia/Kathmandu",
    "Asia/Pyongyang",
    "Australia/Lord_Howe",
    "Pacific/Chatham",
    "Pacific/Apia",
    "Pacific/Kwajalein",
    "Pacific/Kiritimati",
    "Antarctica/Troll",
    "UTC",
)


def hours(date: dt.date, zone: str) -> float:
    start_s, end_s = local_day(date, ZoneInfo(zone))
    return (end_s - start_s) / HOUR_S


@pytest.mark.parametrize(
    ("zone", "date", "length_h"),
    [
        ("Europe/Amsterdam", (2027, 3, 28), 23.0),  # EU directive 2000/84: last Sunday of March
        ("Europe/Amsterdam", (2027, 10, 31), 25.0),  # the same: last Sunday of October
        ("Europe/Amsterdam", (2027, 6, 1), 24.0),
        ("America/New_York", (2027, 3, 14), 23.0),  # US Energy Policy Act of 2005: second Sunday of March
        ("America/New_York", (2027, 11, 7), 25.0),  # the same: first Sunday of November
        ("Australia/Lord_Howe", (2027, 4, 4), 24.5),  # tz database: half an hour of summer time
        ("Antarctica/Troll", (2027, 3, 28), 22.0),  # tz database: two hours
        ("Pacific/Chatham", (2027, 4, 4), 25.0),  # New Zealand Time Act, from +13:45 to +12:45
        ("Asia/Kathmandu", (1986, 1, 1), 23.75),  # tz database: +5:30 to +5:45 at midnight
        ("America/Sao_Paulo", (2018, 11, 4), 23.0),  # midnight skipped
        ("America/Havana", (2027, 11, 7), 25.0),  # midnight comes twice
        ("Asia/Pyongyang", (2018, 5, 4), 23.5),  # half past eleven at night became midnight
        ("Pacific/Apia", (2011, 12, 30), 0.0),  # the date that Samoa never had
        ("Pacific/Kwajalein", (1993, 8, 21), 0.0),  # tz database: the atoll crossed the date line
    ],
)
def test_length_of_days(zone: str, date: tuple[int, int, int], length_h: float) -> None:
    assert hours(dt.date(*date), zone) == length_h


def test_samoa_crossed_the_date_line_between_two_midnights() -> None:
    # 2011-12-29 ended at -10:00 (summer time), 2011-12-31 began at +14:00: the same instant, 10:00 UTC.
    apia = ZoneInfo("Pacific/Apia")
    instant = dt.datetime(2011, 12, 30, 10, tzinfo=dt.UTC).timestamp()
    assert local_day(dt.date(2011, 12, 29), apia)[1] == instant
    assert local_day(dt.date(2011, 12, 31), apia)[0] == instant


def test_a_quarter_hour_zone_starts_its_day_at_a_quarter() -> None:
    start_s, _ = local_day(dt.date(2027, 3, 1), ZoneInfo("Asia/Kathmandu"))
    assert dt.datetime.fromtimestamp(start_s, dt.UTC) == dt.datetime(2027, 2, 28, 18, 15, tzinfo=dt.UTC)


@pytest.mark.parametrize("name", ZONES)
def test_days_follow_without_gap_and_hold_only_their_date(name: str) -> None:
    """Over every change of clocks from 1970 to 2040: no overlap, no gap, no other date at either end."""
    zone = ZoneInfo(name)
    date = dt.date(1970, 1, 1)
    before_s = local_day(date, zone)[0]
    lengths = set()
    while date < dt.date(2040, 1, 1):
        start_s, end_s = local_day(date, zone)
        assert start_s == before_s
        lengths.add((end_s - start_s) / HOUR_S)
        if end_s > start_s:
            assert dt.datetime.fromtimestamp(start_s, zone).date() == date
            assert dt.datetime.fromtimestamp(end_s - 1.0, zone).date() == date
        before_s = end_s
        date += dt.timedelta(days=1)
    assert 24.0 in lengths
    assert (lengths == {24.0}) == (name == "UTC")


@given(st.datetimes(dt.datetime(1950, 1, 2), dt.datetime(2049, 12, 30)), st.sampled_from(ZONES))
def test_an_instant_lies_in_the_day_of_its_local_date(moment: dt.datetime, name: str) -> None:
    zone = ZoneInfo(name)
    instant = moment.replace(tzinfo=dt.UTC)
    local = instant.astimezone(zone)
    start_s, end_s = local_day(local.date(), zone)
    # Where clocks go back over midnight an hour of the former date comes again within the day.
    again = local.fold == 1 and local.hour >= 23
    assert start_s <= instant.timestamp() < end_s or again


def test_the_last_date_has_no_end() -> None:
    with pytest.raises(OverflowError):
        local_day(dt.date.max, ZoneInfo("UTC"))
