"""The Light page, drawn and driven without a terminal."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from astral import LocationInfo
from astral.sun import sun

from fieldplan.pictures.cells import Row, text_cells
from fieldplan.tui.commands import EVERYWHERE, clashes
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.light import LightPage

ROOT = Path(__file__).resolve().parents[2]
CLOCK = r"\d\d:\d\d"


@pytest.fixture
def desk(untouched: Desk) -> Desk:
    return untouched


def words(rows: tuple[Row, ...]) -> str:
    return "\n".join("".join(text for text, _ in row) for row in rows)


def minutes(clock: str) -> int:
    return int(clock[:2]) * 60 + int(clock[3:])


def found(pattern: str, text: str) -> re.Match[str]:
    match = re.search(pattern, text)
    assert match is not None, f"{pattern} is not in\n{text}"
    return match


@pytest.mark.parametrize("size", [(80, 21), (60, 14), (120, 26), (140, 40), (200, 60)])
@pytest.mark.parametrize("mode", ["order", "week", "place"])
def test_every_size_is_filled_and_nothing_is_wider(desk: Desk, size: tuple[int, int], mode: str) -> None:
    page = LightPage(desk)
    if mode == "week":
        page.do_week()
    if mode == "place":
        page.do_place()
    rows = page.draw(*size)
    assert len(rows) == size[1]
    assert all(sum(text_cells(text) for text, _ in row) <= size[0] for row in rows)


def test_rise_set_and_twilight_as_a_general_library_has_them(desk: Desk) -> None:
    # astral, a general library by other authors; both follow the US Naval Observatory's definitions.
    there = LocationInfo("", "", "Europe/Berlin", 53.43, 12.75)
    wanted = sun(there.observer, date=dt.date(2027, 3, 14), tzinfo=there.tzinfo)
    text = words(LightPage(desk).draw(80, 21))
    assert text.startswith("Sun 14 Mar 2027  Europe/Berlin UTC+01:00")
    for key, pattern in (("sunrise", rf"rise ({CLOCK}) \("), ("noon", rf"highest ({CLOCK}), set"),
                         ("sunset", rf"set ({CLOCK}) \("), ("dawn", rf"c ({CLOCK}); dusk"),
                         ("dusk", rf"dusk c ({CLOCK})")):  # fmt: skip
        assert abs(minutes(found(pattern, text)[1]) - minutes(f"{wanted[key]:%H:%M}")) <= 2, key


def test_the_cursor_starts_at_the_shot_and_steps(desk: Desk) -> None:
    page = LightPage(desk)
    assert "\n06:10  sun " in words(page.draw(80, 21))
    page.do_later()
    assert "\n06:20  sun " in words(page.draw(80, 21))
    page.do_hour_later()
    page.do_earlier()
    assert "\n07:10  sun " in words(page.draw(80, 21))
    page.do_shot_time()
    assert "\n06:10  sun " in words(page.draw(80, 21))
    for _ in range(30):
        page.do_hour_earlier()
    assert "\n00:00  sun " in words(page.draw(80, 21))
    for _ in range(30):
        page.do_hour_later()
    assert "\n23:50  sun " in words(page.draw(80, 21))


def test_iso_at_the_cursor_obeys_the_exposure_equation(desk: Desk) -> None:
    # ISO 2720: N^2 / t = 2^EV * S / 100. The ISO shown is the third of a stop at or above it.
    page = LightPage(desk)
    page.do_next_shot()
    text = words(page.draw(120, 30))
    ev = float(found(r"EV ([\d.]+) \(", text)[1])
    row = found(r"f/([\d.]+): ISO (\d+) at 1/(\d+), ISO (\d+) at 1/(\d+)", text)
    f_number = float(row[1])
    for iso, per_second in ((row[2], row[3]), (row[4], row[5])):
        exact = 100.0 * f_number**2 * float(per_second) / 2.0**ev
        assert exact * 0.93 <= float(iso) <= exact * 1.35
    assert float(row[4]) / float(row[2]) == pytest.approx(4.0, rel=0.05)


def test_how_long_the_shot_works_has_ends_as_ranges_with_reasons(desk: Desk) -> None:
    page = LightPage(desk)
    page.do_next_shot()
    text = words(page.draw(80, 21))
    assert "heron at the reeds, by the sky (its own light, EV 11.5, set aside)" in text
    ends = found(rf"works ({CLOCK})-({CLOCK}) \(light below EV [\d.]+\) to ({CLOCK})-({CLOCK}) \(light below", text)
    early, late, first, last = (minutes(end) for end in ends.groups())
    assert early < late < first < last
    assert "give up, over the whole day: one stop more ISO +" in text


def test_days_are_shown_without_being_kept_until_asked(desk: Desk) -> None:
    page = LightPage(desk)
    page.do_next_day()
    text = words(page.draw(80, 21))
    assert text.startswith("Mon 15 Mar 2027") and "(not the plan's date)" in text
    assert "no shot has a time on this day" in text
    assert desk.plan.value.date == dt.date(2027, 3, 14)
    page.do_date()
    assert desk.plan.value.date == dt.date(2027, 3, 15)
    assert "(not the plan's date)" not in words(page.draw(80, 21))
    page.do_previous_day()
    page.do_previous_day()
    assert words(page.draw(80, 21)).startswith("Sat 13 Mar 2027")


def test_the_day_on_which_the_clocks_change_has_both_offsets(desk: Desk) -> None:
    # IANA time zone database: Europe/Berlin goes to summer time on the last Sunday of March, 2027-03-28.
    desk.edit(desk.plan, lambda plan: plan.set(("date",), "2027-03-28"))
    page = LightPage(desk)
    assert "UTC+01:00 to UTC+02:00" in words(page.draw(80, 21))
    for _ in range(30):
        page.do_hour_later()
    assert "\n23:50  sun " in words(page.draw(80, 21))


def test_a_polar_day_is_told_in_words(desk: Desk) -> None:
    # Longyearbyen, 78.2 N: the sun is up from about 20 April to 22 August (general knowledge, checked by astral).
    desk.edit(desk.plan, lambda plan: plan.set(("site", "time_zone"), ""))
    desk.edit(desk.plan, lambda plan: plan.set(("site", "position"), "78.22, 15.65"))
    desk.edit(desk.plan, lambda plan: plan.set(("date",), "2027-06-20"))
    with pytest.raises(ValueError):
        sun(LocationInfo("", "", "UTC", 78.22, 15.65).observer, date=dt.date(2027, 6, 20))
    assert "the sun does not set today: it is up all day" in words(LightPage(desk).draw(80, 21))


def test_what_is_missing_is_said(desk: Desk) -> None:
    desk.edit(desk.plan, lambda plan: plan.set(("date",), ""))
    page = LightPage(desk)
    assert "wants a date: e opens the fields" in words(page.draw(80, 21))
    desk.edit(desk.plan, lambda plan: plan.set(("site", "position"), ""))
    assert "wants the site's position and a date" in words(page.draw(80, 21))
    page.do_place()
    assert "> date" in words(page.draw(80, 21))
    page.do_next_day()
    assert "no date yet" in page.message


def test_the_fields_of_date_and_place_take_the_arrows(desk: Desk) -> None:
    page = LightPage(desk)
    assert "later" in {command.id for command in page.live_commands()}
    page.do_place()
    assert "later" not in {command.id for command in page.live_commands()}
    page.draw(80, 21)
    page.do_step_up()
    assert desk.plan.value.date == dt.date(2027, 3, 15)
    assert words(page.draw(80, 21)).startswith("Mon 15 Mar 2027")


def test_now_moves_the_cursor_only_on_the_day_shown(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    page = LightPage(desk)
    monkeypatch.setattr(page, "read_clock", lambda: dt.datetime(2027, 3, 14, 15, 5, tzinfo=dt.UTC))
    page.do_now()
    assert "\n16:05  sun " in words(page.draw(80, 21))
    monkeypatch.setattr(page, "read_clock", lambda: dt.datetime(2027, 3, 14, 23, 5, tzinfo=dt.UTC))
    page.do_now()
    assert "2027-03-15 00:05" in page.message


def test_the_week_has_seven_days_as_a_general_library_has_them(desk: Desk) -> None:
    page = LightPage(desk)
    page.do_week()
    rows = re.findall(rf"(\d\d) Mar  ({CLOCK})    ({CLOCK})", words(page.draw(80, 21)))
    assert [int(day) for day, _, _ in rows] == list(range(14, 21))
    there = LocationInfo("", "", "Europe/Berlin", 53.43, 12.75)
    for day, rise, down in rows:
        wanted = sun(there.observer, date=dt.date(2027, 3, int(day)), tzinfo=there.tzinfo)  # astral
        assert abs(minutes(rise) - minutes(f"{wanted['sunrise']:%H:%M}")) <= 2
        assert abs(minutes(down) - minutes(f"{wanted['sunset']:%H:%M}")) <= 2


def test_shots_that_collide_are_told(desk: Desk) -> None:
    assert "in the middle of" not in words(LightPage(desk).draw(80, 21))
    desk.edit(desk.plan, lambda plan: plan.set(("shot", 0, "time"), "07:50"))
    text = words(LightPage(desk).draw(120, 30))
    assert "!07:50 must chapel against the dawn" in text and "07:40-08:30 nice mallards coming over" in text
    assert "! chapel against the dawn in the middle of mallards coming over, which lasts until 08:30" in text


def test_a_plan_without_shots_has_its_day_all_the_same(desk: Desk) -> None:
    for _ in range(len(desk.plan.value.shots)):
        desk.edit(desk.plan, lambda plan: plan.remove(("shot", 0)))
    assert "05:00 leave" in words(LightPage(desk).draw(80, 21))
    for key in ("leave", "arrive"):
        desk.edit(desk.plan, lambda plan, key=key: plan.set((key,), ""))
    text = words(LightPage(desk).draw(80, 21))
    assert "level ground" in text and "no shot has a time on this day" in text


def test_keys_of_the_page_are_taken_by_nothing_else(desk: Desk) -> None:
    page = LightPage(desk)
    assert clashes((*page.live_commands(), *EVERYWHERE)) == ["n"]  # "now" means the cursor here
    page.do_place()
    assert clashes((*page.live_commands(), *EVERYWHERE)) == []


def test_a_shot_of_the_moon_is_never_said_to_work_at_no_time(desk: Desk) -> None:
    # The hours of a disc follow from where it stands, not from the light of the day.
    desk.edit(desk.plan, lambda doc: doc.set(("shot", 0, "subject"), '{ sky = "moon" }'))
    page = LightPage(desk)
    shown = words(page.draw(80, 20))
    assert "at no time" not in shown
    assert "hours are those of the disc" in shown
