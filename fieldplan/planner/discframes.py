"""How large disc and landmark stand in the frame of every body and lens, and how long each may be open."""

from __future__ import annotations

import math

from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.discnotes import sharp_together
from fieldplan.planner.sights import Sight
from fieldplan.planner.standanswers import InFrame


def in_frames(found: ShotAnswers, sight: Sight, disc_deg: float) -> tuple[InFrame, ...]:
    """One for each body and lens that can take the shot, at its better hold, in the order of the answers."""
    if sight.seen.top.hidden:
        return ()
    stars = {(trail.label, trail.hold): trail.limit_s for trail in found.star_trails}
    best: dict[str, InFrame] = {}
    for answer in found.rigs:
        if answer.verdict != "cannot" and answer.label not in best:
            made = _in_frame(answer, sight, disc_deg, stars.get((answer.label, answer.hold)))
            if made is not None:
                best[answer.label] = made
    return tuple(best.values())


def _in_frame(a: Answer, sight: Sight, disc_deg: float, star_s: float | None) -> InFrame | None:
    if a.focal_m is None or a.frame_height_m is None or a.frame_width_m is None:
        return None
    disc_m = _image_m(a.focal_m, disc_deg)
    wide_deg = sight.seen.width_deg
    return InFrame(
        label=a.label,
        hold=a.hold,
        focal_m=a.focal_m,
        disc_share=disc_m / a.frame_height_m,
        disc_px=None if not a.pixel_m else disc_m / a.pixel_m,
        landmark_share=_image_m(a.focal_m, sight.seen.height_deg) / a.frame_height_m,
        landmark_wide_share=None if wide_deg is None else _image_m(a.focal_m, wide_deg) / a.frame_width_m,
        smear_s=a.motion_limit_s,
        star_s=star_s,
        both_sharp=sharp_together(a, sight.seen.top.line_m),
    )


def _image_m(focal_m: float, angle_deg: float) -> float:
    """The size on the sensor of an angle about the axis, focused far away."""
    return 2.0 * focal_m * math.tan(math.radians(angle_deg / 2.0))
