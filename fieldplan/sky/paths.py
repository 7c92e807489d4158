"""Where a body stands over some hours, in the frame that turns with the Earth, from three exact places.

Seen from the centre of the Earth the moon moves so evenly that a parabola through places an hour apart holds it within
0.05 arc seconds; what moves fast is the turning of the Earth, and that is a plain rotation.
"""

import math

from fieldplan.sky.geocentric import Almanac, Body, Equatorial
from fieldplan.sky.station import Vector

TURN_PER_S = 2.0 * math.pi / 86164.0905  # sidereal day, IAU
STEP_S = 3600.0


class Path:
    """A body's Earth-centred vector, in metres, around one instant: exact within the step to either side."""

    __slots__ = ("_angle", "_bend", "_middle", "_middle_s", "_slope", "_step_s")

    def __init__(
        self, almanac: Almanac, body: Body, middle_s: float, step_s: float = STEP_S, middle: Equatorial | None = None
    ) -> None:
        """middle is the place at middle_s where it is known already, which saves one look into the almanac."""
        at = _inertial_m(almanac.place(body, middle_s) if middle is None else middle)
        before = _inertial_m(almanac.place(body, middle_s - step_s))
        after = _inertial_m(almanac.place(body, middle_s + step_s))
        self._middle = at
        self._slope = tuple((b - a) / 2.0 for a, b in zip(before, after, strict=True))
        self._bend = tuple((b + a) / 2.0 - m for a, m, b in zip(before, at, after, strict=True))
        self._middle_s = middle_s
        self._step_s = step_s
        self._angle = almanac.sidereal_angle(middle_s)

    def vector_m(self, ut_s: float) -> Vector:
        """The body's centre from the Earth's centre, in the axes of geodesy.to_earth_centred."""
        late_s = ut_s - self._middle_s
        s = late_s / self._step_s
        (x0, y0, z0), (x1, y1, z1), (x2, y2, z2) = self._middle, self._slope, self._bend
        angle = self._angle + TURN_PER_S * late_s
        cos, sin = math.cos(angle), math.sin(angle)
        x = x0 + s * (x1 + s * x2)
        y = y0 + s * (y1 + s * y2)
        return x * cos + y * sin, y * cos - x * sin, z0 + s * (z1 + s * z2)


class LongPath:
    """The same for any instant: pieces are made where they are asked for, and kept. Not for sharing by threads."""

    __slots__ = ("_almanac", "_body", "_pieces")

    def __init__(self, body: Body) -> None:
        self._almanac = Almanac()
        self._body: Body = body
        self._pieces: dict[int, Path] = {}

    def vector_m(self, ut_s: float) -> Vector:
        """The body's centre from the Earth's centre, in the axes of geodesy.to_earth_centred."""
        index = round(ut_s / (2.0 * STEP_S))
        piece = self._pieces.get(index)
        if piece is None:
            piece = self._pieces[index] = Path(self._almanac, self._body, index * 2.0 * STEP_S)
        return piece.vector_m(ut_s)


def earth_centred_m(place: Equatorial, sidereal_angle: float) -> Vector:
    """The vector of one place, turned into the axes of the Earth."""
    level_m = place.distance_m * math.cos(place.declination)
    angle = place.right_ascension - sidereal_angle
    return level_m * math.cos(angle), level_m * math.sin(angle), place.distance_m * math.sin(place.declination)


def _inertial_m(place: Equatorial) -> Vector:
    x, y, z = place.unit_vector()
    return x * place.distance_m, y * place.distance_m, z * place.distance_m
