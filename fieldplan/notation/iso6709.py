"""The string of ISO 6709 (annex H): +52.3012+004.9711/, +5218.07+00458.27/, +521804-0045816+12CRSWGS_84/."""

from __future__ import annotations

import re

from fieldplan.notation.latlon import Position, half_digit, half_width_m, placed, wrapped

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_STRING = re.compile(rf"([+-])({_NUMBER})([+-])({_NUMBER})(?:([+-]{_NUMBER}))?(?:crs([a-z0-9_:.]+))?/?")
_SYSTEMS = {"wgs_84", "wgs84", "epsg:4326", "epsg:4979"}
_EXAMPLE = 'write for example "+52.3012+004.9711/"'


def looks_like_iso6709(text: str) -> bool:
    """Whether tidy text begins as such a string: two signed numbers with nothing between."""
    return re.match(rf"[+-]{_NUMBER}[+-][0-9]", text) is not None


def read_iso6709(text: str) -> Position:
    """Position from tidy text, its height kept. Raises ValueError in plain words."""
    match = _STRING.fullmatch(text)
    if not match:
        raise ValueError(f"this begins as an ISO 6709 string but does not end as one; {_EXAMPLE}")
    if match[6] and match[6] not in _SYSTEMS:
        raise ValueError(f'the reference system "{match[6].upper()}" is not known here, only WGS_84')
    latitude, half_latitude = _angle(match[2].replace(",", "."), 2)
    longitude, half_longitude = _angle(match[4].replace(",", "."), 3)
    latitude = -latitude if match[1] == "-" else latitude
    longitude = -longitude if match[3] == "-" else longitude
    height = float(match[5].replace(",", ".")) if match[5] else None
    return placed(latitude, longitude, half_width_m(latitude, half_latitude, half_longitude), height)


def _angle(number: str, degree_digits: int) -> tuple[float, float]:
    """(degrees, half the last digit's worth in degrees); the count of digits tells degrees, minutes, seconds."""
    whole, _, fraction = number.partition(".")
    beyond = len(whole) - degree_digits
    if beyond not in (0, 2, 4):
        raise ValueError(
            f"{number} has {len(whole)} digits before the point; ISO 6709 counts them: "
            f"latitude 2, 4 or 6, longitude 3, 5 or 7, with leading zeros; {_EXAMPLE}"
        )
    parts = [whole[:degree_digits]] + [whole[i : i + 2] for i in range(degree_digits, len(whole), 2)]
    if fraction:
        parts[-1] += "." + fraction
    if any(float(part) >= 60.0 for part in parts[1:]):
        raise ValueError(f"the minutes or seconds in {number} are 60 or more; {_EXAMPLE}")
    size = sum(float(part) / 60.0**i for i, part in enumerate(parts))
    return size, half_digit(parts[-1]) / 60.0 ** (len(parts) - 1)


def write_iso6709(latitude_deg: float, longitude_deg: float) -> str:
    """ "+52.301200+004.971100/": degrees to six decimals (0.1 m)."""
    latitude, longitude = round(latitude_deg, 6) + 0.0, wrapped(round(longitude_deg, 6))
    return f"{latitude:+010.6f}{longitude:+011.6f}/"
