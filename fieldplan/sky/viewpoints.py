"""Where to stand: the spot for an instant, the line of spots for an instant, and a ladder of distances over a span."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.sky.crossings import crossings
from fieldplan.sky.sightline import FARTHEST_M
from fieldplan.sky.standing import LOWEST_DISC_DEG, STEEPEST_DISC_DEG, Ground, Spot, Standing
from fieldplan.sky.station import Place

NEAREST_M = 5.0
FAR_M = 60_000.0  # how far off spots are looked for, unless told otherwise
STEPS_PER_DECADE = 15
LADDER_STEP_S = 600.0
CLOSE_M = 1e-6
_ROUNDS = 8  # for ground that is not level: the height of the eye there is looked up anew


class Spots(NamedTuple):
    """The spots that were found, and a sentence where there are none."""

    spots: tuple[Spot, ...]
    reason: str


class LinePoint(NamedTuple):
    """A point of the line on which the disc stands over the landmark at one instant.

    above_deg is how far above the wanted height the disc's centre stands for an eye at place.elevation_m (below it:
    negative); eye_needed_m the height of eye above sea that would close that, None where none does.
    """

    place: Place
    distance_m: float
    azimuth_deg: float
    apparent_altitude_deg: float
    disc_deg: float
    above_deg: float
    eye_needed_m: float | None


class HowFar(NamedTuple):
    """A distance to stand at: in metres, or where the landmark is as high as so many discs (one of the two is given).

    landmark_discs 1 has disc and landmark look equal, 2 the disc half as high as the landmark; height_m is then the
    landmark's height. Raises nothing by itself; see ladder.
    """

    distance_m: float | None = None
    landmark_discs: float | None = None
    height_m: float | None = None


def spots_at(ground: Ground, ut_s: float, nearest_m: float = NEAREST_M, farthest_m: float = FAR_M) -> Spots:
    """Every spot on the ground from which disc and top line up at the instant, nearest first.

    With one height of eye for all there is one at most; on uneven ground there may be more, and such as show only
    between two of the distances looked at (a sixth apart) are not found. Raises ValueError for distances out of order.
    """
    if not 0.0 < nearest_m < farthest_m <= FARTHEST_M:
        raise ValueError(f"no distances from {nearest_m} to {farthest_m} m")
    disc, _ = ground.disc_at_landmark(ut_s)
    if disc.apparent_altitude_deg < LOWEST_DISC_DEG:
        return Spots((), f"The {ground.body} is below the horizon then.")
    if disc.apparent_altitude_deg > STEEPEST_DISC_DEG:
        return Spots((), f"The {ground.body} stands nearly overhead then.")
    count = max(2, math.ceil(STEPS_PER_DECADE * math.log10(farthest_m / nearest_m)))
    distances = [nearest_m * (farthest_m / nearest_m) ** (step / count) for step in range(count + 1)]
    gaps = [ground.standing(ut_s, distance_m).gap_deg for distance_m in distances]
    found = [
        ground.spot(ut_s, _closed(ground, ut_s, distances[n], distances[n + 1], gaps[n], gaps[n + 1]))
        for n in range(count)
        if (gaps[n] < 0.0) != (gaps[n + 1] < 0.0)
    ]
    if found:
        return Spots(tuple(found), "")
    if gaps[0] <= 0.0:
        return Spots((), f"The {ground.body} is too low for the landmark's top, even {farthest_m / 1000.0:.0f} km off.")
    if ground.eye_m(ground.top) >= ground.top.elevation_m:
        return Spots((), f"The landmark's top is not above the eye, and the {ground.body} stands higher.")
    return Spots((), f"The {ground.body} stands above the landmark's top, even from {nearest_m:.0f} m.")


def line_at(ground: Ground, ut_s: float, distances_m: Sequence[float]) -> list[LinePoint]:
    """The line of spots at one instant: at each distance the point that has the disc over the landmark.

    Raises ValueError for a distance that is not above 0 and at most 600 km, and for a disc nearly overhead.
    """
    return [_line_point(ground, ut_s, _checked_m(distance_m)) for distance_m in distances_m]


def ladder(ground: Ground, wanted: Sequence[HowFar], start_s: float, end_s: float) -> list[list[Spot]]:
    """For each distance wanted, the spots and instants of [start_s, end_s) at which disc and top line up there.

    A disc that rises passes the height once, one that culminates between passes it twice, and none may be left where
    it never does. Instants are true to 0.01 s. Raises ValueError for a distance that is none.
    """
    return [_rungs(ground, one, start_s, end_s) for one in map(_checked_how_far, wanted)]


def _rungs(ground: Ground, one: HowFar, start_s: float, end_s: float) -> list[Spot]:
    def gap_deg(ut_s: float) -> float:
        disc, _ = ground.disc_at_landmark(ut_s)
        if not LOWEST_DISC_DEG <= disc.apparent_altitude_deg <= STEEPEST_DISC_DEG:
            # Outside the range it is only needed which side the disc is on.
            return math.copysign(180.0, disc.apparent_altitude_deg)
        distance_m = distance_for(ground, one, ut_s)
        return 180.0 if distance_m is None else ground.standing(ut_s, distance_m).gap_deg

    spots = []
    for ut_s, _ in crossings(gap_deg, 0.0, start_s, end_s, LADDER_STEP_S):
        distance_m = distance_for(ground, one, ut_s)
        if distance_m is not None and abs(gap_deg(ut_s)) < 0.01:  # and not a jump at the edge of the range
            spots.append(ground.spot(ut_s, distance_m))
    return spots


def distance_for(ground: Ground, one: HowFar, ut_s: float) -> float | None:
    """The distance wanted, in metres: where the landmark looks so high, for the disc's size at that instant.

    A landmark high up is foreshortened for somebody near it, so it may look so high from two distances, of which this
    is the farther one, or from none: None. Raises ValueError for a distance that is none.
    """
    _checked_how_far(one)
    if one.distance_m is not None:
        return one.distance_m
    assert one.landmark_discs is not None and one.height_m is not None
    _, disc_deg = ground.disc_at_landmark(ut_s)
    angle = math.radians(one.landmark_discs * disc_deg)
    flat_m = distance_m = one.height_m / math.tan(angle)
    for _ in range(_ROUNDS):
        eye_m = ground.standing(ut_s, distance_m).place.elevation_m
        found_m = _looks_from_m(flat_m, ground.top.elevation_m - eye_m, one.height_m)
        if found_m is None or found_m < NEAREST_M:
            return None
        moved_m, distance_m = abs(found_m - distance_m), found_m
        if moved_m < 1e-7 * distance_m:
            break
    return distance_m


def _looks_from_m(flat_m: float, above_m: float, height_m: float) -> float | None:
    """The farther distance from which a height looks as it does at eye level from flat_m; above_m: its top over the
    eye.

    With the angle a between top and foot, tan a = height d / (d^2 + above (above - height)) (difference of two
    tangents), which is a quadratic in d.
    """
    square = flat_m * flat_m / 4.0 - above_m * (above_m - height_m)
    return flat_m / 2.0 + math.sqrt(square) if square >= 0.0 else None


def _line_point(ground: Ground, ut_s: float, distance_m: float) -> LinePoint:
    here = ground.standing(ut_s, distance_m)
    return LinePoint(
        place=here.place,
        distance_m=distance_m,
        azimuth_deg=here.seen.bearing_deg,
        apparent_altitude_deg=here.seen.apparent_altitude_deg,
        disc_deg=here.disc_deg,
        above_deg=here.gap_deg,
        eye_needed_m=_eye_needed_m(ground, ut_s, here),
    )


def _eye_needed_m(ground: Ground, ut_s: float, here: Standing) -> float | None:
    """The height of eye at which the gap closes; the top sinks for an eye that climbs. Newton's way."""
    eye_m, gap_deg = here.place.elevation_m, here.gap_deg
    for _ in range(30):
        if abs(gap_deg) < 1e-8:
            return eye_m
        rise_deg = ground.standing(ut_s, here.distance_m, eye_m + 1.0).gap_deg - gap_deg
        if rise_deg < 1e-7:
            return None
        eye_m -= gap_deg / rise_deg
        if not -1000.0 < eye_m < 20_000.0:  # no ground is there to stand on
            return None
        gap_deg = ground.standing(ut_s, here.distance_m, eye_m).gap_deg
    return None


