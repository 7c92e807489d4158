"""What was used, on the Gear page: the folder asked for, read aside with progress and a stop, counted, gear offered."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest

from fieldplan.files import folderpictures
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.planner.seen import Seen
from fieldplan.planner.tallies import tally
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.commands import EVERYWHERE, clashes
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.gear import GearPage

from ..files.exifwriter import usual_but, write

SIZES = [(80, 20), (60, 12), (120, 26), (140, 36), (200, 60)]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    there = tmp_path / "pictures"
    there.mkdir()
    for number in range(6):
        write(there / f"a{number}.jpg", usual_but(FOCAL=(100 * (number + 1), 1)))
    write(there / "b.jpg", usual_but(LENS="24-70", FOCAL=(35, 1)), "crop body")
    (there / "broken.jpg").write_bytes(b"\xff\xd8\xff\xe1\x00\x20Exif\0\0II*\0\x08\0\0\0\x09\0")
    return there


def words(rows: tuple[Row, ...]) -> str:
    return "\n".join("".join(text for text, _ in row) for row in rows)


def opened(desk: Desk, folder: Path) -> GearPage:
    """The view with the folder read, without a terminal."""
    page = GearPage(desk)
    page.do_used()
    assert page.typing
    page.form.paste(str(folder))
    page.form.type_key("enter", None)
    return page


def test_it_asks_counts_and_names_what_is_broken(desk: Desk, folder: Path) -> None:
    page = opened(desk, folder)
    text = words(page.draw(80, 200))
    assert "7 pictures, 1 broken" in text
    assert "focal length" in text and "35-50 mm" in text
    assert "broken.jpg: is broken" in text
    assert 'name = "Body A"' in text and 'name = "Lens B"' in text
    assert 'name = "crop body"' not in text, "the profile holds it"


@pytest.mark.parametrize("size", SIZES)
def test_every_size_is_filled(desk: Desk, folder: Path, size: tuple[int, int]) -> None:
    page = opened(desk, folder)
    for _ in range(30):
        rows = page.draw(*size)
        assert len(rows) == size[1]
        assert all(sum(text_cells(text) for text, _ in row) <= size[0] for row in rows)
        page.used.do_down()
        page.used.do_next_part()


def test_parts_are_bodies_and_lenses(desk: Desk, folder: Path) -> None:
    page = opened(desk, folder)
    seen = []
    for _ in range(5):
        seen.append(words(page.draw(100, 30)).splitlines()[2].split("  ")[0])
        page.used.do_next_part()
    assert seen == ["[all]", "[Body A]", "[crop body]", "[24-70]", "[Lens B]"]


def test_a_folder_that_is_not_there_stays_open_with_the_reason(desk: Desk, tmp_path: Path) -> None:
    page = opened(desk, tmp_path / "nowhere")
    assert page.typing
    assert "not there" in words(page.draw(100, 20))


def test_offered_gear_is_added_and_taken_back(desk: Desk, folder: Path) -> None:
    page = opened(desk, folder)
    before = desk.gear.value
    page.used.do_add_offered()
    gear = desk.gear.value
    assert [b.name for b in gear.bodies][-1] == "Body A" and gear.lenses[-1].name == "Lens B"
    assert gear.bodies[-1].sensor.width == pytest.approx(0.0236)
    assert "mount of Body A" in page.message
    page.used.do_add_offered()
    assert desk.gear.value is gear and "holds all" in page.message
    assert desk.undo() and desk.undo()
    assert desk.gear.value == before


def test_leaving_gives_the_page_its_form_back(desk: Desk, folder: Path) -> None:
    page = GearPage(desk)
    form = page.form
    page.do_used()
    page.form.type_key("escape", None)
    page.used.do_leave_used()
    assert page.form is form and page.holders == (page,)
    assert "owned:" in words(page.draw(80, 20))


def test_pictures_are_counted_anew_only_where_something_of_it_changed(
    desk: Desk, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = opened(desk, folder)
    counted: list[object] = []

    def counting(*arguments: object) -> object:
        counted.append(arguments)
        return tally(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr("fieldplan.tui.pages.usedview.tally", counting)
    for _ in range(5):
        page.draw(80, 30)
        page.used.do_down()
    assert len(counted) == 1
    page.used.do_next_part()
    page.draw(80, 30)
    page.used.do_add_offered()
    page.draw(80, 30)
    assert len(counted) == 3, "another part, another profile"


def test_a_home_that_nobody_has_is_named(desk: Desk) -> None:
    page = opened(desk, Path("~no-such-person-here/pictures"))
    assert page.typing
    assert 'no user "no-such-person-here"' in words(page.draw(120, 20))


def test_keys_do_not_clash(desk: Desk, folder: Path) -> None:
    page = opened(desk, folder)
    page.used.reading = (1, 2)
    assert clashes([*page.live_commands(), *EVERYWHERE]) == []
    for command in page.live_commands():
        assert any(hasattr(holder, f"do_{command.id}") for holder in page.holders), command.id


async def until(pilot: object, holds: object) -> None:
    for _ in range(200):
        await pilot.pause(0.02)  # type: ignore[attr-defined]
        if holds():  # type: ignore[operator]
            return
    raise AssertionError("it never came to that")


async def test_the_screen_lives_while_files_are_read_and_reading_stops(
    app: FieldplanApp, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate = threading.Event()
    asked = threading.Event()

    def slow(path: Path, name: str | None = None) -> Seen:
        asked.set()
        gate.wait(5)
        return Seen(path.name, body="Body A", focal_m=0.05)

    monkeypatch.setattr(folderpictures, "read_picture", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "h")
        page = app.pages[1]
        assert isinstance(page, GearPage)
        page.form.paste(str(folder))
        await pilot.press("enter")
        await until(pilot, asked.is_set)
        assert page.used.reading is not None and page.used.found is None
        await pilot.press("2")
        assert app.number == 2, "other pages are there meanwhile"
        await pilot.press("1", "s")
        gate.set()
        await until(pilot, lambda: page.used.found is not None)
        found = page.used.found
        assert found is not None and found.stopped and len(found.pictures) == 1
        assert "stopped" in words(page.draw(80, 20))


async def test_ending_the_program_ends_the_reading(
    app: FieldplanApp, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    gate = threading.Event()

    def slow(path: Path, name: str | None = None) -> Seen:
        read.append(path.name)
        gate.wait(5)
        return Seen(path.name, focal_m=0.05)

    monkeypatch.setattr(folderpictures, "read_picture", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "h")
        page = app.pages[1]
        assert isinstance(page, GearPage)
        page.form.paste(str(folder))
        await pilot.press("enter")
        await until(pilot, lambda: bool(read))
        await pilot.press("q")
    gate.set()
    await asyncio.sleep(0.1)
    assert len(read) <= 2
