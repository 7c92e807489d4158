"""A magnification that nothing owned draws: how large it can be drawn, and the tubes that would draw it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.notation.display import length_text
from fieldplan.notation.scales import scale_text
from fieldplan.optics.framing import largest_magnification, optic
from fieldplan.planner.rigs import Rig

_LONGEST_M = 0.25  # of tubes stacked; more than is sold or holds together, common practice
_HALVINGS = 30
_HAIR = 1e-6


class NeededTube(NamedTuple):
    """What draws largest, and the extension in all behind what draws largest without one, where that can reach.

    A wide lens would want less of it, and the subject inside its front glass.
    """

    label: str
    drawn: float
    wanted: float
    behind: str | None
    tube_m: float | None
    units: str

    @property
    def text(self) -> str:
        told = f"{scale_text(self.drawn)} at most, with {self.label}"
        if self.tube_m is None:
            return told
        long = length_text(self.tube_m, self.units)
        return f"{told}; {scale_text(self.wanted)} takes {long} of tubes in all behind {self.behind}"


def needed_tube(rigs: Sequence[Rig], wanted: float, units: str) -> NeededTube | None:
    """For a magnification wanted: what the rigs draw at most, and what would. None where one of them draws it."""
    largest = max(((drawn_by(rig), rig.label) for rig in rigs), default=None)
    if largest is None or largest[0] >= wanted * (1.0 - _HAIR):
        return None
    bare = [rig for rig in rigs if rig.tube is None and rig.close_up_lens is None]
    best = max(bare, key=lambda rig: (drawn_by(rig), rig.label), default=None)
    tube = None if best is None else _extension(best, wanted)
    behind = None if best is None or tube is None else best.label
    return NeededTube(largest[1], largest[0], wanted, behind, tube, units)


def drawn_by(rig: Rig, tube_m: float | None = None) -> float:
    """The largest magnification of a rig, at either end of its zoom. tube_m: behind it, instead of its own [m]."""
    tube = rig.tube_m if tube_m is None else tube_m
    return max(largest_magnification(optic(rig.law, end, rig.factor, tube, rig.power_d))
               for end in {rig.law.short_m, rig.law.long_m})  # fmt: skip


def _extension(rig: Rig, wanted: float) -> float | None:
    """The shortest extension with which a rig draws as large as is wanted [m]."""
    if drawn_by(rig, _LONGEST_M) < wanted:
        return None
    low, high = 0.0, _LONGEST_M
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if drawn_by(rig, middle) >= wanted else (middle, high)
    return high
