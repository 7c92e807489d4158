"""A subject that sways in the wind, or lies aslant: when to fire, and what squaring up buys."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import circle_text, length_text, speed_text
from fieldplan.notation.marks import f_mark, share_text, stops_text, time_mark
from fieldplan.notation.words import Sway
from fieldplan.optics.blurlimits import motion_limit_s, sway_speed_m_s
from fieldplan.optics.closeup import angle_held_deg, inclined_depth_m, swing_end_time_s
from fieldplan.optics.depth import f_number_for_depth
from fieldplan.optics.exposure import f_number_third_up, time_third_faster
from fieldplan.planner.closeup import CloseUp
from fieldplan.planner.trip import TripShot


class Swaying(NamedTuple):
    """Longest times [s] in mid-swing and round the end of a swing; the gain in stops; its swing through the frame."""

    width_m: float
    per_second: float
    peak_m_s: float
    middle_s: float
    end_s: float
    gain_stops: float
    share_of_frame: float
    depth_m: float
    units: str

    @property
    def text(self) -> str:
        told = [
            f"swings {length_text(self.width_m, self.units)}, at most {speed_text(self.peak_m_s, self.units)}: "
            f"{time_mark(time_third_faster(self.middle_s))} in mid-swing"
        ]
        if math.isfinite(self.end_s):
            told.append(
                f"fire at the end of the swing: {time_mark(time_third_faster(self.end_s))} "
                f"({stops_text(self.gain_stops)} gained)"
            )
        told.append(f"it swings through {share_text(self.share_of_frame)} of the frame: frame wider by as much")
        if self.width_m > self.depth_m:
            told.append("a swing towards the lens leaves the depth: wait for the lull, or shield it")
        return "; ".join(told)


class Inclined(NamedTuple):
    """A subject's length at an angle out of the plane of focus: depth that it takes [m], f-number that would hold it.

    f_number None: past the smallest of the lens. held_deg: the angle that the present depth holds.
    """

    length_m: float
    angle_deg: float
    needed_m: float
    f_number: float | None
    held_deg: float
    circle_m: float
    units: str

    @property
    def text(self) -> str:
        length, needed = length_text(self.length_m, self.units), length_text(self.needed_m, self.units)
        circle = circle_text(self.circle_m)
        told = f"{length} at {self.angle_deg:.0f} deg takes {needed} of depth"
        if self.needed_m <= 0.0 or self.held_deg >= self.angle_deg:
            return f"{told}: held ({circle})"
        square = f"square up to within {_held_text(self.held_deg)}"
        if self.f_number is None:
            return f"{told}: {square}; no stop of this lens holds it ({circle})"
        return f"{told}: {square}, not {f_mark(self.f_number)} ({circle})"


def _held_text(held_deg: float) -> str:
    """ "5 deg", "0.4 deg", "less than 0.1 deg": never more than is held."""
    if held_deg < 0.1:
        return "less than 0.1 deg"
    return f"{math.floor(held_deg) if held_deg >= 2.0 else math.floor(held_deg * 10.0) / 10.0:g} deg"


def sway_of(shot: TripShot) -> Sway | None:
    """The shot's sway, else that of the listed subject's activity."""
    if shot.found.shot.sway is not None:
        return shot.found.shot.sway
    if not isinstance(shot.found.shot.subject, str) or shot.found.shot.speed is not None:
        return None
    listed = shot.setting.catalogue.subject(shot.found.shot.subject)
    activity = None if listed is None else listed.activity(shot.found.shot.activity)
    return None if activity is None else activity.sway


def swaying(shot: TripShot, close_up: CloseUp) -> Swaying | None:
    """What a sway allows; None where the shot has none. Across the line of sight, as a sine."""
    sway = sway_of(shot)
    if sway is None or sway.width_m <= 0.0 or sway.per_second <= 0.0:
        return None
    m, circle = close_up.magnification, close_up.circle_m
    peak = sway_speed_m_s(sway.width_m, sway.per_second)
    middle = motion_limit_s(circle, m * peak)
    end = swing_end_time_s(circle, m, sway.width_m, sway.per_second)
    gain = math.log2(end / middle) if math.isfinite(end) else math.inf
    across = (max if close_up.hold == "level" else min)(close_up.setup.frame)  # it swings level, however one holds
    return Swaying(sway.width_m, sway.per_second, peak, middle, end, gain, m * sway.width_m / across,
                   close_up.depth_m, shot.plan.units)  # fmt: skip


def inclined(shot: TripShot, close_up: CloseUp, length_m: float, angle_deg: float) -> Inclined:
    """What a subject aslant asks for: 60 mm at 20 deg wants 21 mm of depth.

    angle_deg: out of the plane of focus, 0 square on, 90 end on.
    """
    needed = inclined_depth_m(length_m, angle_deg)
    acting, m = close_up.acting_focal_m, close_up.magnification
    n = f_number_for_depth(acting, close_up.circle_m, acting * (1.0 + 1.0 / m), needed) / close_up.f_number_factor
    third = f_number_third_up(n) if n > 0.0 else None
    f_number = third if third is not None and third <= close_up.smallest_f_number else None
    held = angle_held_deg(length_m, close_up.depth_m)
    return Inclined(length_m, angle_deg, needed, f_number, held, close_up.circle_m, shot.plan.units)
