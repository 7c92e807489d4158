"""Latitude and longitude as people type or paste them: 52.3012, 4.9711; 52 18.07 N 4 58.27 E; 52°18'04" N ...

The text is cut into tokens, the tokens into two angles, and each angle must fit one small grammar. Letters and the
words lat and lon say which is which, whatever the order; without them latitude comes first (ISO 6709).
"""

from __future__ import annotations

import re
from typing import NamedTuple

from fieldplan.notation.latlon import EXAMPLE, Position, half_digit, half_width_m, placed
from fieldplan.notation.numbers import shown

_WORDS = {
    "n": "N", "north": "N", "s": "S", "south": "S", "e": "E", "east": "E", "w": "W", "west": "W",
    "d": "deg", "deg": "deg", "degree": "deg", "degrees": "deg", "min": "min", "minute": "min", "minutes": "min",
    "sec": "sec", "second": "sec", "seconds": "sec", "lat": "lat", "latitude": "lat", "lon": "lon", "long": "lon",
    "lng": "lon", "longitude": "lon",
}  # fmt: skip
_MARKS = {"\u00b0": "deg", "'": "min", "''": "sec", '"': "sec", ",": ",", ";": ",", "/": ",", ":": ":", "=": "=",
          "+": "+", "-": "-"}  # fmt: skip
_POINT = re.compile(r" |([0-9]+(?:\.[0-9]+)?)|([a-z]+)|(''|[\u00b0'\",;/:=+-])")
_POINT_OR_COMMA = re.compile(r" |([0-9]+(?:[.,][0-9]+)?)|([a-z]+)|(''|[\u00b0'\",;/:=+-])")
# One character for each token: L lat or lon, H a compass letter, S a sign, 1 a whole number, 2 one with a fraction,
# d m s the marks. Only the last number of an angle may have a fraction.
_CODES = {"lat": "L", "lon": "L", "N": "H", "S": "H", "E": "H", "W": "H", "+": "S", "-": "S",
          "deg": "d", "min": "m", "sec": "s", ",": ",", ":": ":", "=": "="}  # fmt: skip
_ANGLE = re.compile(r"(?:L[:=]?)?(?:H?S?{0}|S?{0}H)".format(r"(?:[12]d?|1[d:]?[12]m?|1[d:]?1[m:]?[12]s?)"))
_AXIS = {"N": "lat", "S": "lat", "E": "lon", "W": "lon", "lat": "lat", "lon": "lon"}
_FULL = {"lat": "latitude", "lon": "longitude"}
_UNITS = ("degrees", "minutes", "seconds")


class _Shapeless(ValueError):
    """The text does not have the shape of a latitude and a longitude."""


class _Token(NamedTuple):
    kind: str  # "number" or a value of _WORDS or _MARKS
    text: str
    spaced: bool  # a space stands before it

    @property
    def code(self) -> str:
        return _CODES[self.kind] if self.kind != "number" else "2" if "." in self.text else "1"


class _Angle(NamedTuple):
    degrees: float
    axis: str | None  # "lat", "lon", or None where nothing says so
    half_deg: float


def read_angles(text: str) -> Position:
    """Latitude and longitude from tidy text. Raises ValueError in plain words.

    A comma between two digits is tried both as a decimal sign and as the mark between two numbers; the text is
    refused where both make sense and mean different places.
    """
    found: set[Position] = set()
    wrong: list[ValueError] = []
    for pattern in (_POINT, _POINT_OR_COMMA):
        try:
            found.add(_pair(_tokens(text, pattern)))
        except ValueError as error:
            wrong.append(error)
    if len(found) == 1:
        return found.pop()
    if found:
        raise ValueError(f"this could be read in two ways, with decimal commas or without; {EXAMPLE}")
    raise next((error for error in wrong if not isinstance(error, _Shapeless)), wrong[0])


def _tokens(text: str, pattern: re.Pattern[str]) -> list[_Token]:
    tokens: list[_Token] = []
    place, spaced = 0, False
    while place < len(text):
        match = pattern.match(text, place)
        if not match:
            raise _Shapeless(f"{shown(text[place])} has no place in a position; {EXAMPLE}")
        place = match.end()
        if match[1]:
            tokens.append(_Token("number", match[1].replace(",", "."), spaced))
        elif match[2]:
            tokens.append(_Token(_word(match[2]), match[2], spaced))
        elif match[3]:
            tokens.append(_Token(_MARKS[match[3]], match[3], spaced))
        spaced = match[0] == " "
    return tokens


