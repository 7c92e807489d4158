"""Marks: what a camera shows for each third of a stop, and figures that somebody wrote, kept as they were written."""

from __future__ import annotations

import pytest

from fieldplan.notation.marks import (
    f_mark,
    far_over,
    faster_mark,
    iso_figure,
    iso_mark,
    iso_words,
    nearest_mark,
    time_mark,
    written_f,
    written_time,
)
from fieldplan.notation.quantity import F_NUMBER, TIME, read_value

# ISO 12232:2019 table of ISO values in thirds (from memory), CIPA DC-004 the same; every whole number a camera shows.
ISO = ("100", "125", "160", "200", "250", "320", "400", "500", "640", "800", "1000", "1250", "1600", "2000", "2500",
       "3200", "4000", "5000", "6400")  # fmt: skip
# The marks of shutters in thirds, ISO 516 for the whole stops and common practice between.
TIMES = ("1/8000", "1/6400", "1/5000", "1/4000", "1/3200", "1/2500", "1/2000", "1/1600", "1/1250", "1/1000", "1/800",
         "1/640", "1/500", "1/400", "1/320", "1/250", "1/200", "1/160", "1/125", "1/100", "1/80", "1/60",
         "1/50")  # fmt: skip
STOPS = ("1.4", "1.6", "1.8", "2", "2.2", "2.5", "2.8", "3.2", "3.5", "4", "4.5", "5", "5.6", "6.3", "7.1", "8", "9",
         "10", "11", "13", "14", "16", "18", "20", "22")  # fmt: skip


@pytest.mark.parametrize("text", ISO)
def test_an_iso_as_a_camera_writes_it_stays(text: str) -> None:
    assert iso_mark(float(text)) == text


@pytest.mark.parametrize("text", TIMES)
def test_a_time_as_a_camera_writes_it_stays(text: str) -> None:
    assert time_mark(1.0 / float(text[2:])) == text and written_time(1.0 / float(text[2:])) == text


@pytest.mark.parametrize("text", STOPS)
def test_an_f_number_as_a_camera_writes_it_stays(text: str) -> None:
    assert written_f(float(text)) == text


def test_exact_thirds_have_their_marks() -> None:
    assert [iso_mark(100.0 * 2.0 ** (k / 3)) for k in range(len(ISO))] == list(ISO)
    assert [time_mark(2.0 ** (-13 + k / 3)) for k in range(len(TIMES))] == list(TIMES)
    assert [f_mark(2.0 ** ((k + 3) / 6)) for k in range(len(STOPS))] == [f"f/{text}" for text in STOPS]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(1 / 3, "1/3"), (0.3, "0.3 s"), (0.4, "0.4 s"), (95.0, "95 s"), (120.0, "2 min"), (0.6173, "0.6173 s"),
     (1 / 1333, "1/1333"), (2.5, "2.5 s"), (1 / 60, "1/60"), (1 / 45, "1/45")],
)  # fmt: skip
def test_other_written_times_stay_and_are_read_back(seconds: float, text: str) -> None:
    assert written_time(seconds) == text
    assert float(read_value(text, TIME)) == pytest.approx(seconds, rel=1e-3)


@pytest.mark.parametrize("value", [1.25, 1.75, 1.78, 0.95, 1.7, 2.4, 3.3, 6.7, 9.5, 10.5, 19.0])
def test_other_written_f_numbers_stay_and_are_read_back(value: float) -> None:
    """Half stops and phone lenses: the numbers are their own marks."""
    assert written_f(value) == f"{value:g}"
    assert float(read_value(written_f(value), F_NUMBER)) == pytest.approx(value)


def test_limits_that_were_reckoned_are_no_marks() -> None:
    assert (
        time_mark(1 / 195.3) == "1/195"
        and time_mark(1 / 1347.2) == "1/1350"
        and time_mark(0.417) == "0.4 s"
        and time_mark(0.35) == "0.35 s"
    )
    assert f_mark(8.82) == "f/8.8" and iso_mark(1187.3) == "1200"


@pytest.mark.parametrize("seconds", [1 / 195.3, 1 / 134, 1 / 17, 1 / 479, 0.35, 1.3641, 13.4])
def test_a_limit_is_told_as_the_slowest_mark_within_it(seconds: float) -> None:
    """Against the row of marks on cameras above, each read back: within the limit, and no slower mark is."""
    marks = [*TIMES, "1/40", "1/30", "1/25", "1/20", "1/15", "0.3 s", "0.4 s", "1 s", "1.3 s", "1.6 s", "13 s", "15 s"]
    read = {mark: float(read_value(mark, TIME)) for mark in marks}
    within = [mark for mark, time in read.items() if time <= seconds]
    assert faster_mark(seconds) == max(within, key=lambda mark: read[mark])


def test_a_mark_is_its_own_limit_and_long_ones_are_whole_seconds() -> None:
    assert [faster_mark(float(read_value(mark, TIME))) for mark in TIMES] == list(TIMES)
    assert faster_mark(1 / 60.5) == "1/60", "a camera's 1/60 lasts 1/64 s"
    assert faster_mark(30.0) == "30 s" and faster_mark(95.7) == "95 s"


def test_a_reckoned_time_is_told_as_the_nearest_mark() -> None:
    # Half a third of a stop either way, 12 per cent: from 1/80 to 1/100 the border is 1/90 (geometric mean).
    assert [nearest_mark(1 / below) for below in (87, 92, 195, 1000)] == ["1/80", "1/100", "1/200", "1/1000"]


def test_an_iso_far_over_its_ceiling_is_told_as_that() -> None:
    """65 million is no setting: beyond 16 times the ceiling, four stops, only that it is over."""
    assert iso_words(65e6, 6400.0) == "over 6400" and iso_figure(65e6, 6400.0) == ">6400"
    assert iso_words(12800.0, 6400.0) == "12800" and not far_over(6400.0 * 16, 6400.0) and far_over(6400.0 * 17, 6400.0)
