"""What ``fieldplan lineup`` prints: a few lines a hit, JSON, or the spots as waypoints."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.lineupplaces import Between
from fieldplan.notation.display import length_text, way_text, whole_length
from fieldplan.notation.marks import stops_text
from fieldplan.notation.position import write_position
from fieldplan.notation.signed import signed, unsigned_zero
from fieldplan.pictures.wrapping import WIDTH, wrap
from fieldplan.planner.hitspots import HitSpot
from fieldplan.planner.lineups import LineUp, LineUps
from fieldplan.planner.sidestep import error_m
from fieldplan.planner.sifting import DRAWBACKS, drawbacks, held_by, one_exposure, sky_hides, stands_clear
from fieldplan.planner.skybook import whole_minute
from fieldplan.planner.standerror import fine_clock
from fieldplan.sky.sighterrors import HEIGHT_M, POSITION_M

PLACED = {
    "centred": "centre of the {} behind the top",
    "resting": "{} resting on the top",
    "left": "{} touching the left side of the top",
    "right": "{} touching the right side of the top",
}


class Shown(NamedTuple):
    """What is printed: from where to where, the body and its place, all that was found, and what is kept of it."""

    place: Between
    body: str
    placed: str
    found: LineUps
    kept: tuple[LineUp, ...]

    @property
    def zone(self) -> ZoneInfo:
        return self.place.zone

    def clock(self, ut_s: float) -> dt.datetime:
        """A moment on the local clock, to the second."""
        return dt.datetime.fromtimestamp(round(ut_s), tz=self.zone)


def _one_exposure(shown: Shown, gap_stops: tuple[float, float] | None) -> dict[str, str]:
    """Whether a frame of each body whose latitude is known holds disc and land: yes, no, perhaps."""
    held = {name: one_exposure(gap_stops, latitude) for name, latitude in shown.place.latitudes}
    return {name: word for name, word in held.items() if word}


def _hit_json(shown: Shown, up: LineUp, spot: HitSpot) -> dict[str, Any]:
    hit = up.hit
    low, high = up.ev_disc or (None, None)
    return {
        "time": shown.clock(hit.ut_s).isoformat(),
        "miss_deg": hit.miss_deg,
        "miss_discs": hit.miss_discs,
        "miss_m": up.miss_m,
        "azimuth_deg": hit.azimuth_deg,
        "apparent_altitude_deg": hit.apparent_altitude_deg,
        "disc_deg": hit.disc_deg,
        "lit_fraction": up.lit_fraction,
        "sun_altitude_deg": up.sun_altitude_deg,
        "ev_land": up.ev_land,
        "ev_disc_low": low,
        "ev_disc_high": high,
        "drift_m_per_min": up.drift_m_per_min,
        "error_deg": up.error_deg,
        "start": shown.clock(hit.start_s).isoformat(),
        "end": shown.clock(hit.end_s).isoformat(),
        "below_eye_level": hit.disc_below_level,
        "ev_land_low": up.ev_land_range[0],
        "ev_land_high": up.ev_land_range[1],
        "gap_stops": None if up.gap_stops is None else list(up.gap_stops),
        "one_exposure": _one_exposure(shown, up.gap_stops),
        "landmark_lit": up.lit,
        "ev_landmark_low": up.ev_face_range[0],
        "ev_landmark_high": up.ev_face_range[1],
        "landmark_gap_stops": None if up.face_gap_stops is None else list(up.face_gap_stops),
        "one_exposure_landmark": _one_exposure(shown, up.face_gap_stops),
        "drift_deg_per_min": hit.drift_deg_per_min,
        "clear": stands_clear(up, shown.place.skyline),
        "drawbacks": list(drawbacks(up, shown.place.skyline)),
        "stand": _spot_json(shown, spot),
    }


def _spot_json(shown: Shown, one: HitSpot) -> dict[str, Any]:
    spot = one.spot
    return {
        "stay": one.stay,
        "time": None if spot is None else shown.clock(one.ut_s).isoformat(),
        "latitude_deg": None if spot is None else spot.place.latitude_deg,
        "longitude_deg": None if spot is None else spot.place.longitude_deg,
        "walk_m": None if spot is None else one.walk_m,
        "walk_bearing_deg": None if spot is None else one.walk_deg,
        "sideways": one.sideways,
        "reason": one.reason or None,
    }


def as_json(shown: Shown, spots: Sequence[HitSpot]) -> str:
    """The format fieldplan-lineup/1. spots: one for each hit."""
    line, place = shown.found.line, shown.place
    data = {
        "format": "fieldplan-lineup/1",
        "time_zone": str(shown.zone),
        "body": shown.body,
        "placing": shown.placed,
        "landmark": place.landmark,
        "viewpoint": place.viewpoint,
        "sky": place.sky,
        "covered": sky_hides(shown.body, place.sky) or None,
        "target": {
            "bearing_deg": line.bearing_deg,
            "apparent_altitude_deg": line.apparent_altitude_deg,
            "distance_m": line.distance_m,
            "hidden": line.hidden,
        },
        "hits": [_hit_json(shown, up, spot) for up, spot in zip(shown.kept, spots, strict=True)],
        "found": len(shown.found.found),
        "stopped": shown.found.stopped,
        "reason": shown.found.reason or None,
    }
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def as_text(shown: Shown, spots: Sequence[HitSpot]) -> str:
    """A few lines a hit, of at most 80 columns. spots: one for each hit."""
    line, place = shown.found.line, shown.place
    hidden = ", hidden by the Earth's curve" if line.hidden else ", below eye level" if line.below_eye else ""
    ground = "over the plan's skyline" if place.skyline else "over a level horizon"
    lines = [
        f"top of {place.landmark} from {place.viewpoint}: bearing {_tenths(line.bearing_deg)}, "
        f"{whole_length(line.distance_m, place.units)} away, apparent altitude "
        f"{unsigned_zero(line.apparent_altitude_deg, 2)} deg{hidden}",
        f"times in {shown.zone}; {PLACED[shown.placed].format(shown.body)}; sky {place.sky}; EV at ISO 100; the sun's "
        "altitude true, without refraction",
        *([covered] if (covered := sky_hides(shown.body, place.sky)) else []),
        *place.assumed,
        f"{len(shown.kept)} of {len(shown.found.found)} passes; clear or not: {ground}",
        "",
    ]
    lines = [part for text in lines for part in wrap(text, WIDTH, "  ")]
    for up, spot in zip(shown.kept, spots, strict=True):
        lines += [*_hit_text(shown, up, spot), ""]
    if shown.kept:
        first = shown.kept[0]
        error = whole_length(error_m(first, line.line_m), place.units)
        lines.append(f"standard error of each: {first.error_deg:.2f} deg, {error}")
        sideways, upwards = (whole_length(off_m, place.units) for off_m in (POSITION_M, HEIGHT_M))
        lines.append(f"(positions to {sideways}, heights to {upwards}, refraction)")
        lines.append("reckoned without any look that was typed on the page Moon & sun")
    return "\n".join(lines) + "\n"


def _hit_text(shown: Shown, up: LineUp, spot: HitSpot) -> list[str]:
    """A few lines: when and how near; where to stand; the light; what speaks against it. At most 80 columns."""
    hit, units = up.hit, shown.place.units
    lit = "" if up.lit_fraction is None else f", {up.lit_fraction * 100:.0f} % lit"
    poor = [DRAWBACKS[word] for word in drawbacks(up, shown.place.skyline)]
    poor += ["below eye level"] if hit.disc_below_level else []
    light = f"sun {signed(up.sun_altitude_deg)} deg, open ground {_range(up.ev_land_range)}"
    if up.lit != "level ground":
        light += f", {up.lit} landmark {_range(up.ev_face_range)}"
    if up.ev_disc is not None and up.gap_stops is not None:
        gap = f"{signed(up.gap_stops[0])} to {signed(up.gap_stops[1])} stops"
        light += f", disc {_range(up.ev_disc)} ({gap} over open ground)"
    when = shown.clock(whole_minute(hit.ut_s))
    told = [
        f"{when:%a %Y-%m-%d %H:%M}  misses by {hit.miss_discs:.1f} discs "
        f"({whole_length(up.miss_m, units)}){lit}; moves {whole_length(up.drift_m_per_min, units)} a minute",
        *(["NOTE: " + "; ".join(poor)] if poor else []), _stand_text(shown, spot), light,
        *_held_text(shown, up),
    ]  # fmt: skip
    lines = []
    for n, text in enumerate(told):
        left = "" if n == 0 else "  "
        lines += [left + line for line in wrap(text, WIDTH - len(left), "    "[len(left) :])]
    return lines


def _range(ends: tuple[float, float]) -> str:
    """ "EV 9.9 to 11.5"."""
    return f"EV {unsigned_zero(ends[0])} to {unsigned_zero(ends[1])}"


def _tenths(bearing_deg: float) -> str:
    """A bearing to a tenth: "091.4", "000.0" a hair west of north."""
    return f"{round(bearing_deg, 1) % 360.0:05.1f}"


def _held_text(shown: Shown, up: LineUp) -> list[str]:
    """Whether one frame holds the disc and what else, for each body whose latitude is known."""
    bodies: dict[str, list[str]] = {}
    for name, latitude in shown.place.latitudes:
        for what, word in held_by(up, latitude):
            bodies.setdefault(what, []).append(f"{word} ({name}, {stops_text(latitude)})")
    return [f"one frame holds disc and {what}: {', '.join(words)}" for what, words in bodies.items()]


def _stand_text(shown: Shown, spot: HitSpot) -> str:
    """Where to stand: here, a short walk sideways, or the spot of the moment."""
    if spot.stay:
        error = whole_length(error_m(spot.up, shown.found.line.line_m), shown.place.units)
        return f"stay: it misses by no more than the standard error of {error}"
    if spot.spot is None:
        return f"no spot: {spot.reason}"
    where = write_position(spot.spot.place.latitude_deg, spot.spot.place.longitude_deg)
    return (
        f"there at {fine_clock(spot.ut_s, shown.zone, spot.up.error_s)} from {where}: walk "
        f"{way_text(spot.walk_m, spot.walk_deg, shown.place.units)}"
    )


def as_gpx(shown: Shown, spots: Iterable[HitSpot]) -> str:
    """The spot for each hit as a waypoint with its moment. Raises NothingToWrite where there is none."""
    from fieldplan.card.waypoints import Moment, moments_gpx

    place, moments = shown.place, []
    for one in spots:
        if one.spot is None:
            continue
        when, spot = shown.clock(one.ut_s), one.spot
        note = (
            f"{when.isoformat()}: {shown.body} {spot.apparent_altitude_deg:.2f} deg high at bearing "
            f"{spot.azimuth_deg:.2f}, {PLACED[shown.placed].format(shown.body)} of {place.landmark}; walk "
            f"{way_text(one.walk_m, one.walk_deg, place.units)} from {place.viewpoint}; eye "
            f"{length_text(place.eye_height_m, place.units)} over level ground"
        )
        name = f"{shown.body} with {place.landmark} {when:%Y-%m-%d %H:%M:%S}"
        ground_m = spot.place.elevation_m - place.eye_height_m
        moments.append(Moment(name, spot.place.latitude_deg, spot.place.longitude_deg, ground_m, when, note))
    return moments_gpx(f"{shown.body} with {place.landmark}", moments)
