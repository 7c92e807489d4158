"""Positions as people carry them: read any of their notations, write any.

Read: signed decimal degrees, degrees and minutes, degrees minutes seconds, the ISO 6709 string, geo: URI, full plus
codes, UTM and MGRS. All are taken as WGS 84.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

from fieldplan.notation.angles import read_angles
from fieldplan.notation.geouri import read_geo_uri, write_geo_uri
from fieldplan.notation.grid import looks_like_grid, read_grid, write_mgrs, write_utm
from fieldplan.notation.iso6709 import looks_like_iso6709, read_iso6709, write_iso6709
from fieldplan.notation.latlon import EXAMPLE, Position, placed, wrapped
from fieldplan.notation.numbers import LONGEST, plain, shown
from fieldplan.notation.pluscode import looks_like_plus_code, read_plus_code, write_plus_code

__all__ = ["STYLES", "Position", "read_position", "write_position"]

# Marks that stand for degrees, minutes and seconds in pasted text, beyond those that plain text already knows.
_MARKS = str.maketrans({
    "\u00ba": "\u00b0", "\u02da": "\u00b0", "\u2218": "\u00b0", "\u2070": "\u00b0", "\u1d52": "\u00b0",
    "\u2018": "'", "\u201b": "'", "\u00b4": "'", "\u02bc": "'", "\u0060": "'", "\u2035": "'", "\uff07": "'",
    "\u201c": '"', "\u201f": '"', "\u2036": '"', "\u301e": '"', "\u02dd": '"', "\uff02": '"',
    "\u3001": ",", "\uff0c": ",", "\uff1b": ";", "\u207b": "-",
})  # fmt: skip
# Invisible characters that come along with pasted text: zero-width ones and marks of writing direction.
_UNSEEN = dict.fromkeys([*range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2060, 0x206A), 0xFEFF])
_READERS: tuple[tuple[Callable[[str], bool], Callable[[str], Position]], ...] = (
    (looks_like_iso6709, read_iso6709),
    (looks_like_plus_code, read_plus_code),
    (looks_like_grid, read_grid),
)
_RAISED = ("<super>", "<sub>", "<fraction>", "<circle>")


def read_position(text: str) -> Position:
    """A position from what a person typed or pasted. Raises ValueError in plain words, with an example.

    Latitude comes first unless letters or the words lat and lon say otherwise. Latitude -90..90; longitude as -180..180
    or 0..360, returned as -180 <= x < 180 [deg].
    """
    if not isinstance(text, str):
        raise ValueError(f"{shown(text)} is not a position; write it in quotes: {EXAMPLE}")
    try:
        return _read(_tidy(text))
    except ValueError as error:
        raise ValueError(f"{shown(text)}: {error}" if text.strip() else str(error)) from None


def _read(tidy: str) -> Position:
    if tidy.startswith("geo:"):
        return read_geo_uri(tidy.replace(" ", ""))
    for looks_like, read in _READERS:
        if looks_like(tidy):
            return read(tidy)
    return read_angles(tidy)


def without_unseen(text: str) -> str:
    """The text without the signs of no width that are copied along from maps and messages."""
    return text.translate(_UNSEEN)


def _tidy(text: str) -> str:
    """The text as on a plain keyboard, lower case, without brackets around it."""
    if len(text) > LONGEST:
        raise ValueError(f"this is too long for a position; {EXAMPLE}")
    marked = without_unseen(text.translate(_MARKS))
    for char in marked:
        control = unicodedata.category(char) in ("Cc", "Cs") and char not in "\t\n\r"
        if control or unicodedata.decomposition(char).startswith(_RAISED):
            raise ValueError(f"the character U+{ord(char):04X} has no place in a position; {EXAMPLE}")
    tidy = plain(marked)
    for left, right in ("()", "[]", "{}", "<>"):
        if tidy.startswith(left) and tidy.endswith(right):
            tidy = tidy[1:-1].strip()
    if not tidy:
        raise ValueError(f"the position is empty; {EXAMPLE}")
    return tidy


def write_position(latitude_deg: float, longitude_deg: float, style: str = "decimal") -> str:
    """A position in one of STYLES, to about a metre; ``read_position`` reads each back.

    Latitude -90..90, longitude -180..360 [deg]. Raises ValueError outside these, for an unknown style, and for utm and
    mgrs outside 80 S to 84 N.
    """
    if style not in _WRITERS:
        raise ValueError(f"{shown(style)} is not a way of writing a position; known: {', '.join(STYLES)}")
    place = placed(latitude_deg, longitude_deg, 0.0)
    return _WRITERS[style](place.latitude_deg, place.longitude_deg)


def _decimal(latitude_deg: float, longitude_deg: float) -> str:
    return f"{round(latitude_deg, 5) + 0.0:.5f}, {wrapped(round(longitude_deg, 5)):.5f}"


def _degrees_minutes(latitude_deg: float, longitude_deg: float) -> str:
    words = []
    for steps, letter in _steps(latitude_deg, longitude_deg, 60_000):
        degrees, thousandths = divmod(steps, 60_000)
        words.append(f"{degrees} {thousandths / 1000:06.3f} {letter}")
    return " ".join(words)


def _dms(latitude_deg: float, longitude_deg: float) -> str:
    words = []
    for steps, letter in _steps(latitude_deg, longitude_deg, 36_000):
        minutes, tenths = divmod(steps, 600)
        words.append(f"{minutes // 60}\u00b0{minutes % 60:02d}'{tenths / 10:04.1f}\"{letter}")
    return " ".join(words)


def _steps(latitude_deg: float, longitude_deg: float, per_degree: int) -> list[tuple[int, str]]:
    """Whole steps and a letter for each angle: rounding whole steps lets 59.9999 carry over, and 0 is never south."""
    north = round(latitude_deg * per_degree)
    east = round(longitude_deg * per_degree)
    if east == 180 * per_degree:
        east = -east
    return [(abs(north), "S" if north < 0 else "N"), (abs(east), "W" if east < 0 else "E")]


_WRITERS: dict[str, Callable[[float, float], str]] = {
    "decimal": _decimal,
    "degrees minutes": _degrees_minutes,
    "dms": _dms,
    "iso6709": write_iso6709,
    "geo": write_geo_uri,
    "plus code": write_plus_code,
    "utm": write_utm,
    "mgrs": write_mgrs,
}
STYLES = tuple(_WRITERS)
