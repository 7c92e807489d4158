"""What the keys that live on every page do."""

from __future__ import annotations

from collections.abc import Mapping

from textual.app import App
from textual.widgets import ContentSwitcher

from fieldplan.tui import chrome
from fieldplan.tui.commands import EVERYWHERE
from fieldplan.tui.desk import Desk
from fieldplan.tui.guide import GuidePage
from fieldplan.tui.keys import KeysPage
from fieldplan.tui.page import Page
from fieldplan.tui.skins import SKINS, Skin, next_skin
from fieldplan.tui.themes import theme_of

SHOTS = 2


class Actions(App[int]):
    """The commands of the app itself."""

    desk: Desk
    message: str
    skin: Skin
    skin_name: str
    number: int
    pages: Mapping[int, Page]
    keys_page: KeysPage
    guide_page: GuidePage
    switcher: ContentSwitcher

    @property
    def page(self) -> Page:
        """The page in sight, or the one that the key screen covers."""
        return self.pages[self.number]

    @property
    def helping(self) -> bool:
        """True while the key screen or the guide covers the page."""
        return self.front is not self.page

    @property
    def front(self) -> Page:
        """What is in sight: the key screen, the guide, or the page."""
        covers: tuple[Page, ...] = (self.keys_page, self.guide_page)
        return next((cover for cover in covers if self.switcher.current == cover.id), self.page)

    def show(self, number: int) -> None:
        """Bring a page into sight; one that does not exist yet says so."""
        if number not in self.pages:
            self.message = f"{dict(chrome.TITLES)[number]}: this version has no such page yet"
            return
        self.number = number
        if not self.page.is_attached:
            self.switcher.mount(self.page)
        self.switcher.current = self.page.id
        self.page.arrived()

    def do_help(self) -> None:
        """The key screen, over the page."""
        self.keys_page.open_for(self.page, EVERYWHERE)
        self.switcher.current = self.keys_page.id

    def do_guide(self) -> None:
        """The guide, at the chapter of the page."""
        self.guide_page.open_at(self.number)
        self.switcher.current = self.guide_page.id

    def do_back(self) -> None:
        """From the key screen or the guide to the page."""
        self.switcher.current = self.page.id

    def do_undo(self) -> None:
        """Take back an edit."""
        self.message = "taken back" if self.desk.undo() else "nothing to take back"

    def do_redo(self) -> None:
        """Bring an edit back."""
        self.message = "brought back" if self.desk.redo() else "nothing to bring back"

    def do_now(self) -> None:
        """Go to the shot that is next by the clock."""
        self.show(SHOTS)
        self.message = self.desk.go_now(self.desk.clock.now())

    def do_skin(self) -> None:
        """The next theme; where colours are off, it says so."""
        if self.no_color:
            self.message = "NO_COLOR is set: one theme, in the terminal's own colours"
            return
        self.skin_name = next_skin(self.skin_name)
        self.skin = SKINS[self.skin_name]
        self.theme = theme_of(self.skin).name
        self.message = f"theme {self.skin.name}: {self.skin.about}"

    def do_reload(self) -> None:
        """Read a file again that another program changed."""
        self.message = self.desk.reload() or f"read again; {self.page.key('undo')} takes it back"

    def do_copy_mine(self) -> None:
        """Keep the edits in a file of their own."""
        self.message = self.desk.save_copy()

    def do_compare(self) -> None:
        """The differences, over the page."""
        found = self.desk.compared()
        if isinstance(found, str):
            self.message = found
            return
        self.keys_page.open_differences(found)
        self.switcher.current = self.keys_page.id

    def do_over(self) -> None:
        """Save over what another program wrote."""
        self.desk.save_over()
        self.message = "saved over; what the other program wrote lies beside it as NAME~"

    def do_quit(self) -> None:
        """Leave in good order, also when the terminal goes away: an open text that cannot be read is kept aside."""
        if self.page.form is not None and self.page.form.typing:
            self.page.form.close()
        self.desk.flush()
        self.exit(0)

    def do_suspend(self) -> None:
        """To the shell, where the system can; everything is on the disk before."""
        self.desk.flush()
        self.action_suspend_process()

    async def action_quit(self) -> None:
        """The toolkit's own key to leave (Ctrl+Q) leaves as ours does."""
        self.do_quit()
