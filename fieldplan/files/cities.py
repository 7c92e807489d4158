"""Cities to start from when no position is at hand: the list that astral carries."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.notation.numbers import shown
from fieldplan.notation.words import nearest_word

_OFF_HOURS = 4.0  # the farthest in use is a little over three, in the west of China


class City(NamedTuple):
    """A city: its name, country as astral writes it, position [deg], time zone."""

    name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    time_zone: str


def cities() -> tuple[City, ...]:
    """Every city of the list, by name; one whose longitude its own clock belies is left out, a repeated one once."""
    from astral.geocoder import all_locations, database

    found = (City(c.name, c.region, c.latitude, c.longitude, c.timezone) for c in all_locations(database()))
    once = {(c.name, c.country): c for c in sorted(found, reverse=True) if _believable(c)}
    return tuple(sorted(once.values()))


def _believable(city: City) -> bool:
    """Whether the clock of a city is that of its longitude: no zone is farther from its meridian than this."""
    offset = dt.datetime(2027, 1, 1, tzinfo=ZoneInfo(city.time_zone)).utcoffset()
    if offset is None:
        return False
    apart = offset.total_seconds() / 3600.0 - city.longitude_deg / 15.0
    return abs((apart + 12.0) % 24.0 - 12.0) <= _OFF_HOURS  # a day more or less by the date line


def find_city(text: str) -> City:
    """The city of that name, or "name, country". Raises ValueError that names the nearest one."""
    word = " ".join(text.split()).casefold()
    known = cities()
    for city in known:
        if word in (city.name.casefold(), f"{city.name}, {city.country}".casefold()):
            return city
    near = nearest_word(word.title(), sorted({c.name for c in known}))
    guess = f'did you mean "{near}"?' if near else 'write a position such as "52.3012, 4.9711"'
    raise ValueError(f"{shown(text)} is neither a position nor a city of the list; {guess}")
