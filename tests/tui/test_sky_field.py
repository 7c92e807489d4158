"""The Moon & sun page in the field: what is typed, what one look corrects, what if a hit fails, and its screens."""

from __future__ import annotations

import pytest
from geographiclib.geodesic import Geodesic

from fieldplan.files.skytexts import sky_file
from fieldplan.notation.position import read_position
from fieldplan.pictures.cells import text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.sky import SkyPage

from .conftest import check_golden, lines
from .test_sky_page import HIT, found, shown


@pytest.fixture
def desk(untouched: Desk) -> Desk:
    return untouched


@pytest.fixture
def page(desk: Desk) -> SkyPage:
    return SkyPage(desk)


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
    assert typed(page, f"1.2 left, 0.3 above at {clock}") == ""
    text = shown(page)
    assert f"a look {first} corrects: " in text
    assert found(HIT, text)[1][:10] == first[:10], "the same evening stays in hand"
    minutes = int(found(HIT, text)[1][14:16]) - int(first[14:16])
    for _ in range(abs(minutes)):
        (page.do_earlier if minutes > 0 else page.do_later)()
    # The same minute, up to a minute of seconds: 0.24 deg, or half a disc.
    told = found(r"by the look\s+([\d.]+)\s+discs\s+(left|right),\s+([\d.]+)\s+(above|below)", shown(page))
    assert float(told[1]) == pytest.approx(1.2, abs=0.6) and told[2] == "left"
    page.do_viewpoint()
    assert "corrects" not in shown(page), "it holds for that line of sight only"
    page.search.viewpoint_index -= 1
    assert "S forgets it; card and fieldplan lineup reckon without it" in " ".join(shown(page).split())
    page.do_look()
    assert page.form is not None
    page.form.type_key("ctrl+u", None)
    assert typed(page, "") == "" and "corrects" not in shown(page) and found(HIT, shown(page))[1] == first


def test_a_look_beyond_the_error_is_asked_for_again_and_can_be_kept_and_forgotten(desk: Desk, page: SkyPage) -> None:
    first = found(HIT, shown(page))[1]
    error = float(found(r"error ([\d.]+) deg", shown(page))[1])
    page.do_look()
    text = f"4 left at {first[11:16]}"
    doubt = typed(page, text)
    told = found(r"([\d.]+) deg off the reckoning, whose standard error is ([\d.]+) deg", doubt)
    assert float(told[1]) > 2.0 * error and float(told[2]) == pytest.approx(error, abs=0.006) and page.typing
    assert page.search.look is None, "nothing is corrected before it is told again"
    assert page.form is not None
    page.form.type_key("enter", None)
    assert not page.typing and "DOUBTFUL" in shown(page)
    page.do_shot()
    assert "added to the plan" in page.message and "reckons without it" in (desk.plan.value.shots[-1].note or "")
    desk.undo()
    again = SkyPage(desk)
    assert "DOUBTFUL" in shown(again), "and after a restart it is still said"
    again.do_forget()
    assert "corrects" not in shown(again) and "corrects" not in shown(SkyPage(desk))


def test_a_spot_that_was_found_with_a_look_keeps_it(desk: Desk, page: SkyPage) -> None:
    first = found(HIT, shown(page))[1]
    page.do_look()
    assert typed(page, f"0.4 left at {first[11:16]}") == ""
    shown(page)
    page.do_fails()
    spot = next(n for n, one in enumerate(page.search.choices()) if one.sight.viewpoint == "a new spot")
    page.search.fallback_index = spot
    page.do_take()
    for one in (page, SkyPage(desk)):
        one.search.viewpoint_index = 2
        assert one.search.sight().viewpoint.startswith("moon with chapel")
        assert "a look" in shown(one) and "corrects" in shown(one), "also after a restart"
    page.do_viewpoint()
    page.do_viewpoint()
    assert "corrects" not in shown(page), "east dam has errors of its own"


def test_what_a_look_moves_under_the_horizon_is_no_hit_and_no_shot(desk: Desk, page: SkyPage) -> None:
    from fieldplan.planner.sightings import Corrected
    from fieldplan.sky.aims import Correction

    sight = page.search.sight()
    page.search.look = Corrected(sight.landmark, sight.viewpoint, "moon", 0.0, Correction(0.0, 3.0), 0.2)
    shown(page)
    for up in page.search.hits(sight):
        assert up.hit.apparent_altitude_deg + up.hit.disc_deg / 2.0 > -0.4, "the sea's horizon from 64 m: -0.25 deg"
    page.search.look = None
    shown(page)
    page.search.late_s = -7200.0
    count = len(desk.plan.value.shots)
    page.do_shot()
    assert "below the horizon" in page.message and len(desk.plan.value.shots) == count


def test_viewpoint_and_filters_are_there_again_after_a_restart_and_the_phones_position_is_not(
    desk: Desk, page: SkyPage
) -> None:
    shown(page)
    page.do_viewpoint()
    page.do_lit()
    page.do_light()
    page.do_more()
    page.do_here()
    assert typed(page, "53.4301, 12.7510") == ""
    again = SkyPage(desk)
    text = shown(again)
    assert found(r"from .+", text)[0] == found(r"from .+", shown(page))[0]
    assert "% lit or more" in text and "24 months" in text and "as typed" not in text
    assert again.search.light_index == page.search.light_index == 1


def test_what_was_typed_is_there_again_after_a_restart(desk: Desk, page: SkyPage) -> None:
    first = found(HIT, shown(page))[1]
    for key, text in (("hours", "16-22"), ("look", f"1 left at {first[11:]}")):
        getattr(page, f"do_{key}")()
        assert typed(page, text) == ""
    before = shown(page)
    again = SkyPage(desk)
    assert shown(again) == before and "corrects" in before
    again.do_look()
    assert f"1 left at {first[11:]}" in shown(again), "and its text can be changed"
    sky_file().write_text('{"plan": 3, "\\u0000": {}}', encoding="utf-8")
    assert "corrects" not in shown(SkyPage(desk))
    sky_file().write_text("[1, 2", encoding="utf-8")
    assert found(HIT, shown(SkyPage(desk)))[1] == first


def test_if_it_fails_there_is_a_ranked_list_and_one_key_takes_it(desk: Desk, page: SkyPage) -> None:
    first = found(HIT, shown(page))[1]
    page.do_fails()
    text = shown(page)
    assert "If it is clouded" in text and "the next day" in text
    page.do_next_hit()
    assert found(r"Enter.*\n  when .*\n(?:  .*\n)+> (.*)", shown(page)), "j marks the second"
    page.do_previous_hit()
    chosen = found(r"takes.*\n  when +discs sun deg why.*\n> \w{3} (\d{4}-\d\d-\d\d \d\d:\d\d)", shown(page))[1]
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
        assert app.number == 4 and "> disc widths off" in "\n".join(lines(app))
        await pilot.press("escape")
        assert "> disc widths off" not in "\n".join(lines(app))


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
