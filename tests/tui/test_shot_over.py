"""The views over the Shot page: at a glance, what if, how far, the log; what they show, keep and take back."""

from __future__ import annotations

import datetime as dt

import pytest

from fieldplan.pictures.cells import text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.commands import EVERYWHERE, FORM, clashes
from fieldplan.tui.desk import Desk
from fieldplan.tui.filters import RedOnly
from fieldplan.tui.pages.shotclock import ClockView
from fieldplan.tui.pages.shotglance import GlanceView
from fieldplan.tui.pages.shothowfar import HowFarView
from fieldplan.tui.pages.shottook import LogView
from fieldplan.tui.pages.shotwhatif import WhatIfView
from fieldplan.tui.skins import NIGHT, SKINS
from fieldplan.tui.terminal import level_of_terminal

from .conftest import check_golden, lines, text

SMALL, LEAST = (80, 24), (60, 18)
BEFORE = dt.datetime(2027, 3, 13, 12, 0, tzinfo=dt.UTC)  # the day before the plan's


@pytest.fixture
def early(desk: Desk) -> FieldplanApp:
    return FieldplanApp(desk, now=lambda: BEFORE)


@pytest.mark.parametrize(
    ("name", "size", "keys"),
    [
        ("glance_80x24", SMALL, ["g"]),
        ("glance_60x18", LEAST, ["g"]),
        ("glance_140x40", (140, 40), ["g"]),
        ("glance_open_80x24", SMALL, ["g", "enter", "2"]),
        ("what_if_80x24", SMALL, ["w", "c"]),
        ("what_if_60x18", LEAST, ["w", "up"]),
        ("how_far_80x24", SMALL, ["h", "enter", "6", "0", "enter"]),
        ("log_80x24", SMALL, ["l", "e"]),
    ],
)
async def test_golden(early: FieldplanApp, name: str, size: tuple[int, int], keys: list[str]) -> None:
    async with early.run_test(size=size) as pilot:
        await pilot.press(*keys)
        shown = lines(early)
        assert len(shown) == size[1] and all(text_cells(line) <= size[0] for line in shown)
        check_golden(name, "\n".join(shown))


@pytest.mark.parametrize("view", [GlanceView, WhatIfView, HowFarView, LogView, ClockView])
def test_no_key_of_a_view_means_two_things_and_none_is_a_chord(view: type[GlanceView]) -> None:
    for commands in (view.commands, getattr(view, "asked_commands", ())):
        live = (*commands, *(FORM if view.with_form else ()), *EVERYWHERE)
        assert clashes(live) == []
        shown = [command.shown or command.keys[0] for command in commands]
        assert not any("+" in key and len(key) > 1 for key in shown)  # the first key of each is a single one
        assert not any(len(key) == 1 and key.isupper() for key in shown)


@pytest.mark.parametrize("view", [GlanceView, WhatIfView, HowFarView, LogView, ClockView])
def test_every_command_of_a_view_is_done_by_somebody_and_told(early: FieldplanApp, view: type[GlanceView]) -> None:
    for command in (*view.commands, *getattr(view, "asked_commands", ())):
        assert any(hasattr(holder, f"do_{command.id}") for holder in (view, early.pages[2], early)), command.id
        assert command.help


async def test_every_size_is_filled_and_nothing_is_wider(early: FieldplanApp) -> None:
    async with early.run_test(size=SMALL) as pilot:
        for key in ("g", "w", "h", "z"):
            await pilot.press(key)
            for size in ((140, 40), LEAST, (40, 12), (24, 6), SMALL):
                await pilot.resize_terminal(*size)
                await pilot.pause()
                assert all(text_cells(line) <= size[0] for line in lines(early)), (key, size)
            await pilot.press("escape")


async def test_at_night_the_large_figures_are_dim_red(desk: Desk) -> None:
    """No green, no blue; and dimmer than the night's own text, for the lit area is large."""
    app = FieldplanApp(desk, skin="night", now=lambda: BEFORE)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g")
        assert isinstance(app.get_line_filters()[0], RedOnly)
        seen = set()
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                for colour in (segment.style and segment.style.color, segment.style and segment.style.bgcolor):
                    if colour is not None and not colour.is_default:
                        rgb = colour.get_truecolor()
                        assert rgb.green == rgb.blue == 0
                        if "█" in segment.text and colour is segment.style.color:
                            seen.add(rgb.red)
        assert seen == {NIGHT.look("figure").ink[0]} and max(seen) < NIGHT.look("").ink[0]


