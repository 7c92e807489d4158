"""Moon or sun together with a landmark's top: every pass within reach, with light, exposure and error beside it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator
from typing import Literal, NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.notation.display import length_text, rounded_length
from fieldplan.notation.numbers import shown
from fieldplan.optics.exposure import ev100_of_lux
from fieldplan.sky.aims import AS_RECKONED, CENTRED, RESTING, Correction, Placing, Target, left_of, right_of
from fieldplan.sky.bodyrange import reach
from fieldplan.sky.days import local_day
from fieldplan.sky.events import dip_deg
from fieldplan.sky.geocentric import Body
from fieldplan.sky.illuminance import SKY_STOPS, horizontal_lux, moon_disc_under, uncertainty_stops
from fieldplan.sky.lighting import Lit, casts_shadows, lit_from_aim, lit_offset_stops
from fieldplan.sky.lineup import Hit, lineup
from fieldplan.sky.positions import Place, Station, moon_phase
from fieldplan.sky.sighterrors import metres_at, sight_error
from fieldplan.sky.sightline import Sightline, sightline

SUN_CAUTION = (
    "Sun: never through an optical finder or at length through a long lens. For the disc a certified solar filter in "
    "front, made for this lens; cap on between frames."
)


MOST_YEARS = 10  # that one search takes
_YEARS_ON = 6  # searched for the year in which a direction is reached again
_DISC_DEG = 0.55  # a disc at its widest: so far below the horizon its middle may be and its edge still be seen


class LineUp(NamedTuple):
    """One pass: the hit, how it misses in metres at the viewpoint, the light of land and disc, and the error beside it.

    ev_disc is None for the sun, whose disc wants a filter and not a setting, and for a moon that the sky hides.
    ev_land: open ground. lit, ev_face_range: how the side of the landmark that is looked at is lit, and its light.
    """

    hit: Hit
    miss_m: float
    drift_m_per_min: float
    lit_fraction: float | None
    sun_altitude_deg: float
    ev_land: float
    ev_disc: tuple[float, float] | None
    error_deg: float
    ev_land_range: tuple[float, float]
    lit: Lit
    ev_face_range: tuple[float, float]

    @property
    def gap_stops(self) -> tuple[float, float] | None:
        """Stops by which the disc outshines open ground, least and most; None without the disc's light."""
        return gap_between(self.ev_disc, self.ev_land_range)

    @property
    def error_s(self) -> float:
        """How long the disc takes to move by the stated error [s]; infinite for one that stands still."""
        rate = self.hit.drift_deg_per_min / 60.0
        return self.error_deg / rate if rate > 0.0 else math.inf

    @property
    def face_gap_stops(self) -> tuple[float, float] | None:
        """The same over the side of the landmark that is looked at."""
        return gap_between(self.ev_disc, self.ev_face_range)


def gap_between(disc: tuple[float, float] | None, land: tuple[float, float]) -> tuple[float, float] | None:
    """Stops by which the disc outshines the land, least and most; None where the disc's light is not known."""
    return None if disc is None else (disc[0] - land[1], disc[1] - land[0])


# What keeps a body from a line of sight: nothing of the sky is seen there, it never comes so near, it does not in the
# span, it is under the horizon whenever it comes.
Hindrance = Literal["", "hidden", "never", "span", "down"]


class LineUps(NamedTuple):
    """The line of sight, what was found on it, and why nothing was where that is so: in words, and as one word."""

    line: Sightline
    found: tuple[LineUp, ...]
    reason: str
    stopped: bool
    hindrance: Hindrance = ""


PLACINGS = ("centred", "resting", "left", "right")


def placing_of(name: str, half_width_deg: float = 0.0) -> Placing:
    """Where the disc is wanted: "centred" behind the top, "resting" on it, or touching its "left" or "right" side.

    half_width_deg: half of the landmark's width in degrees of bearing. Raises ValueError for another word.
    """
    match name:
        case "centred":
            return CENTRED
        case "resting":
            return RESTING
        case "left":
            return left_of(half_width_deg)
        case "right":
            return right_of(half_width_deg)
    raise ValueError(f"{shown(name)} is no place against a landmark; known: {', '.join(PLACINGS)}")


