"""The guide over a page: its own chapter first, the others a key away."""

from __future__ import annotations

import re

from fieldplan.files.guide import CHAPTERS, PAGES, read_chapter
from fieldplan.pictures.cells import Picture, Row
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.page import Page
from fieldplan.tui.rows import BLANK, crop_row, fitted, wrap

_MARKS = re.compile(r"\*\*|`|(?<![\w*])\*(?=\w)|(?<=\w)\*(?![\w*])")


def guide_rows(text: str, width: int) -> list[Row]:
    """A chapter in rows: its title, paragraphs and points wrapped, without the marks of the text."""
    rows: list[Row] = []
    for line in text.splitlines():
        plain = _MARKS.sub("", line)
        if line.startswith("# "):
            rows.append(crop_row(((plain[2:], "title"),), width))
        elif line.startswith("- "):
            rows += [((told, ""),) for told in wrap(plain, width, 2)]
        elif plain:
            rows += [((told, ""),) for told in wrap(plain, width)]
        else:
            rows.append(BLANK)
    return rows


class GuidePage(Page):
    """Opened over a page; Escape, F1 or Enter goes back."""

    number = -1
    title = "Guide"
    commands = (
        Command("back", ("escape", "f1", "H", "enter", "q", "ctrl+g"), "back", "back to the page", 1, opener="guide"),
        Command("next_chapter", ("right", "]", "tab"), "chapter", "the next chapter", 2, "[ ]"),
        Command("previous_chapter", ("left", "[", "shift+tab"), "", "the chapter before", 3),
        Command("down", ("down", "j", "space", "pagedown"), "down", "further down", 4),
        Command("up", ("up", "k", "pageup"), "up", "further up", 5),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._at = self._top = 0
        self._seen = (1, 1)

    def open_at(self, number: int) -> None:
        """Show the chapter of a page."""
        self._at = number - 1 if 1 <= number <= len(PAGES) else 0
        self._top = 0

    def draw(self, width: int, height: int) -> Picture:
        """The chapter, scrolled, under a line that names all of them."""
        names = tuple((f" {name} ", "picked" if at == self._at else "dim") for at, name in enumerate(CHAPTERS))
        rows = guide_rows(read_chapter(CHAPTERS[self._at]), width)
        room = max(height - 2, 1)
        self._seen = (len(rows), room)
        self._top = max(0, min(self._top, len(rows) - room))
        more = len(rows) - self._top - room
        self.message = f"{more} more below" if more > 0 else ""
        return fitted([crop_row(names, width), BLANK, *rows[self._top :]], width, height)

    def do_next_chapter(self) -> None:
        """The next chapter."""
        self._turn(1)

    def do_previous_chapter(self) -> None:
        """The chapter before."""
        self._turn(-1)

    def _turn(self, way: int) -> None:
        self._at, self._top = (self._at + way) % len(CHAPTERS), 0

    def do_down(self) -> None:
        """Further down."""
        self._top += max(self._seen[1] - 1, 1)

    def do_up(self) -> None:
        """Further up."""
        self._top -= max(self._seen[1] - 1, 1)
