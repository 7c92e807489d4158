"""Rise, set, transit and the twilights of one span of time, usually a local civil day.

Everything that the rest of the program asks about moments in the sky can be imported from here.
"""

import math

from fieldplan.sky.crossings import Curve, crossings
from fieldplan.sky.days import local_day
from fieldplan.sky.phases import Quarter, moon_quarters
from fieldplan.sky.positions import Place, Track, interpolated
from fieldplan.sky.skyline import MARGIN_S, Event, Limb, Skyline, skyline_altitude_deg, skyline_crossings

__all__ = [
    "EVENT_NAMES",
    "Event",
    "Limb",
    "Quarter",
    "Skyline",
    "crossings",
    "day_events",
    "dip_deg",
    "local_day",
    "moon_quarters",
    "skyline_altitude_deg",
    "skyline_crossings",
]

# US Naval Observatory, Rise, Set, and Twilight Definitions: 34' of refraction, and 16' for the sun's semidiameter.
SUN_CENTRE_DEG = -50.0 / 60.0
MOON_UPPER_LIMB_DEG = -34.0 / 60.0
TWILIGHTS = (("civil", -6.0), ("nautical", -12.0), ("astronomical", -18.0))  # of the centre, without refraction
DIP_ARCMIN = 1.76  # times the root of the eye's height in metres: The Nautical Almanac, refraction included

EVENT_NAMES = (
    "sunrise",
    "sunset",
    *(f"{name}_{end}" for name, _ in TWILIGHTS for end in ("dawn", "dusk")),
    "sun_transit",
    "moonrise",
    "moonset",
    "moon_transit",
)


def day_events(place: Place, start_s: float, end_s: float, dip_m: float | None = None) -> list[Event]:
    """Every event of EVENT_NAMES within [start_s, end_s), in order of time; none, one or more of each.

    dip_m is the height of the eye above a sea or plain that lies below as far as the horizon; it makes the discs rise
    earlier and set later and leaves the twilights alone. A transit is the passage of the upper meridian, in sight or
    not. Raises ValueError for a negative dip_m and for a place that is none.
    """
    dip = 0.0 if dip_m is None else dip_deg(dip_m)
    if end_s <= start_s:
        return []
    sun = interpolated("sun", place, start_s - MARGIN_S, end_s + MARGIN_S)
    moon = interpolated("moon", place, start_s - MARGIN_S, end_s + MARGIN_S)
    found: list[Event] = []

    def search(track: Track, curve: Curve, limit: float, up: str, down: str | None) -> None:
        for ut_s, rising in crossings(curve, limit, start_s, end_s):
            name = up if rising else down
            if name is not None:
                found.append(Event(name, ut_s, track.azimuth_deg(ut_s)))

    search(sun, sun.altitude_deg, SUN_CENTRE_DEG - dip, "sunrise", "sunset")
    for name, limit in TWILIGHTS:
        search(sun, sun.altitude_deg, limit, f"{name}_dawn", f"{name}_dusk")
    search(moon, moon.upper_limb_deg, MOON_UPPER_LIMB_DEG - dip, "moonrise", "moonset")
    # Half a day later the hour angle jumps from 180 to -180 degrees: a fall through zero that is no transit.
    search(sun, sun.hour_angle_deg, 0.0, "sun_transit", None)
    search(moon, moon.hour_angle_deg, 0.0, "moon_transit", None)
    return sorted(found, key=lambda event: (event.ut_s, EVENT_NAMES.index(event.name)))


def dip_deg(height_m: float) -> float:
    """How far the sea horizon lies below the level, degrees, for an eye so high above it. ValueError if negative."""
    if not height_m >= 0.0:
        raise ValueError(f"the eye cannot be {height_m} m above the horizon")
    return DIP_ARCMIN * math.sqrt(height_m) / 60.0
