"""How large a subject is drawn, as photographers write it: "1:1", "2:1", "1:4", "0.5"."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right

from fieldplan.notation.display import figures
from fieldplan.notation.numbers import TwoReadings, plain, read_number, shown
from fieldplan.notation.quantity import Value

LEAST, MOST = 1e-4, 100.0
_STEPS = ("1:20", "1:15", "1:10", "1:8", "1:6", "1:5", "1:4", "1:3", "1:2.5", "1:2", "1:1.5", "1:1.2", "1:1", "1.2:1",
          "1.5:1", "2:1", "2.5:1", "3:1", "4:1", "5:1", "6:1", "8:1", "10:1")  # fmt: skip
_NEAR = 1e-9


def read_scale(found: object) -> Value:
    """Image over object size, of "2:1", "1:4", "0.5", "0.5x", "life size" or a number. Raises ValueError."""
    try:
        number = _number(found)
    except TwoReadings:
        raise
    except (ValueError, ArithmeticError):
        number = 0.0
    if not LEAST <= number <= MOST:
        raise ValueError(f'{shown(found)} is not a magnification; write "1:1", "2:1", "1:4" or "0.5"')
    return Value(number, " ".join(found.split()) if isinstance(found, str) else "")


def scale_text(magnification: float) -> str:
    """ "1.5:1" from life size on, "1:4" below."""
    return f"{figures(magnification)}:1" if magnification >= 1.0 else f"1:{figures(1.0 / magnification)}"


def _number(found: object) -> float:
    if isinstance(found, bool):
        return 0.0
    if isinstance(found, (int, float)):
        return float(found)
    if not isinstance(found, str):
        return 0.0
    text = plain(found)
    if text in ("life size", "life-size"):
        return 1.0
    match = re.fullmatch(r"([\d.,]+)\s*[:/]\s*([\d.,]+)", text)
    if match:
        return read_number(match[1]) / read_number(match[2])
    return read_number(text.removesuffix("x").strip())


def next_scale(text: str, up: bool) -> str:
    """The next usual ratio, larger or smaller; unchanged past the last. Raises ValueError."""
    number = float(read_scale(text))
    sizes = [float(read_scale(step)) for step in _STEPS]
    at = bisect_right(sizes, number * (1.0 + _NEAR)) if up else bisect_left(sizes, number * (1.0 - _NEAR)) - 1
    return _STEPS[at] if 0 <= at < len(_STEPS) else text
