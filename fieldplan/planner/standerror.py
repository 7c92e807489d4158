"""How far the place and the moment of a line-up may be off, in metres and seconds to hold beside its decimals."""

from __future__ import annotations

import datetime as dt

from fieldplan.planner.sights import Sight
from fieldplan.sky.geocentric import Body
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sighterrors import SightError, metres_at, sight_error
from fieldplan.sky.station import Station

_PROBE_S = 60.0
_LEAST_DEG_PER_MIN = 0.02  # slower than this, height says little about the clock
_FITS = 5.0  # an error of so many steps or more: the next coarser step is told
_STEPS_S = (1.0, 10.0, 60.0)


def error_of(sight: Sight) -> SightError:
    """One standard error each: positions to 5 m, heights to 2 m, the air."""
    return sight_error(sight.seen.top)


def clock_step_s(error_s: float) -> float:
    """How finely a moment of that standard error is told: to the second, to ten, or to the minute [s]."""
    return next((step for step in _STEPS_S[:-1] if error_s <= _FITS * step), _STEPS_S[-1])


def told_at(moment: dt.datetime, step_s: float) -> dt.datetime:
    """A moment with a zone, to the nearest whole step."""
    return dt.datetime.fromtimestamp(round(moment.timestamp() / step_s) * step_s, tz=moment.tzinfo)


def fine_clock(ut_s: float, zone: dt.tzinfo, error_s: float) -> str:
    """ "17:46:50", "17:47": as fine as the standard error of a moment allows, to the second at most."""
    step_s = clock_step_s(error_s)
    told = told_at(dt.datetime.fromtimestamp(ut_s, tz=zone), step_s)
    return f"{told:%H:%M}" if step_s >= 60.0 else f"{told:%H:%M:%S}"


def climb_error_s(sight: Sight, body: Body, ut_s: float) -> float | None:
    """The error upwards on the clock [s]; None for a disc that hardly climbs or sinks."""
    station = Station(sight.eye)
    ends = (apparent_altitude_deg(station.direction(body, ut_s + late).altitude_deg) for late in (-_PROBE_S, _PROBE_S))
    first, last = ends
    rate = abs(last - first) / (2.0 * _PROBE_S / 60.0)
    return error_of(sight).up_deg / rate * 60.0 if rate >= _LEAST_DEG_PER_MIN else None


def error_note(sight: Sight, body: Body, ut_s: float) -> str:
    """In words: sideways in metres, upwards in degrees and, while the disc climbs or sinks, in time."""
    error, late_s = error_of(sight), climb_error_s(sight, body, ut_s)
    side_m = metres_at(error.across_deg, sight.seen.top.line_m)
    clock = "" if late_s is None else f", {late_s:.0f} s on the clock"
    return (
        f"standard error of each spot: {side_m:.0f} m sideways, {error.up_deg:.2f} deg in height{clock} (positions to "
        "5 m, heights to 2 m, the air); the decimals are for typing"
    )
