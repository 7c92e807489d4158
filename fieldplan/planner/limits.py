"""Where to focus, and which f-number: for a wanted depth, or for both wanted limits of sharpness."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.optics.depth import f_number_for_depth, f_number_for_limits, focus_between_m
from fieldplan.optics.exposure import MARK_SLACK, f_number_third_up
from fieldplan.optics.formats import PIXEL_CIRCLE
from fieldplan.optics.framing import INFINITY, Focus, Optic, focus_at
from fieldplan.planner.answers import Wanted

_ROUNDS = 20  # limits are from the sensor plane, the harmonic mean from the lens: some rounds settle it


def circle_wanted(wanted: Wanted, print_circle_m: float, pixel_m: float) -> float:
    """Circle of confusion at the sensor [m]: by print, by pixel, or as given."""
    if wanted.circle_rule == "pixel":
        return PIXEL_CIRCLE * pixel_m
    return print_circle_m if wanted.circle_rule == "print" or wanted.circle_m is None else wanted.circle_m


class Depth(NamedTuple):
    """The focus that the wanted depth asks for, where that is, and the marked f-number it takes (0: none wanted)."""

    focus: Focus
    distance_m: float
    needed_n: float


def focus_between(o: Optic, near_m: float, far_m: float) -> tuple[Focus | None, float]:
    """The focus at which both limits are equally unsharp, and where that is; all from the sensor plane [m].

    Where the optic does not focus there, as near to it as it does between the limits.
    """
    image, middle = o.focal_m, near_m
    focus: Focus | None = None
    for _ in range(_ROUNDS):
        before = middle
        middle = focus_between_m(max(near_m - image, o.focal_m * 1e-3), far_m - image) + image
        able = min(max(middle, o.nearest_m), o.farthest_m)
        middle = able if near_m <= able <= far_m else middle
        focus = focus_at(o, middle)
        if focus is None or math.isclose(middle, before, rel_tol=1e-12):
            break
        image = focus.image_m
    return focus, middle


def limits_f_number(focus: Focus, circle_m: float, near_m: float, far_m: float) -> float:
    """Marked f-number that holds both limits (from the sensor plane) [m] with this focus."""
    near = max(near_m - focus.image_m, focus.focal_m * 1e-3)
    needed = f_number_for_limits(focus.focal_m, circle_m, focus.object_m, near, far_m - focus.image_m)
    return needed / focus.f_number_factor


def set_third(needed: float, widest: float) -> float:
    """The f-number that is set for the one needed: the widest, else the next third."""
    if math.isinf(needed):
        return needed
    return f_number_third_up(needed) if needed > widest else widest


def depth_wanted(
    o: Optic, wanted: Wanted, focus: Focus, distance: float, circle: float, ends: tuple[float, float]
) -> Depth:
    """Focus at the distance; between the wanted limits where that holds both at a wider third.

    ends: the lens's widest and smallest f-number. A subject outside the limits, or the moon or sun, keeps the focus
    while any f-number then holds both.
    """
    if wanted.depth_m is not None:
        needed = f_number_for_depth(focus.focal_m, circle, focus.object_m, wanted.depth_m)
        return Depth(focus, distance, needed / focus.f_number_factor)
    if wanted.sharp_from_m is None:
        return Depth(focus, distance, 0.0)
    far = INFINITY if wanted.sharp_to_m is None else wanted.sharp_to_m
    needed = limits_f_number(focus, circle, wanted.sharp_from_m, far)
    widest, smallest = ends
    free = wanted.sharp_from_m <= distance <= far and wanted.group != "sky"
    if wanted.distance is not None and needed > (widest if free else smallest * MARK_SLACK):
        other, between = focus_between(o, wanted.sharp_from_m, far)
        least = INFINITY if other is None else limits_f_number(other, circle, wanted.sharp_from_m, far)
        if other is not None and (not free or set_third(least, widest) < set_third(needed, widest)):
            return Depth(other, between, least)
    return Depth(focus, distance, needed)
