"""What a picture is made of: rows of (text, role) runs, measured in terminal cells.

Widths follow Unicode Standard Annex 11 (East Asian Width): W and F take two cells, combining marks none, the rest one.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Literal

Level = Literal["braille", "block", "ascii"]
Run = tuple[str, str]
Row = tuple[Run, ...]
Picture = tuple[Row, ...]

ROLES = ("", "frame", "subject", "sharp", "blur", "axis", "label", "cursor", "sun", "moon", "ground", "warn", "figure")

_WIDE = frozenset("WF")
_ZERO_WIDTH = frozenset({"Mn", "Me"})
_REFUSED = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})
_ASCII = {
    "\N{DEGREE SIGN}": " deg",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{PLUS-MINUS SIGN}": "+-",
    "\N{MINUS SIGN}": "-",
    "\N{HYPHEN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{PRIME}": "'",
    "\N{DOUBLE PRIME}": '"',
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{HORIZONTAL ELLIPSIS}": "...",
    "\N{MIDDLE DOT}": ".",
    "\N{INFINITY}": "inf",
    "\N{ALMOST EQUAL TO}": "~",
    "\N{LESS-THAN OR EQUAL TO}": "<=",
    "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{LEFTWARDS ARROW}": "<-",
    "\N{UPWARDS ARROW}": "^",
    "\N{DOWNWARDS ARROW}": "v",
    "\N{GREEK SMALL LETTER MU}": "u",
}

_ASCII_CELL = {
    "\N{DEGREE SIGN}": "*",
    "\N{PLUS-MINUS SIGN}": "~",
    "\N{HORIZONTAL ELLIPSIS}": "~",
    "\N{LESS-THAN OR EQUAL TO}": "<",
    "\N{GREATER-THAN OR EQUAL TO}": ">",
    "\N{LEFTWARDS ARROW}": "<",
    "\N{RIGHTWARDS ARROW}": ">",
    "\N{BULLET}": "*",
}


def char_cells(char: str) -> int:
    """Cells that one character takes: 0, 1 or 2. Ambiguous widths count as 1."""
    if char.isascii():
        return 1
    if unicodedata.category(char) in _ZERO_WIDTH:
        return 0
    return 2 if unicodedata.east_asian_width(char) in _WIDE else 1


def clean(text: str) -> str:
    """The text in NFC, tabs and line ends as blanks, without control, format, surrogate or private characters.

    Variation selectors go too: what they do to a width differs between terminals.
    """
    if text.isascii() and text.isprintable():
        return text
    kept = []
    for char in unicodedata.normalize("NFC", text):
        if char in "\t\n\r":
            kept.append(" ")
        elif unicodedata.category(char) not in _REFUSED and not "\ufe00" <= char <= "\ufe0f":
            kept.append(char)
    return "".join(kept)


def to_ascii(text: str) -> str:
    """The text in printable ASCII: signs spelt out, accents dropped, whatever is left as "?" (a wide one as "??")."""
    if text.isascii():
        return text
    out = []
    for char in unicodedata.normalize("NFC", text):
        if char.isascii():
            out.append(char)
        elif char in _ASCII:
            out.append(_ASCII[char])
        else:
            base = "".join(c for c in unicodedata.normalize("NFKD", char) if c.isascii() and c.isprintable())
            out.append(base or "?" * char_cells(char))
    return "".join(out)


def to_ascii_cells(text: str) -> str:
    """The text in printable ASCII that takes as many cells as before, for rows that are laid out already."""
    if text.isascii():
        return text
    out = []
    for char in unicodedata.normalize("NFC", text):
        room = char_cells(char)
        plain = _ASCII_CELL.get(char) or (char if char.isascii() else to_ascii(char))
        out.append(plain if len(plain) == room else "?" * room)
    return "".join(out)


def split_cells(text: str) -> list[str]:
    """One entry a cell: the character with its combining marks; the second cell of a wide character is ""."""
    if text.isascii():
        return list(text)
    cells: list[str] = []
    base = -1
    for char in text:
        width = char_cells(char)
        if width:
            base = len(cells)
            cells.extend((char, "")[:width])
        elif base >= 0:
            cells[base] += char
    return cells


def text_cells(text: str) -> int:
    """Cells that a cleaned text takes."""
    return len(text) if text.isascii() else sum(char_cells(char) for char in text)


def fit(text: str, cells: int) -> str:
    """The longest beginning of the text that takes at most so many cells."""
    parts = split_cells(text)
    if len(parts) <= cells:
        return text
    end = max(cells, 0)
    if end and parts[end] == "":
        end -= 1
    return "".join(parts[:end])


def plain_rows(picture: Picture) -> tuple[str, ...]:
    """The rows as text, blanks at the end kept, so that each is as wide as the picture."""
    return tuple("".join(text for text, _ in row) for row in picture)


def plain(picture: Picture) -> str:
    """The picture as text lines, without the blanks at their ends: for files, logs and tests."""
    return "\n".join(row.rstrip() for row in plain_rows(picture))


def roles_by_cell(row: Row) -> Sequence[str]:
    """The role of every cell of a row."""
    return [role for text, role in row for _ in range(text_cells(text))]
