"""The least that a program of this toolkit can be: one input, one table, a footer. What is typed goes into the table.

Run by the benchmark beside the program itself; it stands for what the toolkit alone costs.
"""

from __future__ import annotations

import gc
import os

gc.disable()  # as the program does while it starts
os.environ.setdefault("TEXTUAL_FPS", "240")
os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")

from textual.app import App, ComposeResult  # noqa: E402
from textual.widgets import DataTable, Footer, Input  # noqa: E402


class BareApp(App[None]):
    """One input, one table, a footer."""

    BINDINGS = [("ctrl+q", "quit", "quit"), ("f1", "help", "keys")]  # noqa: RUF012
    ENABLE_COMMAND_PALETTE = False

    def compose(self) -> ComposeResult:
        """The three widgets."""
        yield Input(id="distance")
        yield DataTable()
        yield Footer()

    def on_mount(self) -> None:
        """Sixteen rows of six cells."""
        table = self.query_one(DataTable)
        self.columns = table.add_columns(*(f"column {n}" for n in range(6)))
        self.rows = [table.add_row(*(f"cell {row}.{n}" for n in range(6))) for row in range(16)]
        self.call_after_refresh(gc.enable)

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was typed, in every row."""
        table = self.query_one(DataTable)
        for number, row in enumerate(self.rows):
            table.update_cell(row, self.columns[1], f"{event.value} m {number}")


if __name__ == "__main__":
    BareApp().run(mouse=False)
