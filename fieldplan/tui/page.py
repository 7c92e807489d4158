"""What every page is: a drawing of the desk, commands, and at most one form that takes the keys."""

from __future__ import annotations

from typing import ClassVar

from fieldplan.pictures.cells import Picture, text_cells
from fieldplan.tui.commands import FORM, TYPING, Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import Form
from fieldplan.tui.sheet import Sheet


class Page(Sheet):
    """One page. ``message``: a line for the person, shown once and cleared with the next key."""

    number: ClassVar[int] = 0
    title: ClassVar[str] = ""
    commands: ClassVar[tuple[Command, ...]] = ()
    field_arrows: ClassVar[str] = "←→ field; ↑↓ step"

    def __init__(self, desk: Desk) -> None:
        super().__init__(id=f"page-{self.number}")
        self.desk = desk
        self.form: Form | None = None
        self.message = ""

    @property
    def holders(self) -> tuple[object, ...]:
        """Where the ``do_`` methods of its commands are looked for, the first first."""
        return (self,)

    @property
    def typing(self) -> bool:
        """True while a field is open and takes every key."""
        return self.form is not None and self.form.typing

    @property
    def arrows(self) -> str:
        """What the arrow keys do, for the footer: "KEYS word; KEYS word"."""
        if self.form is None:
            return ""
        return "↑↓ step" if self.typing else self.field_arrows

    def live_commands(self) -> tuple[Command, ...]:
        """The commands of this moment, the page's own before those of its form."""
        if self.typing:
            return TYPING
        return (*self.commands, *(FORM if self.form is not None else ()))

    def key(self, id: str) -> str:
        """The key of a command as a person reads it, for a hint on this page."""
        return self.desk.keys.name(id, self.title)

    def draw(self, width: int, height: int) -> Picture:
        """The page in rows of at most ``width`` cells; every page has its own, this one is blank."""
        return ()

    def told(self, width: int) -> str:
        """The message of the moment; or a problem of the form, where its own line is too short or taken."""
        if self.form is None or self.message:
            return self.message
        trouble = self.form.trouble()
        return trouble if self.form.offered() or text_cells(trouble) > width - 2 else ""

    def arrived(self) -> None:
        """The page has come into sight."""

    def do_open(self) -> None:
        """Open the selected field."""
        if self.form is not None:
            self.form.open()

    def do_next_field(self) -> None:
        """Select the next field."""
        if self.form is not None:
            self.form.select(1)

    def do_previous_field(self) -> None:
        """Select the field before."""
        if self.form is not None:
            self.form.select(-1)

    def do_step_up(self) -> None:
        """Step the selected field up."""
        if self.form is not None:
            self.form.step(True)

    def do_step_down(self) -> None:
        """Step the selected field down."""
        if self.form is not None:
            self.form.step(False)

    def do_clear(self) -> None:
        """Empty the selected field."""
        if self.form is not None:
            self.form.clear()
