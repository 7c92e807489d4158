"""Moon or sun as a shot's subject at its moment: how far and fast, its own light, and the landmark before it."""

from __future__ import annotations

import datetime as dt
import math
from typing import NamedTuple

from fieldplan.model.plan import Site, SkySubject
from fieldplan.notation.display import bearing_text, ev_text, length_text
from fieldplan.notation.marks import share_text
from fieldplan.notation.signed import unsigned_zero
from fieldplan.optics.exposure import illuminance_lux
from fieldplan.planner.answers import Light
from fieldplan.planner.sifting import sky_hides
from fieldplan.planner.sights import sight_of
from fieldplan.planner.skybook import SkyBook, seconds
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.illuminance import moon_disc_under
from fieldplan.sky.positions import Place, Station, moon_phase
from fieldplan.sky.refraction import apparent_altitude_deg

_PROBE_S = 30.0
SUN_NOTE = (
    "the sun's disc: no exposure is reckoned for it; with a certified solar filter in front, meter through the filter"
)


class SkyMoment(NamedTuple):
    """The disc from the site's own eye at one instant. Altitude as seen through the air; rate against the ground.

    ev_disc: EV at ISO 100 of the moon's lit part, dullest and clearest air; None for the sun, below the horizon, or
    where the sky hides the disc.
    """

    body: Body
    distance_m: float
    azimuth_deg: float
    altitude_deg: float
    disc_deg: float
    arcsec_per_s: float
    lit_fraction: float | None
    ev_disc: tuple[float, float] | None

    @property
    def up(self) -> bool:
        """Whether any part of the disc stands above a level horizon."""
        return self.altitude_deg + self.disc_deg / 2.0 > 0.0


def sky_moment(subject: object, site: Site | None, book: SkyBook | None, when: dt.datetime | None) -> SkyMoment | None:
    """The disc at the moment of a shot; None for other subjects, or where place, zone, date or time are not known."""
    if not isinstance(subject, SkySubject) or site is None or book is None or when is None or when.tzinfo is None:
        return None
    body: Body = "moon" if subject.sky == "moon" else "sun"
    at = site.position or book.place
    place = Place(at.latitude_deg, at.longitude_deg, float(site.elevation) + float(site.eye_height))
    ut_s = seconds(when)
    station = Station(place)
    seen = station.direction(body, ut_s)
    altitude = apparent_altitude_deg(seen.altitude_deg)
    phase = moon_phase(ut_s)
    moon = body == "moon"
    up = altitude + seen.semidiameter_deg > 0.0
    return SkyMoment(
        body, seen.distance_m, seen.azimuth_deg, altitude, 2.0 * seen.semidiameter_deg,
        _arcsec_per_s(station, body, ut_s), phase.lit_fraction if moon else None,
        moon_disc_under(site.sky, phase.elongation_deg, altitude) if moon and up else None,
    )  # fmt: skip


def _arcsec_per_s(station: Station, body: Body, ut_s: float) -> float:
    """How fast the disc moves against the ground, without air."""
    before, after = station.vector_m(body, ut_s - _PROBE_S), station.vector_m(body, ut_s + _PROBE_S)
    chord = math.dist(before, after) / ((math.hypot(*before) + math.hypot(*after)) / 2.0)
    return math.degrees(chord) * 3600.0 / (2.0 * _PROBE_S)


def disc_light(subject: object, moment: SkyMoment | None, scene: Light | None) -> Light | None:
    """The light that the exposure rests on: for the moon its own disc's, for the sun none, else the scene's.

    A light that the shot gives itself stays. The scene's directions of sun and moon are kept.
    """
    if not isinstance(subject, SkySubject) or (scene is not None and scene.source == "given"):
        return scene
    if moment is None or moment.ev_disc is None or scene is None:
        return None
    low, high = moment.ev_disc
    middle = (low + high) / 2.0
    lit = "" if moment.lit_fraction is None else f", {share_text(moment.lit_fraction)} lit"
    reason = (
        f"estimate: the moon's disc itself, {unsigned_zero(moment.altitude_deg)} deg high{lit}, dull to clear air; "
        f"{_land(scene)} is {ev_text(scene.ev100)}"
    )
    return scene._replace(
        ev100=middle, ev100_low=low, ev100_high=high, illuminance_lux=illuminance_lux(middle), source="estimate",
        reason=reason, lit=None,
    )  # fmt: skip


