"""The moments at which sun or moon pass the hour angle of a fixed direction, without those that cannot come near it.

A direction on the ground keeps its hour angle and its declination. A body passes the hour angle once a day of its own
and then stands nearest, or within minutes of it. How fast a declination can change has a bound, so that after one
look many passes can be left out.
"""

import math
from collections.abc import Iterator
from typing import NamedTuple

from fieldplan.sky.aims import Target, airless_altitude_deg
from fieldplan.sky.bodyrange import declination_band_deg, highest_declination_deg
from fieldplan.sky.geocentric import Almanac, Body, Equatorial
from fieldplan.sky.geodesy import Frame, frame_at
from fieldplan.sky.paths import TURN_PER_S, earth_centred_m
from fieldplan.sky.station import Place

DAY_S = 86400.0
# Mean time between passes of one hour angle: synodic and sidereal months and the sidereal year give them (Meeus 49.1).
PASS_S: dict[Body, float] = {"moon": 89428.33, "sun": 86400.0}
# The fastest that a body moves among the stars, seen from the Earth's centre, degrees a day. The moon at its nearest
# runs 15.4, the sun in January 1.02.
FASTEST_DEG_PER_DAY: dict[Body, float] = {"moon": 15.6, "sun": 1.03}
# How far passes stray from even spacing: the moon's by 9 degrees of right ascension, the sun's by 16 minutes.
STRAY_S: dict[Body, float] = {"moon": 5400.0, "sun": 2400.0}
NEAR_S: dict[Body, float] = {"moon": 1200.0, "sun": 2400.0}  # a look this far from the pass is near enough
TOPOCENTRIC_DRIFT_DEG_PER_S = 8.5 / DAY_S  # declination as seen from the ground, at most


class Pass(NamedTuple):
    """A pass that may be a hit: its instant within a minute or so, and the place looked up last, with its instant."""

    ut_s: float
    looked_s: float
    place: Equatorial


class PassSearch:
    """Every pass of [start_s, end_s] and one before and after, save those that cannot come within reach."""

    def __init__(
        self,
        almanac: Almanac,
        body: Body,
        viewpoint: Place,
        target: Target,
        reach_deg: float,
        start_s: float,
        end_s: float,
    ) -> None:
        """reach_deg is without air."""
        self._almanac = almanac
        self._body: Body = body
        self._frame: Frame = frame_at(viewpoint)
        ray = self._frame.pointing(target.bearing_deg, airless_altitude_deg(target.apparent_altitude_deg))
        self._longitude = math.atan2(ray[1], ray[0])
        self._declination_deg = math.degrees(math.asin(max(-1.0, min(1.0, ray[2]))))
        self._reach_deg = reach_deg
        self._low_deg, self._high_deg = declination_band_deg(body, viewpoint, target, reach_deg)
        self._highest_deg = highest_declination_deg(body, start_s - DAY_S, end_s + DAY_S)
        self._sin_highest = math.sin(math.radians(self._highest_deg))
        self._low_phase, self._high_phase = self._phase_deg(self._low_deg), self._phase_deg(self._high_deg)
        self._rate = 2.0 * math.pi / PASS_S[body]
        self._start_s = start_s
        self._end_s = end_s
        self._origin_angle = almanac.sidereal_angle(start_s)
        self.looks = 0

    def __iter__(self) -> Iterator[Pass | float]:
        """Passes in order, and between them the instants that the search has come to."""
        if self._low_deg > self._highest_deg or self._high_deg < -self._highest_deg:
            return
        guess_s = self._start_s - PASS_S[self._body] / 2.0
        last_s = self._end_s + PASS_S[self._body] / 2.0
        while guess_s < last_s:
            place, pass_s, gap_deg = self._look(guess_s)
            late_s = abs(pass_s - guess_s)
            if gap_deg <= self._reach_deg + late_s * TOPOCENTRIC_DRIFT_DEG_PER_S:
                if late_s > NEAR_S[self._body]:
                    guess_s = pass_s
                    continue
                yield Pass(pass_s, guess_s, place)
            else:
                yield pass_s
            guess_s = self._next_guess(pass_s, guess_s, place)

    def _look(self, ut_s: float) -> tuple[Equatorial, float, float]:
        """The body's place, the instant of the pass nearest to it, and how far the declination is off, all as seen."""
        self.looks += 1
        place = self._almanac.place(self._body, ut_s)
        x, y, z = earth_centred_m(place, self._origin_angle + TURN_PER_S * (ut_s - self._start_s))
        x0, y0, z0 = self._frame.origin_m
        x, y, z = x - x0, y - y0, z - z0
        ahead = math.remainder(math.atan2(y, x) - self._longitude, 2.0 * math.pi)
        declination_deg = math.degrees(math.atan2(z, math.hypot(x, y)))
        return place, ut_s + ahead / self._rate, abs(declination_deg - self._declination_deg)

    def _next_guess(self, pass_s: float, looked_s: float, place: Equatorial) -> float:
        """About when the next pass comes that the bound on the declination does not rule out."""
        phase = self._phase_deg(math.degrees(place.declination))
        short_deg = max(self._low_phase - phase, phase - self._high_phase, 0.0)
        free_s = looked_s + short_deg / FASTEST_DEG_PER_DAY[self._body] * DAY_S
        every_s = PASS_S[self._body]
        ruled_out = max(0, math.floor((free_s - STRAY_S[self._body] - pass_s) / every_s))
        return pass_s + (ruled_out + 1) * every_s

    def _phase_deg(self, declination_deg: float) -> float:
        """How far along its steepest possible circle a body is at a declination: it moves evenly along that at best."""
        share = math.sin(math.radians(declination_deg)) / self._sin_highest
        return math.degrees(math.asin(max(-1.0, min(1.0, share))))
