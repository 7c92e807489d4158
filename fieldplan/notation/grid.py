"""UTM and MGRS: 31U 634401 5796369 and 31U FT 34400 96368, WGS 84, between 80 S and 84 N.

A UTM reference is a point in metres. An MGRS reference names a cell, for its digits are cut off and never rounded
(NGA.STND.0037): the position read is the cell's centre. The projection is the package utm's.
"""

from __future__ import annotations

import importlib
import math
import re

from fieldplan.notation.latlon import Position, half_digit, placed

_BANDS = "CDEFGHJKLMNPQRSTUVWX"
_COLUMNS = ("STUVWXYZ", "ABCDEFGH", "JKLMNPQR")  # by zone modulo 3
_ROWS = "ABCDEFGHJKLMNPQRSTUV"
_CYCLE_M = 2_000_000  # the row letters repeat
# Zones reach 6 degrees from their middle in 32V and around Svalbard; neighbours are written into a zone near its edge.
_WIDEST_DEG = 7.0
_HIGHEST_M, _LOWEST_M = 9_500_000, 1_000_000  # northings of about 85 N and 81 S: beyond, the projection is not sound
_BAND_SLACK_DEG = 0.5
_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_UTM = re.compile(rf"(?:utm )?(?:zone )?([0-9]{{1,2}}) ?([a-z]|north|south)[ ,]+(?:e ?)?{_NUMBER} ?(?:m ?)?e?"
                  rf"[ ,]+(?:n ?)?{_NUMBER} ?(?:m ?)?n?")  # fmt: skip
_MGRS = re.compile(r"(?:mgrs )?([0-9]{1,2}) ?([a-z]) ?([a-z]) ?([a-z]) ?([0-9]*)(?: ([0-9]+))?")
_POLAR = re.compile(r"(?:mgrs )?[abyz] ?[a-z]{2} ?[0-9]")
# A zone with three letters; with a letter that means nothing in degrees; or with any letter and a number in metres.
# "deg" and "sec" may also be band and square, but only before the digits of a cell are they taken so.
_GRID = re.compile(r"(?:utm|mgrs|zone)\b"
                   r"|[0-9]{1,2} ?(?!deg|min|sec)[a-z] ?[a-z]{2}(?![a-z])"
                   r"|[0-9]{1,2} ?(?:deg|sec)(?:(?:[0-9]{2}){2,5}| [0-9]{3,5} [0-9]{3,5})$"
                   r"|[0-9]{1,2} ?[abcf-mp-rt-vxyz]\b"
                   r"|[0-9]{1,2} ?(?:[a-z]|north|south)[ ,]+(?:e ?)?[0-9]{5}"
                   rf"|{_POLAR.pattern}")  # fmt: skip
_UTM_EXAMPLE = 'write for example "31U 634401 5796369" or "31 north 634401 5796369"'
_MGRS_EXAMPLE = 'write for example "31U FT 34400 96368"'
_LIMITS = "the UTM grid ends at 84 N and 80 S"


def looks_like_grid(text: str) -> bool:
    """Whether tidy text begins with a zone and a letter that is no mark of degrees, or with utm or mgrs."""
    return _GRID.match(text) is not None


def read_grid(text: str) -> Position:
    """Position of a UTM or MGRS reference in tidy text. Raises ValueError in plain words."""
    match = _UTM.fullmatch(text)
    if match:
        return _read_utm(int(match[1]), match[2], match[3], match[4])
    match = _MGRS.fullmatch(text)
    if match:
        return _read_mgrs(int(match[1]), match[2].upper(), (match[3] + match[4]).upper(), match[5], match[6])
    if _POLAR.match(text):
        raise ValueError("this is on the polar grid, which is not read here; write latitude and longitude")
    raise ValueError(f'this is not a whole UTM or MGRS reference; {_UTM_EXAMPLE}, or "31U FT 34400 96368"')


def _read_utm(zone: int, letter: str, easting: str, northing: str) -> Position:
    _check_zone(zone)
    east_m, north_m = float(easting), float(northing)
    if not 100_000.0 <= east_m < 1_000_000.0 or not 0.0 <= north_m <= 10_000_000.0:
        raise ValueError(
            f"an easting runs from 100000 to 999999 m and comes first, a northing from 0 to 10000000 m; {_UTM_EXAMPLE}"
        )
    band = letter.upper()
    hemisphere = len(letter) > 1 or band in "NS"
    if not hemisphere and band not in _BANDS:
        raise ValueError(f"{band} is not a band of UTM (C to X without I and O); {_UTM_EXAMPLE}")
    north = letter == "north" or (letter != "south" and band >= "N" and band != "S")
    if (north and north_m > _HIGHEST_M) or (not north and north_m < _LOWEST_M):
        raise ValueError(f"northing {northing} in the {'north' if north else 'south'} is off the grid: {_LIMITS}")
    if letter == "s" and _in_band(_latitude_longitude(east_m, north_m, zone, True)[0], "S", _BAND_SLACK_DEG):
        raise ValueError(
            f'is S the band (32 to 40 north) or the southern hemisphere? Write "{zone} north '
            f'{easting} {northing}" or "{zone} south {easting} {northing}"'
        )
    latitude, longitude = _latitude_longitude(east_m, north_m, zone, north)
    if not hemisphere and not _in_band(latitude, band, _BAND_SLACK_DEG):
        raise ValueError(
            f"band {band} is {_band_words(band)}, but this northing is at latitude {latitude:.1f}; {_UTM_EXAMPLE}"
        )
    _check_width(longitude, zone)
    return placed(latitude, longitude, max(half_digit(easting), half_digit(northing)))


