"""The places of a plan as waypoints (GPX 1.1): the site, its landmarks and viewpoints."""

from __future__ import annotations

from collections.abc import Iterator

from fieldplan.card import NothingToWrite
from fieldplan.card.markup import escaped
from fieldplan.model.fields import Spot
from fieldplan.model.plan import Plan, Site
from fieldplan.planner.answers import PlanAnswers

# Order of elements: schema of GPX 1.1, wptType (ele, name, desc, type) and metadataType (name, desc).


def _waypoint(place: Spot, name: str, kind: str, elevation_m: float | None, note: str) -> Iterator[str]:
    yield f'<wpt lat="{place.latitude_deg:.7f}" lon="{place.longitude_deg:.7f}">'
    if elevation_m is not None:
        yield f"<ele>{elevation_m:.1f}</ele>"
    yield f"<name>{escaped(name)}</name>"
    if note:
        yield f"<desc>{escaped(note)}</desc>"
    yield f"<type>{kind}</type></wpt>"


def _places(site: Site) -> Iterator[str]:
    if site.position is not None:
        yield from _waypoint(site.position, site.name, "site", float(site.elevation), "")
    for mark in site.landmarks:
        height = "" if mark.height is None else f"{mark.height.typed} high"
        yield from _waypoint(mark.position, mark.name, "landmark", _metres(mark.foot), height)
    for view in site.viewpoints:
        yield from _waypoint(view.position, view.name, "viewpoint", _metres(view.elevation), view.note or "")


def _metres(value: float | None) -> float | None:
    return None if value is None else float(value)


def _metadata(plan: Plan) -> str:
    desc = "" if plan.date is None else f"<desc>{plan.date.isoformat()}</desc>"
    return f"<metadata><name>{escaped(plan.title)}</name>{desc}</metadata>"


def as_gpx(answers: PlanAnswers) -> str:
    """The places of a plan. NothingToWrite where none has a position."""
    plan = answers.plan
    places = [] if plan.site is None else list(_places(plan.site))
    if not places:
        raise NothingToWrite("neither the site nor a landmark has a position: there is nothing for a map")
    lines = ['<?xml version="1.0" encoding="UTF-8"?>',
             '<gpx version="1.1" creator="fieldplan" xmlns="http://www.topografix.com/GPX/1/1">',
             _metadata(plan), *places, "</gpx>"]  # fmt: skip
    return "\n".join(lines) + "\n"
