"""Reads the waypoints of a GPX file (GPX 1.0 and 1.1, as written by receivers and maps)."""

from __future__ import annotations

import math
import re
import unicodedata
from pathlib import Path
from typing import Any, NamedTuple

from fieldplan.files.problems import FileProblem, expanded, plain_problem, visible
from fieldplan.files.reading import read_bytes
from fieldplan.model.problems import Problem
from fieldplan.notation.latlon import Position, placed

LARGEST_FILE = 32 * 1024 * 1024  # bytes; a long track takes some
_TOO_LARGE = "is larger than 32 MB; save the waypoints alone, without the tracks"
LONGEST_NAME = 120  # characters, as for every name that a person writes
RESOLUTION_M = 5.0  # what a receiver of the open service can be trusted to, common practice
_LOW_M, _HIGH_M = -500.0, 9000.0  # ground lies between the Dead Sea and the highest mountain
_ENTITIES = re.compile(rb"<!\s*(DOCTYPE|ENTITY)", re.IGNORECASE)


class Waypoint(NamedTuple):
    """A named place of a file; elevation of the ground above the sea [m], None where the file gives none."""

    name: str
    position: Position
    elevation_m: float | None


def load_waypoints(path: Path | str) -> tuple[Waypoint, ...]:
    """The waypoints of a GPX file in its order, each with a name of its own. Raises FileProblem.

    Names come without anything that a terminal would obey; a second one of a name is numbered.
    """
    path = expanded(path)
    points = _parsed(read_bytes(path, ".gpx", LARGEST_FILE, _TOO_LARGE), path)
    if not points:
        raise plain_problem(
            path, "holds no waypoints; tracks and routes are not places: mark a waypoint and save again"
        )
    problems: list[Problem] = []
    found: list[Waypoint] = []
    names: set[str] = set()
    for number, point in enumerate(points, 1):
        name = _unused(safe_name(point.name) or f"waypoint {number}", names)
        names.add(name)
        try:
            found.append(
                Waypoint(name, placed(point.latitude, point.longitude, RESOLUTION_M), _height(point.elevation))
            )
        except ValueError as wrong:
            problems.append(Problem(f"waypoint {number}", "", f"{name}: {wrong}"))
    if problems:
        raise FileProblem(path, problems)
    return tuple(found)


def find_waypoint(path: Path | str, name: str) -> Waypoint:
    """The waypoint of that name. Raises FileProblem that names those in the file."""
    points = load_waypoints(path)
    wanted = safe_name(name).casefold()
    for point in points:
        if point.name.casefold() == wanted:
            return point
    shown = ", ".join(point.name for point in points[:10]) + (", ..." if len(points) > 10 else "")
    raise plain_problem(Path(path), f'holds no waypoint "{visible(name)}"; it has: {shown}')


def safe_name(found: object) -> str:
    """A name on one line with nothing in it that a terminal would obey, at most 120 characters; "" for none."""
    if not isinstance(found, str):
        return ""
    spaced = "".join(" " if c.isspace() else c for c in found)
    kept = "".join(c for c in unicodedata.normalize("NFC", spaced) if c.isprintable())
    return " ".join(kept.split())[:LONGEST_NAME].rstrip()


def _unused(name: str, names: set[str]) -> str:
    number, free = 2, name
    while free in names:
        free, number = f"{name} ({number})", number + 1
    return free


def _height(found: float | None) -> float | None:
    if found is None:
        return None
    if not (math.isfinite(found) and _LOW_M <= found <= _HIGH_M):
        raise ValueError(f"an elevation of {found:g} m is none; it lies between {_LOW_M:g} and {_HIGH_M:g} m")
    return float(found)


def _parsed(data: bytes, path: Path) -> list[Any]:
    """The waypoints as gpxpy reads them. An entity that the file defines itself is never looked at."""
    import gpxpy
    from gpxpy.gpx import GPXException

    if _ENTITIES.search(data):
        raise plain_problem(path, "defines entities of its own, which no waypoint file needs; it is not read")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise plain_problem(path, "is not UTF-8 text; save it as GPX in UTF-8") from None
    try:
        return list(gpxpy.parse(text).waypoints)
    except (GPXException, ValueError, LookupError, TypeError, AttributeError, RecursionError) as wrong:
        said = visible(" ".join(str(wrong).split())[:160])
        raise plain_problem(path, f"is not GPX that can be read: {said}") from None
