"""Every combination of body, lens, converter, tubes and close-up lens, and the magnifications that each can draw."""

from __future__ import annotations

from dataclasses import dataclass

from fieldplan.model.gear import Profile
from fieldplan.optics.framing import INFINITY, LensLaw, Optic, distance_for, largest_magnification, optic
from fieldplan.planner.combining import Combination, combined, law_of, settings_of

MOST_TUBES = 2  # stacked


@dataclass(frozen=True, slots=True)
class Setup(Combination):
    """One combination. optics: at its settings, the longest first. Lengths in metres.

    magnifications: the smallest, at the farthest that it focuses (0: to infinity), and the largest.
    """

    optics: tuple[Optic, ...] = ()
    magnifications: tuple[float, float] = (0.0, 0.0)


def setups(profile: Profile, candidates: bool = False) -> tuple[Setup, ...]:
    """Every combination that mounts, coverage and the lenses' lists of converters allow; at most two tubes stacked.

    candidates: also what is not owned.
    """
    return tuple(setup_with(c) for c in combined(profile, MOST_TUBES, candidates))


def setup_with(c: Combination) -> Setup:
    """The combination at its settings, as far as it focuses there, and how large it draws."""
    law = law_of(c.lens)
    optics = tuple(optic(law, setting, c.factor, c.tube_m, c.power_d) for setting in reversed(settings_of(law)))
    usable = tuple(o for o in optics if o.nearest_m < INFINITY)
    low = min((_smallest(o) for o in usable), default=0.0)
    high = max((_largest(law, o) for o in usable), default=0.0)
    return Setup(c.body, c.lens, c.frame, c.converter, c.tubes, c.close_up_lens, usable, (low, high))


def _smallest(o: Optic) -> float:
    """The smallest magnification: at one end of the lens's own focusing, 0 where that reaches infinity.

    f' = f/(1 + f q) behind an image distance f(1 + own) + tube draws (1 + own + tube/f)(1 + f q) - 1.
    """
    ends = []
    for own in (0.0, o.own_limit):
        f = o.focal_m / o.behind - o.slope_m * own
        ends.append(o.behind * ((1.0 + own + o.tube_m / f) * (1.0 + f * o.power_d) - 1.0))
    return max(0.0, min(ends))


def _largest(law: LensLaw, o: Optic) -> float:
    """The largest magnification; a bare lens whose maker names no closest focus is not counted past it."""
    if law.closest_m is None and not o.tube_m and not o.power_d:
        return 0.0
    return largest_magnification(o)


def drawn_at(setup: Setup, magnification: float) -> tuple[Optic, float] | None:
    """The longest setting that draws at a magnification, and the distance from the sensor plane [m]; None if none."""
    if magnification > setup.magnifications[1] * (1.0 + 1e-9):
        return None
    for o in setup.optics:
        distance = distance_for(o, magnification)
        if distance is not None:
            return o, distance
    return None
