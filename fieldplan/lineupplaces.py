"""From where to where ``fieldplan lineup`` looks: two positions of the command, or names of a plan's site."""

from __future__ import annotations

import argparse
import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.files.findplace import find_place
from fieldplan.lightcommand import zone_of_position
from fieldplan.model.plan import SKIES
from fieldplan.notation.quantity import HEIGHT, SIZE, read_value
from fieldplan.notation.words import read_choice
from fieldplan.planner.lineups import placing_of
from fieldplan.planner.sights import EYE_M, eye_height_m, placing_by_width, sight_of, viewpoint_names, what_lacks
from fieldplan.sky.aims import Aimed, Placing
from fieldplan.sky.sightline import sightline
from fieldplan.sky.station import Place


class Between(NamedTuple):
    """A line of sight with everything that a search along it wants. eye, top: elevation_m above sea.

    latitudes: what a frame of each body holds in stops, where its profile says. assumed: what was taken for granted.
    """

    landmark: str
    viewpoint: str
    eye: Place
    top: Place
    width_m: float | None
    eye_height_m: float
    zone: ZoneInfo
    sky: str
    skyline: tuple[tuple[float, float], ...] = ()
    date: dt.date | None = None
    latitudes: tuple[tuple[str, float], ...] = ()
    assumed: tuple[str, ...] = ()
    units: str = "metric"

    def placing(self, name: str) -> Placing:
        """Where the disc is wanted; its sides as far apart as the landmark's width. ValueError in plain words."""
        if self.width_m is None:
            return placing_of(name)
        line = sightline(self.eye, self.top)
        return placing_by_width(name, self.width_m)(line.line_m, line.apparent_altitude_deg)

    def aimed(self, name: str) -> Aimed:
        """The same from wherever one stands round the landmark."""
        return placing_by_width(name, self.width_m)


def between(options: argparse.Namespace) -> Between:
    """What the words of the command say. ValueError, and FileProblem for a plan, in plain words."""
    if options.plan is None:
        return _of_positions(options)
    given = [word for word, value in (("--from", options.from_position), ("--to", options.to),
             ("--from-level", options.from_level), ("--to-level", options.to_level)) if value is not None]  # fmt: skip
    if given:
        raise ValueError(f"{given[0]} is for a search without a plan; a plan has its own landmarks and viewpoints")
    return _of_plan(options)


def _of_positions(options: argparse.Namespace) -> Between:
    for word, value in (("--from", options.from_position), ("--to", options.to), ("--to-level", options.to_level)):
        if value is None:
            raise ValueError(f"{word} is missing; name a plan, or give --from, --to and --to-level")
    if options.landmark is not None or options.viewpoint is not None:
        raise ValueError("--landmark and --viewpoint are names in a plan; name the plan too")
    eye = _place(options, options.from_position, options.from_level)
    zone = ZoneInfo(zone_of_position(options.zone, eye.latitude_deg, eye.longitude_deg))
    width = _width(options.to_width)
    return Between(
        "the landmark", "the viewpoint", eye, _place(options, options.to, options.to_level), width, EYE_M, zone,
        _sky(options.sky or "clear"),
    )  # fmt: skip


def _of_plan(options: argparse.Namespace) -> Between:
    from fieldplan.opening import open_plan, zone_of

    opened = open_plan(options.plan, options.profile, options.plans, options.profiles)
    plan, site = opened.plan.value, opened.plan.value.site
    lacks = what_lacks(site)
    if site is None or lacks:
        raise ValueError(lacks)
    sight = sight_of(site, options.landmark or site.landmarks[0].name, options.viewpoint or viewpoint_names(site)[0])
    zone = options.zone or zone_of(site)
    width = _width(options.to_width) or sight.width_m
    held = tuple((body.name, body.latitude) for body in opened.profile.value.bodies if body.latitude is not None)
    return Between(
        sight.landmark, sight.viewpoint, sight.eye, sight.top, width, eye_height_m(site, sight.viewpoint),
        ZoneInfo(zone_of_position(zone, sight.eye.latitude_deg, sight.eye.longitude_deg)),
        _sky(options.sky or site.sky), sight.skyline, plan.date, held, sight.assumed, plan.units,
    )  # fmt: skip


def _width(text: str | None) -> float | None:
    return None if text is None else float(read_value(text, SIZE))


def _place(options: argparse.Namespace, text: str, level: str | None) -> Place:
    """A place of the command; without a level an eye over the place's own height, or over the sea."""
    position = find_place(text, options.profiles, cities=False)
    level_m = (position.height_m or 0.0) + EYE_M if level is None else float(read_value(level, HEIGHT))
    return Place(position.latitude_deg, position.longitude_deg, level_m)


def _sky(name: str) -> str:
    return read_choice(name, SKIES, "a sky")
