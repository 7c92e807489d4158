"""``fieldplan places``: saved places and cities to start from, or the waypoints of a file, one to a line."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import NamedTuple

from fieldplan.files.cities import cities
from fieldplan.files.problems import visible
from fieldplan.files.savedplaces import saved_places
from fieldplan.files.waypoints_in import load_waypoints
from fieldplan.notation.position import write_position
from fieldplan.sky.zones import zone_at


class Listed(NamedTuple):
    """A place as listed: where it comes from, its name, position [deg], zone (None: asked of the position), height."""

    sort: str
    name: str
    latitude_deg: float
    longitude_deg: float
    zone: str | None
    elevation_m: float | None
    note: str = ""


def run_places(file: str | None, text: str | None, folder: str | None) -> int:
    """Print the places whose name, note or country holds the text; 1 where there are none. Raises FileProblem."""
    wanted = " ".join((text or "").split()).casefold()
    found = [p for p in (_own(folder) if file is None else _file(file)) if wanted in f"{p.name}, {p.note}".casefold()]
    for place in found:
        print(line_of(place))
    if not found:
        print(f'fieldplan places: no place matches "{visible(text or "")}"', file=sys.stderr)
    return 0 if found else 1


def line_of(place: Listed) -> str:
    """ "reed hide  52.30120, 4.97110  Europe/Amsterdam  3 m  saved"."""
    where = write_position(place.latitude_deg, place.longitude_deg, "decimal")
    height = [] if place.elevation_m is None else [f"{place.elevation_m:.0f} m"]
    note = [place.note] if place.note else []
    return "  ".join([visible(place.name), where, place.zone or _zone(place), *height, place.sort, *note])


def _zone(place: Listed) -> str:
    try:
        return zone_at(place.latitude_deg, place.longitude_deg)
    except LookupError:
        return "zone not known"


def _own(folder: str | None) -> Iterator[Listed]:
    for place in saved_places(folder):
        height = None if place.elevation is None else float(place.elevation)
        spot = place.position
        yield Listed("saved", place.name, spot.latitude_deg, spot.longitude_deg, None, height, place.note or "")
    for city in cities():
        yield Listed("city", city.name, city.latitude_deg, city.longitude_deg, city.time_zone, None, city.country)


def _file(file: str) -> Iterator[Listed]:
    for point in load_waypoints(file):
        spot = point.position
        yield Listed("waypoint", point.name, spot.latitude_deg, spot.longitude_deg, None, point.elevation_m)