def search_span(start: dt.date, end: dt.date, zone: ZoneInfo) -> tuple[float, float]:
    """From the start of one local day to the end of another, both included [s since 1970]. ValueError if reversed."""
    if end < start:
        raise ValueError(f"the search ends on {end}, before it starts on {start}; swap them")
    if (end - start).days > 370 * MOST_YEARS:
        raise ValueError("a search takes ten years at most; ask for a shorter span")
    return local_day(start, zone)[0], local_day(end, zone)[1]


def find_lineups(
    body: str,
    viewpoint: Place,
    top: Place,
    start_s: float,
    end_s: float,
    within_deg: float,
    on_progress: Callable[[float], bool] | None = None,
    placing: Placing = CENTRED,
    sky: str = "clear",
    correction: Correction = AS_RECKONED,
    also_down: bool = False,
    units: str = "metric",
) -> LineUps:
    """Every pass within ``within_deg`` of the landmark's top; viewpoint, top: with the eye's, the top's level.

    placing: where against the top the disc is wanted. sky: its cover, for the light of the land. on_progress: called
    with 0 to 1; returning False stops the search. correction: what one sighting from there corrects.
    also_down: with passes that come nearest under the horizon. units: of the reason's words. Raises ValueError, in
    plain words, for geometry that makes no sense.
    """
    if body not in ("moon", "sun"):
        raise ValueError(f"{shown(body)} is not a body of the sky; known: moon, sun")
    line = sightline(viewpoint, top)
    which: Body = "moon" if body == "moon" else "sun"
    stopped = False

    def progress(share: float) -> bool:
        nonlocal stopped
        on = on_progress is None or on_progress(share)
        stopped = stopped or not on
        return on

    unseen = out_of_sight(line, viewpoint, top, which, within_deg, units)
    if unseen:
        return LineUps(line, (), unseen, False, "hidden")
    target = correction.applied(line.target)
    hits = lineup(which, viewpoint, target, start_s, end_s, within_deg, placing, progress)
    every = tuple(_described(hits, which, viewpoint, line, sky))
    found = tuple(up for up in every if also_down or is_up(up, viewpoint))
    reason = ""
    hindrance: Hindrance = ""
    if every and not found:
        reason = f"the {body} is below the horizon at every pass in this span; look at the correction, or elsewhere"
        hindrance = "down"
    elif not found and not stopped:
        reason, hindrance = _why_none(which, viewpoint, target, (start_s, end_s), within_deg, placing)
    return LineUps(line, found, reason, stopped, hindrance)


def is_up(up: LineUp, viewpoint: Place) -> bool:
    """Whether any part of the disc is reckoned over the horizon."""
    return over_horizon(up.hit.apparent_altitude_deg, up.hit.disc_deg, viewpoint)


def over_horizon(apparent_altitude_deg: float, disc_deg: float, eye: Place) -> bool:
    """Whether any part of a disc stands over the horizon, taken as low as a sea has it from the eye's height."""
    return apparent_altitude_deg + disc_deg / 2.0 > horizon_deg(eye)


def horizon_deg(eye: Place) -> float:
    """The altitude of a sea's horizon from the eye's height [deg]; never above 0."""
    return -dip_deg(max(eye.elevation_m, 0.0))


def _why_none(
    body: Body, viewpoint: Place, target: Target, span_s: tuple[float, float], within_deg: float, placing: Placing
) -> tuple[str, Hindrance]:
    """Why the body does not get there, with the day on which a search finds that it does.

    A year is only told when a search finds a pass in it or soon after.
    """
    start_s, end_s = span_s
    near = reach(body, viewpoint, target, start_s, end_s, within_deg)
    if near.never:
        return near.reason, "never"
    exact = reach(body, viewpoint, target, start_s, end_s) if near.reached else near
    if exact.reached:
        return "no pass comes within the angle asked for in this span; widen it, or move the viewpoint", "span"
    first_s, years = end_s, MOST_YEARS
    if near.again_year is not None:
        first_s, years = max(end_s, dt.datetime(near.again_year, 1, 1, tzinfo=dt.UTC).timestamp()), _YEARS_ON
    passes = lineup(body, viewpoint, target, first_s, first_s + years * 366.0 * 86400.0, within_deg, placing)
    first = next((hit for hit in passes if hit.apparent_altitude_deg + hit.disc_deg / 2.0 > 0.0), None)
    if first is None:
        later = f"Within {within_deg:g} deg it does not come in the ten years after either." if near.reached else ""
    else:
        then = dt.datetime.fromtimestamp(first.ut_s, tz=dt.UTC)
        later = f"Within {within_deg:g} deg it comes first on {then:%Y-%m-%d}."
    return f"{exact.reason} {later}".rstrip(), "never" if exact.never and first is None else "span"


