"""Bags side by side and what reaches what on the Gear page; a bag taken from there is what the card lists."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest

from fieldplan.files.places import starters_folder
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.commands import EVERYWHERE, clashes
from fieldplan.tui.desk import Desk
from fieldplan.tui.launch import open_desk
from fieldplan.tui.pages.gear import GearPage

from .conftest import NOON, text


@pytest.fixture
def desk(own_folders: Path) -> Desk:
    """The demo plan of a person with one body, two zooms and something thought of."""
    shutil.copy(starters_folder("demo") / "river-walk.toml", own_folders / "plans")
    shutil.copy(starters_folder("profiles") / "one-crop-body.toml", own_folders / "profiles")
    return open_desk(str(own_folders / "plans" / "river-walk.toml"))


def words(rows: tuple[Row, ...]) -> str:
    return "\n".join("".join(part for part, _ in row) for row in rows)


@pytest.mark.parametrize("size", [(80, 20), (60, 12), (120, 26), (140, 36)])
@pytest.mark.parametrize("view", ["bags", "reach"])
def test_every_size_is_filled_and_nothing_is_wider(desk: Desk, size: tuple[int, int], view: str) -> None:
    page = GearPage(desk)
    page.views.show(view)
    for _ in range(8):
        rows = page.draw(*size)
        assert len(rows) == size[1]
        assert all(sum(text_cells(part) for part, _ in row) <= size[0] for row in rows)
        page.do_next_bag()
        page.do_down()


def test_the_question_is_answered_on_one_screen(desk: Desk) -> None:
    page = GearPage(desk)
    page.do_bags()
    page.do_next_bag()
    page.do_next_bag()
    shown = words(page.draw(80, 20))
    assert "[+ 150-600]" in shown and "limit 8 kg" in shown
    row = next(line for line in shown.splitlines() if "roe deer at the edge" in line)
    assert row.split()[-4:] == ["-", "-", "gained", "gained"]
    for word in ("pictures", "of the musts", "weight, limit 8 kg", "to buy", "to rent, a trip", "gains"):
        assert word in shown
    page.views.scroll(100)
    assert "to buy 1200, to rent 60 a trip" in words(page.draw(80, 20))


def test_what_reaches_what_and_the_gap(desk: Desk) -> None:
    page = GearPage(desk)
    page.do_reach()
    shown = words(page.draw(100, 36))
    assert "5 of 6 pictures can be taken with what is owned; not: roe deer at the edge." in shown
    assert "to close   lens: at least" in shown and "none held for this" in shown
    assert "not owned  crop body + 150-600" in shown and "works      crop body + 55-200" in shown
    page.do_reach()
    assert "> profile" in words(page.draw(100, 36))


def test_the_decision_is_made_once_and_again_when_plan_or_profile_change(desk: Desk) -> None:
    page = GearPage(desk)
    first = page.views.decision()
    assert page.views.decision() is first
    desk.edit(desk.gear, lambda gear: gear.set(("photographer", "bag_limit"), "3 kg"))
    second = page.views.decision()
    assert second is not first and second.limit_kg == 3.0


def test_a_bag_goes_into_the_plan_and_the_card_lists_it(desk: Desk) -> None:
    page = GearPage(desk)
    page.do_bags()
    while page.views.pick.name != "lightest":
        page.do_next_bag()
    names = [line.name for line in page.views.pick.bag.lines]
    page.do_carry()
    desk.flush()
    assert "the plan carries" in page.message
    written = tomllib.loads(desk.plan.path.read_text(encoding="utf-8"))
    assert written["carry"] == names
    answers = desk.all_answers()
    assert {line.name for line in answers.kit} == set(names)
    assert answers.carried is not None and "35" in [line.name for line in answers.carried.home]
    assert {rig.lens for rig in desk.kit().rigs} == {"16-50", "55-200"}
    assert desk.undo() and desk.plan.value.carry == ()
    assert "35" in {rig.lens for rig in desk.kit().rigs}


def test_the_highlight_stays_on_the_bag_that_was_chosen(desk: Desk) -> None:
    page = GearPage(desk)
    page.do_bags()
    while page.views.pick.name != "+ 150-600":
        page.do_next_bag()
    page.do_carry()
    carried = desk.plan.value.carry
    assert "150-600" in carried
    assert "as carried" in [pick.name for pick in page.views.picks()]  # a bag more before the chosen one
    assert page.views.pick.name == "+ 150-600" and "[+ 150-600]" in words(page.draw(80, 20))
    page.do_carry()
    assert desk.plan.value.carry == carried
    page.views.at = 0
    page.do_carry()
    assert page.views.pick.name == "as owned" and desk.plan.value.carry == ()


def test_all_that_is_owned_takes_the_list_out_again(desk: Desk) -> None:
    page = GearPage(desk)
    page.do_bags()
    page.do_next_bag()
    page.do_carry()
    assert desk.plan.value.carry
    page.views.at = 0
    page.do_carry()
    assert desk.plan.value.carry == () and "all that is owned" in page.message


def test_a_plan_without_pictures_says_what_to_do(desk: Desk) -> None:
    while desk.plan.value.shots:
        desk.edit(desk.plan, lambda plan: plan.remove(("shot", 0)))
    page = GearPage(desk)
    page.do_bags()
    assert "no picture yet" in words(page.draw(80, 20))
    page.do_carry()
    page.do_next_bag()
    assert desk.plan.value.carry == ()


def test_keys_are_taken_by_nothing_else(desk: Desk) -> None:
    page = GearPage(desk)
    assert clashes((*page.live_commands(), *EVERYWHERE)) == []
    for view in ("bags", "reach"):
        page.views.show(view)
        assert clashes((*page.live_commands(), *EVERYWHERE)) == []
        page.views.show("")


async def test_keys_from_the_keyboard_to_the_card(desk: Desk) -> None:
    app = FieldplanApp(desk, now=lambda: NOON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "b", "full_stop", "full_stop", "enter")
        await pilot.pause()
        assert "carried: 9 things" in text(app) and len(desk.plan.value.carry) == 9
        await pilot.press("escape")
        await pilot.pause()
        assert "> profile" in text(app) and "the plan carries 9" in text(app)
        await pilot.press("r")
        await pilot.pause()
        assert "What reaches what" in text(app)


async def test_letters_typed_into_a_field_open_no_view(desk: Desk) -> None:
    app = FieldplanApp(desk, now=lambda: NOON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "enter", "b", "r", "enter")
        await pilot.pause()
        assert desk.gear.value.name == "br"


async def test_hostile_names_are_text_and_fit(desk: Desk) -> None:
    desk.edit(desk.gear, lambda gear: gear.set(("body", 1, "name"), "[bold]" + "\u6f22\u5b57" * 50))
    desk.edit(desk.gear, lambda gear: gear.set(("lens", 3, "name"), "W" * 120))
    desk.edit(desk.plan, lambda plan: plan.set(("shot", 0, "name"), "deer \u202e" + "x" * 90))
    page = GearPage(desk)
    for view in ("bags", "reach"):
        page.views.show(view)
        for width in (60, 80, 140):
            rows = page.draw(width, 20)
            assert all(sum(text_cells(part) for part, _ in row) <= width for row in rows)
            assert "\u202e" not in words(rows)
    page.views.show("bags")
    assert "[bold]" in words(page.draw(140, 30))
