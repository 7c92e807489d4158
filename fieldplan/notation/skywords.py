"""What is typed about moon and sun: hours of the day, shares that are lit, altitudes, and what one look showed."""

from __future__ import annotations

import datetime as dt
import re
from typing import NamedTuple

from fieldplan.notation.numbers import plain, read_number, shown
from fieldplan.notation.words import read_clock

_SIDE = r"(right|left|above|below|high|low|up|down)"
_OFF = re.compile(r"([\d.,]+)\s*(?:discs?|widths?|diameters?)?\s*(?:too\s+|to the\s+)?" + _SIDE)
_CLOCK = re.compile(r"(?<![\d.,])(\d{1,2}[:h]\d{2}(?:[:.]\d{2})?|\d{4})(?![\d.,])")
MOST_DISCS = 100.0


class Sighting(NamedTuple):
    """One look at the disc against a landmark's top: at which time of day, how many of its widths off its centre was.

    discs_right: to the right positive; discs_above: above positive.
    """

    clock: dt.time
    discs_right: float
    discs_above: float


def read_sighting(text: str) -> Sighting:
    """ "2 left, 0.5 above at 21:04"; a side left out is 0. Raises ValueError."""
    words = plain(text)
    clocks = _CLOCK.findall(words)
    rest = _CLOCK.sub(" ", words)
    offs = _OFF.findall(rest)
    left = re.sub(r"[\s,;]|\bat\b|\band\b|\bof\b|\bthe\b|\btop\b", "", _OFF.sub(" ", rest))
    across = [(_number(n), side) for n, side in offs if side in ("right", "left")]
    up = [(_number(n), side) for n, side in offs if side not in ("right", "left")]
    if len(clocks) != 1 or not offs or left or len(across) > 1 or len(up) > 1:
        raise ValueError(
            f"{shown(text)} is not a sighting; write how many disc widths off the top, and when: "
            '"2 left, 0.5 above at 21:04"'
        )
    right = sum((n if side == "right" else -n for n, side in across), 0.0)
    above = sum((n if side in ("above", "high", "up") else -n for n, side in up), 0.0)
    if max(abs(right), abs(above)) > MOST_DISCS:
        raise ValueError(f"{shown(text)}: a disc {MOST_DISCS:.0f} widths off is no sighting of this landmark")
    return Sighting(read_clock(clocks[0]), right, above)


def read_hours(text: str) -> tuple[dt.time, dt.time]:
    """ "16:00-22:00" or "16:00 to 22:00" on the local clock; the second may be the smaller. Raises ValueError."""
    parts = re.split(r"\s*(?:-|\bto\b)\s*", plain(text))
    if len(parts) != 2:
        raise ValueError(f'{shown(text)} are not hours of the day; write for example "16:00-22:00"')
    first, last = (read_clock(part if re.search(r"\D", part) or len(part) > 2 else f"{part}:00") for part in parts)
    return first, last


def read_lit(text: str) -> tuple[float, float]:
    """ "90 %": that share of the disc or more; "30-60 %": between them. As parts of one. Raises ValueError."""
    match = re.fullmatch(r"([\d.,]+)\s*%?\s*(?:(?:-|to)\s*([\d.,]+)\s*)?%", plain(text))
    low, high = (read_number(match[1]), read_number(match[2] or "100")) if match else (1.0, 0.0)
    if not 0.0 <= low <= high <= 100.0:
        raise ValueError(f'{shown(text)} is no share of a disc; write for example "90 %" or "30-60 %"')
    return low / 100.0, high / 100.0


def _number(text: str) -> float:
    """A number that a comma of the sentence may follow."""
    return read_number(text.strip(",.") or text)
