"""Which line-ups are wanted, and in which order: by moonlight, light of day, clock, weekday and the ground line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.catalogue import LightBand, band_named
from fieldplan.notation.numbers import shown
from fieldplan.notation.signed import signed
from fieldplan.notation.words import nearest_word
from fieldplan.planner.lineups import LineUp, SkyLight, gap_between
from fieldplan.planner.skybook import whole_minute
from fieldplan.sky.aims import lower_edge_deg
from fieldplan.sky.illuminance import DISC_STOPS
from fieldplan.sky.skyline import Skyline, skyline_altitude_deg

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
OWN_TONES = 2.0  # stops that a disc and a piece of land each take around their middle tone, half above; common practice


class Sieve(NamedTuple):
    """What a line-up must be to be kept; None or empty: anything.

    lit: share of the moon's disc, 0 to 1; sun_altitude_deg: from, to (true); hours: from, to on the local clock, the
    second may be the smaller one (22:00 to 02:00); weekdays: 0 Monday to 6 Sunday; clear: the whole disc stands over
    the skyline.
    """

    lit: tuple[float, float] | None = None
    sun_altitude_deg: tuple[float, float] | None = None
    hours: tuple[dt.time, dt.time] | None = None
    weekdays: frozenset[int] = frozenset()
    clear: bool = False


def band_range(bands: Sequence[LightBand], name: str) -> tuple[float, float]:
    """The sun's altitudes of a band of light by name [deg]. Raises ValueError for a band that is not in the list."""
    band = band_named(bands, name)
    if band is not None:
        return band.low_deg, band.high_deg
    known = [band.name for band in bands]
    near = nearest_word(name, known)
    raise ValueError(
        f"{shown(name)} is no band of light; " + (f'did you mean "{near}"?' if near else f"known: {', '.join(known)}")
    )


def weekdays_of(text: str) -> frozenset[int]:
    """ "Sat, Sun" as numbers from Monday, 0. Raises ValueError for a word that is no weekday."""
    found = set()
    for word in text.replace(",", " ").split():
        day = next((i for i, name in enumerate(WEEKDAYS) if word[:3].capitalize() == name), None)
        if day is None:
            raise ValueError(f"{shown(word)} is no weekday; write for example Sat, Sun")
        found.add(day)
    return frozenset(found)


def sifted(found: Iterable[LineUp], sieve: Sieve, zone: ZoneInfo, skyline: Skyline = ()) -> tuple[LineUp, ...]:
    """The line-ups that pass, in the order they came."""
    return tuple(up for up in found if not against(up, sieve, zone, skyline))


def against(up: LineUp, sieve: Sieve, zone: ZoneInfo, skyline: Skyline = ()) -> tuple[str, ...]:
    """What speaks against a line-up, in words; nothing where it passes."""
    why = []
    if sieve.lit is not None and up.lit_fraction is not None and not _within(up.lit_fraction, sieve.lit):
        why.append(f"{up.lit_fraction * 100.0:.0f} % lit")
    if sieve.sun_altitude_deg is not None and not _within(up.sun_altitude_deg, sieve.sun_altitude_deg):
        why.append(f"sun at {signed(up.sun_altitude_deg)} deg")
    local = dt.datetime.fromtimestamp(whole_minute(up.hit.ut_s), tz=zone)  # as it is told
    if sieve.weekdays and local.weekday() not in sieve.weekdays:
        why.append(f"on a {WEEKDAYS[local.weekday()]}")
    if sieve.hours is not None and not _in_hours(local.time(), *sieve.hours):
        why.append(f"at {local:%H:%M}")
    if sieve.clear and not stands_clear(up, skyline):
        why.append("not clear of the skyline")
    return tuple(why)


def stands_clear(up: LineUp, skyline: Skyline) -> bool:
    """Whether the whole disc stands over the ground line; without one, over a level horizon."""
    lowest_deg = lower_edge_deg(up.hit.apparent_altitude_deg, up.hit.disc_deg)
    return lowest_deg >= skyline_altitude_deg(skyline, up.hit.azimuth_deg)


DIM_DEG = 2.0  # a moon lower than this may be too dim to see; common practice
UNSEEN = 0.01  # share lit: less than this is new moon and not seen at all; common practice
BRIGHT_DEG = 6.0  # the sun higher than this: a moon is pale against the sky; common practice
THIN = 0.05  # share lit: less than this is a thin crescent, lost in a bright sky; common practice


def drawbacks(up: LineUp, skyline: Skyline = ()) -> tuple[str, ...]:
    """What makes a line-up poor whatever was asked for: "new", "thin", "by day" or "dim" for the moon, "ground"."""
    why = []
    if up.lit_fraction is not None:
        if up.lit_fraction < UNSEEN:
            why.append("new")
        elif up.lit_fraction < THIN:
            why.append("thin")
        if up.sun_altitude_deg > BRIGHT_DEG:
            why.append("by day")
        if up.hit.apparent_altitude_deg < DIM_DEG:
            why.append("dim")
    if not stands_clear(up, skyline):
        why.append("ground")
    return tuple(why)


DRAWBACKS = {
    "new": "new moon: not seen",
    "thin": "a thin crescent",
    "by day": "by day: pale against the sky",
    "dim": "low: may be too dim to see",
    "ground": "partly or wholly behind the ground",
}


def _within(value: float, ends: tuple[float, float]) -> bool:
    return ends[0] <= value <= ends[1]


def _in_hours(clock: dt.time, first: dt.time, last: dt.time) -> bool:
    return first <= clock <= last if first <= last else clock >= first or clock <= last


def ordered(found: Iterable[LineUp], by: str = "date") -> tuple[LineUp, ...]:
    """Sorted by "date", or by "closeness" to the place wanted. Raises ValueError for another word."""
    if by not in ("date", "closeness"):
        raise ValueError(f"{shown(by)} is no order; known: date, closeness")
    return tuple(sorted(found, key=lambda up: up.hit.ut_s if by == "date" else up.hit.miss_deg))


def sky_hides(body: str, sky: str) -> str:
    """The sentence that says so where a sky by its word hides the disc; else ""."""
    return f"under {sky} the {body}'s disc is not to be seen" if DISC_STOPS.get(sky, 0.0) is None else ""


def held_by(light: LineUp | SkyLight, latitude_stops: float | None) -> tuple[tuple[str, str], ...]:
    """What one frame is to hold beside the disc, and whether it does: the side of the landmark that is looked at, and
    open ground; one of them, as land, where both are lit the same. Nothing where it is not known."""
    face = one_exposure(gap_between(light.ev_disc, light.ev_face_range), latitude_stops)
    ground = one_exposure(gap_between(light.ev_disc, light.ev_land_range), latitude_stops)
    if not face:
        return ()
    if light.lit == "level ground":
        return (("land", ground),)
    return (("landmark", face), ("open ground", ground))


def one_exposure(gap_stops: tuple[float, float] | None, latitude_stops: float | None) -> str:
    """Whether one frame holds disc and land: "yes", "no", "perhaps"; "" where gap or latitude is not known.

    Each of the two wants its own tones around its middle, OWN_TONES in all; the rest of the body's latitude may lie
    between them, whichever is the brighter.
    """
    if gap_stops is None or latitude_stops is None:
        return ""
    room = latitude_stops - OWN_TONES
    low, high = gap_stops
    least = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high))
    if max(abs(low), abs(high)) <= room:
        return "yes"
    return "no" if least > room else "perhaps"