def out_of_sight(
    line: Sightline, viewpoint: Place, top: Place, body: Body, within_deg: float = 0.0, units: str = "metric"
) -> str:
    """Why nothing of the sky is ever seen behind a top: it is beyond the horizon, or ground stands behind it.

    "" where there is sky within so many degrees. The horizon is taken as low as a sea has it from the eye's height.
    """
    if line.hidden:
        under = 0.0 if line.hidden_below_m is None else line.hidden_below_m
        return (
            f"The top ({rounded_length(top.elevation_m, units)} above the sea, {length_text(line.distance_m, units)} "
            f"off) cannot be seen from there: the Earth's curve hides what stands less than "
            f"{rounded_length(under, units)} above the sea. Go nearer, or higher."
        )
    if line.apparent_altitude_deg + within_deg < horizon_deg(viewpoint) - _DISC_DEG:
        return (
            f"The top is seen {-line.apparent_altitude_deg:.1f} degrees below eye level: ground stands behind it and "
            f"no sky, so the {body} is never there. Go lower, or further off."
        )
    return ""


class SkyLight(NamedTuple):
    """The light at one instant: share of the moon that is lit, the sun's true altitude [deg], EV of land and disc.

    land: open, level ground; lit, ev_face_range: a side that is looked at against the disc, and its light.
    """

    lit_fraction: float | None
    sun_altitude_deg: float
    ev_land: float
    ev_land_range: tuple[float, float]
    ev_disc: tuple[float, float] | None
    lit: Lit
    ev_face_range: tuple[float, float]

    @property
    def gap_stops(self) -> tuple[float, float] | None:
        """Stops by which the disc outshines open ground, least and most; None without the disc's light."""
        return gap_between(self.ev_disc, self.ev_land_range)


def sky_light(station: Station, body: str, ut_s: float, apparent_altitude_deg: float, sky: str = "clear") -> SkyLight:
    """The light of land and disc; apparent_altitude_deg: of the disc. ev_disc and lit_fraction: None for the sun,
    ev_disc also where the sky hides the disc. What is lined up with the disc is lit as its bearing lies to the sun."""
    sun, moon = station.direction("sun", ut_s), station.direction("moon", ut_s)
    phase = moon_phase(ut_s)
    light = (sun.altitude_deg, moon.altitude_deg, phase.elongation_deg, phase.horizontal_parallax_deg)
    ev_land = ev100_of_lux(horizontal_lux(*light, SKY_STOPS[sky]))
    spread = uncertainty_stops(sun.altitude_deg, sky)
    disc = moon_disc_under(sky, phase.elongation_deg, apparent_altitude_deg) if body == "moon" else None
    aim_deg = moon.azimuth_deg if body == "moon" else sun.azimuth_deg
    lit = lit_from_aim(aim_deg, sun.azimuth_deg) if casts_shadows(sky, sun.altitude_deg) else "level ground"
    ev_face = ev_land + lit_offset_stops(lit, sun.altitude_deg, sky)
    return SkyLight(
        phase.lit_fraction if body == "moon" else None,
        sun.altitude_deg,
        ev_land,
        (ev_land - spread.below_stops, ev_land + spread.above_stops),
        disc,
        lit,
        (ev_face - spread.below_stops, ev_face + spread.above_stops),
    )


def _described(hits: Iterator[Hit], body: str, viewpoint: Place, line: Sightline, sky: str) -> Iterator[LineUp]:
    station = Station(viewpoint)
    error = sight_error(line).combined_deg
    for hit in hits:
        light = sky_light(station, body, hit.ut_s, hit.apparent_altitude_deg, sky)
        yield LineUp(
            hit,
            metres_at(hit.miss_deg, line.line_m),
            metres_at(hit.drift_deg_per_min, line.line_m),
            light.lit_fraction,
            light.sun_altitude_deg,
            light.ev_land,
            light.ev_disc,
            error,
            light.ev_land_range,
            light.lit,
            light.ev_face_range,
        )