async def test_without_colours_the_figures_stand_too(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = FieldplanApp(desk, now=lambda: BEFORE)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g")
        assert "██████  ██████" in text(app)


@pytest.mark.parametrize("skin", list(SKINS))
async def test_every_theme_shows_the_same_glance(desk: Desk, skin: str) -> None:
    app = FieldplanApp(desk, skin=skin, now=lambda: BEFORE)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g")
        assert "works: nothing in the way" in text(app) and "██████" in text(app)


@pytest.mark.parametrize(
    ("env", "level"),
    [
        ({}, "block"), ({"LANG": "en_GB.UTF-8"}, "block"), ({"LANG": "C.utf8"}, "block"),
        ({"LANG": "en_GB.UTF-8", "LC_ALL": "POSIX"}, "ascii"), ({"LANG": "de_DE.ISO-8859-1"}, "ascii"),
        ({"LC_CTYPE": "C", "LANG": "en_GB.UTF-8"}, "ascii"), ({"LC_ALL": "", "LANG": "en_GB.UTF-8"}, "block"),
    ],
)  # fmt: skip
def test_the_locale_says_whether_there_are_blocks(env: dict[str, str], level: str) -> None:
    """Precedence of LC_ALL, LC_CTYPE, LANG: POSIX.1-2017, XBD 8.2; an empty one counts as not set."""
    assert level_of_terminal(env) == level


async def test_plain_characters_where_there_are_no_blocks(early: FieldplanApp) -> None:
    early.pages[2].level = "ascii"  # type: ignore[attr-defined]
    async with early.run_test(size=SMALL) as pilot:
        await pilot.press("g")
        figures = "\n".join(lines(early)[2:18])
        assert "######" in figures and figures.isascii()


async def test_what_if_is_kept_with_one_key_and_undone_with_one(early: FieldplanApp, desk: Desk) -> None:
    before = desk.plan.value
    async with early.run_test(size=SMALL) as pilot:
        await pilot.press("w", "c")
        assert "* 16.7-20.7 m" in text(early) and "25-31 m" in text(early)
        assert desk.plan.value is before  # looked at, not yet kept
        await pilot.press("w")
        assert "* 16.7-20.7 m" not in text(early)
        await pilot.press("c", "enter")
        assert desk.shot is not None and desk.shot.distance is not None and desk.shot.distance.typed == "16.7-20.7 m"
        assert "body + lens" in text(early) and "keep it" not in text(early)
        await pilot.press("u")
        assert desk.plan.value == before


async def test_what_if_starts_from_the_picked_answer_and_the_kept_one_is_picked(
    early: FieldplanApp, desk: Desk
) -> None:
    async with early.run_test(size=SMALL) as pilot:
        await pilot.press("j", "w", "r")
        page = early.pages[2]
        picked = page.answer  # type: ignore[attr-defined]
        assert picked.hold == "upright"
        await pilot.press("enter")
        assert desk.shot is not None and desk.shot.hold == "level"
        now = page.answer  # type: ignore[attr-defined]
        assert (now.label, now.hold) == (picked.label, "level")


async def test_how_far_puts_a_range_with_its_error_into_the_shot(early: FieldplanApp, desk: Desk) -> None:
    """A heron of 84-100 cm that takes 60 % of 15.6 mm at 303 mm, 10 % either way by eye: f (2 + m + 1/m).

    This lens is up to a tenth shorter so close, and the text is rounded outward to two figures.
    """
    async with early.run_test(size=SMALL) as pilot:
        await pilot.press("h", "enter", "6", "0", "enter", "space")
        assert desk.shot is not None and desk.shot.distance is not None
        low, high = desk.shot.distance.low, desk.shot.distance.high

        def thin(size_m: float, share: float) -> float:
            m = share * 0.0156 / size_m
            return 0.303 * (2 + m + 1 / m)

        assert thin(0.84, 0.66) * 0.87 < low < thin(0.84, 0.66)
        assert thin(1.0, 0.54) * 0.9 < high < thin(1.0, 0.54) * 1.03
        await pilot.press("u")
        assert desk.shot is not None and desk.shot.distance is not None and desk.shot.distance.typed == "25-31 m"


async def test_ones_own_step_goes_into_the_profile(early: FieldplanApp, desk: Desk) -> None:
    """64 steps over 50 m are 0.78 m each."""
    async with early.run_test(size=SMALL) as pilot:
        page = early.pages[2]
        await pilot.press("h")
        page.form.select_key("steps")  # type: ignore[union-attr]
        await pilot.press("enter", "6", "4", "enter", "right", "enter", "5", "0", "enter", "s")
        assert desk.gear.value.photographer.pace == pytest.approx(50 / 64, abs=0.006)
        await pilot.press("u")
        assert desk.gear.value.photographer.pace is None


async def test_what_was_seen_of_one_shot_is_not_taken_for_another(early: FieldplanApp) -> None:
    async with early.run_test(size=SMALL) as pilot:
        await pilot.press("h", "enter", "6", "0", "enter")
        assert "Space writes it" in text(early)
        early.desk.go(1)
        await pilot.press("right")
        assert "Space writes it" not in text(early) and "mallard" in text(early)


async def test_took_it_logs_the_answer_and_the_time_and_undo_takes_it_back(desk: Desk) -> None:
    moment = dt.datetime(2027, 3, 14, 6, 24, 31, tzinfo=dt.UTC)
    app = FieldplanApp(desk, now=lambda: moment)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("l")
        assert "logged heron at the reeds 07:24" in text(app) and "u takes it back" in text(app)
        entry = desk.plan.value.taken[-1]
        assert (entry.shot, entry.time, entry.date) == ("heron at the reeds", dt.time(7, 24, 31), dt.date(2027, 3, 14))
        answer = app.pages[2].answer  # type: ignore[attr-defined]
        assert (entry.body, entry.lens) == (answer.body, answer.lens)
        assert entry.f_number == pytest.approx(answer.f_number, rel=0.02)
        assert entry.shutter == pytest.approx(answer.shutter_s, rel=0.06)
        await pilot.press("u")
        assert desk.plan.value.taken == ()


async def test_the_log_is_put_right_in_a_form(desk: Desk) -> None:
    app = FieldplanApp(desk, now=lambda: BEFORE)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("e")
        assert "nothing logged" in text(app)
        await pilot.press("l", "l", "e", "enter", "3", "1", "enter")
        assert [float(entry.distance or 0) for entry in desk.plan.value.taken] == [28.0, 31.0]
        await pilot.press("left_square_bracket", "enter", "2", "2", "enter")
        assert [float(entry.distance or 0) for entry in desk.plan.value.taken] == [22.0, 31.0]
        await pilot.press("d", "d")
        assert desk.plan.value.taken == () and "body + lens" in text(app)


async def test_from_the_glance_what_stands_there_is_logged(desk: Desk) -> None:
    """By the light now the ISO is another than that of the plan; the log has the one that was shown."""
    dusk = dt.datetime(2027, 3, 14, 17, 15, tzinfo=dt.UTC)
    app = FieldplanApp(desk, now=lambda: dusk)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("l", "g", "b", "l")
        planned, shown = desk.plan.value.taken
        assert planned.iso is not None and shown.iso is not None and shown.iso > 2 * planned.iso


async def test_a_shot_without_an_answer_has_views_that_say_so(desk: Desk) -> None:
    desk.edit(desk.plan, lambda plan: plan.insert(("shot",), 0, {"name": "[/b] bare"}))
    desk.shot_index = 0
    app = FieldplanApp(desk, now=lambda: BEFORE)
    async with app.run_test(size=SMALL) as pilot:
        for key in ("w", "l"):
            await pilot.press(key)
            assert "no answer to this shot yet" in text(app)
        await pilot.press("g")
        assert "No answer yet" in text(app) and "[/b] bare" in text(app)
        await pilot.press("enter", "2", "0", "enter", "escape", "h", "escape")
        assert "body + lens" in text(app)


async def test_a_plan_without_shots_opens_no_view(desk: Desk) -> None:
    while desk.plan.value.shots:
        desk.edit(desk.plan, lambda plan: plan.remove(("shot", 0)))
    app = FieldplanApp(desk, now=lambda: BEFORE)
    async with app.run_test(size=SMALL) as pilot:
        for key in "gwhlez":
            await pilot.press(key)
            assert "a adds one" in text(app)
        await pilot.press("a")
        assert len(desk.plan.value.shots) == 1
