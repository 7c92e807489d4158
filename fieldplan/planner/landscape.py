"""Both ends sharp: where to focus and which f-number holds near and far, with diffraction told."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import circle_text, figures, focal_text, length_text, span_text
from fieldplan.notation.marks import f_mark
from fieldplan.optics.closeup import frames_between
from fieldplan.optics.exposure import MARK_SLACK, f_number_third_down, f_number_third_up
from fieldplan.optics.formats import airy_disc_m, wider_than_circle
from fieldplan.optics.framing import focus_at, optic
from fieldplan.optics.zoom import widest_f_number
from fieldplan.planner.answers import Wanted
from fieldplan.planner.assess import circle_for
from fieldplan.planner.limits import focus_between, limits_f_number, set_third
from fieldplan.planner.rigs import Rig

_BREATHES = 0.01  # a focal length that differs by more is told


class BothEnds(NamedTuple):
    """One rig at one setting. Distances from the sensor plane [m]; f_number None where no stop of the lens holds both.

    needed: exact f-number by the circle; airy_m: Airy disc at f_number (at the smallest stop where that is None);
    frames: how many, focused one behind another at open_f_number, hold both ends instead, 0 where none do.
    acting_m: focal length at that focus, by which all of it is reckoned.
    """

    label: str
    focal_m: float
    acting_m: float
    near_m: float
    far_m: float
    focus_m: float
    needed: float
    f_number: float | None
    airy_m: float
    circle_m: float
    pixel_m: float
    frames: int
    open_f_number: float
    units: str

    @property
    def lines(self) -> tuple[str, ...]:
        """Focus and f-number, then diffraction, then the way round it where one is needed."""
        span = span_text(self.near_m, self.far_m, self.units)
        what = f"{self.label} at {focal_text(self.focal_m)}"
        if not math.isclose(self.acting_m, self.focal_m, rel_tol=_BREATHES):
            what += f" (acts like {focal_text(self.acting_m)} focused there, by the model of its closest focus)"
        airy = f"{figures(self.airy_m * 1e6)} um ({self.airy_m / self.pixel_m:.1f} pixels)"
        several = f"{self.frames} frames at {f_mark(self.open_f_number)}, focused one behind another"
        if self.f_number is None:
            ways = "step back from the nearest thing, or a shorter lens" if not self.frames else (
                f"step back from the nearest thing, a shorter lens, or {several}")  # fmt: skip
            return (
                f"{what}: no stop holds {span} ({circle_text(self.circle_m)}); it would take "
                f"{f_mark(f_number_third_up(self.needed))}",
                ways,
            )
        told = [f"{what}: focus at {length_text(self.focus_m, self.units)}, {f_mark(self.f_number)} holds {span} "
                f"({circle_text(self.circle_m)})", f"diffraction: Airy disc {airy}"]  # fmt: skip
        if wider_than_circle(self.airy_m, self.circle_m):
            told.append(f"softer all over than the circle allows: {several} instead")
        elif self.airy_m > 3.0 * self.pixel_m and self.frames > 1:
            told.append(f"for the last of the detail: {several}")
        return tuple(told)


def not_asked(wanted: Wanted) -> str:
    """What to say of a view on a support for which no depth was asked; "" where it was, or where it is no view.

    Without a wish the widest f-number is chosen, which for a view is no advice; how near the foreground begins only
    the person knows.
    """
    asked = wanted.depth_m is not None or wanted.sharp_from_m is not None
    if asked or wanted.group != "landscape" or wanted.support is None:
        return ""
    return "no depth was asked for, so the widest f-number: give sharp from and sharp to for foreground and far end"


def both_ends(
    rig: Rig, wanted: Wanted, near_m: float, far_m: float, units: str, setting_m: float | None = None,
    kept_m: float | None = None,
) -> BothEnds | None:  # fmt: skip
    """Focus distance and f-number for everything from near to far (from the sensor plane; inf allowed) [m].

    setting_m: of the lens, before the converter; left out: its short end. kept_m: a focus to be kept where it holds
    both as well. None where it cannot focus there. Raises ValueError where near is not before far.
    """
    if not 0.0 < near_m < far_m:
        raise ValueError("near must lie before far")
    law, factor = rig.law, rig.factor
    setting = setting_m or law.short_m
    o = optic(law, setting, factor, rig.tube_m, rig.power_d)
    focus, middle = focus_between(o, near_m, far_m)
    if focus is None:
        return None
    circle = circle_for(rig, wanted)
    widest = widest_f_number(law.short_m, law.long_m, rig.f_short, rig.f_long, setting) * factor
    smallest = rig.f_smallest * factor
    needed = limits_f_number(focus, circle, near_m, far_m)
    third = set_third(needed, widest)
    kept = None if kept_m is None else focus_at(o, kept_m)
    if kept is not None and kept_m is not None and limits_f_number(kept, circle, near_m, far_m) <= third * (1.0 + 1e-9):
        focus, middle, needed = kept, kept_m, limits_f_number(kept, circle, near_m, far_m)
    held = third if third <= smallest * MARK_SLACK else None
    light = focus.f_number_factor * (1.0 + focus.magnification / rig.pupil_ratio)
    middling = min(max(widest, _middling(rig)), smallest)
    near, acting = near_m - focus.image_m, focus.focal_m
    frames = 0 if near <= acting else (
        frames_between(acting, middling * focus.f_number_factor, circle, near, far_m - focus.image_m))  # fmt: skip
    airy = airy_disc_m((held or smallest) * light)
    return BothEnds(rig.label, o.focal_m, acting, near_m, far_m, middle, needed, held, airy, circle, rig.pixel_m,
                    frames, middling, units)  # fmt: skip


def _middling(rig: Rig) -> float:
    """The third at which the Airy disc is about two pixels: stopping down further costs detail."""
    two_pixels = 2.0 * rig.pixel_m / airy_disc_m(1.0)
    return f_number_third_down(two_pixels)
