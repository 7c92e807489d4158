"""Plus codes (Open Location Code specification 1.0): 9F468X2C+FCQ. A code names a cell; its centre is the position."""

from __future__ import annotations

import math
import re

from fieldplan.notation.latlon import Position, half_width_m, placed

_ALPHABET = "23456789CFGHJMPQRVWX"
_LONGEST = 15  # digits; further ones are ignored, as the specification says
_UNITS_LATITUDE = 8000 * 5**5  # cells of the finest grid in one degree
_UNITS_LONGITUDE = 8000 * 4**5
_CODE = re.compile(r"([2-9cfghjmpqrvwx0]*)\+([2-9cfghjmpqrvwx]*)")
_EXAMPLE = 'write for example "9F468X2C+FC"'


def looks_like_plus_code(text: str) -> bool:
    """Whether tidy text begins with letters and digits, an inner plus sign, and at least one letter in all."""
    first = text.split(" ")[0]
    head, plus, tail = first.partition("+")
    return bool(plus) and (head + tail).isalnum() and (len(head) == 8 or not (head + tail).isdigit())


def read_plus_code(text: str) -> Position:
    """Centre of a full plus code in tidy text. Raises ValueError in plain words."""
    code, _, words = text.partition(" ")
    match = _CODE.fullmatch(code)
    if not match or len(match[2]) == 1 or len(match[1]) > 8 or len(match[1]) % 2:
        raise ValueError(
            f"this is not a plus code: its digits are {_ALPHABET}, eight before the plus, none or at "
            f"least two after it; {_EXAMPLE}"
        )
    head, tail = match[1].upper(), match[2].upper()
    if len(head) < 8:
        raise ValueError(
            f"this is a short plus code, which names a place only near a town; write the full code, with "
            f"eight characters before the plus; {_EXAMPLE}"
        )
    if words:
        raise ValueError(f"leave out the words after the plus code; {_EXAMPLE}")
    digits = head.rstrip("0")
    if not digits or "0" in digits or len(digits) % 2 or (len(digits) < 8 and tail):
        raise ValueError(f"zeros in a plus code only fill it up in pairs before the plus; {_EXAMPLE}")
    return _cell((digits + tail)[:_LONGEST])


def _cell(digits: str) -> Position:
    values = [_ALPHABET.index(digit) for digit in digits]
    if values[0] > 8 or values[1] > 17:
        raise ValueError(
            f"a plus code that begins with {digits[:2]} lies beyond the pole or the 180th meridian; {_EXAMPLE}"
        )
    height, width = 400 * _UNITS_LATITUDE, 400 * _UNITS_LONGITUDE
    south = west = 0
    for i in range(0, min(len(values), 10), 2):
        height, width = height // 20, width // 20
        south += values[i] * height
        west += values[i + 1] * width
    for value in values[10:]:
        height, width = height // 5, width // 4
        south += value // 4 * height
        west += value % 4 * width
    latitude = (2 * south + height) / (2 * _UNITS_LATITUDE) - 90.0
    longitude = (2 * west + width) / (2 * _UNITS_LONGITUDE) - 180.0
    half = half_width_m(latitude, height / (2 * _UNITS_LATITUDE), width / (2 * _UNITS_LONGITUDE))
    return placed(latitude, longitude, half)


def write_plus_code(latitude_deg: float, longitude_deg: float, length: int = 11) -> str:
    """Full plus code with ``length`` digits: 2, 4, 6, 8, or 10 to 15. Eleven name a cell of 2.8 m by at most 3.5 m."""
    if length not in (2, 4, 6, 8, 10, 11, 12, 13, 14, 15):
        raise ValueError(f"a plus code has 2, 4, 6, 8 or 10 to 15 digits, not {length}")
    # Rounding before the cut keeps 1.2, which no binary number holds, in the cell that begins at 1.2.
    south = math.floor(round((latitude_deg + 90.0) * _UNITS_LATITUDE, 5))
    west = math.floor(round((longitude_deg + 180.0) * _UNITS_LONGITUDE, 5)) % (360 * _UNITS_LONGITUDE)
    south = min(max(south, 0), 180 * _UNITS_LATITUDE - 1)  # the pole belongs to the last cell
    fine = []
    for _ in range(5):
        south, row = divmod(south, 5)
        west, column = divmod(west, 4)
        fine.append(_ALPHABET[4 * row + column])
    pairs = []
    for _ in range(5):
        south, row = divmod(south, 20)
        west, column = divmod(west, 20)
        pairs.append(_ALPHABET[row] + _ALPHABET[column])
    digits = ("".join(reversed(pairs)) + "".join(reversed(fine)))[:length]
    return f"{digits[:8]:0<8}+{digits[8:]}"
