"""How far the place and the moment of a line-up may be off, in metres and seconds to hold beside its decimals."""

from __future__ import annotations

from fieldplan.planner.sights import Sight
from fieldplan.sky.geocentric import Body
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sighterrors import SightError, metres_at, sight_error
from fieldplan.sky.station import Station

_PROBE_S = 60.0
_LEAST_DEG_PER_MIN = 0.02  # slower than this, height says little about the clock


def error_of(sight: Sight) -> SightError:
    """One standard error each: positions to 5 m, heights to 2 m, the air."""
    return sight_error(sight.seen.top)


def error_note(sight: Sight, body: Body, ut_s: float) -> str:
    """In words: sideways in metres, upwards in degrees and, while the disc climbs or sinks, in time."""
    error = error_of(sight)
    side_m = metres_at(error.across_deg, sight.seen.top.line_m)
    station = Station(sight.eye)
    ends = (apparent_altitude_deg(station.direction(body, ut_s + late).altitude_deg) for late in (-_PROBE_S, _PROBE_S))
    first, last = ends
    rate = abs(last - first) / (2.0 * _PROBE_S / 60.0)
    clock = f", {error.up_deg / rate * 60.0:.0f} s on the clock" if rate >= _LEAST_DEG_PER_MIN else ""
    return (
        f"error of each spot: {side_m:.0f} m sideways, {error.up_deg:.2f} deg in height{clock} (positions to 5 m, "
        "heights to 2 m, the air); the decimals are for typing"
    )
