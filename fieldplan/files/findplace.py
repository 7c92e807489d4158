"""A place by any of the words for it: a position, a waypoint of a file, a saved place, a city."""

from __future__ import annotations

from pathlib import Path

from fieldplan.files.cities import find_city
from fieldplan.files.savedplaces import find_saved
from fieldplan.files.waypoints_in import find_waypoint
from fieldplan.model.fields import Spot
from fieldplan.notation.position import Position

_CITY_M = 1000.0  # how far from its numbers a place in a city may be; common practice


def find_place(text: str, folder: Path | str | None = None, cities: bool = True) -> Position:
    """A position in any notation, FILE.gpx#NAME, a saved place, or a city. Raises ValueError and FileProblem.

    folder: of the gear profiles, with the saved places beside them, where not the usual one. cities: left out where a
    kilometre is too rough. The height is that of the ground [m], where the words or the file give one.
    """
    file, mark, name = text.rpartition("#")
    if mark and file.lower().endswith(".gpx"):
        point = find_waypoint(file, name)
        return point.position._replace(height_m=point.elevation_m)
    saved = find_saved(text, folder)
    if saved is not None:
        height = saved.position.height_m if saved.elevation is None else float(saved.elevation)
        return Position(*saved.position)._replace(height_m=height)
    try:
        return Spot.read(text)
    except ValueError:
        if not cities or not any(c.isalpha() for c in text) or any(c.isdigit() for c in text):
            raise
        city = find_city(text)
        return Position(city.latitude_deg, city.longitude_deg, _CITY_M)
