"""The answers as JSON, fieldplan-answers/1: SI with the unit in the key, unrounded; unknown or infinite is null."""

from __future__ import annotations

import datetime as dt
import json
import math
from typing import Any
from zoneinfo import ZoneInfo

from fieldplan.card.done import done_json
from fieldplan.card.json_more import carried_json, more_json
from fieldplan.card.jsonparts import FORMAT, finite, finite_ends
from fieldplan.card.shotlines import own_clock
from fieldplan.card.standjson import stand_json, trail_json
from fieldplan.model.plan import LandmarkSubject, Shot, Site, SkySubject
from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.planner.answers import Answer, Caution, Light, PlanAnswers, ShotAnswers, Wanted, WorkSpan
from fieldplan.planner.exposing import within_ceiling
from fieldplan.planner.standanswers import StandLadder
from fieldplan.planner.tables import Ladder


def _mm(value: float | None) -> float | None:
    return finite(value, 1000.0)


def _middle(ends: tuple[float, float] | None) -> float | None:
    return None if ends is None else finite((ends[0] + ends[1]) / 2.0)


def rig_json(a: Answer) -> dict[str, Any]:
    """One ranked answer."""
    return {
        "label": a.label,
        "body": a.body,
        "lens": a.lens,
        "converter": a.converter,
        "tube": a.tube,
        "close_up_lens": a.close_up_lens,
        "support": a.support,
        "hold": a.hold,
        "distance_m": finite(a.distance_m),
        "focal_mm": _mm(a.focal_m),
        "acting_focal_mm": _mm(a.acting_focal_m),
        "magnification": finite(a.magnification),
        "magnification_assumed": a.magnification_assumed,
        "fill": finite(a.fill),
        "fill_axis": a.fill_axis,
        "fill_near": finite(a.fill_near),
        "fill_far": finite(a.fill_far),
        "fills_from_m": finite(a.fills_from_m),
        "fills_to_m": finite(a.fills_to_m),
        "pixels_on_subject": finite(a.pixels_on_subject),
        "frame_width_mm": _mm(a.frame_width_m),
        "frame_height_mm": _mm(a.frame_height_m),
        "field_width_m": finite(a.field_width_m),
        "field_height_m": finite(a.field_height_m),
        "f_number": finite(a.f_number),
        "f_number_mark": None if a.f_number is None else f_mark(a.f_number),
        "effective_f_number": finite(a.effective_f_number),
        "circle_mm": _mm(a.circle_m),
        "focus_m": finite(a.focus_m),
        "near_m": finite(a.near_m),
        "far_m": finite(a.far_m),
        "far_infinite": a.far_m is not None and math.isinf(a.far_m),
        "depth_m": finite(a.depth_m),
        "hyperfocal_m": finite(a.hyperfocal_m),
        "background_blur_mm": _mm(a.background_blur_m),
        "background_smear_m": finite(a.background_smear_m),
        "airy_um": finite(a.airy_m, 1e6),
        "soft_by_diffraction": a.soft,
        "shake_limit_s": finite(a.shake_limit_s),
        "motion_limit_s": finite(a.motion_limit_s),
        "shake_blur_pixels": finite(a.shake_blur_px),
        "rule_of_thumb_s": finite(a.rule_of_thumb_s),
        "shutter_s": finite(a.shutter_s),
        "shutter_mark": None if a.shutter_s is None else time_mark(a.shutter_s),
        "iso": finite(a.iso),
        "iso_mark": None if a.iso is None else iso_mark(a.iso),
        "iso_low": finite(a.iso_low),
        "iso_high": finite(a.iso_high),
        "iso_ceiling": finite(a.iso_ceiling),
        "needs_ev100": finite(a.needs_ev100),
        "verdict": a.verdict,
        "shortfalls": [{"kind": s.kind, "text": s.text, "cure": s.cure} for s in a.shortfalls],
        "weight_kg": finite(a.weight_kg),
    }


_LIGHT_KEYS = ("ev100", "ev100_low", "ev100_high", "illuminance_lux", "source", "reason", "lit", "sun_altitude_deg",
               "sun_azimuth_deg", "moon_altitude_deg", "moon_azimuth_deg", "moon_lit_fraction")  # fmt: skip


