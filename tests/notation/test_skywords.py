"""What people type about moon and sun. No source: the sentences are those that the screen and the command offer."""

from __future__ import annotations

import datetime as dt

import pytest

from fieldplan.notation.skywords import Sighting, read_hours, read_lit, read_sighting


@pytest.mark.parametrize(
    ("text", "clock", "right", "above"),
    [
        ("2 left, 0.5 above at 21:04", dt.time(21, 4), -2.0, 0.5),
        ("21:04 2 left", dt.time(21, 4), -2.0, 0.0),
        ("1.5 discs to the right 21h04", dt.time(21, 4), 1.5, 0.0),
        ("3 too high, 21:04:30", dt.time(21, 4, 30), 0.0, 3.0),
        ("2,5 left 0704", dt.time(7, 4), -2.5, 0.0),
        ("1 left of the top and 2 below at 6:05", dt.time(6, 5), -1.0, -2.0),
        ("0 right 21:04", dt.time(21, 4), 0.0, 0.0),
    ],
)
def test_sightings(text: str, clock: dt.time, right: float, above: float) -> None:
    assert read_sighting(text) == Sighting(clock, right, above)


@pytest.mark.parametrize(
    "text",
    ["", "left at 21:04", "2 left", "2 left 3 right 21:00", "two left 21:00", "2 left 25:00", "2 left 21:00 22:00",
     "200 left 21:00", "-2 left 21:00", "2 left maybe 21:00", "x" * 300],
)  # fmt: skip
def test_what_is_no_sighting_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_sighting(text)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("16:00-22:00", dt.time(16), dt.time(22)),
        ("22 to 2", dt.time(22), dt.time(2)),
        ("6:30 \u2013 7", dt.time(6, 30), dt.time(7)),
        ("1600-1730", dt.time(16), dt.time(17, 30)),
    ],
)
def test_hours(text: str, first: dt.time, last: dt.time) -> None:
    assert read_hours(text) == (first, last)


@pytest.mark.parametrize("text", ["", "16:00", "16:00-22:00-23:00", "25-26", "noon-night"])
def test_what_are_no_hours_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_hours(text)


@pytest.mark.parametrize(
    ("text", "low", "high"), [("90 %", 0.9, 1.0), ("30-60 %", 0.3, 0.6), ("0 to 30%", 0.0, 0.3), ("100 %", 1.0, 1.0)]
)
def test_shares_of_a_disc(text: str, low: float, high: float) -> None:
    assert read_lit(text) == pytest.approx((low, high))


@pytest.mark.parametrize("text", ["", "90", "120 %", "60-30 %", "-5 %", "full"])
def test_what_is_no_share_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_lit(text)
