"""From a distance that was estimated to a picture that fills as wanted: the side that counts, a walk, or the zoom."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.model.gear import Photographer
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.howfar import HowFar, fills_from_there, step_m, steps_for
from fieldplan.planner.rigs import Rig


class ToFill(NamedTuple):
    """Either focal lengths that fill as wanted from there [m], or a walk from the middle of the range found.

    metres: nearer is positive, back is negative. own_step: by the photographer's own step. animal: it is one that
    keeps a distance.
    """

    focals: tuple[float, float] | None
    metres: float = 0.0
    steps: int = 0
    own_step: bool = False
    animal: bool = False


def to_fill(
    wanted: Wanted | None, found: HowFar, answer: Answer | None, rig: Rig | None, own: Photographer
) -> ToFill | None:
    """What to do about a distance from which the subject does not fill as wanted; None where it does, or nothing is
    known or wanted."""
    if found.low_m is None or found.high_m is None or answer is None or answer.fills_to_m is None:
        return None
    near, far = answer.fills_from_m or 0.0, answer.fills_to_m
    if wanted is None or wanted.fill is None or (near <= found.high_m and found.low_m <= far):
        return None
    focals = None if rig is None else fills_from_there(wanted, found, answer, rig)
    if focals is not None:
        return ToFill(focals)
    middle = (found.low_m + found.high_m) / 2.0
    metres = middle - far if middle > far else middle - near
    return ToFill(None, metres, steps_for(abs(metres), own), step_m(own)[1], wanted.living)


def size_that_counts(wanted: Wanted | None, answer: Answer | None) -> tuple[float, float] | None:
    """The subject's size along the side of the frame that fills first [m]; None for the sky, or where none is known."""
    if wanted is None or wanted.group == "sky":
        return None
    first, second = wanted.height, wanted.width
    if answer is not None and answer.fill_axis == "width":
        first, second = second, first
    return first or second
