"""For each pass that was found: the spot near the viewpoint from which disc and landmark's top line up exactly.

The short walk sideways comes first, at its own moment; where there is none, the spot at the moment of the pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from fieldplan.planner.lineups import LineUp
from fieldplan.planner.sidestep import side_step, stays
from fieldplan.sky.aims import CENTRED, Aimed
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.geodesy import to_earth_centred
from fieldplan.sky.standing import Ground, Spot
from fieldplan.sky.station import Place
from fieldplan.sky.viewpoints import spots_at


class HitSpot(NamedTuple):
    """A pass, a spot, its moment (a whole second) and the way there; or why there is none.

    walk_m, walk_deg: from the viewpoint, over the ground and from true north. stay: the pass misses by no more than
    its error. sideways: the spot is as far off the landmark as the viewpoint.
    """

    up: LineUp
    ut_s: float
    spot: Spot | None
    walk_m: float
    walk_deg: float
    reason: str
    stay: bool = False
    sideways: bool = False


def hit_spots(
    body: Body, viewpoint: Place, top: Place, found: Iterable[LineUp], placing: Aimed = CENTRED
) -> tuple[HitSpot, ...]:
    """One for each pass; viewpoint, top: with the eye's, the top's level. placing: from wherever one stands. The ground
    is taken as level."""
    ground = Ground(body, top, viewpoint.elevation_m, placing)
    return tuple(_spot_of(ground, viewpoint, up) for up in found)


def _spot_of(ground: Ground, viewpoint: Place, up: LineUp) -> HitSpot:
    line_m = math.dist(to_earth_centred(viewpoint), to_earth_centred(ground.top))
    stay = stays(up, line_m)
    step = side_step(ground, viewpoint, up.hit.ut_s)
    ut_s, reason = float(round(up.hit.ut_s if step is None else step.ut_s)), ""
    spot = None if step is None else ground.spot(ut_s, course(step.place, ground.top).distance_m)
    if spot is None:
        there, reason = spots_at(ground, ut_s)
        spot = min(there, key=lambda one: course(viewpoint, one.place).distance_m, default=None)
    way = None if spot is None else course(viewpoint, spot.place)
    return HitSpot(
        up, ut_s, spot, way.distance_m if way else 0.0, way.bearing_deg if way else 0.0, reason, stay, step is not None
    )
