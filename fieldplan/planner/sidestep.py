"""The short walk sideways: where, and at which moment of its own, the disc stands exactly at the place wanted."""

from __future__ import annotations

from fieldplan.planner.lineups import LineUp, over_horizon
from fieldplan.planner.sights import Sight, aimed_for
from fieldplan.sky.aims import AS_RECKONED, Correction
from fieldplan.sky.geocentric import Body
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sighterrors import metres_at
from fieldplan.sky.standing import Ground
from fieldplan.sky.station import Place, Station
from fieldplan.sky.walking import Walk, walk_sideways, walks_on

_AROUND_S = 2700.0  # to either side of the pass
_FARTHEST_M = 1500.0  # further than this it is no short walk


def side_step(ground: Ground, position: Place, ut_s: float) -> Walk | None:
    """The walk that keeps the distance to the landmark, to the moment nearest to a pass at which the disc has the
    height wanted; to the whole second. None where there is none within 45 minutes and 1500 m."""
    try:
        found = walks_on(ground, position, ut_s - _AROUND_S, ut_s + _AROUND_S)
    except ValueError:  # at the landmark itself, or the disc overhead
        return None
    near = [walk for walk in found if walk.distance_m <= _FARTHEST_M and _is_up(ground.body, walk)]
    best = min(near, key=lambda walk: abs(walk.ut_s - ut_s), default=None)
    return None if best is None else walk_sideways(ground, position, float(round(best.ut_s)))


def _is_up(body: Body, walk: Walk) -> bool:
    seen = Station(walk.place).direction(body, walk.ut_s)
    return over_horizon(apparent_altitude_deg(seen.altitude_deg), 2.0 * seen.semidiameter_deg, walk.place)


def side_step_of(
    sight: Sight, body: Body, ut_s: float, placed: str, here: Place | None = None, correction: Correction = AS_RECKONED
) -> Walk | None:
    """The same from a sight's eye, or from here; the ground is taken as level with that under the eye."""
    ground = Ground(body, sight.top, sight.eye.elevation_m, aimed_for(sight, placed), correction)
    return side_step(ground, sight.eye if here is None else here, ut_s)


def error_m(up: LineUp, line_m: float) -> float:
    """The stated error of a pass in metres at the viewpoint."""
    return metres_at(up.error_deg, line_m)


def stays(up: LineUp, line_m: float) -> bool:
    """Whether a pass misses by no more than its error: then walking mends nothing."""
    return up.miss_m <= error_m(up, line_m)
