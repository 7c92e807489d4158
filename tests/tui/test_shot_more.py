"""The view "more" of the Shot page, by the pilot: close up, formats, converter, sweep; it scrolls and goes back."""

from __future__ import annotations

import pytest

from fieldplan.pictures.cells import text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk

from .conftest import NOON, lines, text


def at(desk: Desk, shot: str) -> FieldplanApp:
    desk.shot_at(shot)
    return FieldplanApp(desk, now=lambda: NOON)


@pytest.mark.parametrize("size", [(80, 24), (140, 40)])
async def test_a_close_up_in_full(desk: Desk, size: tuple[int, int]) -> None:
    app = at(desk, "bumblebee on crocus")
    async with app.run_test(size=size) as pilot:
        await pilot.press("2", "m")
        await pilot.pause()
        shown = text(app)
        assert "More on bumblebee on crocus" in shown and "1 full-frame body + 100 macro" in shown
        assert "this combination draws from infinity to 1:1" in shown and "stops lost to the scale" in shown
        # A body of 18 mm at 20 deg: 18 sin 20 = 6.2 mm of depth.
        assert "1.8 cm at 20 deg takes 6." in shown and "square up" in shown
        assert all(text_cells(line) <= size[0] for line in lines(app))
        for _ in range(12):
            await pilot.press("down")
        await pilot.pause()
        assert "same picture on crop body" in text(app) or "stops in favour of full-frame body" in text(app)
        await pilot.press("m")
        await pilot.pause()
        assert "More on" not in text(app)


async def test_converter_against_cropping_and_the_other_body(desk: Desk) -> None:
    app = at(desk, "heron at the reeds")
    async with app.run_test(size=(140, 40)) as pilot:
        await pilot.press("2", "m")
        await pilot.pause()
        shown = text(app)
        # A 1.4x costs one stop and lays 1.4 times the pixels [common practice]; 864 over 366.6 mm2 is 1.2 stops.
        assert "With 1.4x from the same place: 1.4" in shown and "1 stop of light lost" in shown
        assert "the same picture on full-frame body" in shown and "How much less noise? 1.2 stops" in shown


async def test_a_view_too_wide_is_swept_and_both_ends_are_held(desk: Desk) -> None:
    app = at(desk, "shore stones to the far bank")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "m")
        await pilot.pause()
        assert "both ends sharp" in text(app) and "holds 2 m-infinity" in text(app)
        assert "no lens is wide enough: a sweep" in text(app) and "2 frames for" in text(app)


async def test_the_next_answer_and_the_next_shot_are_told_of(desk: Desk) -> None:
    app = at(desk, "bumblebee on crocus")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "m", "j")
        await pilot.pause()
        assert lines(app)[2].startswith("2 ")
        await pilot.press("]")
        await pilot.pause()
        assert "rider on the dam road" in text(app)
        await pilot.press("escape")
        await pilot.pause()
        assert "More on" not in text(app)


async def test_no_answer_no_view(desk: Desk) -> None:
    app = at(desk, "heron at the reeds")
    desk.edit(desk.plan, lambda plan: plan.set(("shot", 1, "subject"), "no such animal"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "m")
        await pilot.pause()
        assert "More on" not in text(app) and "no answer" in text(app).lower()


async def test_a_page_key_moves_a_page(desk: Desk) -> None:
    app = at(desk, "heron at the reeds")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "m")
        await pilot.pause()
        before = text(app).splitlines()
        await pilot.press("pagedown")
        await pilot.pause()
        after = text(app).splitlines()
        # The last line of the page before is the first below the title and the picked answer.
        assert after[3].strip() == before[20].strip() != ""
        await pilot.press("pageup")
        await pilot.pause()
        assert text(app).splitlines()[3:20] == before[3:20]
