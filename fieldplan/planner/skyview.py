"""What the view of a line-up is drawn of: disc, way, landmark and ground line in the frame of a lens."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.planner.lineups import horizon_deg
from fieldplan.planner.sights import Sight
from fieldplan.planner.skymoments import DiscAt, SkyFrame, disc_path
from fieldplan.sky.aims import AS_RECKONED, Correction
from fieldplan.sky.geocentric import Body

_FOOT_SHARE = 0.2  # of the frame's height, below the landmark's foot
_UNKNOWN_WIDTH = 0.25  # of its height, where a landmark's width is not known
Point = tuple[float, float]


class SkyView(NamedTuple):
    """Points are (azimuth, apparent altitude), all in degrees. left_deg to top_deg: the landmark's edges."""

    centre: Point
    left_deg: float
    right_deg: float
    foot_deg: float
    top_deg: float
    ground: tuple[Point, ...]
    disc: Point
    path: tuple[Point, ...]


def view_of(
    sight: Sight, now: DiscAt, body: Body, hit_s: float, frame: SkyFrame, correction: Correction = AS_RECKONED
) -> SkyView:
    """The view from a sight's eye; hit_s: the middle of the way that is drawn [s since 1970].

    correction: what one sighting corrects; the disc and its way stand where it puts them.
    """
    top, foot = sight.seen.top, sight.seen.foot
    half_deg = (sight.seen.width_deg or _UNKNOWN_WIDTH * sight.seen.height_deg) / 2.0
    bearing = top.bearing_deg
    turn_deg = correction.across_deg / math.cos(math.radians(now.altitude_deg))  # across is on the sky, not in azimuth

    def mended(azimuth_deg: float, altitude_deg: float) -> Point:
        return azimuth_deg + turn_deg, altitude_deg + correction.up_deg

    return SkyView(
        (bearing, foot.apparent_altitude_deg + (0.5 - _FOOT_SHARE) * frame.height_deg),
        bearing - half_deg,
        bearing + half_deg,
        foot.apparent_altitude_deg,
        top.apparent_altitude_deg,
        _ground(sight, bearing),
        mended(now.azimuth_deg, now.altitude_deg),
        tuple(mended(*point) for point in disc_path(sight, body, hit_s)),
    )


def _ground(sight: Sight, bearing_deg: float) -> tuple[Point, ...]:
    """The ground line closed round the horizon; where none was drawn, the horizon itself."""
    points = sorted(sight.skyline)
    if len(points) > 1:
        return (*points, (points[0][0] + 360.0, points[0][1]))
    return tuple((bearing_deg + turn_deg, horizon_deg(sight.eye)) for turn_deg in (-60.0, 0.0, 60.0))