def _light(light: Light | None) -> dict[str, Any]:
    """The light; without one every key is null."""
    if light is None:
        return dict.fromkeys(_LIGHT_KEYS)
    return {
        "ev100": finite(light.ev100),
        "ev100_low": finite(light.ev100_low),
        "ev100_high": finite(light.ev100_high),
        "illuminance_lux": finite(light.illuminance_lux),
        "source": light.source,
        "reason": light.reason,
        "lit": light.lit,
        "sun_altitude_deg": finite(light.sun_altitude_deg),
        "sun_azimuth_deg": finite(light.sun_azimuth_deg),
        "moon_altitude_deg": finite(light.moon_altitude_deg),
        "moon_azimuth_deg": finite(light.moon_azimuth_deg),
        "moon_lit_fraction": finite(light.moon_lit_fraction),
    }


_SUBJECT_KEYS = ("name", "height_m", "width_m", "front_to_back_m", "height_range_m", "width_range_m", "activity",
                 "speed_mps", "direction_deg", "panned")  # fmt: skip


def _named(shot: Shot) -> str | None:
    """What a shot calls its subject, where nothing more is known of it."""
    subject = shot.subject
    if subject is None or isinstance(subject, str):
        return subject
    if isinstance(subject, SkySubject):
        return subject.sky
    return subject.landmark if isinstance(subject, LandmarkSubject) else subject.name


def _subject(wanted: Wanted | None, shot: Shot) -> dict[str, Any]:
    """The subject as looked up; where it could not be, its name and nulls."""
    if wanted is None:
        return dict.fromkeys(_SUBJECT_KEYS) | {"name": _named(shot)}
    return {
        "name": wanted.subject,
        "height_m": _middle(wanted.height),
        "width_m": _middle(wanted.width),
        "front_to_back_m": _middle(wanted.front_to_back),
        "height_range_m": finite_ends(wanted.height),
        "width_range_m": finite_ends(wanted.width),
        "activity": wanted.activity,
        "speed_mps": finite(wanted.speed_m_s),
        "direction_deg": finite(wanted.direction_deg),
        "panned": wanted.panned,
    }


def _time(ut_s: float, zone: dt.tzinfo | None) -> str:
    return dt.datetime.fromtimestamp(round(ut_s), tz=zone or dt.UTC).isoformat()


def _span(span: WorkSpan, zone: dt.tzinfo | None) -> dict[str, Any]:
    return {
        "rig": span.rig,
        "hold": span.hold,
        "start": _time(span.start_s, zone),
        "start_range": [_time(span.start_early_s, zone), _time(span.start_late_s, zone)],
        "start_reason": span.start_reason,
        "end": _time(span.end_s, zone),
        "end_range": [_time(span.end_early_s, zone), _time(span.end_late_s, zone)],
        "end_reason": span.end_reason,
        "margin_min": span.margin_min,
        "sure": span.sure,
    }


def _needed(s: ShotAnswers) -> dict[str, Any]:
    return {
        "missing": s.missing,
        "focal": [{"body": n.body, "hold": n.hold, "mm": _mm(n.focal_m)} for n in s.needed_focal],
        "distance": [
            {
                "rig": n.rig,
                "hold": n.hold,
                "m": finite(n.distance_m),
                "low_m": finite(n.low_m),
                "high_m": finite(n.high_m),
            }
            for n in s.needed_distance
        ],
        "size": [
            {"rig": n.rig, "hold": n.hold, "width_m": [n.width_low_m, n.width_high_m],
             "height_m": [n.height_low_m, n.height_high_m]}
            for n in s.needed_size
        ],
    }  # fmt: skip


