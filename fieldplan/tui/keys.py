"""What is laid over a page: every key that does something here, or where two versions of a file differ."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.files.comparing import Difference
from fieldplan.model.keytable import command_name
from fieldplan.pictures.cells import Picture, Row
from fieldplan.tui.commands import TYPING, Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.page import Page
from fieldplan.tui.rows import fitted, left, safe, wrap, wrapped

_KEYS = 19
_WHO = 12


class KeysPage(Page):
    """Opened over a page; Escape, ? or Enter goes back."""

    number = 0
    title = "Keys"
    commands = (
        Command("back", ("escape", "?", "enter", "q", "ctrl+g"), "back", "back to the page", 1, opener="help"),
        Command("down", ("down", "j", "space", "pagedown"), "down", "further down", 2),
        Command("up", ("up", "k", "pageup"), "up", "further up", 3),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._groups: list[tuple[str, Sequence[Command]]] = []
        self._differences: Sequence[Difference] | None = None
        self._top = 0
        self._seen = (1, 1)

    def open_for(self, page: Page, everywhere: Sequence[Command]) -> None:
        """Show the keys of a page."""
        here = page.live_commands()
        laid = self.desk.keys.of(page.title, (*here, *everywhere))
        self._groups = [(f"on {page.title}", laid[: len(here)]), ("everywhere", laid[len(here) :])]
        if page.form is not None:
            self._groups.append(("while a field is open", TYPING))
        self._top, self._differences = 0, None

    def open_differences(self, found: Sequence[Difference]) -> None:
        """Show where the edits differ from what another program wrote."""
        self._top, self._differences = 0, found

    def draw(self, width: int, height: int) -> Picture:
        """The list, scrolled."""
        rows = self._keys(width) if self._differences is None else _told(self._differences, width)
        self._seen = (len(rows), height)
        self._top = max(0, min(self._top, len(rows) - height))
        more = len(rows) - self._top - height
        self.message = f"{more} more below" if more > 0 else ""
        return fitted(rows[self._top :], width, height)

    def _keys(self, width: int) -> list[Row]:
        rows: list[Row] = []
        for title, commands in self._groups:
            rows.append(((title, "title"),))
            for command in commands:
                keys = [command.keys_text, *[""] * 9]
                name = "" if commands is TYPING else f"{command_name(command.id)}: "
                told = wrap(f"{name}{command.help}", width - _KEYS, 2)
                rows += [((left(key, _KEYS), "key"), (line, "")) for key, line in zip(keys, told, strict=False)]
        return rows

    def do_down(self) -> None:
        """Further down."""
        self._top += max(self._seen[1] - 1, 1)

    def do_up(self) -> None:
        """Further up."""
        self._top -= max(self._seen[1] - 1, 1)


def _told(found: Sequence[Difference], width: int) -> list[Row]:
    """Each difference in three rows: where, what you wrote, what the other program wrote."""
    title = "yours and the file's" if found else "there is no difference left"
    rows: list[Row] = [((title, "title"),)]
    for one in found:
        rows += wrapped(safe(one.where), width, "label")
        for who, text in (("yours", one.mine), ("the file", one.theirs)):
            lines = wrap(safe(text) or "nothing", max(width - _WHO, 1))
            heads = [f"  {who}", *[""] * len(lines)]
            rows += [((left(head, _WHO), "dim"), (line, "value")) for head, line in zip(heads, lines, strict=False)]
    return rows
