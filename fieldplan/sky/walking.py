"""From where one stands to where one should: how far to walk, in which bearing; and what one sighting corrects."""

import math
from typing import NamedTuple

from fieldplan.sky.aims import CENTRED, Correction
from fieldplan.sky.approach import Approach
from fieldplan.sky.geocentric import Almanac, Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.geodesy import frame_at
from fieldplan.sky.paths import Path
from fieldplan.sky.sightline import NEAREST_M, REFRACTION_K, sightline
from fieldplan.sky.standing import Ground
from fieldplan.sky.station import Place
from fieldplan.sky.viewpoints import HowFar, ladder, spots_at


class Walk(NamedTuple):
    """How to get from a position to a spot: metres over the ground, bearing from true north, 0 to 360.

    sideways_m (to the right, facing the landmark, positive) and back_m (away from it positive) are its parts;
    above_deg is how far above its wanted height the disc then still stands at that instant (below: negative).
    """

    place: Place
    ut_s: float
    distance_m: float
    bearing_deg: float
    sideways_m: float
    back_m: float
    above_deg: float


def walk_sideways(ground: Ground, position: Place, ut_s: float) -> Walk:
    """The way that puts the disc over the landmark at the instant and keeps the distance to it.

    Raises ValueError where the position is at the landmark, or the disc nearly overhead.
    """
    there = ground.standing(ut_s, _distance_m(ground, position))
    return _walk(ground, position, there.place, ut_s, there.gap_deg)


def walk_to_spot(ground: Ground, position: Place, ut_s: float) -> Walk | str:
    """The way to the nearest spot where disc and top line up at the instant, or the sentence that says why none is."""
    found = spots_at(ground, ut_s)
    if not found.spots:
        return found.reason
    nearest = min(found.spots, key=lambda spot: course(position, spot.place).distance_m)
    return _walk(ground, position, nearest.place, ut_s, 0.0)


def walks_on(ground: Ground, position: Place, start_s: float, end_s: float) -> list[Walk]:
    """For a fixed spot and a span: each instant at which the disc passes the wanted height, and the way sideways then.

    Raises ValueError where the position is at the landmark.
    """
    (spots,) = ladder(ground, [HowFar(distance_m=_distance_m(ground, position))], start_s, end_s)
    return [_walk(ground, position, spot.place, spot.ut_s, 0.0) for spot in spots]


def correction_from_sighting(
    body: Body,
    viewpoint: Place,
    top: Place,
    ut_s: float,
    discs_right: float,
    discs_above: float,
    k: float = REFRACTION_K,
) -> Correction:
    """What one look corrects: the disc's centre stood so many of its widths to the right of the top and above it.

    Left and below are negative. viewpoint.elevation_m is the eye's height above sea. The correction is for this
    viewpoint and others near it; it takes up errors of position, of height and of the air together. Raises ValueError
    where there is no line of sight.
    """
    line = sightline(viewpoint, top, k)
    approach = Approach(Path(Almanac(), body, ut_s), body, frame_at(viewpoint), line.target, CENTRED, ut_s)
    reckoned_across_deg, reckoned_up_deg = approach.offset_deg(ut_s)
    disc_deg = 2.0 * approach.semidiameter_deg
    return Correction(discs_right * disc_deg - reckoned_across_deg, discs_above * disc_deg - reckoned_up_deg)


def _distance_m(ground: Ground, position: Place) -> float:
    distance_m = course(position, ground.top).distance_m
    if distance_m < NEAREST_M:
        raise ValueError("the position is at the landmark itself: there is no side to walk to")
    return distance_m


def _walk(ground: Ground, position: Place, spot: Place, ut_s: float, above_deg: float) -> Walk:
    way = course(position, spot)
    facing = course(position, ground.top)
    turned = math.radians(way.bearing_deg - facing.bearing_deg)
    return Walk(
        place=spot,
        ut_s=ut_s,
        distance_m=way.distance_m,
        bearing_deg=way.bearing_deg,
        sideways_m=way.distance_m * math.sin(turned),
        back_m=-way.distance_m * math.cos(turned),
        above_deg=above_deg,
    )
