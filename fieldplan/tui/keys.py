"""The key screen: every key that does something here, from the registry of commands."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.pictures.cells import Picture, Row
from fieldplan.tui.commands import TYPING, Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.page import Page
from fieldplan.tui.rows import fitted, left, wrap

_KEYS = 19


class KeysPage(Page):
    """Opened over a page; Escape, ? or Enter goes back."""

    number = 0
    title = "Keys"
    commands = (
        Command("back", ("escape", "?", "enter", "q", "ctrl+g"), "back", "back to the page", 1),
        Command("down", ("down", "j", "space", "pagedown"), "down", "further down", 2),
        Command("up", ("up", "k", "pageup"), "up", "further up", 3),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._groups: list[tuple[str, Sequence[Command]]] = []
        self._top = 0
        self._seen = (1, 1)

    def open_for(self, page: Page, everywhere: Sequence[Command]) -> None:
        """Show the keys of a page."""
        self._groups = [(f"on {page.title}", page.live_commands()), ("everywhere", everywhere)]
        if page.form is not None:
            self._groups.append(("while a field is open", TYPING))
        self._top = 0

    def draw(self, width: int, height: int) -> Picture:
        """The list, scrolled."""
        rows: list[Row] = []
        for title, commands in self._groups:
            rows.append(((title, "title"),))
            for command in commands:
                keys = [command.keys_text, *[""] * 9]
                told = wrap(command.help, width - _KEYS, 2)
                rows += [((left(key, _KEYS), "key"), (line, "")) for key, line in zip(keys, told, strict=False)]
        self._seen = (len(rows), height)
        self._top = max(0, min(self._top, len(rows) - height))
        more = len(rows) - self._top - height
        self.message = f"{more} more below" if more > 0 else ""
        return fitted(rows[self._top :], width, height)

    def do_down(self) -> None:
        """Further down."""
        self._top += max(self._seen[1] - 1, 1)

    def do_up(self) -> None:
        """Further up."""
        self._top -= max(self._seen[1] - 1, 1)
