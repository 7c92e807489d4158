"""A field at 45 N on the equinox, the light of shots in it, and the sun from outside: skyfield with DE421."""

from __future__ import annotations

import datetime as dt
import functools
from collections.abc import Callable

from fieldplan.planner.answers import ShotAnswers, WorkSpan
from fieldplan.planner.skybook import EPOCH

from ..de421 import load_de421
from .shots import Table, gear, shot_answers

DAY = dt.date(2027, 3, 20)
FIELD: Table = {"name": "field", "position": "45, 0", "sky": "clear", "elevation": "0 m"}
STEADY: Table = {"distance": "infinity", "hold": "level", "support": "tripod", "lit": "level ground"}
AS_TYPED = gear({"f_number": 5.6}, {"longest_shutter": "1/500", "iso_ceiling": 6400})  # 1/500 s, f/5.6, ISO 6400


@functools.cache
def _sun() -> Callable[[float, float, float], float]:
    """True altitude of the sun's centre by DE421 [deg], of (seconds since 1970 taken as UT1, latitude, longitude)."""
    from skyfield.api import wgs84

    scale, stars = load_de421()

    def altitude(ut_s: float, latitude: float, longitude: float) -> float:
        place = stars["earth"] + wgs84.latlon(latitude, longitude)
        when = scale.ut1_jd(2440587.5 + ut_s / 86400.0)
        return float(place.at(when).observe(stars["sun"]).apparent().altaz()[0].degrees)

    return altitude


def crossing(target_deg: float, low_s: float, high_s: float) -> float:
    """When the sun stands at an altitude over FIELD between two instants, by halving."""
    sun = _sun()
    rising = sun(high_s, 45.0, 0.0) > sun(low_s, 45.0, 0.0)
    for _ in range(24):
        middle = (low_s + high_s) / 2.0
        if (sun(middle, 45.0, 0.0) > target_deg) == rising:
            high_s = middle
        else:
            low_s = middle
    return (low_s + high_s) / 2.0


def day_start(date: dt.date = DAY) -> float:
    return (dt.datetime.combine(date, dt.time(), dt.UTC) - EPOCH).total_seconds()


def noon_shot(**more: object) -> Table:
    return {**STEADY, "time": "12:00", **more}


def answers(
    shot: Table, site: Table | None = None, date: dt.date = DAY, zone: str = "UTC", **plan: object
) -> ShotAnswers:
    return shot_answers(shot, AS_TYPED, zone, site={**FIELD, **(site or {})}, date=date, **plan)


def spans(found: ShotAnswers) -> tuple[WorkSpan, ...]:
    return found.times


def needy_gear() -> Table:
    return gear({"f_number": 5.6}, {"longest_shutter": "1/2000", "fastest_shutter": "1/4000", "iso_ceiling": 800})
