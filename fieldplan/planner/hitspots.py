"""For each pass that was found: the spot near the viewpoint from which disc and landmark's top line up exactly."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from fieldplan.planner.lineups import LineUp
from fieldplan.sky.aims import CENTRED, Placing
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.standing import Ground, Spot
from fieldplan.sky.station import Place
from fieldplan.sky.viewpoints import spots_at


class HitSpot(NamedTuple):
    """A pass, the nearest spot at its moment (to the whole second) and the way there; or why there is none.

    walk_m, walk_deg: from the viewpoint, over the ground and from true north.
    """

    up: LineUp
    ut_s: float
    spot: Spot | None
    walk_m: float
    walk_deg: float
    reason: str


def hit_spots(
    body: Body, viewpoint: Place, top: Place, found: Iterable[LineUp], placing: Placing = CENTRED
) -> tuple[HitSpot, ...]:
    """One for each pass; viewpoint, top: with the eye's, the top's level. The ground is taken as level."""
    ground = Ground(body, top, viewpoint.elevation_m, placing)
    spots = []
    for up in found:
        ut_s = float(round(up.hit.ut_s))
        there, reason = spots_at(ground, ut_s)
        spot = min(there, key=lambda one: course(viewpoint, one.place).distance_m, default=None)
        way = None if spot is None else course(viewpoint, spot.place)
        spots.append(HitSpot(up, ut_s, spot, way.distance_m if way else 0.0, way.bearing_deg if way else 0.0, reason))
    return tuple(spots)
