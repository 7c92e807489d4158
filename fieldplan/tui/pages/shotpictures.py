"""The two pictures of an answer: the frame with the subject to scale, and the depth along the line of sight."""

from __future__ import annotations

import math

from fieldplan.notation.display import length_text
from fieldplan.notation.marks import share_text
from fieldplan.pictures import Picture, draw_depth, draw_frame
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.inframe import drawn_shares
from fieldplan.tui.rows import safe

FRAME_ABOUT = "frame to scale"
DEPTH_ABOUT = "depth of field along the line of sight, from the sensor plane"


def _middle(ends: tuple[float, float] | None) -> float:
    return 0.0 if ends is None else (ends[0] + ends[1]) / 2.0


def frame_picture(answers: ShotAnswers, a: Answer, width: int, height: int) -> Picture:
    """The frame as held, the subject in it at its true share; what is cut off is hatched outside the frame."""
    if answers.wanted is None or a.frame_width_m is None or a.frame_height_m is None:
        return ()
    shares = [share or 0.0 for share in drawn_shares(answers.wanted, a)]
    label = f"{safe(answers.wanted.subject)} {share_text(a.fill)}" if a.fill is not None else ""
    return draw_frame(width, height, a.frame_width_m, a.frame_height_m, *shares, label=label, shape="ellipse")


def depth_picture(answers: ShotAnswers, a: Answer, width: int, rows: int, units: str) -> Picture:
    """Near limit, focus and far limit on the line of sight, with the subject's own depth and the background."""
    wanted = answers.wanted
    focus = a.focus_m if a.focus_m is not None else a.distance_m
    if wanted is None or focus is None or a.near_m is None:
        return ()
    far = math.inf if a.far_m is None else a.far_m
    half = (_middle(wanted.front_to_back) or wanted.depth_m or 0.0) / 2.0
    at = a.distance_m if a.distance_m is not None else focus
    behind = at + wanted.background_m if math.isfinite(wanted.background_m) else None
    return draw_depth(
        width, a.near_m, far, focus, format_m=lambda metres: length_text(metres, units),
        subject_from_m=max(at - half, min(a.near_m, at) / 2.0), subject_to_m=at + half, background_m=behind,
        subject=safe(wanted.subject) or "subject", rows=rows,
    )  # fmt: skip