def _closed(ground: Ground, ut_s: float, low_m: float, high_m: float, low_deg: float, high_deg: float) -> float:
    """The distance between the two at which the gap closes: false position with the Illinois rule, to a millimetre."""
    for _ in range(100):
        middle_m = (low_m * high_deg - high_m * low_deg) / (high_deg - low_deg)
        gap_deg = ground.standing(ut_s, middle_m).gap_deg
        if (gap_deg < 0.0) == (low_deg < 0.0):
            moved_m, low_m, low_deg, high_deg = middle_m - low_m, middle_m, gap_deg, high_deg / 2.0
        else:
            moved_m, high_m, high_deg, low_deg = high_m - middle_m, middle_m, gap_deg, low_deg / 2.0
        if abs(gap_deg) < 1e-9 or high_m - low_m < CLOSE_M or moved_m == 0.0:
            break
    return middle_m


def _checked_m(distance_m: float) -> float:
    if not 0.0 < distance_m <= FARTHEST_M:
        raise ValueError(f"a distance is above 0 and at most {FARTHEST_M / 1000.0:.0f} km, not {distance_m} m")
    return distance_m


def _checked_how_far(one: HowFar) -> HowFar:
    if one.distance_m is not None:
        _checked_m(one.distance_m)
    elif one.landmark_discs is None or one.height_m is None:
        raise ValueError("a distance is wanted in metres, or in discs with the landmark's height")
    elif not (0.0 < one.landmark_discs <= 100.0 and 0.0 < one.height_m < math.inf):
        raise ValueError(f"no distance makes {one.height_m} m look like {one.landmark_discs} discs")
    return one
