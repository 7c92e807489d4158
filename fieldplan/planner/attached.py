"""A zoom behind an extension tube or a close-up lens: the setting that draws as large as wanted, or nearly so."""

from __future__ import annotations

import math

from fieldplan.optics.framing import INFINITY, Optic, focus_at, optic
from fieldplan.optics.zoom import fitted_setting
from fieldplan.planner.rigs import Rig

_HALVINGS = 8  # to find the last setting that still focuses


def attached_zoom(rig: Rig, distance: float, magnification: float) -> Optic:
    """A zoom behind a tube or close-up lens at the setting that draws as large as wanted, or as nearly as it can."""
    setting = fitted_setting(rig.law, distance, magnification, rig.factor, rig.tube_m, rig.power_d)
    if setting is not None:
        o = optic(rig.law, setting, rig.factor, rig.tube_m, rig.power_d)
        focus = focus_at(o, distance)
        if focus is not None and math.isclose(focus.magnification, magnification, rel_tol=1e-6):
            return o
    misses = [_miss(o, distance, magnification) for o in rig.prepared]
    best = min(range(len(misses)), key=misses.__getitem__)
    if misses[best] == INFINITY:
        return _between_near_and_far(rig, distance)
    return _at_the_brink(rig, distance, magnification, best, misses)


def _miss(o: Optic, distance: float, magnification: float) -> float:
    """How far off the wanted magnification an optic draws, as a logarithm; infinite where it cannot focus."""
    focus = focus_at(o, distance)
    return INFINITY if focus is None or not focus.magnification else abs(math.log(focus.magnification / magnification))


def _between_near_and_far(rig: Rig, distance: float) -> Optic:
    """Where one prepared setting focuses only farther and the next only nearer: a setting between that may focus."""
    too_near = [distance < o.nearest_m for o in rig.prepared]
    pair = next((i for i in range(len(too_near) - 1) if too_near[i] != too_near[i + 1]), None)
    if pair is None:
        return rig.prepared[-1]
    near, far = rig.prepared[pair], rig.prepared[pair + 1]
    for _ in range(_HALVINGS):
        o = optic(rig.law, math.sqrt(near.focal_m * far.focal_m) / rig.factor, rig.factor, rig.tube_m, rig.power_d)
        if o.nearest_m <= distance <= o.farthest_m:
            return o
        near, far = (o, far) if (distance < o.nearest_m) == too_near[pair] else (near, o)
    return rig.prepared[-1]


def _at_the_brink(rig: Rig, distance: float, magnification: float, best: int, misses: list[float]) -> Optic:
    """Between the best prepared setting and a neighbour that no longer focuses, the last one that does."""
    o = rig.prepared[best]
    for other in (best - 1, best + 1):
        if not 0 <= other < len(misses) or misses[other] < INFINITY:
            continue
        fine, over = rig.prepared[best].focal_m, rig.prepared[other].focal_m
        for _ in range(_HALVINGS):
            middle = optic(rig.law, math.sqrt(fine * over) / rig.factor, rig.factor, rig.tube_m, rig.power_d)
            miss = _miss(middle, distance, magnification)
            if miss < INFINITY:
                fine = middle.focal_m
                if miss < misses[best]:
                    o, misses[best] = middle, miss
            else:
                over = middle.focal_m
    return o
