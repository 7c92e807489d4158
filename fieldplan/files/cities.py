"""Cities to start from when no position is at hand: the list that astral carries."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.notation.numbers import shown
from fieldplan.notation.words import nearest_word


class City(NamedTuple):
    """A city: its name, country as astral writes it, position [deg], time zone."""

    name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    time_zone: str


def cities() -> tuple[City, ...]:
    """Every city of the list, by name."""
    from astral.geocoder import all_locations, database

    found = (City(c.name, c.region, c.latitude, c.longitude, c.timezone) for c in all_locations(database()))
    return tuple(sorted(set(found)))


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
