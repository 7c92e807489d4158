"""The Moon & sun page, drawn and driven without a terminal, and once through the whole screen."""

from __future__ import annotations

import datetime as dt
import math
import re
import time
from pathlib import Path
from zoneinfo import ZoneInfo

import ephem
import pytest
from geographiclib.geodesic import Geodesic

from fieldplan.notation.position import read_position
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.sky import SkyPage

from .conftest import check_golden, lines

ROOT = Path(__file__).resolve().parents[2]
BERLIN = ZoneInfo("Europe/Berlin")
CHAPEL, HIDE = (53.4296, 12.7711), (53.43, 12.75)
HIT = r"> \w{3} (\d{4}-\d\d-\d\d \d\d:\d\d) +([\d.]+) +(\d+|\d\.\d)?%? +([+-][\d.]+)"


@pytest.fixture
def desk(untouched: Desk) -> Desk:
    return untouched


@pytest.fixture
def page(desk: Desk) -> SkyPage:
    return SkyPage(desk)


def words(rows: tuple[Row, ...]) -> str:
    return "\n".join("".join(text for text, _ in row) for row in rows)


def shown(page: SkyPage) -> str:
    return words(page.draw(80, 20))


def found(pattern: str, text: str) -> re.Match[str]:
    match = re.search(pattern, text)
    assert match is not None, f"{pattern} is not in\n{text}"
    return match


def reference(body: str, when: dt.datetime) -> tuple[float, float, float]:
    """Azimuth, apparent altitude, diameter [deg] by PyEphem (from XEphem), lifted by Saemundsson's refraction."""
    there = ephem.Observer()
    there.lat, there.lon, there.elevation, there.pressure = str(HIDE[0]), str(HIDE[1]), 63.6, 0
    there.date = ephem.Date(when.astimezone(dt.UTC).replace(tzinfo=None))
    disc = ephem.Moon(there) if body == "moon" else ephem.Sun(there)
    altitude = math.degrees(disc.alt)
    lift = 1.02 / 60 / math.tan(math.radians(altitude + 10.3 / (altitude + 5.11)))  # Meeus 16.4
    return math.degrees(disc.az), altitude + lift, 2.0 * math.degrees(disc.radius)


@pytest.mark.parametrize("size", [(80, 20), (60, 13), (40, 8), (120, 26), (140, 36), (200, 60)])
@pytest.mark.parametrize("body", ["moon", "sun"])
def test_every_size_is_filled_and_nothing_is_wider(page: SkyPage, size: tuple[int, int], body: str) -> None:
    if body == "sun":
        page.do_body()
    rows = page.draw(*size)
    assert len(rows) == size[1]
    assert all(sum(text_cells(text) for text, _ in row) <= size[0] for row in rows)


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_a_hit_is_where_a_reference_sees_the_disc(page: SkyPage, body: str) -> None:
    if body == "sun":
        page.do_body()
    for _ in range(5):
        text = shown(page)
        day = found(HIT, text)[1][:10]
        clock = found(r"best (\d\d:\d\d:\d\d)", text)[1]
        when = dt.datetime.fromisoformat(f"{day} {clock}").replace(tzinfo=BERLIN)
        azimuth, altitude, wide = reference(body, when)
        told = found(rf"{body} ([\d.]+) deg, ([\d.-]+) high, ([\d.]+) wide", text)
        assert float(told[1]) == pytest.approx(azimuth, abs=0.08)
        assert float(told[2]) == pytest.approx(altitude, abs=0.04)
        assert float(told[3]) == pytest.approx(wide, abs=0.006)
        page.do_next_hit()


def test_the_line_of_sight_stands_above_with_its_magnetic_bearing(page: SkyPage) -> None:
    # geographiclib for bearing and distance; magnetic = true less an eastern variation of 4.5 degrees.
    line = Geodesic.WGS84.Inverse(*HIDE, *CHAPEL)
    true = line["azi1"] % 360
    assert f"bearing {true:03.0f} (magnetic {true - 4.5:03.0f}), {line['s12']:.0f} m off" in shown(page)


