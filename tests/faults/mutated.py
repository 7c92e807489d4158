"""Hostile input: real files and texts with parts cut, doubled, swapped and replaced, all by chance of a given seed."""

from __future__ import annotations

import math
import random
import struct

from .hostile import EDGES, FLOODS, HOSTILE, NUMBERS, OPTIONS, TAGS, TOML, XML

MOST_BYTES = 1 << 18
SHORT = 300  # bytes; of a shorter text only a little is replaced at once
_BROKEN = (b"\xff", b"\xed\xa0\x80", b"\xc0\xaf", b"\xf4\x90\x80\x80", b"\xef\xbb\xbf")
_BLOCKS = ((32, 127), (32, 127), (160, 592), (768, 880), (1536, 1792), (0x2000, 0x2070), (0xFE00, 0xFF60),
           (0x4E00, 0x4E40), (0x1F300, 0x1F700), (0xE0000, 0xE0080), (0, 0x110000))  # fmt: skip
_CHANGES = ("put", "put", "put", "value", "value", "cut", "double", "move", "bit", "end")


def _bytes(words: tuple[str, ...]) -> list[bytes]:
    return [word.encode("utf-8", "surrogatepass") for word in words]


_ANY = _bytes(HOSTILE + NUMBERS + EDGES)
OWN = {
    "toml": _bytes(TOML),
    "gpx": _bytes(XML),
    "picture": list(TAGS),
    "text": [*_bytes(TOML[30:]), *(mark.encode() for mark in " -.,:'\"/\u00b0NSEWx~")],
    "name": _bytes(FLOODS),
    "words": _bytes(OPTIONS),
}


def part(chance: random.Random, sort: str) -> bytes:
    """What is put into input of a sort: a key of OWN."""
    match chance.randrange(12):
        case 0 | 1 | 2 | 3:
            return chance.choice(OWN[sort])
        case 4 | 5 | 6:
            return chance.choice(_ANY)
        case 7:
            return chance.randbytes(chance.randrange(9))
        case 8:
            return letters(chance).encode("utf-8", "surrogatepass")
        case 9:
            return repr(struct.unpack("<d", chance.randbytes(8))[0]).encode()
        case 10:
            return str(math.floor(chance.uniform(-3, 3) * 10 ** chance.randrange(20))).encode()
        case _:
            return chance.choice(_BROKEN)


def letters(chance: random.Random) -> str:
    """A short text of any letters that Unicode has, and of what is no letter."""
    low, high = chance.choice(_BLOCKS)
    return "".join(chr(chance.randrange(low, high)) for _ in range(chance.randrange(13)))


def made(chance: random.Random, seeds: tuple[bytes, ...], sort: str) -> bytes:
    """One input: bytes of no sense where there are no seeds, else a seed after changes, now and then parts alone."""
    if not seeds:
        return chance.randbytes(96)
    if sort in ("text", "name") and chance.randrange(3) == 0:
        return b"".join(part(chance, sort) for _ in range(chance.randrange(7)))
    return changed(chance, chance.choice(seeds), sort)


def changed(chance: random.Random, data: bytes, sort: str) -> bytes:
    """Data after none (of a short text) or one to five changes: pieces replaced, cut out, doubled, moved; bits turned;
    the end cut off."""
    short = len(data) < SHORT
    for _ in range(chance.randrange(4) if short else chance.randint(1, 5)):
        start = chance.randrange(len(data) + 1)
        length = chance.choice((0, 0, 1, 2, 3) if short else (0, 0, 1, 2, 4, 9, 30, 200))
        piece = data[start : start + length]
        match chance.choice(_CHANGES):
            case "put":
                data = data[:start] + part(chance, sort) + data[start + length :]
            case "value":
                data = _value_replaced(data, start, part(chance, sort), sort)
            case "cut":
                data = data[:start] + data[start + length :]
            case "double":
                data = data[:start] + piece * chance.randint(2, 40) + data[start + length :]
            case "move":
                rest = data[:start] + data[start + length :]
                to = chance.randrange(len(rest) + 1)
                data = rest[:to] + piece + rest[to:]
            case "bit" if start < len(data):
                data = data[:start] + bytes([data[start] ^ chance.randint(1, 255)]) + data[start + 1 :]
            case "end":
                data = data[:start]
    return data[:MOST_BYTES]


def _value_replaced(data: bytes, start: int, new: bytes, sort: str) -> bytes:
    """A whole value: what stands between the next quotes; of a command, the next word; of a picture, four bytes."""
    if sort == "picture":
        return data[:start] + new[:4].ljust(4, b"\0") + data[start + 4 :]
    mark = b"\0" if sort == "words" else b'"'
    first = data.find(mark, start)
    last = data.find(mark, first + 1)
    if sort == "words" and first >= 0 and last < 0:
        last = len(data)
    if first < 0 or last < 0 or new.startswith(b"="):
        return data[:start] + new + data[start:]
    if len(new) % 2 and sort == "toml":  # now and then bare, without its quotes
        return data[:first] + new + data[last + 1 :]
    return data[: first + 1] + new.replace(mark, b"") + data[last:]
