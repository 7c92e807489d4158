"""What surrounds a page: the line of pages above, the line of messages and the keys below."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.pictures.cells import Picture, Row, Run, text_cells
from fieldplan.tui.commands import Command, key_name
from fieldplan.tui.rows import crop, crop_row, fitted, left, safe

TITLES = ((1, "Gear"), (2, "Shot"), (3, "Light"), (4, "Moon & sun"), (5, "Card"))
KEY_ROWS = 2
FOOT = KEY_ROWS + 1


def header(current: int, title: str, width: int) -> Picture:
    """The pages by number, the present one marked by brackets, and the plan's title."""
    row: list[Run] = []
    for number, name in TITLES:
        row.append((f"[{number} {name}]", "tab") if number == current else (f" {number} {name} ", "dim"))
    used = sum(text_cells(text) for text, _ in row)
    room = width - used - 1
    shown = crop(safe(title), room)
    row.append((" " * (width - used - text_cells(shown)), ""))
    row.append((shown, "title"))
    return (crop_row(tuple(row), width),)


def footer(message: str, commands: Sequence[Command], arrows: str, width: int) -> Picture:
    """A message, and the keys that live now, the most useful first."""
    first: Row = ((left(safe(message), width), "warn" if message else ""),)
    parts = [(command.keys[0], command.label) for command in sorted(commands, key=lambda c: c.rank) if command.label]
    words: list[tuple[str, str]] = [*_arrow_words(arrows), *((key_name(key), label) for key, label in parts)]
    rows: list[Row] = []
    line: list[Run] = []
    used = 0
    for key, label in words:
        wide = text_cells(key) + text_cells(label) + 3
        if line and used + wide - 2 > width:
            rows.append(tuple(line))
            line, used = [], 0
        line += [(key, "key"), (f" {label}  ", "dim")]
        used += wide
    rows.append(tuple(line))
    return fitted([first, *rows[:KEY_ROWS]], width, FOOT)


def _arrow_words(arrows: str) -> list[tuple[str, str]]:
    """ "Left/Right field; Up/Down step" as pairs of key and word."""
    pairs = (part.strip().split(" ", 1) for part in arrows.split(";") if part.strip())
    return [(pair[0], pair[1]) for pair in pairs]