def _ladder(ladder: Ladder | None) -> dict[str, Any] | None:
    """The light by the clock; null where the light is given or not known."""
    if ladder is None:
        return None
    return {
        "f_number": finite(ladder.f_number),
        "effective_f_number": finite(ladder.effective_f_number),
        "shutters_s": [finite(time) for time in ladder.shutters_s],
        "iso_ceiling": finite(ladder.iso_ceiling),
        "rows": [
            {
                "time": row.when.isoformat(),
                "ev100": finite(row.ev100),
                "ev100_low": finite(row.ev100_low),
                "ev100_high": finite(row.ev100_high),
                "iso": [finite(iso) for iso in row.isos],
                "over_ceiling": [not within_ceiling(iso, ladder.iso_ceiling) for iso in row.isos],
            }
            for row in ladder.rows
        ],
    }


def shot_json(
    s: ShotAnswers,
    zone: dt.tzinfo | None,
    ladder: Ladder | None = None,
    stand: StandLadder | None = None,
    more: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """One shot with its ranked rigs. more: further parts."""
    wanted = s.wanted
    return {
        "name": s.shot.name,
        "must": s.shot.must,
        "viewpoint": s.shot.viewpoint,
        "cannot_be": list(s.cannot_be),
        "time": None if s.when is None else s.when.isoformat(),
        "subject": _subject(wanted, s.shot),
        "distance_m": finite_ends(wanted.distance) if wanted else None,
        "distance_infinite": wanted is not None and wanted.distance is not None and math.isinf(wanted.distance[1]),
        "wanted_fill": finite_ends(wanted.fill) if wanted else None,
        "wanted_magnification": wanted.magnification if wanted else None,
        "fill_assumed": wanted.fill_assumed if wanted else False,
        "light": _light(s.light),
        "rigs": [rig_json(a) for a in s.rigs],
        "why_first": s.why_first,
        "needed": _needed(s),
        "times": [_span(span, zone) for span in s.times],
        "gains": [{"what": g.what, "minutes": g.minutes, "needs_ev100": finite(g.needs_ev100)} for g in s.gains],
        "ladder": _ladder(ladder),
        "stand": stand_json(stand),
        "star_trails": [trail_json(trail) for trail in s.star_trails],
        **(more or {}),
        "notes": list(s.notes),
        "problem": s.problem,
    }


def _site(site: Site | None) -> dict[str, Any]:
    """The site; without one every key is null."""
    if site is None:
        return dict.fromkeys(("name", "latitude_deg", "longitude_deg", "elevation_m", "sky"))
    return {
        "name": site.name,
        "latitude_deg": None if site.position is None else site.position.latitude_deg,
        "longitude_deg": None if site.position is None else site.position.longitude_deg,
        "elevation_m": float(site.elevation),
        "sky": site.sky,
    }


def _caution(c: Caution) -> dict[str, Any]:
    return {"kind": c.kind, "text": c.text, "source": c.source, "shot": c.shot}


def as_json(answers: PlanAnswers) -> str:
    """All answers of a plan."""
    plan = answers.plan
    clock = ZoneInfo(answers.time_zone) if answers.time_zone else None
    ladders = {ladder.shot: ladder for ladder in answers.ladders}
    stands = {stand.shot: stand for stand in answers.stands}
    data = {
        "format": FORMAT,
        "plan": {
            "title": plan.title,
            "date": None if plan.date is None else plan.date.isoformat(),
            "leave": None if plan.leave is None else plan.leave.isoformat(),
            "arrive": None if plan.arrive is None else plan.arrive.isoformat(),
            "time_zone": answers.time_zone,
            "profile": answers.profile.name,
            "units": plan.units,
            "site": _site(plan.site),
        },
        "shots": [
            shot_json(s, clock or own_clock(s, answers.clock), ladders.get(n), stands.get(n), more_json(answers, n))
            for s, n in ((s, s.shot.name) for s in answers.shots)
        ],
        "kit": [
            {"kind": k.kind, "name": k.name, "weight_kg": k.weight_kg, "owned": k.owned, "rent": k.rent}
            for k in answers.kit
        ],
        "weight_kg": answers.weight_kg,
        "bag_limit_kg": answers.bag_limit_kg,
        "carried": carried_json(answers.carried),
        "cautions": [_caution(c) for c in (*(c for s in answers.shots for c in s.cautions), *answers.cautions)],
    }
    if plan.taken:
        data["log"] = done_json(answers)
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
