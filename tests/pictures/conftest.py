"""Reading pictures back: dots from the glyphs, by the names that the Unicode standard gives them."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

import pytest

Dots = set[tuple[int, int]]

# Unicode standard, section 21.1: dots 1-3 and 7 are the left column downwards, 4-6 and 8 the right one
_BRAILLE_PLACES = {
    "1": (0, 0),
    "2": (0, 1),
    "3": (0, 2),
    "7": (0, 3),
    "4": (1, 0),
    "5": (1, 1),
    "6": (1, 2),
    "8": (1, 3),
}
_BLOCK_PLACES = {"UPPER HALF BLOCK": [(0, 0)], "LOWER HALF BLOCK": [(0, 1)], "FULL BLOCK": [(0, 0), (0, 1)]}


def _places(char: str) -> list[tuple[int, int]]:
    name = unicodedata.name(char, "")
    if name.startswith("BRAILLE PATTERN DOTS-"):
        return [_BRAILLE_PLACES[digit] for digit in name.removeprefix("BRAILLE PATTERN DOTS-")]
    return _BLOCK_PLACES.get(name, [])


@pytest.fixture(scope="session")
def read_dots() -> Callable[..., Dots]:
    """(rows, level) -> the dots (x, y) of a picture, from the upper left; at the ascii level those of one character."""

    def read(rows: tuple[str, ...], level: str, ink: str = "#") -> Dots:
        dots: Dots = set()
        wide, high = {"braille": (2, 4), "block": (1, 2), "ascii": (1, 1)}[level]
        for row, line in enumerate(rows):
            for column, char in enumerate(line):
                places = [(0, 0)] * (char == ink) if level == "ascii" else _places(char)
                dots.update((column * wide + x, row * high + y) for x, y in places)
        return dots

    return read
