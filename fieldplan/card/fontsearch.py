"""Finds a font of this machine for characters that the shipped one lacks: TrueType outlines, by their character maps.

Tables and formats: OpenType specification 1.9, "cmap" (formats 4 and 12), "TTC Header", "Table Directory".
"""

from __future__ import annotations

import os
import struct
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple

_MOST_FILES = 1000
_LONGEST_MAP = 4_000_000  # bytes; the largest character maps take about 400 kB


class Face(NamedTuple):
    """A font file, and which font of a collection."""

    path: Path
    number: int


def font_folders() -> list[Path]:
    """Where fonts lie on this platform."""
    home = Path.home()
    if sys.platform == "win32":
        roots = [(os.environ.get("WINDIR"), "Fonts"), (os.environ.get("LOCALAPPDATA"), r"Microsoft\Windows\Fonts")]
        return [Path(root) / name for root, name in roots if root]
    if sys.platform == "darwin":
        return [home / "Library/Fonts", Path("/Library/Fonts"), Path("/System/Library/Fonts")]
    return [home / ".local/share/fonts", home / ".fonts", Path("/usr/local/share/fonts"), Path("/usr/share/fonts")]


def font_files(folders: list[Path]) -> list[Path]:
    """Font files under the folders, in the order of their names; at most 1000."""
    found = [p for folder in folders if folder.is_dir() for p in sorted(folder.rglob("*"))
             if p.suffix.lower() in (".ttf", ".ttc") and p.is_file()]  # fmt: skip
    return found[:_MOST_FILES]


def _starts(file: BinaryIO) -> list[int]:
    """Offsets of the fonts in a file: one, or those of a collection."""
    if file.read(4) != b"ttcf":
        return [0]
    file.seek(8)
    (count,) = struct.unpack(">L", file.read(4))
    return list(struct.unpack(f">{min(count, 16)}L", file.read(4 * min(count, 16))))


def _tables(file: BinaryIO, start: int) -> dict[bytes, tuple[int, int]]:
    file.seek(start + 4)
    (count,) = struct.unpack(">H6x", file.read(8))
    rows = struct.iter_unpack(">4s4xLL", file.read(16 * count))
    return {tag: (offset, length) for tag, offset, length in rows}


def _format_4(data: bytes, at: int, wanted: set[int]) -> set[int]:
    twice = struct.unpack_from(">H", data, at + 6)[0]
    count = twice // 2
    ends = struct.unpack_from(f">{count}H", data, at + 14)
    starts = struct.unpack_from(f">{count}H", data, at + 16 + twice)
    deltas = struct.unpack_from(f">{count}H", data, at + 16 + 2 * twice)
    base = at + 16 + 3 * twice
    offsets = struct.unpack_from(f">{count}H", data, base)
    found = set()
    for code in wanted:
        i = next((i for i, end in enumerate(ends) if code <= end), None)
        if i is None or code < starts[i]:
            continue
        if offsets[i] == 0:
            glyph = code + deltas[i]
        else:
            (glyph,) = struct.unpack_from(">H", data, base + 2 * i + offsets[i] + 2 * (code - starts[i]))
        if glyph & 0xFFFF:
            found.add(code)
    return found


def _format_12(data: bytes, at: int, wanted: set[int]) -> set[int]:
    (count,) = struct.unpack_from(">L", data, at + 12)
    groups = struct.iter_unpack(">LLL", data[at + 16 : at + 16 + 12 * count])
    return {code for first, last, _ in groups for code in wanted if first <= code <= last}


def _drawn(file: BinaryIO, start: int, wanted: set[int]) -> set[int]:
    """Which of the code points one font has a TrueType glyph for."""
    tables = _tables(file, start)
    if b"glyf" not in tables or b"cmap" not in tables or tables[b"cmap"][1] > _LONGEST_MAP:
        return set()
    offset, length = tables[b"cmap"]
    file.seek(offset)
    data = file.read(length)
    (count,) = struct.unpack_from(">2xH", data)
    found: set[int] = set()
    for platform, _, at in struct.iter_unpack(">HHL", data[4 : 4 + 8 * count]):
        (kind,) = struct.unpack_from(">H", data, at)
        if platform in (0, 3) and kind in (4, 12):
            found |= (_format_4 if kind == 4 else _format_12)(data, at, wanted)
    return found


def _faces(files: list[Path], wanted: set[int]) -> Iterator[tuple[Face, set[int]]]:
    for path in files:
        try:
            with path.open("rb") as file:
                for number, start in enumerate(_starts(file)):
                    found = _drawn(file, start, wanted)
                    if found:
                        yield Face(path, number), found
        except (OSError, struct.error):  # unreadable or damaged: as if it were not there
            continue


def faces_for(characters: set[str], folders: list[Path] | None = None) -> list[tuple[Face, set[str]]]:
    """Fonts that draw the characters, the widest first, each with what it adds; what none draws is left out."""
    wanted = {ord(c) for c in characters}
    faces = list(_faces(font_files(font_folders() if folders is None else folders), wanted)) if wanted else []
    chosen = []
    while faces and wanted:
        face, found = max(faces, key=lambda pair: len(pair[1] & wanted))
        if not found & wanted:
            break
        chosen.append((face, {chr(code) for code in found & wanted}))
        wanted -= found
    return chosen
