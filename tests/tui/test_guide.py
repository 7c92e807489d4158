"""The guide: every chapter is there, short, and shown whole at any width; opened over a page and left again."""

from __future__ import annotations

import pytest

from fieldplan.cli import main
from fieldplan.files.guide import CHAPTERS, FIELDS, PAGES, read_chapter
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.chrome import TITLES
from fieldplan.tui.desk import Desk
from fieldplan.tui.guide import GuidePage, guide_rows

from .conftest import text


def words(rows: list[tuple[tuple[str, str], ...]]) -> list[str]:
    return " ".join("".join(text for text, _ in row) for row in rows).split()


@pytest.mark.parametrize("name", CHAPTERS)
@pytest.mark.parametrize("width", [40, 80, 140])
def test_every_word_of_a_chapter_is_shown_at_any_width(name: str, width: int) -> None:
    text = read_chapter(name)
    assert text.startswith("# ") and (name == FIELDS or len(text) < 4500)
    rows = guide_rows(text, width)
    assert all(sum(len(part) for part, _ in row) <= width for row in rows)
    plain = text.replace("**", "").replace("`", "").replace("# ", "")
    shown = "".join(words(rows[1:])).replace("*", "")
    assert shown == "".join(plain.split("\n", 1)[1].split()).replace("*", "")


def test_each_page_has_its_chapter() -> None:
    titles = [title for _, title in sorted(dict(TITLES).items())]
    assert len(PAGES) == len(titles)
    for name, title in zip(PAGES, titles, strict=True):
        assert read_chapter(name).startswith(f"# {title}:")


def test_a_chapter_scrolls_and_turns(desk: Desk) -> None:
    guide = GuidePage(desk)
    guide.open_at(3)
    first = guide.draw(80, 12)
    assert "Light: the day" in " ".join(words(list(first)))
    guide.do_down()
    assert guide.draw(80, 12) != first
    guide.do_next_chapter()
    assert "Moon & sun: the disc" in " ".join(words(list(guide.draw(80, 20))))


def test_the_command_prints_a_chapter_or_their_names(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["guide"]) == 0
    whole = capsys.readouterr().out
    assert all(read_chapter(name) in whole for name in CHAPTERS)
    assert main(["guide", "formulas"]) == 0
    assert "sources and limits" in capsys.readouterr().out
    assert main(["guide", "zoo"]) == 2
    assert '"zoo"' in capsys.readouterr().err


async def test_f1_opens_the_chapter_of_the_page_and_goes_back(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "f1")
        await pilot.pause()
        assert "Light: the day, and how long each shot works" in text(app)
        await pilot.press("]", "f1")
        await pilot.pause()
        assert "[3 Light]" in text(app) and "how long each shot works" not in text(app)
