"""Dots to characters: braille patterns, half blocks, or the characters themselves."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.pictures.cells import Level

DOTS: dict[Level, tuple[int, int]] = {"braille": (2, 4), "block": (1, 2), "ascii": (1, 1)}  # in a cell, across x down

# Unicode block 2800-28FF: the bits of the left and right dot, row by row
_BRAILLE_BITS = ((0, 3), (1, 4), (2, 5), (6, 7))
_BRAILLE = " " + "".join(chr(0x2800 + mask) for mask in range(1, 256))
# upper dot + 3 x lower dot, a dot being 0 empty, 1 solid, 2 hatched; a cell of both kinds shows its solid half
_BLOCK = " \u2580\u2580\u2584\u2588\u2584\u2584\u2580\u2592"


def row_glyphs(level: Level, dots: Sequence[bytearray]) -> str:
    """One row of cells from its rows of dots, a byte a dot: 0 empty; 1 solid (block: 2 hatched); ascii: the character.

    One byte a cell: the rows are added up as long numbers, every dot at its own weight, which never carries over.
    """
    if level == "ascii":
        return dots[0].replace(b"\0", b" ").decode("ascii")
    total = 0
    if level == "block":
        cells = len(dots[0])
        total = int.from_bytes(dots[0], "little") + 3 * int.from_bytes(dots[1], "little")
        return total.to_bytes(cells, "little").decode("latin-1").translate(_BLOCK)
    for line, (left_bit, right_bit) in zip(dots, _BRAILLE_BITS, strict=True):
        total |= int.from_bytes(line[0::2], "little") << left_bit
        total |= int.from_bytes(line[1::2], "little") << right_bit
    return total.to_bytes(len(dots[0]) // 2, "little").decode("latin-1").translate(_BRAILLE)