def test_the_arrows_step_the_time_and_the_disc_moves(page: SkyPage) -> None:
    first = found(r"\n(\d\d:\d\d) moon ([\d.]+) deg", shown(page))
    for _ in range(4):
        page.do_later()
    later = found(r"\n(\d\d:\d\d) moon ([\d.]+) deg", shown(page))
    minutes = [int(m[1][:2]) * 60 + int(m[1][3:]) for m in (first, later)]
    # The sky turns by 15 degrees an hour; at 53 degrees north a low moon goes about 0.8 of that along the horizon.
    assert minutes[1] - minutes[0] == 4 and 0.6 < float(later[2]) - float(first[2]) < 1.0
    page.do_earlier()
    page.do_best()
    assert found(r"\n(\d\d:\d\d) moon", shown(page))[1] == first[1]


def test_the_spot_lies_on_the_line_from_the_landmark_away_from_the_disc(page: SkyPage) -> None:
    text = shown(page)
    spot = read_position(found(r"spot +(-?[\d.]+, -?[\d.]+): walk", text)[1])
    told = found(r": walk (\d+) m towards (\d{3}); (\d+) m off", text)
    azimuth = float(found(r"moon ([\d.]+) deg", text)[1])
    # Karney's geodesic: how far and whither from the hide, and from the spot to the chapel.
    walk = Geodesic.WGS84.Inverse(*HIDE, spot.latitude_deg, spot.longitude_deg)
    facing = Geodesic.WGS84.Inverse(spot.latitude_deg, spot.longitude_deg, *CHAPEL)
    assert float(told[1]) == pytest.approx(walk["s12"], abs=1.5)
    assert float(told[2]) == pytest.approx(walk["azi1"] % 360, abs=1.0)
    assert float(told[3]) == pytest.approx(facing["s12"], abs=1.5)
    assert facing["azi1"] % 360 == pytest.approx(azimuth, abs=0.15)


def test_the_sun_is_never_shown_without_its_caution_first(page: SkyPage) -> None:
    page.do_body()
    for _ in range(3):
        assert shown(page).startswith("Sun: never through an optical finder")
        page.do_next_hit()
    for _ in range(9):
        page.do_light()
        assert shown(page).startswith("Sun: never through an optical finder")


def test_choices_narrow_the_list_and_say_so(page: SkyPage) -> None:
    def counts() -> tuple[int, int]:
        match = found(r"(\d+) of (\d+) hits", shown(page))
        return int(match[1]), int(match[2])

    left, all_hits = counts()
    assert left == all_hits > 5
    page.do_lit()
    assert 0 < counts()[0] < all_hits and "50 % lit or more" in shown(page)
    page.do_more()
    assert counts()[1] > 1.5 * all_hits and "24 months" in shown(page)
    page.do_wider()
    assert counts()[1] > 3 * all_hits and "within 3 deg" in shown(page)
    page.do_order()
    misses = []
    for _ in range(6):
        misses.append(float(found(HIT, shown(page))[2]))
        page.do_next_hit()
    assert misses == sorted(misses)


def test_placing_and_viewpoint_change_the_search(page: SkyPage) -> None:
    first = shown(page)
    page.do_placing()
    assert "resting on top with chapel" in shown(page) and found(HIT, shown(page))[0] != found(HIT, first)[0]
    page.do_viewpoint()
    text = shown(page)
    assert "from east dam" in text and "footpath, open to all" in words(page.draw(80, 24))


@pytest.mark.parametrize(
    ("path", "said"),
    [(("site", "landmark", 0), "[[site.landmark]]"), (("date",), "give the plan a date")],
)
def test_what_the_plan_lacks_is_said(desk: Desk, page: SkyPage, path: tuple[str | int, ...], said: str) -> None:
    if path == ("site", "landmark", 0):
        assert desk.edit(desk.plan, lambda plan: plan.remove(("shot", 0))) == ""
    assert desk.edit(desk.plan, lambda plan: plan.remove(path)) == ""
    assert said in " ".join(shown(page).split())
    for command in page.commands:
        getattr(page, f"do_{command.id}")()
    assert said in " ".join(shown(page).split())


def test_a_landmark_without_height_says_what_to_write(desk: Desk, page: SkyPage) -> None:
    assert desk.edit(desk.plan, lambda plan: plan.set(("site", "landmark", 0, "height"), "")) == ""
    assert 'has no height; write for example height = "31 m"' in " ".join(shown(page).split())


