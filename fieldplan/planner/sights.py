"""A landmark of a site as the target of a line-up, seen from the site itself or from one of its named viewpoints."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, TypeVar

from fieldplan.model.plan import Landmark, Site, Viewpoint
from fieldplan.notation.numbers import shown
from fieldplan.notation.words import nearest_word
from fieldplan.planner.lineups import LineUps, find_lineups, placing_of
from fieldplan.sky.aims import AS_RECKONED, Aimed, Correction, Placing, half_bearing_deg
from fieldplan.sky.sightline import LandmarkSight, landmark_sight
from fieldplan.sky.station import Place

_Named = TypeVar("_Named", Landmark, Viewpoint)
EYE_M = 1.6  # height of a standing eye above the ground, where a viewpoint names none; common practice


class Lacking(ValueError):
    """A line of sight that wants a figure or a name; the text says which, and what to write."""


class Sight(NamedTuple):
    """A line of sight with names. eye, top, foot: elevation_m above sea; skyline only where it was drawn from the eye.

    note: of the viewpoint, such as who may stand there; "" where there is none. assumed: figures taken for want of
    better ones, in words.
    """

    landmark: str
    viewpoint: str
    eye: Place
    foot: Place
    top: Place
    width_m: float | None
    seen: LandmarkSight
    skyline: tuple[tuple[float, float], ...]
    note: str
    assumed: tuple[str, ...]

    @property
    def height_m(self) -> float:
        """Height of the top above the foot [m]."""
        return self.top.elevation_m - self.foot.elevation_m


def viewpoint_names(site: Site) -> tuple[str, ...]:
    """Where one may look from: the site itself, if its position is known, then the named viewpoints."""
    own = (site.name,) if site.position is not None else ()
    return (*own, *(view.name for view in site.viewpoints if view.name != site.name))


def what_lacks(site: Site | None) -> str:
    """A sentence saying what a line-up wants of the site; "" where there is a landmark and a place to look from."""
    lacks = []
    if site is None or not site.landmarks:
        lacks.append("a landmark ([[site.landmark]] with name, position, foot and height)")
    if site is None or not viewpoint_names(site):
        lacks.append("the site's position, or a viewpoint ([[site.viewpoint]] with name and position)")
    return f"To line up moon or sun, add {' and '.join(lacks)} to the plan." if lacks else ""


def sight_of(site: Site, landmark: str, viewpoint: str | None = None) -> Sight:
    """The line of sight to a landmark from a viewpoint by name, or from the site's own position.

    Raises Lacking for a name that is not there or a figure that is missing, ValueError for a line of sight that makes
    no sense; both in words fit to show.
    """
    mark = _named(site.landmarks, landmark, "landmark")
    if mark.height is None:
        raise Lacking(f'the landmark "{mark.name}" has no height; write for example height = "31 m"')
    assumed: list[str] = []
    foot_m = float(site.elevation) if mark.foot is None else float(mark.foot)
    if mark.foot is None:
        assumed.append(f"foot of {mark.name} taken at the site's elevation, {site.elevation.typed}")
    own = viewpoint is None or (viewpoint == site.name and site.position is not None)
    view = None if own or viewpoint is None else _named(site.viewpoints, viewpoint, "viewpoint")
    eye = _site_eye(site) if view is None else _view_eye(site, view, assumed)
    foot = Place(mark.position.latitude_deg, mark.position.longitude_deg, foot_m)
    width = None if mark.width is None else float(mark.width)
    try:
        seen = landmark_sight(eye, foot, float(mark.height), width)
    except ValueError as wrong:
        raise ValueError(f"{mark.name} from {site.name if view is None else view.name}: {wrong}") from None
    return Sight(
        mark.name, site.name if view is None else view.name, eye, foot,
        foot._replace(elevation_m=foot_m + float(mark.height)), width,
        seen,
        tuple((point.bearing, point.altitude) for point in site.skyline) if view is None else (),
        "" if view is None else view.note or "", tuple(assumed),
    )  # fmt: skip


def find_sight_lineups(
    sight: Sight,
    body: str,
    span_s: tuple[float, float],
    within_deg: float,
    placed: str = "centred",
    sky: str = "clear",
    on_progress: Callable[[float], bool] | None = None,
    correction: Correction = AS_RECKONED,
    also_down: bool = False,
) -> LineUps:
    """Every pass of the disc by the landmark in the span; placed as for lineups.placing_of. ValueError as there."""
    placing = placing_for(sight, placed)
    return find_lineups(
        body, sight.eye, sight.top, *span_s, within_deg, on_progress, placing, sky, correction, also_down
    )


def placing_for(sight: Sight, placed: str) -> Placing:
    """Where the disc is wanted against this landmark; its sides as far apart as its width, where that is known."""
    top = sight.seen.top
    return placing_by_width(placed, sight.width_m)(top.line_m, top.apparent_altitude_deg)


def aimed_for(sight: Sight, placed: str) -> Aimed:
    """The same from wherever one may stand round the landmark."""
    return placing_by_width(placed, sight.width_m)


def placing_by_width(placed: str, width_m: float | None) -> Callable[[float, float], Placing]:
    """Where the disc is wanted, at a straight distance [m] and an apparent altitude [deg] of the landmark's top.

    Raises ValueError for a word that is no place.
    """
    placing_of(placed)

    def placing(line_m: float, altitude_deg: float) -> Placing:
        return placing_of(placed, 0.0 if width_m is None else half_bearing_deg(width_m, line_m, altitude_deg))

    return placing


def eye_height_m(site: Site, viewpoint: str) -> float:
    """Height of the eye above the ground at the site itself or at one of its viewpoints, by name."""
    own = next((view for view in site.viewpoints if view.name == viewpoint), None)
    if own is None or (viewpoint == site.name and site.position is not None):
        return float(site.eye_height)
    return EYE_M if own.eye_height is None else float(own.eye_height)


def _site_eye(site: Site) -> Place:
    if site.position is None:
        raise Lacking(f'the site "{site.name}" has no position; write for example position = "52.3012, 4.9711"')
    level = float(site.elevation) + float(site.eye_height)
    return Place(site.position.latitude_deg, site.position.longitude_deg, level)


def _view_eye(site: Site, view: Viewpoint, assumed: list[str]) -> Place:
    ground = float(site.elevation) if view.elevation is None else float(view.elevation)
    if view.elevation is None:
        assumed.append(f"ground at {view.name} taken at the site's elevation, {site.elevation.typed}")
    return Place(view.position.latitude_deg, view.position.longitude_deg, ground + eye_height_m(site, view.name))


def _named(records: tuple[_Named, ...], name: str, what: str) -> _Named:
    for record in records:
        if record.name == name:
            return record
    known = [record.name for record in records]
    near = nearest_word(name, known)
    guess = f'; did you mean "{near}"?' if near else f"; it has {', '.join(known)}" if known else "; it has none"
    raise Lacking(f"the site has no {what} {shown(name)}{guess}")
