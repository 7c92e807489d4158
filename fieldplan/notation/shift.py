"""How far a clock is off, read and written: "5 min", "-1 h", "1 h 5 min", "1:05", "0:02:30"."""

from __future__ import annotations

import re

from fieldplan.notation.numbers import plain, trimmed
from fieldplan.notation.quantity import SHIFT, Kind, Units, Value, read_value

_CLOCK = re.compile(r"([+-]?)\s*(\d{1,4}):([0-5]\d)(?::([0-5]\d))?")
_PARTS = re.compile(r"([+-]?)\s*(?:(\d+)\s*h(?:ours?)?)?\s*(?:(\d+)\s*min(?:utes)?)?\s*(?:(\d+)\s*s(?:ec(?:onds)?)?)?")


def read_shift(found: object, kind: Kind = SHIFT, units: Units = "metric") -> Value:
    """Seconds by which a clock is ahead; "1:05" is an hour and five minutes. Raises ValueError in plain words.

    kind: what else is read so, with its own bounds.
    """
    text = plain(found) if isinstance(found, str) else ""
    match = _CLOCK.fullmatch(text) or (_PARTS.fullmatch(text) if text.count(" ") > 1 else None)
    if match is None or not any(match.groups()[1:]):
        return read_value(found, kind, units)
    hours, minutes, seconds = (int(part or 0) for part in match.groups()[1:4])
    size = hours * 3600.0 + minutes * 60.0 + seconds
    off = -size if match[1] == "-" else size
    if not kind.low <= off <= kind.high:
        return read_value(f"{off:.0f} s", kind, units)  # which says how far it may be
    return Value(off, str(found).strip())


def write_shift(off_s: float) -> str:
    """A text that is read as the same shift: "-1 h", "5 min", "0:02:30", "40 s"."""
    for size, unit in ((3600, "h"), (60, "min")):
        if off_s % size == 0:
            return f"{trimmed(off_s / size)} {unit}"
    minutes, rest = divmod(abs(round(off_s)), 60)
    if minutes < 1 or off_s != round(off_s):
        return f"{trimmed(off_s)} s"
    return f"{'-' if off_s < 0 else ''}{minutes // 60}:{minutes % 60:02d}:{rest:02d}"


def shift_words(off_s: float) -> str:
    """Its size in whole seconds, for reading: "5 h 55 min", "40 s"."""
    seconds = round(abs(off_s))
    parts = ((seconds // 3600, "h"), (seconds // 60 % 60, "min"), (seconds % 60, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 s"


def signed_shift(off_s: float) -> str:
    """With its sign, in its largest unit: "+1 h", "-5 min", "+40 s", "+5.5 h"."""
    size = abs(off_s)
    number, unit = (size / 3600, "h") if size >= 3600 else (size / 60, "min") if size >= 60 else (size, "s")
    return f"{'-' if off_s < 0 else '+'}{trimmed(number, 1)} {unit}"
