"""Additions to fieldplan-answers/1: more on the best answer to each shot, and what the plan carries."""

from __future__ import annotations

import math
from typing import Any

from fieldplan.card.json_kit import gap_json
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.carrying import Carried
from fieldplan.planner.closeup import CloseUp
from fieldplan.planner.landscape import BothEnds
from fieldplan.planner.panorama import Sweep
from fieldplan.planner.shotmore import ShotMore
from fieldplan.planner.stacking import Stack
from fieldplan.planner.swaying import Swaying


def _n(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


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
        "depth_m": _n(close.depth_m),
        "airy_um": close.airy_m * 1e6,
        "circle_mm": close.circle_m * 1000.0,
        "distance_m": close.room.distance_m,
        "working_m": close.room.working_m,
        "measured_from": close.room.measured_from,
        "room_enough": close.room.enough,
        "wanted_depth_f_number": None if best is None else _n(best.needed),
        "sharpest_f_number": None if best is None else best.sharpest,
    }


def _sway(sway: Swaying | None) -> dict[str, Any] | None:
    if sway is None:
        return None
    return {"peak_mps": sway.peak_m_s, "middle_s": _n(sway.middle_s), "end_s": _n(sway.end_s),
            "share_of_frame": sway.share_of_frame}  # fmt: skip


def _stack(stack: Stack | None) -> dict[str, Any] | None:
    if stack is None:
        return None
    return {"word": stack.word, "why": stack.why, "frames": stack.frames, "step_m": stack.step_m,
            "every_m": stack.every_m, "f_number": stack.f_number, "seconds": stack.seconds}  # fmt: skip


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
        "rows": [{"altitude_deg": row.altitude_deg, "frames": row.frames, "turn_deg": row.turn_deg}
                 for row in sweep.rows],
        "clear_from_m": _n(sweep.clear_m),
    }  # fmt: skip


def _ends(ends: BothEnds | None) -> dict[str, Any] | None:
    if ends is None:
        return None
    return {"rig": ends.label, "focus_m": _n(ends.focus_m), "needed_f_number": ends.needed,
            "f_number": _n(ends.f_number), "airy_um": ends.airy_m * 1e6, "frames": ends.frames}  # fmt: skip


def more_json(answers: PlanAnswers, shot: str) -> dict[str, Any]:
    """Parts of one shot, by its name; null where they do not matter."""
    more: ShotMore | None = next((m for m in answers.more if m.shot == shot), None)
    if more is None:
        return dict.fromkeys(("close_up", "sway", "stack", "sweep", "both_ends", "gap"))
    return {"close_up": _close(more.close_up), "sway": _sway(more.swaying), "stack": _stack(more.stack),
            "sweep": _sweep(more.sweep), "both_ends": _ends(more.ends), "gap": gap_json(more.gap)}  # fmt: skip


def carried_json(carried: Carried | None) -> dict[str, Any] | None:
    """What stays at home; null where the plan does not say what it carries."""
    if carried is None:
        return None
    return {
        "at_home": [line.name for line in carried.home],
        "unknown": list(carried.unknown),
        "not_taken": [{"shot": m.shot, "must": m.must, "with_home": m.with_home} for m in carried.missed],
    }
