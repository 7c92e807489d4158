"""Both ends sharp: where to focus and which f-number holds near and far, with diffraction told."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import figures, focal_text, length_text, span_text
from fieldplan.notation.marks import f_mark
from fieldplan.optics.closeup import frames_between
from fieldplan.optics.depth import f_number_for_limits, focus_between_m
from fieldplan.optics.exposure import f_number_third_up
from fieldplan.optics.formats import airy_disc_m
from fieldplan.optics.framing import INFINITY, Focus, Optic, focus_at, optic
from fieldplan.optics.zoom import widest_f_number
from fieldplan.planner.answers import Wanted
from fieldplan.planner.assess import circle_for
from fieldplan.planner.rigs import Rig

_MARK_SLACK = 1.03  # a printed smallest f-number stands for the third nearest to it
_ROUNDS = 4  # distances are from the sensor plane, the harmonic mean from the lens: a few rounds settle it


class BothEnds(NamedTuple):
    """One rig at one setting. Distances from the sensor plane [m]; f_number None where no stop of the lens holds both.

    needed: exact f-number by the circle; airy_m: Airy disc at f_number (at the smallest stop where that is None);
    frames: how many, focused one behind another at open_f_number, hold both ends instead.
    """

    label: str
    focal_m: float
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
        airy = f"{figures(self.airy_m * 1e6)} um ({self.airy_m / self.pixel_m:.1f} pixels)"
        several = f"{self.frames} frames at {f_mark(self.open_f_number)}, focused one behind another"
        if self.f_number is None:
            return (f"{what}: no stop holds {span}; it would take {f_mark(f_number_third_up(self.needed))}",
                    f"step back from the nearest thing, a shorter lens, or {several}")  # fmt: skip
        told = [f"{what}: focus at {length_text(self.focus_m, self.units)}, {f_mark(self.f_number)} holds {span}",
                f"diffraction: Airy disc {airy}, circle {figures(self.circle_m * 1e6)} um"]  # fmt: skip
        if self.airy_m > self.circle_m:
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
    rig: Rig, wanted: Wanted, near_m: float, far_m: float, units: str, setting_m: float | None = None
) -> BothEnds | None:
    """Focus distance and f-number for everything from near to far (from the sensor plane; inf allowed) [m].

    setting_m: of the lens, before the converter; left out: its short end. None where it cannot focus there. Raises
    ValueError where near is not before far.
    """
    if not 0.0 < near_m < far_m:
        raise ValueError("near must lie before far")
    law, factor = rig.law, rig.factor
    setting = setting_m or law.short_m
    o = optic(law, setting, factor, rig.tube_m, rig.power_d)
    focus, middle = _between(o, near_m, far_m)
    if focus is None:
        return None
    circle = circle_for(rig, wanted)
    near = near_m - focus.image_m
    needed = f_number_for_limits(focus.focal_m, circle, focus.object_m, near, far_m - focus.image_m)
    needed /= focus.f_number_factor
    widest = widest_f_number(law.short_m, law.long_m, rig.f_short, rig.f_long, setting) * factor
    smallest = rig.f_smallest * factor
    third = f_number_third_up(needed) if needed > widest else widest
    held = third if third <= smallest * _MARK_SLACK else None
    light = focus.f_number_factor * (1.0 + focus.magnification / rig.pupil_ratio)
    middling = min(max(widest, _middling(rig)), smallest)
    frames = frames_between(focus.focal_m, middling * focus.f_number_factor, circle, max(near, 1e-6), far_m)
    return BothEnds(rig.label, o.focal_m, near_m, far_m, middle, needed, held, airy_disc_m((held or smallest) * light),
                    circle, rig.pixel_m, frames, middling, units)  # fmt: skip


def _middling(rig: Rig) -> float:
    """The third at which the Airy disc is about two pixels: stopping down further costs detail."""
    two_pixels = 2.0 * rig.pixel_m / airy_disc_m(1.0)
    third: float = math.pow(2.0, math.floor(6.0 * math.log2(two_pixels)) / 6.0)
    return third


def _between(o: Optic, near_m: float, far_m: float) -> tuple[Focus | None, float]:
    """Focus at which both ends are equally unsharp, and its distance from the sensor plane [m]."""
    image, middle = o.focal_m, near_m
    focus: Focus | None = None
    for _ in range(_ROUNDS):
        far = INFINITY if math.isinf(far_m) else far_m - image
        middle = focus_between_m(max(near_m - image, o.focal_m * 1e-3), far) + image
        focus = focus_at(o, middle)
        if focus is None:
            break
        image = focus.image_m
    return focus, middle
