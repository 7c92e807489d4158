"""Where to stand and how long stars stay points, as JSON of fieldplan-answers/1: SI, units in keys, unknown null."""

from __future__ import annotations

from typing import Any

from fieldplan.card.jsonparts import finite, finite_ends
from fieldplan.planner.standanswers import InFrame, LinePlace, StandLadder, StandRow
from fieldplan.planner.stars import StarTrail


def stand_json(stand: StandLadder | None) -> dict[str, Any] | None:
    """The ladder of one shot; null for shots that have none."""
    if stand is None:
        return None
    first, last = stand.visible_from, stand.visible_until
    return {
        "body": stand.body,
        "landmark": stand.landmark,
        "viewpoint": stand.viewpoint or None,
        "f_number": stand.f_number,
        "iso": stand.iso,
        "eye_height_m": stand.eye_height_m,
        "equal_m": stand.equal_m,
        "half_m": stand.half_m,
        "smear_limit_s": finite(stand.smear_s),
        "covered": stand.covered or None,
        "visible": stand.visible,
        "visible_from": None if first is None else first.isoformat(),
        "visible_until": None if last is None else last.isoformat(),
        "rows": [_row(row) for row in stand.rows],
        "line": [_place(place) for place in stand.line],
        "frames": [_frame(one) for one in stand.frames],
        "notes": list(stand.notes),
        "problem": stand.problem or None,
    }


def trail_json(trail: StarTrail) -> dict[str, Any]:
    """How long one body and lens may be open before stars draw lines."""
    return {
        "rig": trail.label,
        "hold": trail.hold,
        "declination_deg": trail.declination_deg,
        "circle_mm": trail.circle_m * 1000.0,
        "circle_pixels": trail.circle_px,
        "middle_limit_s": trail.middle_s,
        "frame_limit_s": trail.frame_s,
        "trail_circles": trail.trail_circles,
        "rule_of_500_s": trail.rule_s,
    }


def _row(row: StandRow) -> dict[str, Any]:
    return {
        "time": row.when.isoformat(),
        "label": row.label or None,
        "azimuth_deg": row.azimuth_deg,
        "apparent_altitude_deg": row.altitude_deg,
        "disc_deg": row.disc_deg,
        "latitude_deg": row.latitude_deg,
        "longitude_deg": row.longitude_deg,
        "ground_m": row.ground_m,
        "distance_m": row.distance_m,
        "walk_m": row.walk_m,
        "walk_bearing_deg": row.walk_deg,
        "sideways_m_per_min": row.sideways_m_per_min,
        "back_m_per_min": row.back_m_per_min,
        "sideways_tolerance_m": row.sideways_tolerance_m,
        "along_tolerance_m": row.along_tolerance_m,
        "landmark_discs": row.landmark_discs,
        "ev_disc": finite_ends(row.ev_disc),
        "ev_land": finite_ends(row.ev_land),
        "gap_stops": finite_ends(row.gap_stops),
        "landmark_lit": row.lit,
        "ev_landmark": finite_ends(row.ev_face),
        "disc_shutter_s": row.disc_s,
        "land_shutter_s": row.land_s,
        "sun_altitude_deg": row.sun_altitude_deg,
        "lit_fraction": row.lit_fraction,
        "clear": row.clear,
        "hidden": row.hidden,
        "dim": row.dim,
        "both_sharp": row.both_sharp,
        "reason": row.reason or None,
    }


def _frame(one: InFrame) -> dict[str, Any]:
    return {
        "rig": one.label,
        "hold": one.hold,
        "focal_mm": one.focal_m * 1000.0,
        "disc_share": one.disc_share,
        "disc_pixels": one.disc_px,
        "landmark_share": one.landmark_share,
        "landmark_wide_share": one.landmark_wide_share,
        "smear_limit_s": finite(one.smear_s),
        "star_limit_s": finite(one.star_s),
        "both_sharp": one.both_sharp,
    }


def _place(place: LinePlace) -> dict[str, Any]:
    return {
        "label": place.label,
        "distance_m": place.distance_m,
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "ground_m": place.ground_m,
        "walk_m": place.walk_m,
        "walk_bearing_deg": place.walk_deg,
        "above_deg": place.above_deg,
        "eye_needed_m": place.eye_needed_m,
    }
