"""Paths through the sky: exact positions now and then, cubics between, for asking at every minute of a day."""

import math
from collections.abc import Iterable
from threading import Lock

from fieldplan.sky.geocentric import Almanac, Body
from fieldplan.sky.phases import phase_at
from fieldplan.sky.station import RADIUS_M, Direction, Station, Vector, azimuth_of, direction_of


class Track:
    """A body's path over a span of time, from cubics through exact positions.

    The cubics run through the vector and not the angles, so north and the zenith are places like any other. With
    samples every 600 s the error is below 0.0001 deg. Raises ValueError outside the span. Exact positions are reckoned
    where they are first asked for: a program that starts wants one instant of the day.
    """

    __slots__ = ("_cos_lat", "_making", "_pieces", "_samples", "_sin_lat", "_start_s", "_station", "_step_s", "body")

    def __init__(self, station: Station, body: Body, start_s: float, end_s: float, step_s: float) -> None:
        if not (end_s >= start_s and step_s > 0.0):
            raise ValueError(f"no span from {start_s} to {end_s} in steps of {step_s} s")
        count = max(1, math.ceil((end_s - start_s) / step_s))
        self.body = body
        self._station = station
        self._start_s = start_s
        self._step_s = step_s
        self._samples: dict[int, Vector] = {}
        self._pieces: list[tuple[float, ...] | None] = [None] * count
        self._making = Lock()  # a station is not for sharing by threads, a track is
        latitude = math.radians(station.place.latitude_deg)
        self._sin_lat = math.sin(latitude)
        self._cos_lat = math.cos(latitude)

    def vector_m(self, ut_s: float) -> Vector:
        """East, north and up in metres."""
        steps = (ut_s - self._start_s) / self._step_s
        if not 0.0 <= steps <= len(self._pieces):
            raise ValueError(f"{ut_s} lies outside the span of this track")
        index = min(int(steps), len(self._pieces) - 1)
        s = steps - index
        e0, e1, e2, e3, n0, n1, n2, n3, u0, u1, u2, u3 = self._pieces[index] or self._piece(index)
        return (
            e0 + s * (e1 + s * (e2 + s * e3)),
            n0 + s * (n1 + s * (n2 + s * n3)),
            u0 + s * (u1 + s * (u2 + s * u3)),
        )

    def _piece(self, index: int) -> tuple[float, ...]:
        """The cubic between two exact positions, from those and the ones on either side."""
        with self._making:
            for k in range(index - 1, index + 3):
                if k not in self._samples:
                    self._samples[k] = self._station.vector_m(self.body, self._start_s + k * self._step_s)
            piece = self._pieces[index] = _cubic([self._samples[k] for k in range(index - 1, index + 3)])
        return piece

    def altitude_deg(self, ut_s: float) -> float:
        """Altitude of the centre without refraction."""
        east, north, up = self.vector_m(ut_s)
        return math.degrees(math.atan2(up, math.hypot(east, north)))

    def azimuth_altitude_deg(self, ut_s: float) -> tuple[float, float]:
        """Azimuth (0 to 360) and altitude of the centre without refraction."""
        east, north, up = self.vector_m(ut_s)
        return azimuth_of(east, north), math.degrees(math.atan2(up, math.hypot(east, north)))

    def azimuth_deg(self, ut_s: float) -> float:
        """Azimuth from true north through east, 0 to 360."""
        east, north, _ = self.vector_m(ut_s)
        return azimuth_of(east, north)

    def upper_limb_deg(self, ut_s: float) -> float:
        """Altitude of the top of the disc without refraction."""
        east, north, up = self.vector_m(ut_s)
        level = math.hypot(east, north)
        semidiameter = math.asin(RADIUS_M[self.body] / math.hypot(level, up))
        return math.degrees(math.atan2(up, level) + semidiameter)

    def azimuth_altitude_limb_deg(self, ut_s: float) -> tuple[float, float, float]:
        """Azimuth and altitude of the centre and altitude of the top of the disc, without refraction."""
        east, north, up = self.vector_m(ut_s)
        level = math.hypot(east, north)
        altitude = math.atan2(up, level)
        semidiameter = math.asin(RADIUS_M[self.body] / math.hypot(level, up))
        return azimuth_of(east, north), math.degrees(altitude), math.degrees(altitude + semidiameter)

    def hour_angle_deg(self, ut_s: float) -> float:
        """Angle past the upper meridian, -180 to 180, seen from the place."""
        east, north, up = self.vector_m(ut_s)
        return math.degrees(math.atan2(-east, up * self._cos_lat - north * self._sin_lat))

    def direction(self, ut_s: float) -> Direction:
        """The same answer as Station.direction, at a tenth of the cost."""
        return direction_of(self.body, self.vector_m(ut_s))


class PhaseTrack:
    """Elongation and parallax of the moon over a span of time, straight between hourly values (within 0.1 deg)."""

    __slots__ = ("_rows", "_start_s", "_step_s")

    def __init__(self, start_s: float, end_s: float, step_s: float) -> None:
        if not (end_s >= start_s and step_s > 0.0):
            raise ValueError(f"no span from {start_s} to {end_s} in steps of {step_s} s")
        almanac = Almanac()
        count = max(1, math.ceil((end_s - start_s) / step_s))
        phases = [phase_at(almanac, start_s + k * step_s) for k in range(count + 1)]
        self._rows = [(phase.elongation_deg, phase.horizontal_parallax_deg) for phase in phases]
        self._start_s = start_s
        self._step_s = step_s

    def elongation_parallax_deg(self, ut_s: float) -> tuple[float, float]:
        """Elongation and horizontal parallax, for moon_lux. Raises ValueError outside the span."""
        steps = (ut_s - self._start_s) / self._step_s
        if not 0.0 <= steps <= len(self._rows) - 1:
            raise ValueError(f"{ut_s} lies outside the span of this track")
        index = min(int(steps), len(self._rows) - 2)
        share = steps - index
        (elongation, parallax), (next_elongation, next_parallax) = self._rows[index : index + 2]
        return elongation + share * (next_elongation - elongation), parallax + share * (next_parallax - parallax)


def _cubic(samples: Iterable[Vector]) -> tuple[float, ...]:
    """Coefficients, axis by axis, of the cubic through four equal steps; 0 to 1 is from the second to the third."""
    coefficients: list[float] = []
    for before, start, end, after in zip(*samples, strict=True):
        coefficients += (
            start,
            end - before / 3.0 - start / 2.0 - after / 6.0,
            (before + end) / 2.0 - start,
            (after - before) / 6.0 + (start - end) / 2.0,
        )
    return tuple(coefficients)
