"""From an eye to a landmark: bearing, distance, the altitude at which its top is seen, and what the Earth hides.

Apparent altitude is the straight line's altitude plus k d / 2R, the lift that air near the ground gives to light over a
distance d: k is 0.13 by day over land in common surveying practice, and lower or higher by 0.1 and more over hot ground
or cold water. What hides a foot is reckoned over smooth ground at one level; hills between are not known here.
"""

import math
from typing import NamedTuple

from fieldplan.sky.aims import Target
from fieldplan.sky.geodesic import course
from fieldplan.sky.geodesy import Frame, curvature_radius_m, east_north_up, to_earth_centred
from fieldplan.sky.station import Place, Vector, azimuth_of

REFRACTION_K = 0.13  # common practice in surveying; Gauss found 0.1306 in Hanover
FARTHEST_M = 600_000.0  # beyond the longest sight from the highest peak
NEAREST_M = 0.5  # nearer than this over the ground, a bearing means nothing


class Sightline(NamedTuple):
    """One line of sight from an eye to a point.

    bearing_deg from true north, 0 to 360; distance_m over the ground at sea level; line_m straight through space;
    straight_altitude_deg without air; apparent_altitude_deg as seen; drop_m how far curvature, less the bending of
    light, lowers a point at that distance; hidden_below_m the level above sea below which the Earth's curve hides
    what stands there, or None where the whole ground as far as that is in sight; hidden says that the point itself
    lies below it, so that it cannot be seen although its angles are given.
    """

    bearing_deg: float
    distance_m: float
    line_m: float
    straight_altitude_deg: float
    apparent_altitude_deg: float
    drop_m: float
    hidden_below_m: float | None
    hidden: bool

    @property
    def target(self) -> Target:
        """The direction in which the point is seen."""
        return Target(self.bearing_deg, self.apparent_altitude_deg)

    @property
    def below_eye(self) -> bool:
        """True where the point is seen below the level of the eye: no moon or sun stands there above a sea horizon."""
        return self.apparent_altitude_deg < 0.0


class LandmarkSight(NamedTuple):
    """A landmark as seen: the lines to its top and foot, its angular height and width, and how much of it is hidden.

    height_deg is what can be seen of it, at most from foot to top; width_deg is None where no width was given;
    hidden_m is how many metres of its foot the Earth's curve hides, its whole height where all is hidden.
    """

    top: Sightline
    foot: Sightline
    height_deg: float
    width_deg: float | None
    hidden_m: float


def sightline(viewpoint: Place, target: Place, k: float = REFRACTION_K, level_m: float | None = None) -> Sightline:
    """The line from an eye to a point, both with their height above sea as elevation_m.

    k is the share of the Earth's curvature by which light bends, -2 to 1 exclusive. level_m is the height above sea of
    the smooth ground or water between, by default the sea, or the lower of the two points where that lies below it.
    Raises ValueError, in words fit to show, where there is no line of sight to speak of: within half a metre over the
    ground (the eye is on, above or below the target), beyond 600 km, nearly opposite on the Earth; for k or a level
    out of range, and for what is no place.
    """
    if not -2.0 < k < 1.0:
        raise ValueError(f"the refraction coefficient is between -2 and 1, not {k}")
    line_m = math.dist(to_earth_centred(viewpoint), to_earth_centred(target))
    if line_m > FARTHEST_M:
        raise ValueError(f"the target is {line_m / 1000.0:.0f} km away in a straight line: far beyond the horizon")
    distance_m = course(viewpoint, target).distance_m
    if distance_m < NEAREST_M:
        raise ValueError(_no_bearing(target.elevation_m - viewpoint.elevation_m))
    east, north, up = east_north_up(viewpoint, target)
    bearing_deg = azimuth_of(east, north)
    radius_m = curvature_radius_m(viewpoint.latitude_deg, bearing_deg)
    straight_deg = math.degrees(math.atan2(up, math.hypot(east, north)))
    hidden_below_m = _hidden_below_m(viewpoint.elevation_m, target.elevation_m, distance_m, radius_m, k, level_m)
    return Sightline(
        bearing_deg=bearing_deg,
        distance_m=distance_m,
        line_m=line_m,
        straight_altitude_deg=straight_deg,
        apparent_altitude_deg=straight_deg + terrestrial_lift_deg(distance_m, radius_m, k),
        drop_m=curvature_drop_m(distance_m, k, radius_m),
        hidden_below_m=hidden_below_m,
        hidden=hidden_below_m is not None and target.elevation_m < hidden_below_m,
    )


