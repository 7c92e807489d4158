"""What the keys that live on every page do."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from textual.app import App

from fieldplan.tui.desk import Desk
from fieldplan.tui.skins import SKINS, next_skin
from fieldplan.tui.themes import theme_of


class Actions(App[int]):
    """The commands of the app itself."""

    desk: Desk
    message: str
    skin_name: str
    now: Callable[[], dt.datetime]

    def do_undo(self) -> None:
        """Take back an edit."""
        self.message = "taken back" if self.desk.undo() else "nothing to take back"

    def do_redo(self) -> None:
        """Bring an edit back."""
        self.message = "brought back" if self.desk.redo() else "nothing to bring back"

    def do_now(self) -> None:
        """Go to the shot that is next by the clock."""
        self.show_shots()
        self.message = self.desk.go_now(self.now())

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
        self.message = self.desk.reload() or "read again; undo takes it back"

    def do_over(self) -> None:
        """Save over what another program wrote."""
        self.desk.save_over()
        self.message = "saved over; what the other program wrote lies beside it as NAME~"

    def do_quit(self) -> None:
        """Leave in good order."""
        self.finish()

    def finish(self) -> None:
        """Close an open field, save, and end; also when the terminal goes away."""
        self.close_field()
        self.desk.flush()
        self.exit(0)

    def show_shots(self) -> None:
        """Bring the page of shots into sight."""
        raise NotImplementedError

    def close_field(self) -> None:
        """Leave a field that is open; its text is not lost."""
        raise NotImplementedError