def test_a_bearing_that_is_never_reached_gives_the_reason(desk: Desk, page: SkyPage) -> None:
    # Due north at 53 degrees: the declination needed, some 37 degrees, is beyond the moon's 28.7 (Meeus, ch. 55).
    assert desk.edit(desk.plan, lambda plan: plan.set(("site", "landmark", 0, "position"), "53.4426, 12.75")) == ""
    assert "The moon never stands there" in " ".join(shown(page).split())


def test_a_hit_becomes_a_shot_and_a_spot_becomes_a_viewpoint(desk: Desk, page: SkyPage) -> None:
    text = shown(page)
    page.do_shot()
    page.do_spot()
    shot, view = desk.plan.value.shots[-1], desk.plan.value.site
    assert shot.date is not None and shot.time is not None and view is not None
    assert f"{shot.date} {shot.time:%H:%M}" == found(HIT, text)[1]
    assert getattr(shot.subject, "behind", None) == "chapel"
    kept = view.viewpoints[-1].position
    told = read_position(found(r"spot +(-?[\d.]+, -?[\d.]+): walk", text)[1])
    assert (kept.latitude_deg, kept.longitude_deg) == (told.latitude_deg, told.longitude_deg)
    page.do_shot()
    assert desk.plan.value.shots[-1].name.endswith(" 2"), "names stay different"
    assert found(HIT, shown(page))[1] == found(HIT, text)[1], "the hit in hand stays"
    desk.undo()
    desk.undo()
    desk.undo()
    assert desk.plan.value.shots[-1].name == "shore stones to the far bank"


def test_a_redraw_is_quick(page: SkyPage) -> None:
    shown(page)
    begun = time.perf_counter()
    for _ in range(10):
        page.do_later()
        shown(page)
    assert (time.perf_counter() - begun) / 10 < 0.1


