"""A person's own keys: a sound table is used and told everywhere; one that is not leaves the built-in keys."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.files.places import list_profiles
from fieldplan.files.problems import FileProblem
from fieldplan.tui import launch, registry
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.commands import CONFLICT, EVERYWHERE, FORM, clashes
from fieldplan.tui.desk import Desk
from fieldplan.tui.ownkeys import FIXED, OwnKeys, checked, load_own_keys
from fieldplan.tui.pages import shotclock, shotglance, shothowfar, shotmore, shottook, shotwhatif
from fieldplan.tui.pages.shotview import ShotView

from .conftest import NOON, lines, text

VIEWS = (shotclock, shotglance, shothowfar, shotmore, shottook, shotwhatif)


def entry(does: str, *keys: str, page: str = "") -> str:
    where = f'page = "{page}"\n' if page else ""
    return f'[[key]]\ndoes = "{does}"\n{where}keys = [{", ".join(repr(key) for key in keys)}]\n'


@pytest.fixture
def table(own_folders: Path) -> Path:
    return own_folders / "profiles" / "keys.toml"


def keyed(desk: Desk, table: Path, *entries: str) -> FieldplanApp:
    """The screen as it starts with that table."""
    table.write_text("\n".join(entries), encoding="utf-8")
    told = launch.lay_own_keys(desk)
    app = FieldplanApp(desk, now=lambda: NOON)
    app.message = told
    return app


# the registry


def test_the_built_in_keys_clash_nowhere() -> None:
    for title in registry.titles():
        for state in registry.states(title):
            assert clashes(state) == [], title


def test_every_page_and_every_view_is_in_the_registry(app: FieldplanApp) -> None:
    for page in app.pages.values():
        missing = {command.id for command in page.live_commands()} - set(registry.commands(page.title))
        assert not missing, page.title
    views = ShotView.__subclasses__()
    assert {view.__module__ for view in views} == {module.__name__ for module in VIEWS}
    for view in views:
        assert any(set(view.commands) <= set(state) for state in registry.states("Shot")), view


def test_a_hint_names_the_first_key_of_a_command_wherever_it_lives() -> None:
    """What lives everywhere is looked for first: a page's own command of that name has the same first key."""
    general = {command.id: command for command in (*EVERYWHERE, *FORM, *CONFLICT)}
    for title in registry.titles():
        for state in registry.states(title):
            for command in state:
                if command.id in general:
                    assert command.keys[0] == general[command.id].keys[0]
    keys = OwnKeys()
    assert (keys.name("undo", "Shot"), keys.name("take", "Moon & sun"), keys.name("add_offered", "Gear")) == (
        "u", "Enter", "a",
    )  # fmt: skip


# reading


def test_a_sound_table_is_read(table: Path) -> None:
    entries = [
        entry("undo", "F8", "U"),
        entry("Next answer", "N", page="shot"),
        entry("redo", "space", page="Card"),
        entry("page_down", "pgdn", page="Card"),
    ]
    table.write_text("".join(entries))
    keys = checked(table)
    assert keys.name("undo") == "F8"
    assert keys.name("next_answer", "Shot") == "N"
    assert (keys.name("redo", "Card"), keys.name("redo", "Gear")) == ("Space", "y")


def test_no_table_means_the_built_in_keys(own_folders: Path) -> None:
    assert load_own_keys(own_folders / "profiles").chosen == {}
    assert load_own_keys(None).chosen == {}


