"""How far a clock is off, as people write it: "5 min", "-1 h", "1 h 5 min", "1:05", "0:02:30"."""

from __future__ import annotations

import re

from fieldplan.notation.numbers import plain
from fieldplan.notation.quantity import SHIFT, Kind, Units, Value, read_value

_CLOCK = re.compile(r"([+-]?)\s*(\d{1,3}):([0-5]\d)(?::([0-5]\d))?")
_PARTS = re.compile(r"([+-]?)\s*(?:(\d+)\s*h(?:ours?)?)?\s*(?:(\d+)\s*min(?:utes)?)?\s*(?:(\d+)\s*s(?:ec(?:onds)?)?)?")


def read_shift(found: object, kind: Kind = SHIFT, units: Units = "metric") -> Value:
    """Seconds by which a clock is ahead; "1:05" is an hour and five minutes. Raises ValueError in plain words."""
    text = plain(found) if isinstance(found, str) else ""
    match = _CLOCK.fullmatch(text) or (_PARTS.fullmatch(text) if text.count(" ") > 1 else None)
    if match is None or not any(match.groups()[1:]):
        return read_value(found, kind, units)
    hours, minutes, seconds = (int(part or 0) for part in match.groups()[1:4])
    size = hours * 3600.0 + minutes * 60.0 + seconds
    if size > kind.high:
        return read_value(f"{size:.0f} s", kind, units)  # which says how far it may be
    return Value(-size if match[1] == "-" else size, str(found).strip())