def landmark_sight(
    viewpoint: Place,
    foot: Place,
    height_m: float,
    width_m: float | None = None,
    k: float = REFRACTION_K,
    level_m: float | None = None,
) -> LandmarkSight:
    """A landmark of a height above its foot, seen from an eye; errors as for sightline.

    foot.elevation_m is the foot's height above sea. Raises ValueError also for a height or width that is not positive.
    """
    if not 0.0 < height_m < math.inf:
        raise ValueError(f"a landmark's height is a length above zero, not {height_m}")
    if width_m is not None and not 0.0 < width_m < math.inf:
        raise ValueError(f"a landmark's width is a length above zero, not {width_m}")
    if level_m is None:
        level_m = min(0.0, viewpoint.elevation_m, foot.elevation_m)
    top_place = foot._replace(elevation_m=foot.elevation_m + height_m)
    at_top = sightline(viewpoint, top_place, k, level_m)
    at_foot = sightline(viewpoint, foot, k, level_m)
    hidden_m = 0.0
    if at_top.hidden_below_m is not None:
        hidden_m = min(height_m, max(0.0, at_top.hidden_below_m - foot.elevation_m))
    lowest_deg = at_foot.apparent_altitude_deg
    if 0.0 < hidden_m < height_m:
        seen_from = foot._replace(elevation_m=foot.elevation_m + hidden_m)
        lowest_deg = sightline(viewpoint, seen_from, k, level_m).apparent_altitude_deg
    return LandmarkSight(
        top=at_top,
        foot=at_foot,
        height_deg=0.0 if at_top.hidden else at_top.apparent_altitude_deg - lowest_deg,
        width_deg=None if width_m is None else angular_size_deg(width_m, at_top.line_m),
        hidden_m=hidden_m,
    )


def target_seen(frame: Frame, target_m: Vector, distance_m: float, radius_m: float, k: float) -> Target:
    """The direction in which an Earth-centred point is seen from a frame, for callers that know the distance."""
    east, north, up = frame.seen(target_m)
    straight_deg = math.degrees(math.atan2(up, math.hypot(east, north)))
    return Target(azimuth_of(east, north), straight_deg + terrestrial_lift_deg(distance_m, radius_m, k))


def angular_size_deg(size_m: float, distance_m: float) -> float:
    """The angle that a size takes, square to the line of sight and at that distance to its middle; both above zero."""
    return math.degrees(2.0 * math.atan2(size_m / 2.0, distance_m))


def terrestrial_lift_deg(distance_m: float, radius_m: float, k: float = REFRACTION_K) -> float:
    """How much higher a point at a distance is seen than it stands: k d / 2R."""
    return math.degrees(k * distance_m / (2.0 * radius_m))


def curvature_drop_m(distance_m: float, k: float = REFRACTION_K, radius_m: float = 6_371_000.0) -> float:
    """How far a point at eye level falls below the level line at a distance: (1 - k) d^2 / 2R, metres."""
    return (1.0 - k) * distance_m**2 / (2.0 * radius_m)


def horizon_distance_m(height_m: float, k: float = REFRACTION_K, radius_m: float = 6_371_000.0) -> float:
    """How far an eye at a height above smooth ground or sea sees it, metres; 0 at or below the ground."""
    return math.sqrt(2.0 * radius_m * max(0.0, height_m) / (1.0 - k))


def magnetic_bearing_deg(true_bearing_deg: float, variation_deg: float) -> float:
    """What a compass shows for a true bearing, 0 to 360, where the variation is so many degrees (east +, west -)."""
    magnetic = (true_bearing_deg - variation_deg) % 360.0
    return magnetic if magnetic < 360.0 else 0.0


def _hidden_below_m(
    eye_m: float, target_m: float, distance_m: float, radius_m: float, k: float, level_m: float | None
) -> float | None:
    level = min(0.0, eye_m, target_m) if level_m is None else level_m
    if not math.isfinite(level) or eye_m < level:
        raise ValueError(f"the ground between cannot be at {level} m, above an eye at {eye_m} m")
    beyond_m = distance_m - horizon_distance_m(eye_m - level, k, radius_m)
    return level + curvature_drop_m(beyond_m, k, radius_m) if beyond_m > 0.0 else None


def _no_bearing(higher_m: float) -> str:
    if abs(higher_m) < NEAREST_M:
        return "the eye is at the target itself: there is no bearing to it"
    where = "straight above" if higher_m > 0.0 else "straight below"
    return f"the target is {where} the eye ({abs(higher_m):.0f} m): there is no bearing to it"
