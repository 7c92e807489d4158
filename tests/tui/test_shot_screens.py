"""The Shot page as a person sees it, in plain text."""

from __future__ import annotations

import pytest

from fieldplan.pictures.cells import text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.facts import facts

from .conftest import check_golden, lines, text

SMALL, WIDE = (80, 24), (140, 40)


@pytest.mark.parametrize(
    ("name", "size", "keys"),
    [
        ("shot_80x24", SMALL, []),
        ("shot_open_80x24", SMALL, ["right", "right", "enter"]),
        ("shot_full_80x24", SMALL, ["space"]),
        ("shot_depth_80x24", SMALL, ["f"]),
        ("shot_second_80x24", SMALL, ["right_square_bracket", "right_square_bracket", "j"]),
        ("plan_form_80x24", SMALL, ["p"]),
        ("shot_140x40", WIDE, []),
        ("shot_full_140x40", WIDE, ["space"]),
    ],
)
async def test_golden(app: FieldplanApp, name: str, size: tuple[int, int], keys: list[str]) -> None:
    async with app.run_test(size=size) as pilot:
        await pilot.press(*keys)
        shown = lines(app)
        assert len(shown) == size[1] and all(text_cells(line) <= size[0] for line in shown)
        check_golden(name, "\n".join(shown))


@pytest.mark.parametrize("size", [SMALL, (100, 30), WIDE])
async def test_no_answer_of_the_demo_is_cut_off(desk: Desk, size: tuple[int, int]) -> None:
    desk.shot_index = 0
    app = FieldplanApp(desk)
    async with app.run_test(size=size) as pilot:
        for shot in desk.plan.value.shots:
            shown = lines(app)
            head = next(y for y, line in enumerate(shown) if "body + lens" in line and "held" in line)
            found = desk.answers()
            assert found is not None
            answers = shown[head + 1 : head + 1 + min(5, len(found.rigs))]
            assert all(line[:1] == str(place) for place, line in enumerate(answers, 1)), shot.name
            assert not any("…" in line for line in answers), shot.name
            assert any(line.startswith("1 first:") for line in shown), shot.name
            assert not any("…" in line for line in shown[-2:]), "the keys"
            await pilot.press("right_square_bracket")


async def test_the_figures_on_screen_are_those_of_the_planner(app: FieldplanApp) -> None:
    found = app.desk.answers()
    assert found is not None and found.best is not None and found.best.iso is not None
    async with app.run_test(size=SMALL):
        row = next(line for line in lines(app) if line.startswith("1 >"))
        # The trade's own mark of a time or an ISO is within a twelfth of a stop of the exact third (ISO 2720 rounding).
        time, iso = row.split()[-4], row.split()[-3]
        assert float(iso) == pytest.approx(found.best.iso, rel=0.06)
        assert 1 / float(time.removeprefix("1/")) == pytest.approx(found.best.shutter_s, rel=0.06)


async def test_resizing_keeps_everything_in_its_place(app: FieldplanApp) -> None:
    async with app.run_test(size=SMALL) as pilot:
        before = lines(app)
        await pilot.resize_terminal(*WIDE)
        await pilot.pause()
        assert "weight" in text(app) and len(lines(app)) == 40
        for size in ((60, 18), (40, 10), (20, 5), SMALL):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert all(text_cells(line) <= size[0] for line in lines(app))
        assert lines(app) == before


async def test_in_full_every_fact_can_be_reached_on_80_columns(app: FieldplanApp) -> None:
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("space")
        seen = text(app)
        for _ in range(8):
            await pilot.press("down")
            seen += text(app)
        words = ("circle", "effective", "Airy", "thumb", "ceiling", "blur disc", "given", "care")
        assert [word for word in words if word not in seen] == []
        await pilot.press("escape")
        assert "1 first" in text(app)


async def test_the_card_scrolls_to_its_end(app: FieldplanApp) -> None:
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("5")
        assert "Lake and chapel" in lines(app)[1]
        await pilot.press("end")
        last = text(app)
        await pilot.press("home")
        assert text(app) != last and "who knows" in last.lower()


def test_the_hyperfocal_distance_is_told_where_it_is_of_use(desk: Desk) -> None:
    told = {}
    for shot in desk.all_answers().shots:
        for answer in shot.rigs:
            if answer.hyperfocal_m is not None and answer.distance_m is not None:
                of_use = answer.hyperfocal_m <= 20.0 * answer.distance_m
                shown = "hyperfocal" in dict(facts(shot, answer, "metric"))
                told[of_use] = told.get(of_use, True) and shown is of_use
    assert told == {True: True, False: True}  # both kinds are in the demo
