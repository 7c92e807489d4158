"""Quantities as people write them: 28 m, 92 ft, 5'8", 25-31 m, 36x24 mm, 12 km/h, f/5.6, 50-75 %.

A reader returns SI with the text it came from, so that a file keeps "92 ft" and the arithmetic has metres.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import NamedTuple

from fieldplan.notation.numbers import LARGEST, TwoReadings, plain, read_number, shown, split_number, trimmed

FOOT = 0.3048  # m, international foot (1959 agreement)
INCH = 0.0254  # m
POUND = 0.45359237  # kg, international avoirdupois pound
MILE = 1609.344  # m
Units = str  # "metric" or "imperial"


class Kind(NamedTuple):
    """One kind of quantity: its words, the SI size of each unit, the unit of a bare number, the range allowed (SI)."""

    word: str
    units: dict[str, float]
    bare: str
    bare_imperial: str
    low: float
    high: float
    example: str
    infinite: bool = False

    def __hash__(self) -> int:
        return hash((self.word, self.bare, self.low, self.high))


_LENGTHS = {
    "m": 1.0, "cm": 0.01, "mm": 0.001, "km": 1000.0, "um": 1e-6, "\u03bcm": 1e-6, "ft": FOOT, "feet": FOOT,
    "foot": FOOT, "'": FOOT, "in": INCH, "inch": INCH, "inches": INCH, '"': INCH,
    "yd": 3 * FOOT, "yard": 3 * FOOT, "yards": 3 * FOOT,
    "mi": MILE, "mile": MILE, "miles": MILE, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0,
}  # fmt: skip
_SPEEDS = {
    "m/s": 1.0, "mps": 1.0, "km/h": 1 / 3.6, "kmh": 1 / 3.6, "kph": 1 / 3.6, "mph": MILE / 3600, "mi/h": MILE / 3600,
    "kn": 1852 / 3600, "knots": 1852 / 3600, "kt": 1852 / 3600, "cm/s": 0.01, "mm/s": 0.001, "ft/s": FOOT,
}  # fmt: skip
_WEIGHTS = {"kg": 1.0, "g": 0.001, "lb": POUND, "lbs": POUND, "oz": POUND / 16}
_ANGLES = {"deg": 1.0, "\u00b0": 1.0, "degrees": 1.0, "degree": 1.0}
_SHIFTS = {"s": 1.0, "sec": 1.0, "seconds": 1.0, "min": 60.0, "minutes": 60.0, "h": 3600.0, "hours": 3600.0,
           "d": 86400.0, "days": 86400.0}  # fmt: skip
_TIMES = {"s": 1.0, "sec": 1.0, "seconds": 1.0, "ms": 0.001, "min": 60.0, "h": 3600.0}

FOCAL = Kind("a focal length", _LENGTHS, "mm", "mm", 0.001, 10.0, '"150-600 mm" or 85')
SENSOR = Kind("a sensor size", _LENGTHS, "mm", "mm", 0.0005, 0.5, '"36x24 mm"')
SMALL = Kind("a length", _LENGTHS, "mm", "mm", 0.0, 10.0, '"25 mm"')
CLOSEST = Kind("a distance", _LENGTHS, "m", "m", 0.005, 1000.0, '"2.2 m" or 0.3')
DISTANCE = Kind("a distance", _LENGTHS, "m", "ft", 0.01, 1e8, '"28 m", "92 ft" or "25-31 m"', infinite=True)
SIZE = Kind("a size", _LENGTHS, "m", "ft", 1e-5, 1e5, '"12 cm", "5\'8\\"" or "10-14 cm"')
DEPTH = Kind("a depth", _LENGTHS, "m", "ft", 1e-6, 1e6, '"0.3 m" or "12 in"', infinite=True)
BEHIND = Kind("a distance behind the subject", _LENGTHS, "m", "ft", 0.0, 1e8, '"15 m" or "infinity"', infinite=True)
HEIGHT = Kind("a height", _LENGTHS, "m", "ft", -500.0, 12000.0, '"3 m" or "40 ft"')
SPEED = Kind("a speed", _SPEEDS, "m/s", "mph", 0.0, 12000.0, '"0.4 m/s", "25 km/h" or "15 mph"')
WEIGHT = Kind("a weight", _WEIGHTS, "kg", "lb", 0.0, 500.0, '"1.2 kg" or "2 lb"')
ANGLE = Kind("an angle", _ANGLES, "deg", "deg", -360.0, 360.0, '"105 deg" or 105')
TIME = Kind("a time", _TIMES, "s", "s", 1e-7, 864000.0, '"1/500" or "30 s"')
SHIFT = Kind("how far a clock is ahead", _SHIFTS, "min", "min", -604800.0, 604800.0, '"5 min", "-1 h" or "40 s"')
# A camera whose battery ran flat begins again at its first year: up to a hundred of them.
CLOCK_OFF = Kind("a length of time", _SHIFTS, "h", "h", 0.0, 3155760000.0, '1:00 (hours), "0:02:30", "90 s" or "3 min"')
MARGIN = Kind("a margin of time", _SHIFTS, "min", "min", 0.0, 86400.0, '15 (minutes), "90 s" or "1 h"')
F_NUMBER = Kind("an f-number", {}, "", "", 0.3, 1024.0, '5.6, "f/5.6" or "5-6.3"')
SHARE = Kind("a share of the frame", {"%": 0.01}, "%", "%", 0.0005, 20.0, '"60 %" or "50-75 %"')

_SHORT_FORM_OVER = 30.0  # a camera shows 1/500 as 500, and whole seconds up to 30
_INFINITE = {"infinity", "inf", "\u221e", "infinite"}
_BETWEEN = r"(?<=[^\s-])(?<!\de)\s*(?:-|\bto\b|\.\.)\s*"  # the ends of a range; a sign or an exponent is no range
_NUMERAL = r"[+-]?[\d.,]+(?:e[+-]?\d+)?"
FEET_INCHES = re.compile(r"(\d+)\s*(?:'|ft|feet|foot)\s*(\d+(?:[.,]\d+)?)\s*(?:\"|in|inch|inches|'')?")


class Value(float):
    """A number in SI with the text it was written as; two Values are equal when the numbers are."""

    typed: str

    def __new__(cls, si: float, typed: str = "") -> Value:
        self = super().__new__(cls, si)
        self.typed = typed or trimmed(si)
        return self

    def __getnewargs__(self) -> tuple[float, str]:  # type: ignore[override]
        return float(self), self.typed


class Span:
    """A value or a range in SI (low <= high) with the text it was written as."""

    __slots__ = ("high", "low", "typed")

    def __init__(self, low: float, high: float, typed: str = "") -> None:
        self.low, self.high = float(low), float(high)
        self.typed = typed or (trimmed(low) if low == high else f"{trimmed(low)}-{trimmed(high)}")

    @property
    def middle(self) -> float:
        """The arithmetic middle; infinite where an end is."""
        return (self.low + self.high) / 2.0

    @property
    def is_range(self) -> bool:
        return self.low != self.high

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Span) and (self.low, self.high) == (other.low, other.high)

    def __hash__(self) -> int:
        return hash((self.low, self.high))

    def __repr__(self) -> str:
        return f"Span({self.low!r}, {self.high!r}, {self.typed!r})"


def _wrong(found: object, kind: Kind) -> ValueError:
    return ValueError(f"{shown(found)} is not {kind.word}; write for example {kind.example}")


def _unit(word: str, kind: Kind, found: object, units: Units) -> float:
    """SI size of a unit word; the unit of a bare number for ""."""
    if not word:
        bare = kind.bare_imperial if units == "imperial" else kind.bare
        return kind.units[bare] if bare else 1.0
    if word in kind.units:
        return kind.units[word]
    known = _units_here(kind)
    hint = f"; units here: {known}" if known else ""
    raise ValueError(
        f"{shown(found)}: {shown(word)} is not a unit of {kind.word}{hint}; write for example {kind.example}"
    )


@cache
def _units_here(kind: Kind) -> str:
    """The short unit words of a kind; a range is first tried as one number, so this is asked for often."""
    return ", ".join(list(dict.fromkeys(u for u in kind.units if u.isascii() and len(u) < 4))[:8])


def _allowed(si: float, kind: Kind, found: object) -> float:
    if si == math.inf and kind.infinite:
        return si
    if not math.isfinite(si):
        raise _wrong(found, kind)
    if not kind.low <= si <= kind.high:
        unit = kind.bare
        size = kind.units.get(unit, 1.0)
        low, high = trimmed(kind.low / size), trimmed(kind.high / size)
        bound = f"at least {low}" if si < kind.low else f"at most {high}"
        if si <= 0.0 < kind.low:
            bound = "greater than 0"
        elif unit:
            bound = f"{bound} {unit}"
        raise ValueError(f"{shown(found)}: {kind.word} must be {bound}; write for example {kind.example}")
    return si


def _single(text: str, kind: Kind, found: object, units: Units, unit_word: str = "") -> tuple[float, str]:
    """SI value and the unit word found in one (already plain) number with an optional unit."""
    if kind.infinite and text in _INFINITE:
        return math.inf, ""
    if kind.units is _LENGTHS:
        both = FEET_INCHES.fullmatch(text)
        if both:
            return float(f"{int(both[1]) * FOOT + read_number(both[2]) * INCH:.15g}"), "'"
    if kind is F_NUMBER:
        text = re.sub(r"^(?:f\s*/?\s*|1\s*:\s*)(?=[\d.,])", "", text)
    try:
        number, word = split_number(text)
    except TwoReadings:
        raise
    except ValueError:
        raise _wrong(found, kind) from None
    used = word or unit_word
    if kind is SHARE and not used:
        return float(f"{number if number <= 2.0 else number * 0.01:.15g}"), ""
    return float(f"{number * _unit(used, kind, found, units):.15g}"), word


def _bare(found: object, kind: Kind, units: Units) -> tuple[str, str]:
    """(plain text, text to keep): a bare number keeps the unit that it was read in."""
    if isinstance(found, bool) or not isinstance(found, (int, float, str)):
        raise _wrong(found, kind)
    if isinstance(found, str):
        return plain(found), " ".join(found.split())
    if found == math.inf and kind.infinite:
        return "infinity", "infinity"
    if not abs(found) < LARGEST:
        raise _wrong(found, kind)
    return repr(found), repr(found)


def split_range(text: str) -> list[str]:
    """The ends of a range in text already made plain; one text where there is none."""
    return re.split(_BETWEEN, text)


def _kept(typed: str, text: str, kind: Kind, units: Units) -> str:
    """What to write back: as typed, with the unit spelled out where the text had none and one is implied."""
    ends = split_range(text)
    numbers = [end for end in ends if end not in _INFINITE]
    if not kind.units or not numbers or not all(re.fullmatch(_NUMERAL, end) for end in numbers):
        return typed
    if kind is SHARE:
        parts = [read_number(end) for end in ends]
        return "-".join(f"{p * 100 if p <= 2.0 else p:.15g}" for p in parts) + " %"
    unit = kind.bare_imperial if units == "imperial" else kind.bare
    return f"{typed} {unit}" if len(numbers) == len(ends) else f"{numbers[0]} {unit}-infinity"


def read_value(found: object, kind: Kind, units: Units = "metric") -> Value:
    """One quantity as SI. Accepts text or a bare number (in the kind's own unit). Raises ValueError in plain words."""
    text, typed = _bare(found, kind, units)
    if kind is TIME:
        if not isinstance(found, str) and read_number(text) > _SHORT_FORM_OVER:
            raise ValueError(f'{shown(found)} can be meant in two ways; write "{text} s" or "1/{text}"')
        return Value(_allowed(read_time(text, found), kind, found), typed)
    si, _ = _single(text, kind, found, units)
    return Value(_allowed(si, kind, found), _kept(typed, text, kind, units))


def read_span(found: object, kind: Kind, units: Units = "metric") -> Span:
    """One quantity or a range ("25-31 m", "8 to 12 m/s", "6-infinity") as SI. Raises ValueError in plain words."""
    return _read_text(found, kind, units) if isinstance(found, str) else _read(found, kind, units)


@lru_cache(maxsize=1024)
def _read_text(text: str, kind: Kind, units: Units) -> Span:
    """The lists hold the same few hundred texts again and again."""
    return _read(text, kind, units)


def _read(found: object, kind: Kind, units: Units) -> Span:
    text, typed = _bare(found, kind, units)
    try:
        low, _ = high, word = _single(text, kind, found, units)
    except ValueError as whole:
        parts = split_range(text)
        if len(parts) != 2 or not all(parts):
            raise whole from None
        high, word = _single(parts[1], kind, found, units)
        low, _ = _single(parts[0], kind, found, units, word)
    if low > high:
        raise ValueError(f"{shown(found)}: the range runs backwards; write the smaller value first")
    return Span(_allowed(low, kind, found), _allowed(high, kind, found), _kept(typed, text, kind, units))


def read_time(text: str, found: object) -> float:
    """Exposure time [s] from "1/500", "1/500 s", "500", "0.5", "2 s", '2"'. Raises ValueError.

    A text of a number alone above 30 is a camera's short form of a fraction (500 is 1/500); up to 30 it is seconds.
    """
    word = plain(text)
    fraction = re.fullmatch(r"1\s*/\s*(\d+(?:[.,]\d+)?)\s*(?:s|sec)?", word)
    if fraction:
        below = read_number(fraction[1])
        if below > 0:
            return 1.0 / below
        raise _wrong(found, TIME)
    if word.endswith('"'):
        word = word[:-1]
    si, unit = _single(word, TIME, found, "metric")
    return 1.0 / si if si > _SHORT_FORM_OVER and not unit and word == plain(text) else si


@dataclass(frozen=True, slots=True)
class Pair:
    """Two sides (width, height) with the text they were written as."""

    width: float
    height: float
    typed: str = field(compare=False)


def read_pair(found: object, kind: Kind) -> Pair:
    """ "36x24 mm" -> sides in SI. Raises ValueError in plain words."""
    parts = re.split(r"\s*[x*]\s*", plain(found)) if isinstance(found, str) else []
    if len(parts) != 2:
        raise _wrong(found, kind)
    height, word = _single(parts[1], kind, found, "metric")
    width, _ = _single(parts[0], kind, found, "metric", word)
    typed = " ".join(str(found).split()) + ("" if word or not kind.bare else f" {kind.bare}")
    return Pair(_allowed(width, kind, found), _allowed(height, kind, found), typed)
