"""Additions to fieldplan-answers/1: more on the best answer to each shot, and what the plan carries."""

from __future__ import annotations

from typing import Any

from fieldplan.card.json_kit import gap_json
from fieldplan.card.jsonparts import finite
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.carrying import Carried
from fieldplan.planner.closeup import CloseUp
from fieldplan.planner.converting import ConverterOrCrop
from fieldplan.planner.flashing import FlashAnswer
from fieldplan.planner.formats_compared import FormatsCompared
from fieldplan.planner.landscape import BothEnds
from fieldplan.planner.panorama import Sweep
from fieldplan.planner.shotmore import ShotMore
from fieldplan.planner.stacking import Stack
from fieldplan.planner.swaying import Inclined, Swaying


def _close(close: CloseUp | None) -> dict[str, Any] | None:
    if close is None:
        return None
    low, high = close.setup.magnifications
    best = close.best_stop
    return {
        "magnification": close.magnification,
        "magnification_range": [low, high],
        "effective_f_number": close.effective_f_number,
        "light_lost_stops": close.light_lost_stops,
        "depth_m": finite(close.depth_m),
        "airy_um": close.airy_m * 1e6,
        "circle_mm": close.circle_m * 1000.0,
        "distance_m": close.room.distance_m,
        "working_m": close.room.working_m,
        "measured_from": close.room.measured_from,
        "room_enough": close.room.enough,
        "wanted_depth_f_number": None if best is None else finite(best.needed),
        "sharpest_f_number": None if best is None else best.sharpest,
    }


def _sway(sway: Swaying | None) -> dict[str, Any] | None:
    if sway is None:
        return None
    return {"peak_mps": sway.peak_m_s, "middle_s": finite(sway.middle_s), "end_s": finite(sway.end_s),
            "share_of_frame": sway.share_of_frame}  # fmt: skip


def _stack(stack: Stack | None) -> dict[str, Any] | None:
    if stack is None:
        return None
    return {"word": stack.word, "why": stack.why, "frames": stack.frames, "step_m": stack.step_m,
            "every_m": stack.every_m, "f_number": stack.f_number, "shutter_s": stack.shutter_s,
            "iso": finite(stack.iso), "seconds": stack.seconds}  # fmt: skip


def _aslant(aslant: Inclined | None) -> dict[str, Any] | None:
    if aslant is None:
        return None
    return {"length_m": aslant.length_m, "angle_deg": aslant.angle_deg, "needed_m": aslant.needed_m,
            "f_number": aslant.f_number, "held_deg": aslant.held_deg}  # fmt: skip


def _flash(flash: FlashAnswer) -> dict[str, Any]:
    return {
        "flash": flash.flash,
        "f_number": flash.f_number,
        "iso": flash.iso,
        "shutter_s": flash.shutter_s,
        "reach_m": finite(flash.reach_m),
        "distance_m": flash.distance_m,
        "power": flash.power,
        "duration_s": flash.duration_s,
        "other_light_stops": finite(flash.ambient),
    }


def _converter(c: ConverterOrCrop) -> dict[str, Any]:
    return {
        "converter": c.converted.converter,
        "distance_m": finite(c.distance_m),
        "pixel_ratio": c.pixel_ratio,
        "pixel_ratio_far": c.factor,
        "light_lost_stops": c.stops,
        "detail_ratio": c.detail_ratio,
    }


def _format(c: FormatsCompared) -> dict[str, Any]:
    one, two = c.same_picture.first, c.same_picture.second
    return {
        "body": c.second.body,
        "owned": c.second.owned,
        "crop_ratio": c.ratio,
        "focal_mm": two.focal_m * 1000.0,
        "acting_focal_mm": two.acting_m * 1000.0,
        "f_number": two.f_number,
        "iso": finite(two.iso),
        "depth_m": finite(two.depth_m),
        "background_blur_ratio": two.blur_share / one.blur_share if one.blur_share else None,
        "rigs": list(c.same_picture.lenses),
        "same_lens_pixel_ratio": None if c.same_lens is None else c.same_lens.pixel_ratio,
        "area_stops": c.same_picture.same_f_stops,
    }


def _sweep(sweep: Sweep | None) -> dict[str, Any] | None:
    if sweep is None:
        return None
    return {
        "rig": sweep.label,
        "hold": sweep.hold,
        "focal_mm": sweep.focal_m * 1000.0,
        "width_deg": sweep.width_deg,
        "low_deg": sweep.low_deg,
        "high_deg": sweep.high_deg,
        "overlap": sweep.overlap,
        "pixels": list(sweep.pixels),
        "owned": sweep.owned,
        "rows": [{"altitude_deg": row.altitude_deg, "frames": row.frames, "turn_deg": row.turn_deg}
                 for row in sweep.rows],
        "clear_from_m": finite(sweep.clear_m),
    }  # fmt: skip


def _ends(ends: BothEnds | None) -> dict[str, Any] | None:
    if ends is None:
        return None
    return {"rig": ends.label, "acting_focal_mm": ends.acting_m * 1000.0, "focus_m": finite(ends.focus_m),
            "needed_f_number": ends.needed, "f_number": finite(ends.f_number), "airy_um": ends.airy_m * 1e6,
            "frames": ends.frames}  # fmt: skip


def more_json(answers: PlanAnswers, shot: str) -> dict[str, Any]:
    """Parts of one shot, by its name; null where they do not matter."""
    more: ShotMore | None = next((m for m in answers.more if m.shot == shot), None)
    if more is None:
        nothing = dict.fromkeys(("close_up", "aslant", "sway", "stack", "sweep", "both_ends", "gap"))
        return {**nothing, "flash": [], "converters": [], "formats": []}
    return {
        "close_up": _close(more.close_up),
        "aslant": _aslant(more.inclined),
        "sway": _sway(more.swaying),
        "stack": _stack(more.stack),
        "flash": [_flash(flash) for flash in more.flashes],
        "sweep": _sweep(more.sweep),
        "both_ends": _ends(more.ends),
        "gap": gap_json(more.gap),
        "converters": [_converter(c) for c in more.converters],
        "formats": [_format(c) for c in more.formats],
    }


def carried_json(carried: Carried | None) -> dict[str, Any] | None:
    """What stays at home; null where the plan does not say what it carries."""
    if carried is None:
        return None
    return {
        "at_home": [line.name for line in carried.home],
        "unknown": list(carried.unknown),
        "not_taken": [{"shot": m.shot, "must": m.must, "with_home": m.with_home} for m in carried.missed],
    }