@pytest.mark.parametrize(
    ("written", "told"),
    [
        (entry("undoo", "F8"), 'key[0].does: "undoo" is no command; did you mean "undo"?'),
        (entry("keep text", "F8"), "is no command"),
        (entry("complete", "F8"), "belongs to an open field"),
        (entry("undo", "F88"), 'key[0].keys: "F88" is no key; did you mean "F8"?'),
        (entry("undo", "F8", page="Shots"), 'key[0].page: "Shots" is no page; did you mean "Shot"?'),
        (entry("glance", "F8", page="Card"), "it is on: Shot"),
        (entry("undo", "d"), 'd for "undo" is the key of "remove" on the page Gear'),
        (entry("undo", "f", page="Shot"), 'f for "undo" is the key of "picture" on the page Shot'),
        (entry("redo", "F8") + entry("undo", "F8"), 'key[1].keys: F8 for "undo" is the key of "redo"'),
        (entry("how far", "b", page="Shot"), 'b for "how far" is the key of "by now"'),
        (entry("undo", "Esc"), "Esc stays with what it does"),
        (entry("undo", "?"), "? stays with what it does"),
        (entry("undo", "3"), "3 stays with what it does"),
        (entry("undo", "ctrl+c"), "Ctrl+C stays with what it does"),
        (entry("undo", "ctrl+q"), "Ctrl+Q stays with what it does"),
        (entry("undo", "Up"), "Up stays with what it does"),
        (entry("undo"), "write at least one"),
        (entry("undo", "F8") + entry("Undo", "F9"), "two entries for one place"),
        ('[[key]]\ndoes = "undo"\nkey = "F8"\n', 'did you mean "keys"?'),
        ('[[key]]\nkeys = ["F8"]\n', "does: is missing"),
        ('[key]\ndoes = "undo"\nkeys = ["F8"]\n', "[[key]]"),
        ("[[keys]]\n", 'did you mean "key"?'),
        ("[[key\n", "keys.toml"),
    ],
)
def test_a_table_that_is_not_sound_says_where_and_what_would_do(table: Path, written: str, told: str) -> None:
    table.write_text(written)
    with pytest.raises(FileProblem) as wrong:
        checked(table)
    assert told in str(wrong.value)
    assert str(wrong.value).startswith("keys.toml: ")


def test_all_that_is_wrong_is_told_at_once(table: Path) -> None:
    table.write_text(entry("undoo", "F8") + entry("redo", "Esc") + entry("glance", "F9", page="Cart"))
    with pytest.raises(FileProblem) as wrong:
        checked(table)
    assert [problem.path for problem in wrong.value.problems] == ["key[0].does", "key[1].keys", "key[2].page"]


def test_nobody_is_locked_in_whatever_the_table_says(table: Path) -> None:
    """The keys that stay are there on every page for what they do."""
    moved = ("quit", "help", "guide", "undo", "page 1", "page 5", "forget", "leave")
    table.write_text("\n".join(entry(does, f"F{number}") for number, does in enumerate(moved, start=2)))
    keys = checked(table)
    for title in registry.titles()[:5]:
        for state in registry.states(title):
            live = {key: command.id for command in keys.of(title, state) for key in command.keys}
            assert [live[key] for key in ("ctrl+c", "?", "1", "5")] == ["quit", "help", "page_1", "page_5"]
            assert not (FIXED & {key for command in state for key in command.keys}) - set(live)
            assert "q" not in live or title not in ("Card", "Moon & sun")


