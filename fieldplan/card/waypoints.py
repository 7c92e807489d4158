"""The places of a plan as waypoints (GPX 1.1): the site, its landmarks and viewpoints, and where to stand when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import NamedTuple, Protocol

from fieldplan.card import NothingToWrite
from fieldplan.card.markup import escaped
from fieldplan.model.plan import Plan, Site
from fieldplan.notation.signed import unsigned_zero
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.standanswers import StandLadder

# Order of elements: schema of GPX 1.1, wptType (ele, time, name, desc, type) and metadataType (name, desc).


class Located(Protocol):
    """Anything with a position."""

    @property
    def latitude_deg(self) -> float: ...

    @property
    def longitude_deg(self) -> float: ...


class Moment(NamedTuple):
    """A spot that is meant for one moment. ground_m: level of the ground there; told to the millimetre, because a
    centimetre of height is a hundredth of a degree to somebody who stands near."""

    name: str
    latitude_deg: float
    longitude_deg: float
    ground_m: float
    when: dt.datetime
    note: str


def waypoint(
    place: Located, name: str, kind: str, elevation_m: float | None, note: str, when: dt.datetime | None = None
) -> Iterator[str]:
    """One waypoint; when: the moment that it is meant for."""
    yield f'<wpt lat="{place.latitude_deg:.7f}" lon="{place.longitude_deg:.7f}">'
    if elevation_m is not None:
        yield f"<ele>{elevation_m:.{1 if when is None else 3}f}</ele>"
    if when is not None:
        yield f"<time>{when.astimezone(dt.UTC):%Y-%m-%dT%H:%M:%SZ}</time>"
    yield f"<name>{escaped(name)}</name>"
    if note:
        yield f"<desc>{escaped(note)}</desc>"
    yield f"<type>{kind}</type></wpt>"


def _places(site: Site) -> Iterator[str]:
    if site.position is not None:
        yield from waypoint(site.position, site.name, "site", float(site.elevation), "")
    for mark in site.landmarks:
        height = "" if mark.height is None else f"{mark.height.typed} high"
        yield from waypoint(mark.position, mark.name, "landmark", _metres(mark.foot), height)
    for view in site.viewpoints:
        yield from waypoint(view.position, view.name, "viewpoint", _metres(view.elevation), view.note or "")


def _metres(value: float | None) -> float | None:
    return None if value is None else float(value)


def spots_of(stand: StandLadder) -> Iterator[Moment]:
    """The spots of a ladder, each with its moment."""
    for row in stand.rows:
        if row.latitude_deg is None or row.longitude_deg is None or row.ground_m is None:
            continue
        told = "" if not row.label else f", {row.label}"
        seen = "; partly or wholly hidden" if row.hidden else "; may be too dim to see" if row.dim else ""
        where = f"{unsigned_zero(row.altitude_deg, 2)} deg high at bearing {row.azimuth_deg:.2f}"
        note = (
            f"{row.when.isoformat()}: {stand.body} {where}, behind the top of {stand.landmark}{told}; eye "
            f"{stand.eye_height_m:g} m over level ground{seen}"
        )
        name = f"{stand.body} with {stand.landmark} {row.when:%Y-%m-%d %H:%M:%S}"
        yield Moment(name, row.latitude_deg, row.longitude_deg, row.ground_m, row.when, note)


def moments_gpx(title: str, moments: Iterable[Moment]) -> str:
    """A file of spots for their moments. NothingToWrite where there is none."""
    places = [line for m in moments for line in waypoint(m, m.name, "stand", m.ground_m, m.note, m.when)]
    if not places:
        raise NothingToWrite("there is no spot to stand at: there is nothing for a map")
    return _file(f"<metadata><name>{escaped(title)}</name></metadata>", places)


def _metadata(plan: Plan) -> str:
    desc = "" if plan.date is None else f"<desc>{plan.date.isoformat()}</desc>"
    return f"<metadata><name>{escaped(plan.title)}</name>{desc}</metadata>"


def _file(metadata: str, places: list[str]) -> str:
    lines = ['<?xml version="1.0" encoding="UTF-8"?>',
             '<gpx version="1.1" creator="fieldplan" xmlns="http://www.topografix.com/GPX/1/1">',
             metadata, *places, "</gpx>"]  # fmt: skip
    return "\n".join(lines) + "\n"


def as_gpx(answers: PlanAnswers) -> str:
    """The places of a plan. NothingToWrite where none has a position."""
    plan = answers.plan
    places = [] if plan.site is None else list(_places(plan.site))
    if not places:
        raise NothingToWrite("neither the site nor a landmark has a position: there is nothing for a map")
    for stand in answers.stands:
        for m in spots_of(stand):
            places += waypoint(m, m.name, "stand", m.ground_m, m.note, m.when)
    return _file(_metadata(plan), places)
