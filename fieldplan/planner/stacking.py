"""A focus stack: step, overlap, frames, the time it takes, and a plain no in wind."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from fieldplan.notation.display import circle_text, figures, length_text, speed_text
from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.optics.closeup import stack_frames
from fieldplan.optics.depth import focus_step_m
from fieldplan.optics.formats import wider_than_circle
from fieldplan.planner.closeup import CloseUp
from fieldplan.planner.exposing import Exposure
from fieldplan.planner.swaying import sway_of
from fieldplan.planner.trip import TripShot

OVERLAP = 0.3  # share of a step that neighbours have in common, common practice
BETWEEN_S = 1.5  # from one frame to the next: focus moved and settled, common practice
DEFAULT_S = 1.0 / 125.0  # of a frame, where the light is not known
_THIRD = math.pow(2.0, 1.0 / 6.0)  # of a stop, in f-numbers
YES, STILL, NO = "yes", "only while it holds wholly still", "no"


class Stack(NamedTuple):
    """Frames that hold a depth. step_m: what one frame holds; every_m: how far the focus moves between frames.

    word: "yes", "only while it holds wholly still" or "no"; why: its reason. shutter_s, iso: of each frame, the ISO
    None where the light is not known.
    """

    depth_m: float
    f_number: float
    step_m: float
    every_m: float
    frames: int
    seconds: float
    airy_m: float
    circle_m: float
    word: str
    why: str
    units: str
    shutter_s: float = DEFAULT_S
    iso: float | None = None

    @property
    def text(self) -> str:
        """In words, the no first where it is one."""
        if self.word == NO:
            return f"No stack: {self.why}. One frame at the end of a swing, squared up."
        took = time_mark(self.seconds) if self.seconds < 1.0 else f"about {figures(self.seconds)} s"
        circle = circle_text(self.circle_m)
        if self.frames == 1:
            return f"one frame at {f_mark(self.f_number)} holds {length_text(self.depth_m, self.units)} ({circle})"
        told = (
            f"{self.frames} frames at {f_mark(self.f_number)}{self._exposed()}, every "
            f"{length_text(self.every_m, self.units)} ({OVERLAP * 100:.0f} % overlap, {circle}), {took}"
        )
        if wider_than_circle(self.airy_m, self.circle_m):
            told += "; open up: diffraction is wider than the circle at this stop"
        return told if self.word == YES else f"{told}; {self.word}: {self.why}"

    def _exposed(self) -> str:
        return "" if self.iso is None else f", {time_mark(self.shutter_s)}, ISO {iso_mark(self.iso)}"


def stack(shot: TripShot, close_up: CloseUp, exposed: Callable[[float], Exposure] | None = None) -> Stack | None:
    """A stack for the wanted depth, else the subject's front to back; None where neither is known.

    At the smallest f-number at which the Airy disc is no wider than the circle, no smaller than one frame wants, and
    with ``exposed`` as far as the ISO stays within the ceiling. exposed: the settings at a marked f-number; left out,
    or without light: DEFAULT_S for each frame.
    """
    wanted = shot.found.wanted
    if wanted is None:
        return None
    depth_m = wanted.depth_m or (wanted.front_to_back[1] if wanted.front_to_back is not None else None)
    if depth_m is None:
        return None
    n, shutter_s = _open_enough(close_up, exposed), DEFAULT_S
    settings = None if exposed is None else exposed(n)
    iso = None if settings is None else settings.iso
    if settings is not None and iso is not None:
        n, shutter_s = settings.f_number, settings.shutter_s
    step = focus_step_m(close_up.circle_m, n * close_up.f_number_factor, close_up.magnification)
    airy = close_up.airy_m * n / close_up.f_number
    frames = stack_frames(depth_m, step, OVERLAP)
    seconds = frames * shutter_s + (frames - 1) * BETWEEN_S
    word, why = _allowed(shot, frames)
    return Stack(depth_m, n, step, step * (1.0 - OVERLAP), frames, seconds, airy, close_up.circle_m, word, why,
                 shot.plan.units, shutter_s, iso)  # fmt: skip


def _open_enough(close_up: CloseUp, exposed: Callable[[float], Exposure] | None) -> float:
    """As far stopped down as diffraction lets it and one frame wants it; wider where the ISO would pass the ceiling."""
    best = close_up.best_stop
    n = close_up.sharp_f_number
    if best is not None and best.needed is not None:
        n = min(n, best.needed)
    while exposed is not None and n > close_up.widest_f_number and exposed(n).over_ceiling > 0.0:
        n = max(close_up.widest_f_number, n / _THIRD)
    return n


def _allowed(shot: TripShot, frames: int) -> tuple[str, str]:
    wanted = shot.found.wanted
    if frames == 1 or wanted is None:
        return YES, ""
    sway = sway_of(shot)
    if sway is not None and sway.width_m > 0.0 and sway.per_second > 0.0:
        return NO, "the subject swings in the wind, and no two frames would agree"
    if wanted.living:
        still = wanted.activity in (None, "still")
        if still:
            return STILL, "a living thing breathes and shifts; early and cold it may rest"
        return NO, f"it moves ({wanted.activity}), and no two frames would agree"
    if wanted.speed_m_s > 0.0:
        return NO, f"it moves at {speed_text(wanted.speed_m_s, shot.plan.units)}, and no two frames would agree"
    return YES, ""