def _read_mgrs(zone: int, band: str, square: str, first: str, second: str | None) -> Position:
    _check_zone(zone)
    if band not in _BANDS:
        raise ValueError(f"{band} is not a band of MGRS (C to X without I and O); {_MGRS_EXAMPLE}")
    if (second is not None and len(second) != len(first)) or len(first + (second or "")) % 2:
        raise ValueError(f"easting and northing need as many digits each; {_MGRS_EXAMPLE}")
    digits = first + (second or "")
    if len(digits) > 10:
        raise ValueError(f"MGRS has five digits each at most, for 1 m; {_MGRS_EXAMPLE}")
    columns = _COLUMNS[zone % 3]
    if square[0] not in columns or square[1] not in _ROWS:
        raise ValueError(
            f"zone {zone} has no square {square}; its first letter is one of {columns}, its "
            f"second A to V without I and O; {_MGRS_EXAMPLE}"
        )
    half = len(digits) // 2
    cell_m = 10 ** (5 - half)
    east_m = (columns.index(square[0]) + 1) * 100_000 + int(digits[:half] or 0) * cell_m + cell_m / 2
    row = (_ROWS.index(square[1]) - (5 if zone % 2 == 0 else 0)) % 20
    north_m = row * 100_000 + int(digits[half:] or 0) * cell_m + cell_m / 2
    slack_deg = 0.02 + cell_m / 100_000  # a cell may lie across the edge of its band
    for cycle in range(5):
        northing_m = north_m + cycle * _CYCLE_M
        if (northing_m > _HIGHEST_M) if band >= "N" else (northing_m < _LOWEST_M):
            continue
        latitude, longitude = _latitude_longitude(east_m, northing_m, zone, band >= "N")
        if _in_band(latitude, band, slack_deg):
            _check_width(longitude, zone)
            return placed(latitude, longitude, cell_m / 2)
    raise ValueError(f"band {band} ({_band_words(band)}) of zone {zone} has no such square; {_MGRS_EXAMPLE}")


def _latitude_longitude(east_m: float, north_m: float, zone: int, north: bool) -> tuple[float, float]:
    latitude, longitude = importlib.import_module("utm").to_latlon(east_m, north_m, zone, northern=north, strict=False)
    return float(latitude), float(longitude)


def _check_zone(zone: int) -> None:
    if not 1 <= zone <= 60:
        raise ValueError(f"UTM zones run from 1 to 60, not {zone}; {_UTM_EXAMPLE}")


def _check_width(longitude_deg: float, zone: int) -> None:
    off_deg = abs((longitude_deg - (6 * zone - 183) + 180.0) % 360.0 - 180.0)
    if off_deg > _WIDEST_DEG:
        raise ValueError(
            f"that easting is {off_deg:.1f} degrees of longitude from the middle of zone {zone}, outside it"
        )


def _band_edges(band: str) -> tuple[int, int]:
    south = -80 + 8 * _BANDS.index(band)
    return south, 84 if band == "X" else south + 8


def _in_band(latitude_deg: float, band: str, slack_deg: float) -> bool:
    south, north = _band_edges(band)
    return south - slack_deg <= latitude_deg <= north + slack_deg


def _band_words(band: str) -> str:
    south, north = _band_edges(band)
    return f"{south} to {north} north" if south >= 0 else f"{-north} to {-south} south"


def _easting_northing(latitude_deg: float, longitude_deg: float) -> tuple[float, float, int, str]:
    """(easting [m], northing [m], zone, band). Raises ValueError off the grid."""
    if not -80.0 <= latitude_deg <= 84.0:
        raise ValueError(f"latitude {latitude_deg:.10g} is off the grid: {_LIMITS}; choose another way of writing")
    # Ten decimals (0.01 mm): a latitude of -1e-50 would get band N and a negative northing.
    east, north, zone, band = importlib.import_module("utm").from_latlon(round(latitude_deg, 10) + 0.0, longitude_deg)
    return float(east), float(north), int(zone), str(band)


def write_utm(latitude_deg: float, longitude_deg: float) -> str:
    """ "31U 634401 5796369", rounded to 1 m; band S is written "north", as its letter also stands for south."""
    east, north, zone, band = _easting_northing(latitude_deg, longitude_deg)
    return f"{zone}{' north' if band == 'S' else band} {east:.0f} {north:.0f}"


def write_mgrs(latitude_deg: float, longitude_deg: float) -> str:
    """ "31U FT 34400 96368": the 1 m cell."""
    east, north, zone, band = _easting_northing(latitude_deg, longitude_deg)
    column, east_m = divmod(math.floor(east), 100_000)
    row, north_m = divmod(math.floor(north), 100_000)
    square = _COLUMNS[zone % 3][column - 1] + _ROWS[(row + (5 if zone % 2 == 0 else 0)) % 20]
    return f"{zone}{band} {square} {east_m:05d} {north_m:05d}"
