"""When the whole disc is over the ground line from a viewpoint, and likely bright enough to be seen."""

from __future__ import annotations

from fieldplan.planner.sifting import DIM_DEG
from fieldplan.planner.sights import Sight
from fieldplan.sky.crossings import crossings
from fieldplan.sky.geocentric import Body
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.skyline import skyline_altitude_deg
from fieldplan.sky.station import Station

_CLEAR_S = 12.0 * 3600.0


def visible_stretch(sight: Sight, body: Body, moment_s: float) -> tuple[bool, float | None, float | None]:
    """(whether, from, until): when the whole disc is clear of the ground line, and a moon high enough to be seen.

    The stretch that holds the moment, else the next to come within twelve hours. Ends further off than that are None.
    """
    station = Station(sight.eye)

    def clear_deg(ut_s: float) -> float:
        return _clear_deg(station, sight, body, ut_s)

    turns = crossings(clear_deg, 0.0, moment_s - _CLEAR_S, moment_s + _CLEAR_S)
    before = [ut_s for ut_s, rising in turns if rising and ut_s <= moment_s]
    after = [ut_s for ut_s, rising in turns if not rising and ut_s > moment_s]
    if clear_deg(moment_s) >= 0.0:
        return True, before[-1] if before else None, after[0] if after else None
    coming = next((ut_s for ut_s, rising in turns if rising and ut_s > moment_s), None)
    if coming is None:
        return False, None, None
    return True, coming, next((ut_s for ut_s in after if ut_s > coming), None)


def _clear_deg(station: Station, sight: Sight, body: Body, ut_s: float) -> float:
    """How far the disc is from being hidden or, for the moon, too dim: degrees; below 0 it is."""
    over = over_ground_deg(station, sight, body, ut_s)
    altitude = apparent_altitude_deg(station.direction(body, ut_s).altitude_deg)
    return min(over, altitude - DIM_DEG) if body == "moon" else over


def over_ground_deg(station: Station, sight: Sight, body: Body, ut_s: float) -> float:
    """How far the disc's lower edge stands over the ground line, or over a level horizon."""
    seen = station.direction(body, ut_s)
    lowest = apparent_altitude_deg(seen.altitude_deg - seen.semidiameter_deg)
    return lowest - skyline_altitude_deg(sight.skyline, seen.azimuth_deg)
