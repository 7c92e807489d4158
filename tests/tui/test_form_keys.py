"""Keys on the form of a shot: select, step, open, keep, restore, undo; each edit is on disk when the key is done."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk

from .conftest import lines, text


def on_disk(plan_file: Path, name: str = "heron at the reeds") -> dict[str, Any]:
    shots = tomllib.loads(plan_file.read_text(encoding="utf-8"))["shot"]
    return next(shot for shot in shots if shot["name"] == name)


def typed(word: str) -> list[str]:
    named = {
        " ": "space",
        "-": "minus",
        ".": "full_stop",
        "/": "slash",
        "[": "left_square_bracket",
        "%": "percent_sign",
    }
    return [named.get(char, char) for char in word]


async def test_open_type_keep_save_undo_redo(app: FieldplanApp, plan_file: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right", "enter", "ctrl+u", *typed("40 m"))
        assert on_disk(plan_file)["distance"] == "25-31 m", "nothing is saved before Enter"
        assert "at 40 m" in lines(app)[2], "the answers follow every key"
        await pilot.press("enter")
        await pilot.pause()
        assert on_disk(plan_file)["distance"] == "40 m"
        await pilot.press("u")
        await pilot.pause()
        assert on_disk(plan_file)["distance"] == "25-31 m" and "at 25-31 m" in lines(app)[2]
        await pilot.press("y")
        await pilot.pause()
        assert on_disk(plan_file)["distance"] == "40 m"


@pytest.mark.parametrize("key", ["escape", "ctrl+g"])
async def test_escape_and_ctrl_g_restore(app: FieldplanApp, plan_file: Path, key: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right", "equals_sign", "ctrl+u", *typed("9 m"))
        assert "at 9 m" in lines(app)[2]
        await pilot.press(key)
        assert "at 25-31 m" in lines(app)[2] and not app.page.typing
        assert on_disk(plan_file)["distance"] == "25-31 m"


async def test_letters_and_digits_are_text_while_a_field_is_open(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "end", *typed("q5u"))
        assert "[2 Shot]" in lines(app)[0] and app.page.form.line.text == "grey heronq5u"
        await pilot.press("escape")


async def test_a_text_that_cannot_be_read_stays_open_with_its_reason(app: FieldplanApp, plan_file: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right", "enter", "ctrl+u", *typed("3 apples"), "enter")
        assert app.page.form.line.text == "3 apples"
        assert '"apples" is not a unit' in text(app)
        assert on_disk(plan_file)["distance"] == "25-31 m"
        assert "at 25-31 m" in lines(app)[2], "the last answers stay"
        await pilot.press("escape")
        assert "apples" not in text(app)


async def test_half_typed_text_is_there_again_after_the_program_ended(app: FieldplanApp, plan_file: Path) -> None:
    from fieldplan.files.state import State
    from fieldplan.tui.launch import open_desk

    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right", "enter", "ctrl+u", *typed("3 apples"), "ctrl+q")
    plan = app.desk.plan
    state = State().with_drafts(plan.path, plan.digest, plan.drafts)
    again = FieldplanApp(open_desk(str(plan_file), state=state))
    again.desk.shot_at("heron at the reeds")
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right")
        assert "3 apples" in text(again) and '"apples" is not a unit' in text(again)


async def test_up_and_down_step_the_selected_field_and_are_saved(app: FieldplanApp, plan_file: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        app.page.form.select_key("light")
        await pilot.press("up")
        await pilot.pause()
        assert on_disk(plan_file)["light"] == "EV 11.7"
        app.page.form.select_key("hold")
        await pilot.press("down")
        await pilot.pause()
        assert on_disk(plan_file)["hold"] == "upright"
        app.page.form.select_key("support")
        await pilot.press("up")
        await pilot.pause()
        assert on_disk(plan_file)["support"] == "monopod"
        await pilot.press("u", "u", "u", "u")
        await pilot.pause()
        assert on_disk(plan_file)["light"] == "EV 11.5" and "nothing to take back" in text(app)


async def test_tab_takes_the_word_on_offer(app: FieldplanApp, plan_file: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "ctrl+u", *typed("small o"))
        assert "Tab: small owl" in text(app)
        await pilot.press("tab", "enter")
        await pilot.pause()
        assert on_disk(plan_file)["subject"] == "small owl"


async def test_x_empties_a_field(app: FieldplanApp, plan_file: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        app.page.form.select_key("light")
        await pilot.press("x")
        await pilot.pause()
        assert "light" not in on_disk(plan_file)


async def test_tab_and_arrows_go_round_the_fields(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        form = app.page.form
        count = len(form.source.entries())
        await pilot.press("shift+tab")
        assert form.index == count - 1
        await pilot.press("tab", "right", "left")
        assert form.index == 0


async def test_a_half_filled_shot_says_what_is_lacking_and_answers_when_it_is_there(
    app: FieldplanApp, plan_file: Path
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        assert "No answer yet" in text(app) and "[shot 9]" in lines(app)[1]
        app.page.form.select_key("subject")
        await pilot.press("enter", *typed("fox"), "enter")
        app.page.form.select_key("fill")
        await pilot.press("enter", *typed("60 %"), "enter")
        assert "found:" in text(app), "the distance is what was left out"
        app.page.form.select_key("distance")
        await pilot.press("enter", *typed("15 m"), "enter")
        await pilot.pause()
        assert "1 first" in text(app)
        assert on_disk(plan_file, "shot 9") == {
            "name": "shot 9", "subject": "fox", "fill": "60 %", "distance": "15 m",
        }  # fmt: skip


async def test_shots_are_added_copied_moved_deleted_and_it_is_all_taken_back(
    app: FieldplanApp, plan_file: Path
) -> None:
    def names() -> list[str]:
        return [shot["name"] for shot in tomllib.loads(plan_file.read_text(encoding="utf-8"))["shot"]]

    before = names()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c")
        await pilot.pause()
        assert names()[2] == "heron at the reeds 2" and "[heron at the reeds 2*]" in lines(app)[1]
        await pilot.press("less_than_sign")
        await pilot.pause()
        assert names()[1] == "heron at the reeds 2"
        await pilot.press("d")
        await pilot.pause()
        assert names() != before and "is a must: d again deletes it" in text(app)
        await pilot.press("j", "d")
        await pilot.pause()
        assert names() != before, "another key between: it is asked anew"
        await pilot.press("d")
        await pilot.pause()
        assert names() == before
        await pilot.press("u", "u", "u")
        await pilot.pause()
        assert names() == before
        await pilot.press("right_square_bracket")
        assert names()[app.desk.shot_index] in lines(app)[1].split("[")[1]


async def test_a_plan_without_shots_can_be_filled(desk: Desk, plan_file: Path) -> None:
    desk.edit(desk.plan, lambda plan: [plan.remove(("shot", 0)) for _ in range(8)])
    app = FieldplanApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "no shot yet" in text(app)
        await pilot.press("d", "c", "space", "enter", "up", "j", "right_square_bracket", "p", "p", "a")
        assert "[shot 1]" in lines(app)[1]


async def test_the_plan_form_edits_the_site_and_the_answers_follow(app: FieldplanApp, plan_file: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p")
        app.page.form.select_key("profile")
        await pilot.press("enter", "ctrl+u", *typed("wildlife"), "enter")
        await pilot.pause()
        assert tomllib.loads(plan_file.read_text(encoding="utf-8"))["profile"] == "wildlife"
        assert app.desk.gear.value.name == "wildlife"
        await pilot.press("u")
        assert app.desk.gear.value.name == "two-bodies"


async def test_paste_goes_into_the_open_field_only(app: FieldplanApp) -> None:
    from textual.events import Paste

    async with app.run_test(size=(80, 24)) as pilot:
        app.post_message(Paste("d"))
        await pilot.pause()
        assert len(app.desk.plan.value.shots) == 8
        await pilot.press("right", "right", "enter", "ctrl+u")
        app.post_message(Paste("22 m\n"))
        await pilot.pause()
        assert app.page.form.line.text == "22 m " and "at 22 m" in lines(app)[2]


async def test_another_programs_change_is_noticed_and_either_version_can_be_taken(
    app: FieldplanApp, plan_file: Path
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        other = plan_file.read_text(encoding="utf-8").replace("Lake and chapel", "Lake, changed")
        plan_file.write_text(other, encoding="utf-8")
        app.page.form.select_key("light")
        await pilot.press("up")
        await pilot.pause()
        assert plan_file.read_text(encoding="utf-8") == other
        assert "changed by another program" in text(app) and "R read again" in text(app)
        await pilot.press("O")
        await pilot.pause()
        assert on_disk(plan_file)["light"] == "EV 11.7"
        assert "Lake, changed" in plan_file.with_name(plan_file.name + "~").read_text(encoding="utf-8")


async def test_now_goes_to_the_next_shot_of_the_day(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("5", "n")  # 12:00 UTC is 13:00 in Berlin in March
        assert "[bumblebee on crocus]" in lines(app)[1] and "2027-03-14 13:00 Europe/Berlin" in text(app)
