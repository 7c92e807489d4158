"""One look at the disc against the landmark, typed in the field: what it corrects; and the place where one stands."""

from __future__ import annotations

import datetime as dt
import math
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.notation.signed import unsigned_zero
from fieldplan.notation.skywords import Sighting
from fieldplan.planner.lineups import over_horizon
from fieldplan.planner.sights import Sight
from fieldplan.sky.aims import Correction
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sighterrors import sight_error
from fieldplan.sky.station import Place, Station
from fieldplan.sky.walking import correction_from_sighting

DOUBTED = 2.0  # a look that corrects more than so many standard errors is asked for again
_MOST_DEG = 5.0
FAR_M = 30_000.0  # a position so far from the landmark is a slip of typing


class Doubtful(ValueError):
    """A look that exceeds the stated error by far; told a second time it counts."""


class Corrected(NamedTuple):
    """What one look corrects, and for which line of sight and body it holds. ut_s: of the look; error_deg: the one
    that was stated for the reckoning; also: spots round that viewpoint that were kept under names of their own."""

    landmark: str
    viewpoint: str
    body: Body
    ut_s: float
    correction: Correction
    error_deg: float = 0.0
    also: tuple[str, ...] = ()

    @property
    def off_deg(self) -> float:
        """By how much the look was off the reckoning."""
        return math.hypot(*self.correction)

    @property
    def doubtful(self) -> bool:
        """Whether that is far beyond the stated error."""
        return self.off_deg > DOUBTED * self.error_deg > 0.0

    def holds_for(self, sight: Sight, body: Body) -> bool:
        """Another viewpoint or landmark has other errors of position and height."""
        here = sight.viewpoint in (self.viewpoint, *self.also)
        return here and (self.landmark, self.body) == (sight.landmark, body)

    def told(self, zone: ZoneInfo) -> str:
        """ "a look 2027-03-21 17:40 corrects: 0.42 deg left, 0.10 deg above the reckoning"."""
        across, up = self.correction
        when = dt.datetime.fromtimestamp(self.ut_s, tz=zone)
        told = (
            f"a look {when:%Y-%m-%d %H:%M} corrects: {abs(across):.2f} deg {'right' if across >= 0.0 else 'left'}, "
            f"{abs(up):.2f} deg {'above' if up >= 0.0 else 'below'} the reckoning"
        )
        if self.doubtful:
            told += f"; DOUBTFUL, {self.off_deg:.2f} deg against a standard error of {self.error_deg:.2f}"
        return told


def corrected_by(
    sight: Sight, body: Body, looked: Sighting, around_s: float, zone: ZoneInfo, on_purpose: bool = False
) -> Corrected:
    """The correction of a look at that time of day, the nearest to an instant.

    Raises ValueError where the disc was below the horizon or more than 5 degrees away, and Doubtful, unless it is
    given on_purpose, where it is off by more than twice the standard error stated.
    """
    ut_s = nearest_clock(looked.clock, around_s, zone)
    found = correction_from_sighting(body, sight.eye, sight.top, ut_s, looked.discs_right, looked.discs_above)
    seen = Station(sight.eye).direction(body, ut_s)
    altitude = apparent_altitude_deg(seen.altitude_deg)
    if max(abs(found.across_deg), abs(found.up_deg)) > _MOST_DEG:
        raise ValueError(
            f"at {looked.clock:%H:%M} the {body} was reckoned {abs(found.across_deg):.0f} deg to the side of that and "
            f"{abs(found.up_deg):.0f} deg higher or lower: look at the time, the side and the day"
        )
    if not over_horizon(altitude, 2.0 * seen.semidiameter_deg, sight.eye):
        raise ValueError(f"at {looked.clock:%H:%M} the {body} is below the horizon ({unsigned_zero(altitude)} deg)")
    look = Corrected(sight.landmark, sight.viewpoint, body, ut_s, found, sight_error(sight.seen.top).combined_deg)
    if look.doubtful and not on_purpose:
        raise Doubtful(
            f"{look.off_deg:.2f} deg off the reckoning, whose standard error is {look.error_deg:.2f} deg: look again "
            "at side and time; Enter once more keeps it"
        )
    return look


def nearest_clock(clock: dt.time, around_s: float, zone: ZoneInfo) -> float:
    """The instant nearest to another one at which the local clock shows that time, either one of a time that comes
    twice. A time that the clocks skip is taken by the offset before the jump."""
    day = dt.datetime.fromtimestamp(around_s, tz=zone).date()
    found = []
    for late in (-1, 0, 1):
        first, second = (
            dt.datetime.combine(day + dt.timedelta(days=late), clock.replace(fold=fold), tzinfo=zone).timestamp()
            for fold in (0, 1)
        )
        found += [first, max(first, second)]  # of a skipped time the second comes before the first and shows another
    return min(found, key=lambda s: abs(s - around_s))


def standing_here(sight: Sight, latitude_deg: float, longitude_deg: float) -> Place:
    """A position that was typed, with the eye as high above sea as at the viewpoint. ValueError for one far off."""
    here = Place(latitude_deg, longitude_deg, sight.eye.elevation_m)
    off_m = course(here, sight.top).distance_m
    if off_m > FAR_M:
        raise ValueError(f"that is {off_m / 1000.0:.0f} km from {sight.landmark}: look at the position")
    return here
