"""Where on the ground a disc and a landmark's top line up: the geometry that viewpoints are found with."""

import math
from collections.abc import Callable
from typing import NamedTuple

from fieldplan.sky.aims import AS_RECKONED, CENTRED, Aimed, Correction, Placing, Target, wanted
from fieldplan.sky.approach import disc_seen
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import destination
from fieldplan.sky.geodesy import curvature_radius_m, frame_at, to_earth_centred
from fieldplan.sky.paths import LongPath
from fieldplan.sky.sighterrors import metres_at
from fieldplan.sky.sightline import REFRACTION_K, target_seen
from fieldplan.sky.station import RADIUS_M, Place

Eye = float | Callable[[float, float], float]  # the eye's height above sea; or that at a latitude and a longitude

LOWEST_DISC_DEG = -1.0  # refraction is not known further down
STEEPEST_DISC_DEG = 85.0  # nearer to the zenith there is no line of viewpoints
CLOSE_DEG = 1e-8
TOLERANCE_DISCS = 0.25
FLAT_DEG_PER_M = 1e-8  # a change this slow says nothing about where to go
PROBE_S = 30.0


class Standing(NamedTuple):
    """A spot from which the disc stands over the landmark at one instant, not yet at the right height.

    place has the eye's height above sea; back_deg is the bearing from the landmark to it; seen is the disc's centre;
    disc_deg its diameter; gap_deg how far the centre stands above the height at which it is wanted.
    """

    place: Place
    distance_m: float
    back_deg: float
    seen: Target
    disc_deg: float
    gap_deg: float


class Spot(NamedTuple):
    """A spot on the ground from which the disc stands at its wanted place against the landmark's top.

    place has the eye's height above sea; distance_m is over the ground to the landmark. sideways_m_per_min (to the
    right, facing the landmark, positive) keeps the disc over the landmark at this distance as it moves;
    back_m_per_min (away from it positive) keeps it at the right height as well, None where walking changes nothing.
    sideways_tolerance_m and along_tolerance_m (None likewise) move the disc by a quarter of its width.
    """

    place: Place
    ut_s: float
    distance_m: float
    azimuth_deg: float
    apparent_altitude_deg: float
    disc_deg: float
    sideways_m_per_min: float
    back_m_per_min: float | None
    sideways_tolerance_m: float
    along_tolerance_m: float | None


class Ground:
    """A landmark's top, a body and the ground around: everything that stays the same while a viewpoint is sought.

    top.elevation_m is the top's height above sea; eye is the height of the viewer's eye above sea, one for all or by
    latitude and longitude; placing is one for all spots, or that at a spot's straight distance and the altitude of the
    top there, so that a landmark looks as wide as it does from there. Not for sharing by threads. Raises ValueError for
    what is no place.
    """

    def __init__(
        self,
        body: Body,
        top: Place,
        eye: Eye,
        placing: Aimed = CENTRED,
        correction: Correction = AS_RECKONED,
        k: float = REFRACTION_K,
    ) -> None:
        self.body: Body = body
        self.top = top
        self._eye = eye
        self._placing = placing
        self._correction = correction
        self._k = k
        self._path = LongPath(body)
        self._top_m = to_earth_centred(top)
        self._top_frame = frame_at(top)

    def disc_at_landmark(self, ut_s: float) -> tuple[Target, float]:
        """Where the disc's centre is seen from the landmark itself, and its diameter in degrees."""
        body_m = self._path.vector_m(ut_s)
        distance_m = math.dist(body_m, self._top_m)
        return disc_seen(self._top_frame, body_m), 2.0 * math.degrees(math.asin(RADIUS_M[self.body] / distance_m))

    def eye_m(self, place: Place) -> float:
        """Height of the eye above sea at a place."""
        return self._eye(place.latitude_deg, place.longitude_deg) if callable(self._eye) else self._eye

    def standing(self, ut_s: float, distance_m: float, eye_m: float | None = None) -> Standing:
        """The spot at a distance from the landmark that has the disc over it; eye_m instead of the ground's own.

        Where the disc stands within 5 degrees of the zenith there is none: raises ValueError.
        """
        body_m = self._path.vector_m(ut_s)
        at_top, disc_deg = self.disc_at_landmark(ut_s)
        if at_top.apparent_altitude_deg > STEEPEST_DISC_DEG:
            raise ValueError("the disc stands nearly overhead: no bearing leads away from it")
        back_deg = at_top.bearing_deg + 180.0
        for _ in range(12):  # the disc's direction hardly changes over the ground: each round gains two digits
            place = destination(self.top, back_deg, distance_m)
            place = place._replace(elevation_m=self.eye_m(place) if eye_m is None else eye_m)
            frame = frame_at(place)
            seen = disc_seen(frame, body_m)
            radius_m = curvature_radius_m(place.latitude_deg, back_deg)
            line = target_seen(frame, self._top_m, distance_m, radius_m, self._k)
            aim = self._aim(line, disc_deg, self._placing_at(place, line))
            turn_deg = math.remainder(seen.bearing_deg - aim.bearing_deg, 360.0)
            if abs(turn_deg) < CLOSE_DEG:
                break
            back_deg += turn_deg
        gap_deg = seen.apparent_altitude_deg - aim.apparent_altitude_deg
        return Standing(place, distance_m, back_deg % 360.0, seen, disc_deg, gap_deg)

    def _placing_at(self, place: Place, line: Target) -> Placing:
        if isinstance(self._placing, Placing):
            return self._placing
        return self._placing(math.dist(to_earth_centred(place), self._top_m), line.apparent_altitude_deg)

    def _aim(self, line: Target, disc_deg: float, placing: Placing) -> Target:
        """Where the disc's centre is wanted. Right below the top, where left and right mean nothing, on the top."""
        shift_deg = abs(self._correction.up_deg) + abs(placing.up_deg)
        if abs(line.apparent_altitude_deg) + shift_deg > STEEPEST_DISC_DEG:
            return line
        return wanted(self._correction.applied(line), placing, disc_deg / 2.0)

    def spot(self, ut_s: float, distance_m: float) -> Spot:
        """The spot there with everything that is told of it; the caller has seen to it that the gap is closed."""
        here = self.standing(ut_s, distance_m)
        before, after = (self.standing(ut_s + late, distance_m) for late in (-PROBE_S, PROBE_S))
        clockwise_deg = math.remainder(after.back_deg - before.back_deg, 360.0)
        nearer, farther = (self.standing(ut_s, distance_m * (1.0 + share)).gap_deg for share in (-0.005, 0.005))
        slope = (farther - nearer) / (0.01 * distance_m)
        steady = abs(slope) < FLAT_DEG_PER_M
        line_m = math.dist(to_earth_centred(here.place), self._top_m)
        return Spot(
            place=here.place,
            ut_s=ut_s,
            distance_m=distance_m,
            azimuth_deg=here.seen.bearing_deg,
            apparent_altitude_deg=here.seen.apparent_altitude_deg,
            disc_deg=here.disc_deg,
            # Going round the landmark clockwise, somebody who faces it moves to the left.
            sideways_m_per_min=-math.radians(clockwise_deg) * distance_m,
            back_m_per_min=None if steady else -(after.gap_deg - before.gap_deg) / slope,
            sideways_tolerance_m=metres_at(TOLERANCE_DISCS * here.disc_deg, line_m),
            along_tolerance_m=None if steady else TOLERANCE_DISCS * here.disc_deg / abs(slope),
        )
