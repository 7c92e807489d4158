"""What a table of the card is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Table:
    """A titled table. columns, one letter each: w text that takes the room that is left, l text, r figures."""

    title: str
    columns: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
