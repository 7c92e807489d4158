"""The shell: one screen, a line of pages above, a page, messages and keys below."""

from __future__ import annotations

import asyncio
import contextlib
import datetime as dt
import signal
from collections.abc import Callable, Sequence

from textual import events
from textual.app import ComposeResult
from textual.filter import LineFilter
from textual.timer import Timer
from textual.widgets import ContentSwitcher

from fieldplan.tui import chrome
from fieldplan.tui.actions import SHOTS, Actions
from fieldplan.tui.commands import CONFLICT, EVERYWHERE, TYPING, Command, find
from fieldplan.tui.desk import Desk
from fieldplan.tui.filters import FILTERS
from fieldplan.tui.form import Form
from fieldplan.tui.guide import GuidePage
from fieldplan.tui.keys import KeysPage
from fieldplan.tui.pages import Pages
from fieldplan.tui.sheet import Sheet
from fieldplan.tui.skins import BARE, SKINS
from fieldplan.tui.terminal import continue_once
from fieldplan.tui.themes import theme_of


class FieldplanApp(Actions):
    """The full-screen face. It holds which page and which skin; everything else lies on the desk.

    now: this computer's clock, where it is not the system's. remember: told the page and the theme whenever the place
    changed. started: called once, after the first frame.
    """

    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = False
    ESCAPE_TO_MINIMIZE = False

    def __init__(
        self,
        desk: Desk,
        page: int = SHOTS,
        skin: str = "plain",
        now: Callable[[], dt.datetime] | None = None,
        remember: Callable[[int, str], None] = lambda number, skin: None,
    ) -> None:
        super().__init__()
        self.desk, self.remember = desk, remember
        if now is not None:
            desk.clock.read = now
        self._minute: Timer | None = None
        self.skin_name = skin if skin in SKINS else "plain"
        self.skin = BARE if self.no_color else SKINS[self.skin_name]
        self.message = ""
        self.pages = Pages(desk)
        self.number = page if page in self.pages else SHOTS
        self.header, self.footer, self.keys_page = Sheet("header"), Sheet("footer"), KeysPage(desk)
        self.guide_page = GuidePage(desk)
        over = (self.keys_page, self.guide_page)
        self.switcher = ContentSwitcher(self.page, *over, id="body", initial=self.page.id)
        self.started: Callable[[], None] = lambda: None
        self.keep_aside: Callable[[Form | None], None] = lambda form: None  # told of the open form at every key
        self.fault: Exception | None = None
        self._place = (0, 0, "")
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
        return FILTERS.get(self.skin.name, ())

    def _handle_exception(self, error: Exception) -> None:
        """A fault of the program ends it; the first one is what a report wants."""
        self.fault = self.fault or error
        super()._handle_exception(error)

    def _fatal_error(self) -> None:
        """Instead of pages of local variables, with all that they hold: told in one line when the screen is gone."""
        self._close_messages_no_wait()

    def on_mount(self) -> None:
        """The first drawing, in the first frame; signals to end restore the terminal as the key does."""
        with contextlib.suppress(NotImplementedError, AttributeError):  # not on every system
            for number in (signal.SIGTERM, signal.SIGHUP):
                asyncio.get_running_loop().add_signal_handler(number, self.do_quit)
            continue_once(self)
        self.app_resume_signal.subscribe(self, lambda _: self.refresh(layout=True))  # back from the shell
        self.page.arrived()
        self.draw()
        self.wind()
        self.call_after_refresh(self.started)
        self.call_after_refresh(self.save)

    def on_resize(self) -> None:
        """Draw for the new size, once the toolkit has taken note of it."""
        self.call_next(self.draw)

    def live_commands(self) -> tuple[Command, ...]:
        """What keys do now."""
        if self.helping:
            return self.desk.keys.of(self.front.title, self.front.commands)
        if self.page.typing:
            return TYPING
        conflict = CONFLICT if self.desk.conflict is not None else ()
        return self.desk.keys.of(self.page.title, (*conflict, *self.page.live_commands(), *EVERYWHERE))

    async def on_key(self, event: events.Key) -> None:
        """Every key comes here, and goes to the open field or to its command."""
        event.stop()
        event.prevent_default()
        self.message = self.page.message = ""
        if self.page.form is not None and self.page.typing and not self.helping:
            self.page.form.type_key(event.key, event.character)
        else:
            printed = event.character if event.is_printable and event.character != " " else None
            command = find(self.live_commands(), printed or event.key)
            if command is not None:
                self.run_command(command)
        self.draw()
        self.wind()
        self.call_after_refresh(self.save)

    def wind(self) -> None:
        """On the day of the plan, draw again when the next minute begins; on any other day nothing is waited for."""
        if not self.desk.is_today():
            if self._minute is not None:
                self._minute.stop()
                self._minute = None
        elif self._minute is None:
            self._minute = self.set_timer(self.desk.clock.to_next_minute_s(), self.next_minute)

    def next_minute(self) -> None:
        """A minute of the day itself has begun."""
        self._minute = None
        self.draw()
        self.wind()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the open field, and nowhere else."""
        if self.page.form is not None and self.page.typing:
            self.page.form.paste(event.text)
            self.draw()
            self.call_after_refresh(self.save)

    def run_command(self, command: Command) -> None:
        """Do what a command says: on the key screen, on the page, or here."""
        number = command.id.removeprefix("page_")
        if number.isdigit():
            self.show(int(number))
            return
        for holder in (*self.front.holders, self):
            doing = getattr(holder, f"do_{command.id}", None)
            if doing is not None:
                doing()
                return

    def draw(self) -> None:
        """Draw what is in sight; only rows that changed are sent."""
        width, height = self.size
        self.header.paint(chrome.header(self.number, self.desk.plan.value.title, width), self.skin)
        body = self.front
        body.paint(body.draw(width, max(height - 1 - chrome.FOOT, 1)), self.skin)
        self.paint_foot(self.message or body.told(width))

    def paint_foot(self, message: str) -> None:
        """The message and the keys that live."""
        body = self.front
        self.footer.paint(chrome.footer(message, self.live_commands(), body.arrows, self.size.width), self.skin)

    def save(self) -> None:
        """Put the last edit on disk, after the answers to it are on the screen, and keep aside what is not there."""
        self.keep_aside(self.page.form)
        self.desk.flush()
        self.keep_aside(self.page.form)
        if self.desk.notices:
            notices, self.desk.notices = self.desk.notices, []
            told = self.message or self.page.message
            self.paint_foot("; ".join([told, *notices] if told else notices))
        place = (self.number, self.desk.shot_index, self.skin_name)
        if place != self._place:
            self._place = place
            self.remember(self.number, self.skin_name)
