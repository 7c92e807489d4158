"""Figures in large block characters, to be read at arm's length: digits, "f", "/", ".", "s" and what else figures take.

A glyph is drawn on a field of three columns and five bands. A band is so many half rows high and a column so many
cells wide, by the size: "huge" 12 x 10 cells a digit, "large" 6 x 5, "medium" 6 x 3.5, "narrow" 3 x 5. On a terminal
without block characters (level "ascii") the bands are whole rows of "#", and "medium" is "narrow" there.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from fieldplan.pictures.cells import Level, Picture, Row
from fieldplan.pictures.glyphs import row_glyphs

Size = Literal["huge", "large", "medium", "narrow"]
SIZES: tuple[Size, ...] = ("huge", "large", "medium", "narrow")
ROLE = "figure"
_BANDS = 5
# Columns of a glyph from left to right, each a band a character, from the top down.
_GLYPHS = {
    "0": ("#####", "#...#", "#####"), "1": (".#..#", "#####", "....#"), "2": ("#.###", "#.#.#", "###.#"),
    "3": ("#.#.#", "#.#.#", "#####"), "4": ("###..", "..#..", "#####"), "5": ("###.#", "#.#.#", "#.###"),
    "6": ("#####", "#.#.#", "#.###"), "7": ("#....", "#....", "#####"), "8": ("#####", "#.#.#", "#####"),
    "9": ("###.#", "#.#.#", "#####"), "f": ("..#..", "#####", "#.#.."), "/": ("...##", "..#..", "##..."),
    "s": (".##.#", ".####", ".#.##"), "m": (".####", ".#...", ".###.", ".#...", ".####"), ".": ("....#",),
    "h": ("#####", "..#..", "..###"), "i": ("#.###",), "n": (".####", ".#...", ".####"),
    "-": ("..#..", "..#.."), "?": ("#....", "#.#.#", "###.."), " ": (".....",),
    ">": ("#...#", ".#.#.", "..#.."),
}  # fmt: skip


class Scale(NamedTuple):
    """Cells across a column, half rows down each of the five bands."""

    across: int
    down: tuple[int, int, int, int, int]

    @property
    def rows(self) -> int:
        """Rows of cells that a figure takes."""
        return -(-sum(self.down) // 2)


_BLOCK: dict[Size, Scale] = {
    "huge": Scale(4, (4, 4, 4, 4, 4)), "large": Scale(2, (2, 2, 2, 2, 2)), "medium": Scale(2, (1, 2, 1, 2, 1)),
    "narrow": Scale(1, (2, 2, 2, 2, 2)),
}  # fmt: skip
_PLAIN: dict[Size, Scale] = {**_BLOCK, "medium": _BLOCK["narrow"]}


def scale_of(size: Size, level: Level = "block") -> Scale:
    """The scale of a size, on a terminal with block characters or in ASCII."""
    return (_PLAIN if level == "ascii" else _BLOCK)[size]


def can_draw(text: str) -> bool:
    """Whether every character of the text has a large form."""
    return all(char in _GLYPHS for char in text)


def figure_cells(text: str, size: Size, level: Level = "block") -> int:
    """Cells across that a text takes; what has no large form counts as "?"."""
    columns = sum(len(_glyph(char)) for char in text) + max(len(text) - 1, 0)
    return columns * scale_of(size, level).across


def _glyph(char: str) -> tuple[str, ...]:
    return _GLYPHS.get(char, _GLYPHS["?"])


def draw_figure(text: str, size: Size, level: Level = "block") -> Picture:
    """The text in large characters, in rows of equal width; role "figure". An empty text gives no rows.

    A character that has no large form is drawn as "?".
    """
    if not text:
        return ()
    scale = scale_of(size, level)
    columns: list[str] = []
    for char in text:
        columns += [*_glyph(char), "." * _BANDS]
    bands = [bytearray(column[band] == "#" for column in columns[:-1] for _ in range(scale.across))
             for band in range(_BANDS)]  # fmt: skip
    if level == "ascii":
        rows = [band for band, high in zip(bands, scale.down, strict=True) for _ in range(high // 2)]
        return tuple(_row(row_glyphs("ascii", [bytearray(35 if dot else 0 for dot in row)])) for row in rows)
    halves = [band for band, high in zip(bands, scale.down, strict=True) for _ in range(high)]
    if len(halves) % 2:
        halves.append(bytearray(len(halves[0])))
    return tuple(_row(row_glyphs("block", halves[y : y + 2])) for y in range(0, len(halves), 2))


def _row(text: str) -> Row:
    return ((text, ROLE),)
