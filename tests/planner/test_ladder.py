"""The light by the clock. Exposure: N^2/t = 2^EV x ISO/100 (ISO 2720); the light itself is checked elsewhere."""

from __future__ import annotations

import datetime as dt
import itertools
import json
import math

import pytest

from fieldplan.card import render
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.tables import Ladder

from .shots import Table, gear, plan_answers, thing

DAY = dt.date(2027, 3, 20)
FIELD: Table = {"name": "field", "position": "45, 0", "sky": "clear"}
STEADY: Table = {"subject": thing(height="1 m"), "distance": "50 m", "hold": "level", "support": "tripod"}
AS_TYPED = gear({"f_number": 5.6}, {"longest_shutter": "1/500", "iso_ceiling": 6400})


def planned(shot: Table, zone: str = "UTC", date: dt.date = DAY, site: Table = FIELD, **plan: object) -> PlanAnswers:
    return plan_answers([{**STEADY, **shot}], AS_TYPED, zone, site=site, date=date, **plan)


def ladder(shot: Table, **more: object) -> Ladder:
    (found,) = planned(shot, **more).ladders  # type: ignore[arg-type]
    return found


def clocks(found: Ladder) -> list[str]:
    return [f"{row.when:%H:%M}" for row in found.rows]


def test_twelve_rows_by_ten_minutes_from_an_hour_before() -> None:
    found = ladder({"time": "18:27"})
    assert clocks(found)[0] == "17:20" and clocks(found)[-1] == "19:10" and len(found.rows) == 12
    gaps = {b.when - a.when for a, b in itertools.pairwise(found.rows)}
    assert gaps == {dt.timedelta(minutes=10)}


def test_the_iso_is_that_of_the_exposure_at_both_shutters() -> None:
    found = ladder({"time": "18:20"})
    assert found.shutters_s[1] == pytest.approx(2 * found.shutters_s[0])
    assert found.effective_f_number >= found.f_number
    for row in found.rows:
        for time, iso in zip(found.shutters_s, row.isos, strict=True):
            need = 100.0 * found.effective_f_number**2 / time / 2.0**row.ev100
            assert need * (1 - 1e-6) <= iso <= need * 2 ** (1 / 3) * (1 + 1e-6)
            assert 3 * math.log2(iso / 100) == pytest.approx(round(3 * math.log2(iso / 100)), abs=1e-6)
        assert row.isos[0] == pytest.approx(2 * row.isos[1])
        assert row.ev100_low < row.ev100 < row.ev100_high


def test_the_row_of_the_shot_is_its_own_light() -> None:
    answers = planned({"time": "18:20", "aim": 90}, reading=[{"time": "18:00", "ev": 9.0}])
    light = answers.shots[0].light
    row = next(row for row in answers.ladders[0].rows if f"{row.when:%H:%M}" == "18:20")
    assert light is not None and light.source == "metered"
    assert (row.ev100, row.ev100_low, row.ev100_high) == pytest.approx((light.ev100, light.ev100_low, light.ev100_high))


@pytest.mark.parametrize(
    ("begin", "end", "first", "step_min"),
    [
        ("17:00", "17:30", "16:00", 10),  # all of it, with an hour before
        ("17:00", "18:20", "16:30", 10),  # less before, so that the end is on it
        ("17:05", "18:50", "17:00", 10),
        ("08:00", "11:00", "08:00", 20),  # wider steps where ten minutes would not reach the end
        ("23:00", "01:00", "23:00", 20),
        ("06:00", "05:00", "06:00", 180),
    ],
)
def test_a_stretch_is_covered_to_its_end(begin: str, end: str, first: str, step_min: int) -> None:
    found = ladder({"from": begin, "to": end})
    assert clocks(found)[0] == first
    assert found.rows[1].when - found.rows[0].when == dt.timedelta(minutes=step_min)
    assert len(found.rows) == 12
    start = dt.datetime.combine(DAY, dt.time.fromisoformat(begin), dt.UTC)
    close = dt.datetime.combine(DAY, dt.time.fromisoformat(end), dt.UTC)
    close += dt.timedelta(days=1) if close < start else dt.timedelta()
    assert found.rows[0].when <= start and found.rows[-1].when >= close