def _word(word: str) -> str:
    if word in _WORDS:
        return _WORDS[word]
    if word in ("o", "no", "so"):
        raise ValueError('"O" is east in some languages and west in others; write E or W')
    raise _Shapeless(f"{shown(word)} has no place in a position; {EXAMPLE}")


def _pair(tokens: list[_Token]) -> Position:
    """The position that two angles in the tokens make."""
    _check_signs(tokens)
    codes = "".join(token.code for token in tokens)
    splits = _splits(codes)
    if len(splits) > 1:
        raise ValueError(
            "this could be cut into two in more than one way; put a comma between latitude and "
            f"longitude, and both letters or none: {EXAMPLE}"
        )
    end, start = splits[0]
    return _position(_angle(tokens[:end]), _angle(tokens[start:]))


def _check_signs(tokens: list[_Token]) -> None:
    """Refuse a dash that may be either a minus or a mark between two numbers."""
    for i, token in enumerate(tokens[1:-1], 1):
        if token.code == "S" and tokens[i - 1].code in "12dms" and (not token.spaced or tokens[i + 1].spaced):
            raise ValueError(
                f'is "{token.text}" a sign, or a dash between two numbers? Put a comma '
                f"between latitude and longitude; {EXAMPLE}"
            )


def _splits(codes: str) -> list[tuple[int, int]]:
    """(end of the first angle, start of the second), every way that the grammar allows."""
    commas = codes.count(",")
    if _ANGLE.fullmatch(codes) and set(codes) & set("HdL"):  # 52°28 or N 52 28: a single angle, not 52 and 28
        raise _Shapeless(f"there is only one angle; {EXAMPLE}")
    if commas == 1:
        cut = codes.index(",")
        candidates = [(cut, cut + 1)]
    else:
        candidates = [(cut, cut) for cut in range(1, len(codes))] if not commas else []
    fitting = [(a, b) for a, b in candidates if _ANGLE.fullmatch(codes[:a]) and _ANGLE.fullmatch(codes[b:])]
    if len(fitting) > 1:  # 52 18 4 58: as many numbers in one as in the other
        alike = [(a, b) for a, b in fitting if _numbers(codes[:a]) == _numbers(codes[b:])]
        fitting = alike or fitting
    if not commas and codes.isdigit():  # nothing but numbers: only equal parts can be told apart
        fitting = [(a, b) for a, b in fitting if _numbers(codes[:a]) == _numbers(codes[b:])]
    if not fitting:
        what = {0: "there is no number in it", 1: "there is only one number"}
        raise _Shapeless(f"{what.get(_numbers(codes), 'this is not a latitude and a longitude')}; {EXAMPLE}")
    return fitting


def _numbers(codes: str) -> int:
    return codes.count("1") + codes.count("2")


def _angle(tokens: list[_Token]) -> _Angle:
    """One angle from tokens that fit the grammar."""
    numbers = [token.text for token in tokens if token.kind == "number"]
    for i, number in enumerate(numbers[1:], 1):
        if float(number) >= 60.0:
            raise ValueError(f"{number} {_UNITS[i]} is 60 or more; {EXAMPLE}")
    size = sum(float(number) / 60.0**i for i, number in enumerate(numbers))
    half = half_digit(numbers[-1]) / 60.0 ** (len(numbers) - 1)
    signs = [token.kind for token in tokens if token.code == "S"]
    letters = [token.kind for token in tokens if token.code == "H"]
    labels = [token.kind for token in tokens if token.code == "L"]
    axes = {_AXIS[word] for word in letters + labels}
    if len(axes) > 1:
        raise ValueError(f"{_FULL[labels[0]]} cannot be {letters[0]}; {EXAMPLE}")
    if letters and signs and (signs[0] == "-") != (letters[0] in "SW"):
        raise ValueError(f'the sign "{signs[0]}" contradicts the letter {letters[0]}; leave one out')
    negative = letters[0] in "SW" if letters else signs == ["-"]
    return _Angle(-size if negative else size, axes.pop() if axes else None, half)


def _position(first: _Angle, second: _Angle) -> Position:
    """Decide which angle is the latitude, check both."""
    if first.axis and first.axis == second.axis:
        raise ValueError(f"this gives the {_FULL[first.axis]} twice; {EXAMPLE}")
    if first.axis == "lon" or second.axis == "lat":
        first, second = second, first
    elif not first.axis and not second.axis and 360.0 >= abs(first.degrees) > 90.0 >= abs(second.degrees):
        raise ValueError(
            f"latitude cannot be {first.degrees:.10g}. Longitude first? Write latitude "
            f'first: "{second.degrees:.10g}, {first.degrees:.10g}"'
        )
    return placed(first.degrees, second.degrees, half_width_m(first.degrees, first.half_deg, second.half_deg))
