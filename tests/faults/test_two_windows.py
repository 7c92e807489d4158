"""Two windows on one plan, and other programs at the same file: the second is told, and no edit is lost unseen."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldplan.files.reading import load_plan
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.keeping import Keeper
from fieldplan.tui.launch import open_desk

from .conftest import PLAN

HERON, DUCK = ("shot", 0, "distance"), ("shot", 1, "distance")


def shown(app: FieldplanApp) -> str:
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


def distances(path: Path) -> list[str]:
    return [shot.distance.typed for shot in load_plan(path).value.shots]


def app_on(lake: Path) -> FieldplanApp:
    desk = open_desk(str(lake))
    app = FieldplanApp(desk)
    app.keep_aside = Keeper(desk).keep
    return app


def test_the_second_window_is_told_and_the_first_is_not(lake: Path) -> None:
    first, second = open_desk(str(lake)), open_desk(str(lake))
    one, two = Keeper(first), Keeper(second)
    assert first.notices == []
    assert second.notices == [
        "lake.toml and two-bodies.toml are open in another window too; the later of two saves is asked about"
    ]
    one.close()
    two.close()
    third = open_desk(str(lake))
    Keeper(third)
    assert third.notices == []


async def in_conflict(app: FieldplanApp, pilot: object, lake: Path) -> None:
    """Another window saves the duck; this one keeps another distance of the heron."""
    other = open_desk(str(lake))
    assert other.edit(other.plan, lambda plan: plan.set(DUCK, "41 m")) == ""
    other.flush()
    await pilot.press("right", "right", "enter", "ctrl+u", "3", "3", "enter")  # type: ignore[attr-defined]
    await pilot.pause()  # type: ignore[attr-defined]
    assert distances(lake) == ["25-31 m", "41 m"], "what the other window saved stands"
    said = shown(app)
    assert "was changed by another program" in said
    for word in ("R read again", "K keep a copy", "D compare", "O save over"):
        assert word in said


async def test_differences_are_shown_before_anything_is_chosen(lake: Path) -> None:
    app = app_on(lake)
    async with app.run_test(size=(80, 24)) as pilot:
        await in_conflict(app, pilot, lake)
        await pilot.press("D")
        lines = [line.strip() for line in shown(app).splitlines()]
        at = lines.index('shot "heron" distance')
        assert lines[at : at + 6] == [
            'shot "heron" distance', "yours     33 m", "the file  25-31 m",
            'shot "duck" distance', "yours     40 m", "the file  41 m",
        ]  # fmt: skip
        await pilot.press("escape")
        assert "K keep a copy" in shown(app), "the question stands until it is answered"


async def test_mine_can_be_kept_as_a_copy(lake: Path) -> None:
    app = app_on(lake)
    async with app.run_test(size=(80, 24)) as pilot:
        await in_conflict(app, pilot, lake)
        await pilot.press("K")
        await pilot.pause()
        assert "lake.toml stays as it is; yours is lake-2.toml from here on" in shown(app)
        await pilot.press("up")
        await pilot.pause()
    assert distances(lake) == ["25-31 m", "41 m"]
    assert distances(lake.with_name("lake-2.toml"))[1] == "40 m"
    assert distances(lake.with_name("lake-2.toml"))[0] != "25-31 m"
    assert app.desk.conflict is None


async def test_theirs_can_be_read_and_undo_brings_mine_back(lake: Path) -> None:
    app = app_on(lake)
    async with app.run_test(size=(80, 24)) as pilot:
        await in_conflict(app, pilot, lake)
        await pilot.press("R")
        await pilot.pause()
        assert app.desk.plan.value.shots[0].distance.typed == "25-31 m"
        await pilot.press("u")
        await pilot.pause()
    assert distances(lake) == ["33 m", "40 m"]


async def test_saving_over_keeps_theirs_beside(lake: Path) -> None:
    app = app_on(lake)
    async with app.run_test(size=(80, 24)) as pilot:
        await in_conflict(app, pilot, lake)
        await pilot.press("O")
        await pilot.pause()
    assert distances(lake) == ["33 m", "40 m"]
    assert lake.with_name("lake.toml~").read_text().count('"41 m"') == 1


def test_leaving_with_the_question_open_keeps_the_edit_for_the_next_start(lake: Path) -> None:
    desk = open_desk(str(lake))
    keeper = Keeper(desk)
    desk.edit(desk.plan, lambda plan: plan.set(HERON, "33 m"))
    lake.write_text(PLAN.replace("40 m", "41 m"))
    desk.flush()
    assert desk.conflict is desk.plan
    keeper.keep(None)
    keeper.close()
    assert desk.notices[-1] == "edits of lake.toml are not saved; they wait for the next start"
    again = open_desk(str(lake))
    Keeper(again)
    assert again.plan.value.shots[0].distance.typed == "33 m"
    again.flush()
    assert again.conflict is again.plan, "and the question is asked again"
    assert distances(lake) == ["25-31 m", "41 m"]


@pytest.mark.parametrize("text", ["not toml", "fieldplan_plan = 99\ntitle = 'x'\n", ""])
def test_a_file_that_another_program_broke(lake: Path, text: str) -> None:
    desk = open_desk(str(lake))
    desk.edit(desk.plan, lambda plan: plan.set(HERON, "33 m"))
    lake.write_text(text)
    desk.flush()
    assert isinstance(desk.compared(), str)
    assert "lake.toml" in desk.reload()
    assert desk.plan.value.shots[0].distance.typed == "33 m"
    desk.flush()
    assert desk.save_copy() == ""
    assert lake.read_text() == text
    assert distances(lake.with_name("lake-2.toml")) == ["33 m", "40 m"]
