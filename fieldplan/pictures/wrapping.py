"""Text broken into lines of terminal cells: the one way to do it, for paper, commands and screen."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from fieldplan.pictures.cells import char_cells, clean, text_cells

WIDTH = 80  # cells of a line of plain text
TIE = "\N{NO-BREAK SPACE}"
_UNITS = r"%|[kcmu]?m|ft|in|mi|m/s|mph|kg|lb|s|min|deg|pixels?|stops?"
_TIED = re.compile(rf"(?<=[0-9]) (?=(?:{_UNITS})(?![^\s,;:.)]))|(?<=\bISO) (?=[0-9?])|(?<=\bEV) (?=[-0-9?])")


def glued(text: str) -> str:
    """The text with what belongs on one line tied together: "600 mm", "ISO 400"."""
    return _TIED.sub(TIE, " ".join(text.split()))


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Lines of at most ``width`` cells, all but the first indented; too long a word is broken, never cut off."""
    text = " ".join(clean(text).split())
    if text_cells(text) <= width:
        return [text]
    return [line.replace(TIE, " ") for line in broken(glued(text).split(" "), width, indent, pieces)]


def broken(words: Iterable[str], width: int, indent: str, shorter: Callable[[str, int], list[str]]) -> list[str]:
    """Words in lines of at most ``width`` cells, all but the first indented; none where there is no word.

    shorter: makes of too long a word what fits into so many cells each.
    """
    least = width - text_cells(indent)
    lines: list[str] = []
    line = ""
    for word in words:
        cells = text_cells(word)
        if line and text_cells(line) + 1 + cells <= (least if lines else width):
            line = f"{line} {word}"
            continue
        if line:
            lines.append(line)
        *full, line = [word] if cells <= (least if lines else width) else shorter(word, least)
        lines += full
    if line:
        lines.append(line)
    return [*lines[:1], *(indent + rest for rest in lines[1:])]


def pieces(word: str, cells: int) -> list[str]:
    """A word in pieces of at most so many cells (2 or more)."""
    parts, width = [""], 0
    for char in word:
        wide = char_cells(char)
        if width + wide > cells:
            parts.append("")
            width = 0
        parts[-1] += char
        width += wide
    return parts
