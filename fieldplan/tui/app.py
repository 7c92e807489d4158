"""The shell: one screen, a line of pages above, a page, messages and keys below."""

from __future__ import annotations

import asyncio
import datetime as dt
import signal
from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.filter import LineFilter
from textual.widgets import ContentSwitcher

from fieldplan.tui import chrome
from fieldplan.tui.actions import Actions
from fieldplan.tui.commands import CONFLICT, EVERYWHERE, TYPING, Command, find
from fieldplan.tui.desk import Desk
from fieldplan.tui.filters import NoColour, RedOnly
from fieldplan.tui.keys import KeysPage
from fieldplan.tui.page import Page
from fieldplan.tui.pages import PAGES
from fieldplan.tui.sheet import Sheet
from fieldplan.tui.skins import BARE, SKINS
from fieldplan.tui.themes import theme_of

_FILTERS: dict[str, tuple[LineFilter, ...]] = {"night": (RedOnly(),), "bare": (NoColour(),)}


class FieldplanApp(Actions):
    """The full-screen face. It holds which page and which skin; everything else lies on the desk."""

    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = False
    ESCAPE_TO_MINIMIZE = False
    SHOTS: ClassVar[int] = 2

    def __init__(
        self, desk: Desk, page: int = SHOTS, skin: str = "plain", now: Callable[[], dt.datetime] = dt.datetime.now,
        remember: Callable[[int, str], None] = lambda number, skin: None,
    ) -> None:
        super().__init__()
        self.desk, self.now, self.remember = desk, now, remember
        self._place = (0, 0, "")
        self.skin_name = skin if skin in SKINS else "plain"
        self.skin = BARE if self.no_color else SKINS[self.skin_name]
        self.message = ""
        self.pages = {kind.number: kind(desk) for kind in PAGES}
        self.number = page if page in self.pages else self.SHOTS
        self.header, self.footer, self.keys_page = Sheet("header"), Sheet("footer"), KeysPage(desk)
        self.switcher = ContentSwitcher(*self.pages.values(), self.keys_page, id="body", initial=self.page.id)
        for one in (BARE, *SKINS.values()):
            self.register_theme(theme_of(one))
        self.theme = theme_of(self.skin).name
        self.animation_level = "none"

    def compose(self) -> ComposeResult:
        """The three parts of the screen."""
        yield self.header
        yield self.switcher
        yield self.footer

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Night holds red alone; without colours there are none."""
        return _FILTERS.get(self.skin.name, ())

    @property
    def page(self) -> Page:
        """The page in sight, or the one that the key screen covers."""
        return self.pages[self.number]

    @property
    def helping(self) -> bool:
        """True while the key screen is shown."""
        return self.switcher.current == self.keys_page.id

    def live_commands(self) -> tuple[Command, ...]:
        """What keys do now."""
        if self.helping:
            return self.keys_page.commands
        if self.page.typing:
            return TYPING
        conflict = CONFLICT if self.desk.conflict is not None else ()
        return (*conflict, *self.page.live_commands(), *EVERYWHERE)

    def on_mount(self) -> None:
        """The first drawing, in the first frame; signals to end restore the terminal as q does."""
        for number in (signal.SIGTERM, signal.SIGHUP):
            asyncio.get_running_loop().add_signal_handler(number, self.finish)
        self.page.arrived()
        self.draw()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    async def on_key(self, event: events.Key) -> None:
        """Every key comes here, and goes to the open field or to its command."""
        event.stop()
        event.prevent_default()
        self.message = self.page.message = ""
        if self.page.typing and self.page.form is not None and not self.helping:
            self.page.form.type_key(event.key, event.character)
        else:
            printed = event.is_printable and event.character not in (None, " ")
            command = find(self.live_commands(), event.character if printed and event.character else event.key)
            if command is not None:
                self.run_command(command)
        self.draw()
        self.call_after_refresh(self.save)

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the open field, and nowhere else."""
        if self.page.typing and self.page.form is not None:
            self.page.form.paste(event.text)
            self.draw()

    def run_command(self, command: Command) -> None:
        """Do what a command says: on the key screen, on the page, or here."""
        if command.id.startswith("page_"):
            self.show(int(command.id.removeprefix("page_")))
            return
        for holder in (self.keys_page, self) if self.helping else (self.page, self):
            doing = getattr(holder, f"do_{command.id}", None)
            if doing is not None:
                doing()
                return

    def show(self, number: int) -> None:
        """Bring a page into sight; one that does not exist yet says so."""
        if number not in self.pages:
            self.message = f"{dict(chrome.TITLES)[number]}: this version has no such page yet"
            return
        self.number = number
        self.switcher.current = self.page.id
        self.page.arrived()

    def do_help(self) -> None:
        """The key screen, over the page."""
        self.keys_page.open_for(self.page, EVERYWHERE)
        self.switcher.current = self.keys_page.id

    def do_back(self) -> None:
        """From the key screen to its page."""
        self.switcher.current = self.page.id

    def show_shots(self) -> None:
        """Bring the page of shots into sight."""
        self.show(self.SHOTS)

    def close_field(self) -> None:
        """Leave a field that is open; a text that cannot be read is kept aside."""
        if self.page.form is not None and self.page.form.typing:
            self.page.form.close()

    def draw(self) -> None:
        """Draw what is in sight; only rows that changed are sent."""
        width, height = self.size
        self.header.paint(chrome.header(self.number, self.desk.plan.value.title, width), self.skin)
        body = self.keys_page if self.helping else self.page
        body.paint(body.draw(width, max(height - 1 - chrome.FOOT, 1)), self.skin)
        self.paint_foot(self.message or body.message)

    def paint_foot(self, message: str) -> None:
        """The message and the keys that live."""
        body = self.keys_page if self.helping else self.page
        self.footer.paint(chrome.footer(message, self.live_commands(), body.arrows, self.size.width), self.skin)

    def save(self) -> None:
        """Put the last edit on disk, after the answers to it are on the screen."""
        self.desk.flush()
        if self.desk.notices:
            notices, self.desk.notices = self.desk.notices, []
            self.paint_foot("; ".join(notices))
        place = (self.number, self.desk.shot_index, self.skin_name)
        if place != self._place:
            self._place = place
            self.remember(self.number, self.skin_name)
