"""Moon or sun together with a landmark's top: every pass within reach, with light, exposure and error beside it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.optics.exposure import ev100_of_lux
from fieldplan.sky.bodyrange import reach
from fieldplan.sky.days import local_day
from fieldplan.sky.illuminance import horizontal_lux, moon_disc_ev100
from fieldplan.sky.lineup import Hit, lineup
from fieldplan.sky.positions import Place, Station, moon_phase
from fieldplan.sky.sighterrors import metres_at, sight_error
from fieldplan.sky.sightline import Sightline, sightline

SUN_CAUTION = (
    "Sun: never through an optical finder or at length through a long lens. For the disc a certified solar filter in "
    "front, made for this lens; cap on between frames."
)


class LineUp(NamedTuple):
    """One pass: the hit, how it misses in metres at the viewpoint, the light of land and disc, and the error beside it.

    ev_disc is None for the sun, whose disc wants a filter and not a setting.
    """

    hit: Hit
    miss_m: float
    drift_m_per_min: float
    lit_fraction: float | None
    sun_altitude_deg: float
    ev_land: float
    ev_disc: tuple[float, float] | None
    error_deg: float

    @property
    def gap_stops(self) -> tuple[float, float] | None:
        """Stops by which the disc outshines the land, least and most; None for the sun."""
        return None if self.ev_disc is None else (self.ev_disc[0] - self.ev_land, self.ev_disc[1] - self.ev_land)


class LineUps(NamedTuple):
    """The line of sight, what was found on it, and why nothing was where that is so."""

    line: Sightline
    found: tuple[LineUp, ...]
    reason: str
    stopped: bool


def search_span(start: dt.date, end: dt.date, zone: ZoneInfo) -> tuple[float, float]:
    """From the start of one local day to the end of another, both included [s since 1970]. ValueError if reversed."""
    if end < start:
        raise ValueError(f"the search ends on {end}, before it starts on {start}; swap them")
    if (end - start).days > 3700:
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
) -> LineUps:
    """Every pass within ``within_deg`` of the landmark's top; viewpoint, top: with the eye's, the top's level.

    on_progress: called with 0 to 1; returning False stops the search. Raises ValueError, in plain words, for geometry
    that makes no sense.
    """
    if body not in ("moon", "sun"):
        raise ValueError(f'"{body}" is not a body of the sky; known: moon, sun')
    line = sightline(viewpoint, top)
    which = "moon" if body == "moon" else "sun"
    stopped = False

    def progress(share: float) -> bool:
        nonlocal stopped
        on = on_progress is None or on_progress(share)
        stopped = stopped or not on
        return on

    hits = lineup(which, viewpoint, line.target, start_s, end_s, within_deg, on_progress=progress)  # type: ignore[arg-type]
    found = tuple(_described(hits, which, viewpoint, line))
    reason = ""
    if not found and not stopped:
        reason = reach(which, viewpoint, line.target, start_s, end_s, within_deg).reason  # type: ignore[arg-type]
        reason = reason or "no pass comes within the angle asked for in this span; widen it, or move the viewpoint"
    return LineUps(line, found, reason, stopped)


def _described(hits: Iterator[Hit], body: str, viewpoint: Place, line: Sightline) -> Iterator[LineUp]:
    station = Station(viewpoint)
    error = sight_error(line).combined_deg
    for hit in hits:
        sun = station.direction("sun", hit.ut_s)
        moon = station.direction("moon", hit.ut_s)
        phase = moon_phase(hit.ut_s)
        lux = horizontal_lux(sun.altitude_deg, moon.altitude_deg, phase.elongation_deg, phase.horizontal_parallax_deg)
        disc = moon_disc_ev100(phase.elongation_deg, hit.apparent_altitude_deg) if body == "moon" else None
        yield LineUp(
            hit,
            metres_at(hit.miss_deg, line.line_m),
            metres_at(hit.drift_deg_per_min, line.line_m),
            phase.lit_fraction if body == "moon" else None,
            sun.altitude_deg,
            ev100_of_lux(lux),
            disc,
            error,
        )
