"""What surrounds a page: the line of pages above, the line of messages and the keys below."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.notation.keynames import key_name
from fieldplan.pictures.cells import Picture, Row, Run, text_cells
from fieldplan.tui.commands import Command
from fieldplan.tui.rows import BLANK, crop, crop_row, fitted, safe, wrapped

TITLES = ((1, "Gear"), (2, "Shot"), (3, "Light"), (4, "Moon & sun"), (5, "Card"))
FOOT = 3  # rows: one of messages and two of keys; a long message takes a row of the keys


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
    told: list[Row] = wrapped(safe(message), width, "warn", most=FOOT - 1) or [BLANK]
    live = [(command.shown or key_name(command.keys[0]), command.label) for command in sorted(commands, key=_rank)]
    rows: list[Row] = []
    line: list[Run] = []
    used = 0
    for key, label in [*_arrow_words(arrows), *((key, label) for key, label in live if label)]:
        wide = text_cells(key) + 1 + text_cells(label)
        if line and used + 2 + wide > width:
            rows.append(tuple(line))
            line, used = [], 0
        line += [("  " if line else "", ""), (key, "key"), (f" {label}", "dim")]
        used += wide + (2 if used else 0)
    rows.append(tuple(line))
    return fitted([*told, *rows], width, FOOT)


def _rank(command: Command) -> int:
    return command.rank


def _arrow_words(arrows: str) -> list[tuple[str, str]]:
    """ "Left/Right field; Up/Down step" as pairs of key and word."""
    pairs = (part.strip().split(" ", 1) for part in arrows.split(";") if part.strip())
    return [(pair[0], pair[1]) for pair in pairs]