def _land(scene: Light) -> str:
    """Which land the scene's light falls on."""
    if scene.lit is None or scene.lit == "level ground":
        return "the land, open ground,"
    if scene.lit == "open shade":
        return "the land, in open shade,"
    return f"the land on the side that is aimed at, {scene.lit},"


def moment_notes(subject: object, moment: SkyMoment | None, site: Site | None, units: str) -> list[str]:
    """In words: where the disc stands, that it is down, and how it stands against the landmark before it."""
    if not isinstance(subject, SkySubject):
        return []
    notes = [SUN_NOTE] if subject.sky == "sun" else []
    if moment is None:
        notes.append(f"where the {subject.sky} stands wants the site's position, a date and a time")
    elif not moment.up:
        notes.append(f"the {moment.body} is below the horizon then ({unsigned_zero(moment.altitude_deg)} deg)")
    else:
        notes.append(
            f"the {moment.body} then stands at bearing {bearing_text(moment.azimuth_deg)}, "
            f"{unsigned_zero(moment.altitude_deg)} deg high as seen, {moment.disc_deg:.2f} deg wide; it moves "
            f"{moment.arcsec_per_s:.1f} seconds of arc a second"
            + ("; likely too dim to see so low" if moment.body == "moon" and moment.altitude_deg < 2.0 else "")
        )
    hidden = "" if site is None else sky_hides(subject.sky, site.sky)
    notes += [f"{hidden}: no exposure for it"] if hidden else []
    if subject.behind is not None and site is not None:
        notes.append(_behind(subject.behind, moment, site, units))
    return notes


def _behind(landmark: str, moment: SkyMoment | None, site: Site, units: str) -> str:
    try:
        sight = sight_of(site, landmark)
    except ValueError as lacking:
        return f"behind it: {lacking}"
    top = sight.seen.top
    told = (
        f"{landmark}: bearing {bearing_text(top.bearing_deg)}, {length_text(top.distance_m, units)} off, its top "
        f"{unsigned_zero(top.apparent_altitude_deg, 2)} deg high"
    )
    if top.hidden:
        return f"{told}, hidden by the Earth's curve"
    if moment is None:
        return f"{told}, {sight.seen.height_deg:.2f} deg from foot to top"
    told += f"; it is {sight.seen.height_deg / moment.disc_deg:.1f} discs high"
    if not moment.up:
        return told
    turn = math.remainder(moment.azimuth_deg - top.bearing_deg, 360.0) * math.cos(math.radians(moment.altitude_deg))
    rise = moment.altitude_deg - top.apparent_altitude_deg
    side, level = "right" if turn >= 0.0 else "left", "above" if rise >= 0.0 else "below"
    across, up = _apart(turn, moment.disc_deg), _apart(rise, moment.disc_deg)
    return f"{told}, the disc stands {across} {side} of its top and {up} {level} it"


def _apart(angle_deg: float, disc_deg: float) -> str:
    """In discs while it is near, else in degrees."""
    discs = abs(angle_deg) / disc_deg
    return f"{discs:.1f} discs" if discs < 10.0 else f"{abs(angle_deg):.0f} deg"


def landmark_distance_m(subject: object, site: Site | None) -> float | None:
    """How far the landmark before the disc is from the site's eye [m]; None where there is none or it is not known."""
    if not isinstance(subject, SkySubject) or subject.behind is None or site is None or site.position is None:
        return None
    mark = next((mark for mark in site.landmarks if mark.name == subject.behind), None)
    if mark is None:
        return None
    ends = [Place(spot.latitude_deg, spot.longitude_deg) for spot in (site.position, mark.position)]
    try:
        distance = course(*ends).distance_m
    except ValueError:  # nearly opposite on the Earth
        return None
    return distance if distance >= 1.0 else None
