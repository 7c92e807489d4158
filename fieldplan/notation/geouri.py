"""The geo: URI of RFC 5870: geo:52.3012,4.9711 with an optional height, ;crs=wgs84 and ;u= (uncertainty in metres)."""

from __future__ import annotations

import re

from fieldplan.notation.latlon import Position, half_digit, half_width_m, placed, wrapped
from fieldplan.notation.numbers import shown

_NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"
_PLACE = re.compile(rf"geo:({_NUMBER}),({_NUMBER})(?:,({_NUMBER}))?")
_PARAMETER = re.compile(r"([a-z0-9-]+)(?:=([a-z0-9\[\]:&+$_.!~*'()%-]+))?")
_ZOOM = re.compile(r"\?z=[0-9.]+$")  # many phones add it; it says nothing of the place
_EXAMPLE = 'write for example "geo:52.3012,4.9711"'


def read_geo_uri(text: str) -> Position:
    """Position from tidy text that begins with "geo:". Unknown parameters are ignored. Raises ValueError."""
    place, *parameters = _ZOOM.sub("", text).split(";")
    match = _PLACE.fullmatch(place)
    if not match:
        raise ValueError(f"this is not a geo: URI with latitude, comma, longitude in degrees; {_EXAMPLE}")
    given = dict(_parameter(parameter) for parameter in parameters)
    system = given.get("crs", "wgs84")
    if system != "wgs84":
        raise ValueError(f"the reference system crs={system} is not known here, only wgs84")
    latitude, longitude = float(match[1]), float(match[2])
    if abs(longitude) > 180.0:
        raise ValueError(f"longitude {match[2]} is beyond 180 degrees; {_EXAMPLE}")
    digits = half_width_m(latitude, half_digit(match[1]), half_digit(match[2]))
    resolution = max(digits, _uncertainty_m(given["u"])) if "u" in given else digits
    return placed(latitude, longitude, resolution, float(match[3]) if match[3] else None)


def _parameter(parameter: str) -> tuple[str, str]:
    match = _PARAMETER.fullmatch(parameter)
    if not match:
        raise ValueError(f"{shown(parameter)} is not a parameter of a geo: URI; {_EXAMPLE}")
    return match[1], match[2] or ""


def _uncertainty_m(word: str) -> float:
    if not re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", word):
        raise ValueError(f'the uncertainty u={word} is not a number of metres; write for example ";u=15"')
    return float(word)


def write_geo_uri(latitude_deg: float, longitude_deg: float) -> str:
    """ "geo:52.301200,4.971100": degrees to six decimals (0.1 m), zeros kept so that they still say how fine it is."""
    return f"geo:{round(latitude_deg, 6) + 0.0:.6f},{wrapped(round(longitude_deg, 6)):.6f}"
