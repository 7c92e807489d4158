"""From where to where ``fieldplan lineup`` looks: two positions of the command, or names of a plan's site."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Callable
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.files.findplace import find_place
from fieldplan.files.whereabouts import site_doubts, whereabouts
from fieldplan.lightcommand import zone_of_position
from fieldplan.model.plan import SKIES
from fieldplan.notation.numbers import shown
from fieldplan.notation.position import Position
from fieldplan.notation.quantity import HEIGHT, SIZE, read_span, read_value
from fieldplan.notation.words import read_choice
from fieldplan.optionnamed import given, named
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


def between(options: argparse.Namespace, note: Callable[[str], object]) -> Between:
    """What the words of the command say. ValueError, and FileProblem for a plan, in plain words.

    note: is told of every position that is coarse or looks like a slip, also where no search comes of it.
    """
    if options.plan is None:
        return _of_positions(options, note)
    given = [word for word, value in (("--from", options.from_position), ("--to", options.to),
             ("--from-level", options.from_level), ("--to-level", options.to_level)) if value is not None]  # fmt: skip
    if given:
        raise ValueError(f"{given[0]} is for a search without a plan; a plan has its own landmarks and viewpoints")
    return _of_plan(options, note)


def _of_positions(options: argparse.Namespace, note: Callable[[str], object]) -> Between:
    for word, value in (("--from", options.from_position), ("--to", options.to), ("--to-level", options.to_level)):
        if value is None:
            raise ValueError(f"{word} is missing; name a plan, or give --from, --to and --to-level")
    if options.landmark is not None or options.viewpoint is not None:
        raise ValueError("--landmark and --viewpoint are names in a plan; name the plan too")
    here, there = _position(options, "--from", options.from_position), _position(options, "--to", options.to)
    for option, spot in (("--from", here), ("--to", there)):
        for warning in whereabouts(spot, options.zone).warnings:
            note(f"{option}: {warning}")
    eye = _raised(here, given("--from-level", options.from_level, _level))
    top = _raised(there, given("--to-level", options.to_level, _level))
    return Between(
        "the landmark", "the viewpoint", eye, top, given("--to-width", options.to_width, _width), EYE_M,
        _zone(options.zone, eye), _sky(options.sky or "clear"),
    )  # fmt: skip


def _of_plan(options: argparse.Namespace, note: Callable[[str], object]) -> Between:
    from fieldplan.opening import open_plan, zone_of

    opened = open_plan(options.plan, options.profile, options.plans, options.profiles)
    plan, site = opened.plan.value, opened.plan.value.site
    lacks = what_lacks(site)
    if site is None or lacks:
        raise ValueError(lacks)
    for doubt in site_doubts(site, plan.date):
        note(doubt)
    sight = sight_of(site, options.landmark or site.landmarks[0].name, options.viewpoint or viewpoint_names(site)[0])
    width = given("--to-width", options.to_width, _width) or sight.width_m
    held = tuple((body.name, body.latitude) for body in opened.profile.value.bodies if body.latitude is not None)
    return Between(
        sight.landmark, sight.viewpoint, sight.eye, sight.top, width, eye_height_m(site, sight.viewpoint),
        _zone(options.zone or zone_of(site), sight.eye), _sky(options.sky or site.sky), sight.skyline, plan.date, held,
        sight.assumed, plan.units,
    )  # fmt: skip


def _width(text: str) -> float:
    return read_span(text, SIZE).middle


def _level(text: str) -> float:
    return float(read_value(text, HEIGHT))


def _position(options: argparse.Namespace, option: str, text: str) -> Position:
    """A position by any of the words for one but a city, whose kilometre is more than any disc is wide."""
    try:
        return find_place(text, options.profiles, cities=False)
    except ValueError as wrong:
        if any(c.isdigit() for c in text):
            raise ValueError(f"{option}: {wrong}") from None
        told = "is neither a position nor a saved place (a city is too rough here)"
        raise ValueError(f'{option}: {shown(text)} {told}; write for example "52.3012, 4.9711"') from None


def _raised(position: Position, level_m: float | None) -> Place:
    """A place at a level above the sea; without one an eye over the place's own height, or over the sea."""
    own_m = (position.height_m or 0.0) + EYE_M
    return Place(position.latitude_deg, position.longitude_deg, own_m if level_m is None else level_m)


def _zone(name: str | None, eye: Place) -> ZoneInfo:
    with named("--zone"):
        return ZoneInfo(zone_of_position(name, eye.latitude_deg, eye.longitude_deg))


def _sky(name: str) -> str:
    with named("--sky"):
        return read_choice(name, SKIES, "a sky")