def test_the_table_is_no_profile_and_check_knows_it(
    table: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    table.write_text(entry("undo", "F8") + entry("redo", "F9"))
    assert "keys" not in [place.name for place in list_profiles()]
    assert main(["check", str(table)]) == 0
    assert main(["check", "keys.toml"]) == 0  # beside the profiles
    assert capsys.readouterr().out == "keys.toml: sound: your own keys for 2 commands\n" * 2
    table.write_text(entry("undoo", "F8") + entry("redo", "F99"))
    assert main(["check", str(table)]) == 1
    assert "keys.toml: key[1].keys:" in capsys.readouterr().err


# on the screen


async def test_a_key_of_ones_own_works_and_the_old_one_does_not(desk: Desk, table: Path) -> None:
    app = keyed(desk, table, entry("next shot", "F6", page="Shot"), entry("undo", "F8", "U"), entry("remove", "X"))
    async with app.run_test(size=(140, 40)) as pilot:
        first, count = desk.shot_index, len(desk.plan.value.shots)
        await pilot.press("]")
        assert desk.shot_index == first
        await pilot.press("f6")
        assert desk.shot_index == first + 1
        await pilot.press("d", "d")
        assert len(desk.plan.value.shots) == count
        await pilot.press("X")
        if desk.shot is not None and len(desk.plan.value.shots) == count:
            assert "X again deletes it" in text(app)
            await pilot.press("X")
        assert len(desk.plan.value.shots) == count - 1
        assert "F8 takes it back" in text(app)
        await pilot.press("u")
        assert len(desk.plan.value.shots) == count - 1
        await pilot.press("U")
        assert len(desk.plan.value.shots) == count


async def test_footer_and_key_list_tell_ones_own_keys(desk: Desk, table: Path) -> None:
    app = keyed(desk, table, entry("next shot", "F6", page="Shot"), entry("undo", "F8"), entry("help", "F9"))
    async with app.run_test(size=(140, 60)) as pilot:
        foot = "\n".join(lines(app)[-3:])
        assert "F8 undo" in foot and "[ F6 shot" in foot and "F9 keys" in foot
        await pilot.press("f9")
        seen = text(app)
        await pilot.press("space")
        seen += text(app)
        assert "F8                 undo: take back the last edit" in seen
        assert "F6                 next shot: the next shot" in seen
        assert "F9 or ?            help: this list of keys" in seen
        await pilot.press("f9")
        assert not app.helping
        await pilot.press("3")
        assert "[ ] shot" in "\n".join(lines(app)[-3:])


async def test_views_over_the_shot_page_follow(desk: Desk, table: Path) -> None:
    app = keyed(
        desk, table, entry("glance", "F6"), entry("what if", "F7"), entry("if iso", "F8"), entry("by now", "F2")
    )
    async with app.run_test(size=(100, 30)) as pilot:
        page = app.page
        await pilot.press("g")
        assert getattr(page, "view", 0) is None
        await pilot.press("f6")
        assert isinstance(getattr(page, "view", None), shotglance.GlanceView)
        await pilot.press("f6")
        assert getattr(page, "view", 0) is None
        await pilot.press("f7")
        assert "F8 a stop of ISO more" in text(app)
        await pilot.press("i")
        assert "if ISO" not in text(app) and getattr(page.view, "asked", None) == ""  # type: ignore[attr-defined]
        await pilot.press("f8")
        assert page.view.asked == "iso"  # type: ignore[attr-defined]
        await pilot.press("f7")  # drops the change, as w does
        assert page.view.asked == ""  # type: ignore[attr-defined]


async def test_what_closes_a_view_yields_to_a_key_of_the_view(desk: Desk, table: Path) -> None:
    """F2 opens the glance, and does something else in it: then Esc alone, or Space, goes back."""
    app = keyed(desk, table, entry("glance", "F2"), entry("by now", "F2"))
    async with app.run_test(size=(100, 30)) as pilot:
        assert desk.keys.chosen
        await pilot.press("f2", "f2")
        assert isinstance(getattr(app.page, "view", None), shotglance.GlanceView)
        await pilot.press("escape")
        assert getattr(app.page, "view", 0) is None


async def test_an_open_field_takes_every_letter_as_text(desk: Desk, table: Path) -> None:
    app = keyed(desk, table, entry("open", "B"), entry("next field", "N"))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("B")
        assert app.page.form is not None and app.page.form.line is not None
        await pilot.press("B", "N")
        assert app.page.form.line.text == "BN"
        await pilot.press("escape", "enter")
        assert not app.page.typing


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
async def test_every_page_tells_the_key_of_undo(desk: Desk, table: Path, number: int) -> None:
    app = keyed(desk, table, entry("undo", "F8"))
    async with app.run_test(size=(140, 40)) as pilot:
        await pilot.press(str(number))
        foot = "\n".join(lines(app)[-3:])
        assert "F8 undo" in foot and "u undo" not in foot.replace("F8 undo", "")


async def test_a_broken_table_leaves_the_built_in_keys_and_says_so(desk: Desk, table: Path) -> None:
    app = keyed(desk, table, entry("undoo", "F8"), entry("glance", "F6"))
    before = table.read_bytes()
    async with app.run_test(size=(100, 30)) as pilot:
        foot = " ".join("\n".join(lines(app)[-3:]).split())
        assert 'built-in keys in use: keys.toml: key[0].does: "undoo" is no command' in foot
        await pilot.press("f6")
        assert getattr(app.page, "view", 0) is None
        await pilot.press("g")
        assert getattr(app.page, "view", None) is not None
    assert table.read_bytes() == before


def test_a_start_without_a_table_reads_no_page_for_it(own_folders: Path) -> None:
    """The pages that are not in sight are imported for a table alone."""
    script = (
        "import sys, pathlib\nfrom fieldplan.tui.ownkeys import load_own_keys\n"
        f"load_own_keys(pathlib.Path({str(own_folders / 'profiles')!r}))\n"
        "print([name for name in sys.modules if name.startswith('fieldplan.tui.pages.')])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.strip() == "[]"