def test_without_a_time_the_ladder_begins_an_hour_before_the_shot_first_works() -> None:
    answers = planned({"lit": "level ground"})
    span = answers.shots[0].times[0]
    first = answers.ladders[0].rows[0].when.timestamp()
    assert 0 <= span.start_s - 3600 - first < 600


@pytest.mark.parametrize(
    "shot",
    [
        {"time": "18:20", "light": "EV 9"},  # the person knows better
        {"time": "18:20", "subject": {"sky": "moon"}, "distance": "infinity", "focal": "600 mm"},  # another light
    ],
)
def test_where_the_light_is_not_reckoned_there_is_no_ladder(shot: Table) -> None:
    assert planned(shot).ladders == ()


def test_without_a_site_there_is_no_ladder() -> None:
    assert plan_answers([{**STEADY, "time": "18:20"}], AS_TYPED, None, date=DAY).ladders == ()


def test_the_clock_is_the_sites_also_when_it_changes() -> None:
    # EU directive 2000/84/EC: on 28 March 2027 at 01:00 UTC 02:00 becomes 03:00
    berlin = {**FIELD, "position": "52.5, 13.4"}
    found = ladder({"time": "03:20"}, zone="Europe/Berlin", date=dt.date(2027, 3, 28), site=berlin)
    assert clocks(found)[:5] == ["01:20", "01:30", "01:40", "01:50", "03:00"]
    nepal = {**FIELD, "position": "27.7, 85.3"}
    assert clocks(ladder({"time": "06:03"}, zone="Asia/Kathmandu", site=nepal))[0] == "05:00"


def test_it_stands_on_the_card_and_in_the_json() -> None:
    answers = planned({"time": "18:20"})
    (found,) = answers.ladders
    lines = str(render(answers, "text")).split("\n")
    top = next(i for i, line in enumerate(lines) if line.startswith("light by the clock, and ISO at f/5.6"))
    assert lines[top + 1].split() == ["clock", "EV", "100", "range", "1/500", "1/250"]
    for line, row in zip(lines[top + 2 : top + 14], found.rows, strict=True):
        cells = line.split()
        assert cells[0] == f"{row.when:%H:%M}" and float(cells[1]) == pytest.approx(row.ev100, abs=0.051)
        for cell, iso in zip(cells[-2:], row.isos, strict=True):
            if iso > 16 * 6400 or iso < 50:
                assert cell == ("dark" if iso > 100 else "bright"), "of no use as a number"
                continue
            assert cell.endswith("!") == (iso > 6400 * 1.05), "over the ceiling of 6400"
            assert float(cell.strip("!*")) == pytest.approx(iso, rel=0.03)
    notes = " ".join(lines[top + 14 : top + 16])
    assert "dark: far over the ISO ceiling of 6400" in notes and "!: over the ISO ceiling of 6400" in notes
    assert "light by the clock" in str(render(answers, "html"))
    written = json.loads(str(render(answers, "json")))["shots"][0]["ladder"]
    assert written.keys() == {"f_number", "effective_f_number", "shutters_s", "iso_ceiling", "rows"}
    keys = {"time", "ev100", "ev100_low", "ev100_high", "iso", "over_ceiling"}
    assert all(row.keys() == keys for row in written["rows"])
    assert written["rows"][0]["time"] == "2027-03-20T17:20:00+00:00"
    assert [row["iso"] for row in written["rows"]] == [list(row.isos) for row in found.rows]


def test_it_is_in_the_pdf() -> None:
    from io import BytesIO

    from pypdf import PdfReader

    made = render(planned({"time": "18:20"}), "pdf")
    assert isinstance(made, bytes)
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(made)).pages)
    assert "light by the clock" in " ".join(text.split()) and "17:20" in text and "19:10" in text
