"""One registry: every key does one thing, and is told of."""

from __future__ import annotations

import pytest

from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.commands import CONFLICT, EVERYWHERE, FORM, TYPING, Command, clashes, find, key_name
from fieldplan.tui.pages import page_kind
from fieldplan.tui.pages.shot import ShotPage

from .conftest import lines


def test_no_key_means_two_things(app: FieldplanApp) -> None:
    """A page may do a command of the app in its own way, under the same id."""
    for page in app.pages.values():
        live = page.live_commands()
        own = {command.id for command in live}
        rest = [command for command in EVERYWHERE if command.id not in own]
        assert clashes((*CONFLICT, *live, *rest)) == [], page.title
    assert clashes(TYPING) == []


def test_no_key_means_two_things_in_full() -> None:
    assert clashes((*ShotPage.full_commands, *EVERYWHERE)) == []


def test_a_clash_is_found() -> None:
    assert clashes((Command("a", ("x",), "", ""), Command("b", ("y", "x"), "", ""))) == ["x"]


def test_every_command_is_done_by_somebody(app: FieldplanApp) -> None:
    for page in app.pages.values():
        commands = [*page.commands, *EVERYWHERE, *CONFLICT, *(FORM if page.form else ())]
        for command in commands:
            known = command.id.startswith("page_") or any(hasattr(h, f"do_{command.id}") for h in (page, app))
            assert known, f"{page.title}: nobody does {command.id}"
    for cover in (app.keys_page, app.guide_page):
        for command in cover.commands:
            assert hasattr(cover, f"do_{command.id}") or hasattr(app, f"do_{command.id}")


def test_every_command_has_help() -> None:
    pages = [c for number in range(1, 6) for c in page_kind(number).commands]
    everything = [*pages, *EVERYWHERE, *FORM, *TYPING, *CONFLICT]
    assert [c.id for c in everything if not c.help] == []


def test_keys_are_found_and_named() -> None:
    assert find(EVERYWHERE, "u") is not None and find(EVERYWHERE, "\x00") is None
    assert key_name("ctrl+g") == "Ctrl+G" and key_name("[") == "["


async def test_the_key_screen_lists_every_key_of_the_page(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("?")
        seen = ""
        for _ in range(4):
            seen += " ".join(line.strip() for line in lines(app)) + " "
            await pilot.press("down")
        seen = " ".join(seen.split())
        for command in (*ShotPage.commands, *FORM, *EVERYWHERE, *TYPING):
            assert command.help in seen, command.id
        await pilot.press("escape")
        assert "grey heron" in lines(app)[2]


async def test_digits_switch_pages_and_missing_ones_say_so(app: FieldplanApp, monkeypatch: pytest.MonkeyPatch) -> None:
    four = app.pages[4]
    monkeypatch.setattr(app, "pages", {number: page for number, page in app.pages.items() if page is not four})
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("5")
        assert "[5 Card]" in lines(app)[0]
        await pilot.press("4")
        assert "[5 Card]" in lines(app)[0] and "Moon & sun: this version has no such page yet" in "\n".join(lines(app))
        await pilot.press("2")
        assert "[2 Shot]" in lines(app)[0]