async def test_it_is_page_four_of_the_screen(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("4")
        screen = lines(app)
        assert "[4 Moon & sun]" in screen[0] and "chapel" in screen[1]
        first = found(HIT, "\n".join(screen))[1]
        await pilot.press("j")
        assert found(HIT, "\n".join(lines(app)))[1] != first
        await pilot.press("b")
        assert lines(app)[1].startswith("Sun: never through an optical finder")
        assert all(text_cells(line) <= 80 for line in lines(app))


def typed(page: SkyPage, text: str) -> str:
    """Type into the open field and keep it; the problem, if it stays open."""
    for character in text:
        assert page.form is not None
        page.form.type_key(character, character)
    assert page.form is not None
    page.form.type_key("enter", None)
    return page.form.trouble()


def test_hours_and_weekdays_are_typed(page: SkyPage) -> None:
    every = found(r"of (\d+) hits", shown(page))[1]
    page.do_hours()
    assert page.typing and "> hours" in shown(page) and "16:00-22:00" in shown(page)
    assert typed(page, "16-22") == ""
    left = found(r"(\d+) of (\d+) hits", shown(page))
    assert int(left[1]) < int(every) == int(left[2]) and "16:00-22:00" in shown(page)
    for _ in range(int(left[1])):
        assert 16 <= int(found(HIT, shown(page))[1][11:13]) < 22
        page.do_next_hit()
    page.do_hours()
    assert typed(page, "tea time") and page.typing, "what cannot be read stays open"
    assert page.form is not None
    page.form.type_key("escape", None)
    assert "16:00-22:00" in shown(page)
    page.do_weekdays()
    assert typed(page, "Sat, Sun") == ""
    assert "Sat Sun" in shown(page) and found(r"> (\w{3})", shown(page))[1] in ("Sat", "Sun")


def test_where_the_phone_says_one_stands_changes_the_walk_only(page: SkyPage) -> None:
    before = found(r"spot +(-?[\d.]+, -?[\d.]+): walk", shown(page))[1]
    page.do_here()
    assert typed(page, "N 53 25.806 E 12 45.060") == ""
    text = shown(page)
    assert found(r"spot +(-?[\d.]+, -?[\d.]+): walk", text)[1] == before
    spot = read_position(before)
    walk = Geodesic.WGS84.Inverse(53.4301, 12.751, spot.latitude_deg, spot.longitude_deg)  # Karney's geodesic
    told = found(r": walk (\d+) m towards (\d{3})", text)
    assert float(told[1]) == pytest.approx(walk["s12"], abs=1.5)
    assert float(told[2]) == pytest.approx(walk["azi1"] % 360, abs=1.0)
    assert "walks from 53.43010, 12.75100 as typed" in text
    page.do_here()
    assert "km from chapel" in typed(page, "12.751, 53.4301")


def test_one_look_corrects_the_rest_and_says_so(page: SkyPage) -> None:
    first = found(HIT, shown(page))[1]
    page.do_look()
    clock = f"{first[11:13]}:{first[14:16]}"
    assert typed(page, f"1.5 left, 0.3 above at {clock}") == ""
    text = shown(page)
    assert f"corrected by one look at {clock}: " in text
    assert found(HIT, text)[1][:10] == first[:10], "the same evening stays in hand"
    minutes = int(found(HIT, text)[1][14:16]) - int(first[14:16])
    for _ in range(abs(minutes)):
        (page.do_earlier if minutes > 0 else page.do_later)()
    # The same minute, up to a minute of seconds: 0.24 deg, or half a disc.
    told = found(r"([\d.]+) discs (left|right), ([\d.]+) (above|below)", shown(page))
    assert float(told[1]) == pytest.approx(1.5, abs=0.6) and told[2] == "left"
    page.do_viewpoint()
    assert "corrected" not in shown(page), "it holds for that line of sight only"
    page.search.viewpoint_index -= 1
    page.do_look()
    assert page.form is not None
    page.form.type_key("ctrl+u", None)
    assert typed(page, "") == "" and "corrected" not in shown(page) and found(HIT, shown(page))[1] == first


def test_if_it_fails_there_is_a_ranked_list_and_one_key_takes_it(desk: Desk, page: SkyPage) -> None:
    first = found(HIT, shown(page))[1]
    page.do_fails()
    text = shown(page)
    assert "If it is clouded" in text and "the next day" in text
    page.do_next_hit()
    assert found(r"Enter.*\n(?:  .*\n)+> (.*)", shown(page)), "j marks the second"
    page.do_previous_hit()
    chosen = found(r"takes.*\n> \w{3} (\d{4}-\d\d-\d\d \d\d:\d\d)", shown(page))[1]
    page.do_take()
    text = shown(page)
    assert found(HIT, text)[1][:13] == chosen[:13] > first and "If it is" not in text
    site = desk.plan.value.site
    assert site is not None and f"from {site.viewpoints[-1].name}" in text, "the new spot is a viewpoint now"
    assert float(found(HIT, text)[2]) < 0.1
    desk.undo()
    for why in ("missed", "place is taken", ""):
        page.do_fails()
        page.do_fails() if why == "missed" else None
        assert not why or why in shown(page)


def test_a_search_that_is_stopped_keeps_what_it_found(page: SkyPage) -> None:
    shown(page)
    page.do_all_years()
    sight = page.search.sight()
    page.search.searched(sight, 2)
    assert page.search.unfinished
    page.do_stop()
    assert "36 months" in shown(page) and not page.search.unfinished and "stopped after 36 months" in page.message


async def test_ten_years_are_searched_a_year_at_a_time_on_the_screen(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("4", "M")
        for _ in range(100):
            await pilot.pause(0.02)
            if "120 months" in "\n".join(lines(app)):
                break
        assert "120 months" in "\n".join(lines(app)) and "searching" not in "\n".join(lines(app))


async def test_letters_typed_into_a_field_are_no_commands(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("4", "s", *"2 left 1704")
        assert app.number == 4 and "> the disc stood" in "\n".join(lines(app))
        await pilot.press("escape")
        assert "> the disc stood" not in "\n".join(lines(app))


@pytest.mark.parametrize(
    ("name", "size", "keys"),
    [
        ("sky_80x24", (80, 24), []),
        ("sky_later_80x24", (80, 24), ["j", "j", "right", "right", "right"]),
        ("sky_sun_80x24", (80, 24), ["b"]),
        ("sky_fails_80x24", (80, 24), ["z"]),
        ("sky_typing_80x24", (80, 24), ["s"]),
        ("sky_140x40", (140, 40), []),
        ("sky_fails_140x40", (140, 40), ["z", "z"]),
    ],
)
async def test_golden(app: FieldplanApp, name: str, size: tuple[int, int], keys: list[str]) -> None:
    async with app.run_test(size=size) as pilot:
        await pilot.press("4", *keys)
        shown_lines = lines(app)
        assert len(shown_lines) == size[1] and all(text_cells(line) <= size[0] for line in shown_lines)
        check_golden(name, "\n".join(shown_lines))
