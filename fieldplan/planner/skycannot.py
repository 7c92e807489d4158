"""What cannot be: a picture of moon or sun that no lens mends, because of where the disc or the landmark is then."""

from __future__ import annotations

import datetime as dt
import math
from typing import NamedTuple

from fieldplan.model.plan import Shot, Site, SkySubject
from fieldplan.planner.answers import Answer
from fieldplan.planner.lineups import out_of_sight
from fieldplan.planner.moments import stretch_at
from fieldplan.planner.sights import Sight, sight_of
from fieldplan.planner.skybook import SkyBook, seconds
from fieldplan.planner.times import angle_between_deg, half_angle_deg
from fieldplan.sky.events import dip_deg
from fieldplan.sky.geocentric import Body
from fieldplan.sky.positions import Place, Station
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.skyline import Skyline, skyline_altitude_deg

_STEP_S = 300.0
_FAR_DEG = 10.0  # so far off the landmark's top a disc is in no picture with it; common practice


class _Seen(NamedTuple):
    """The disc at one instant of a shot: azimuth, altitude of its upper edge and its centre through the air."""

    azimuth_deg: float
    altitude_deg: float
    upper_deg: float


def cannot_be(
    shot: Shot, site: Site | None, book: SkyBook | None, when: dt.datetime | None, best: Answer | None
) -> tuple[str, ...]:
    """Why the picture cannot be as planned, in words; nothing where it can, or where too little is known.

    site: as it is for the shot (standpoint.site_from). Of a stretch of time the best instant counts.
    """
    subject = shot.subject
    if not isinstance(subject, SkySubject) or site is None:
        return ()
    body: Body = "moon" if subject.sky == "moon" else "sun"
    sight = _sight(site, subject.behind)
    hidden = "" if sight is None else out_of_sight(sight.seen.top, sight.eye, sight.top, body)
    told = [hidden] if hidden else []
    if book is not None and when is not None and when.tzinfo is not None and not told:
        eye = book.place._replace(elevation_m=float(site.elevation) + float(site.eye_height))
        if site.position is not None:
            eye = Place(site.position.latitude_deg, site.position.longitude_deg, eye.elevation_m)
        skyline = tuple((point.bearing, point.altitude) for point in site.skyline)
        first, last = stretch_at(shot, when)
        seen = _seen(eye, body, seconds(first), seconds(last or first))
        told += _of_the_disc(seen, skyline, eye, _Asked(shot, site, body, sight, best))
    return tuple(told)


class _Asked(NamedTuple):
    shot: Shot
    site: Site
    body: Body
    sight: Sight | None
    best: Answer | None

    @property
    def during(self) -> str:
        """ "between 16:00 and 19:00", or "then"."""
        if self.shot.start is None or self.shot.end is None:
            return "then"
        return f"between {self.shot.start:%H:%M} and {self.shot.end:%H:%M}"


def _sight(site: Site, landmark: str | None) -> Sight | None:
    if landmark is None:
        return None
    try:
        return sight_of(site, landmark)
    except ValueError:  # what is missing is said beside the landmark
        return None


def _seen(eye: Place, body: Body, first_s: float, last_s: float) -> list[_Seen]:
    """The disc every few minutes of a stretch; at its moment, where both ends are one."""
    count = math.ceil((last_s - first_s) / _STEP_S)
    station = Station(eye)
    found = []
    for n in range(count + 1):
        seen = station.direction(body, min(first_s + n * _STEP_S, last_s))
        altitude = apparent_altitude_deg(seen.altitude_deg)
        found.append(_Seen(seen.azimuth_deg, altitude, altitude + seen.semidiameter_deg))
    return found


def _of_the_disc(seen: list[_Seen], skyline: Skyline, eye: Place, asked: _Asked) -> list[str]:
    body, during = asked.body, asked.during
    horizon = -dip_deg(max(eye.elevation_m, 0.0))
    up = [one for one in seen if one.upper_deg > horizon]
    if not up:
        highest = max(one.altitude_deg for one in seen)
        return [f"the {body} is below the horizon {during} ({highest:.1f} deg)"]
    over = [one for one in up if one.upper_deg > skyline_altitude_deg(skyline, one.azimuth_deg)]
    if not over and skyline:
        return [f"the {body} is behind the ground line {during}"]
    sight = asked.sight
    if sight is None or not over:
        return []
    top = sight.seen.top.target
    nearest = min(angle_between_deg(one.azimuth_deg, one.altitude_deg, *top) for one in over)
    wide = _FAR_DEG if asked.best is None else max(2.0 * half_angle_deg(asked.best), _FAR_DEG)
    if nearest <= wide:
        return []
    return [
        f"from {sight.viewpoint} the {body} comes no nearer to the top of {sight.landmark} than {nearest:.0f} deg "
        f"{during}: they are in no picture together; for where it lines up see where to stand, or another day"
    ]
