"""A picture that nothing owned does, and what would close the gap: a lens, a walk, or giving something up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.model.gear import Body
from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import share_text
from fieldplan.optics.framing import needed_focal_m
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.approaching import FRAMING, Approach, approach_of
from fieldplan.planner.panorama import sweeps_for
from fieldplan.planner.ranking import order
from fieldplan.planner.reach import hold_along
from fieldplan.planner.relaxing import Change, smallest_change
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.scaling import NeededTube, needed_tube
from fieldplan.planner.trip import TripShot, wish_as_owned

_HAIR = 1e-6
_TOLD = 0.03  # focal lengths that differ by less than this share are told as one


class NeededLens(NamedTuple):
    """The lens that would frame it: the shortest focal length that reaches, or the longest that still holds it all.

    share, at_m: of the frame, at the end of the distance that binds. middle_m: the focal length for the middle share
    at the middle distance, as the card tells it. other: (focal length, hold) that does it held the other way.
    """

    body: str
    hold: str
    focal_m: float
    longer: bool
    share: float
    at_m: float
    middle_m: float
    middle: tuple[float, float]
    other: tuple[float, str] | None
    units: str

    @property
    def text(self) -> str:
        which = "at least" if self.longer else "at most"
        told = f"{which} {focal_text(self.focal_m)} on the {self.body}, held {self.hold}"
        told += f", for {share_text(self.share)} at {length_text(self.at_m, self.units)}"
        if abs(math.log(self.middle_m / self.focal_m)) > _TOLD:
            share, at_m = self.middle
            told += f"; {focal_text(self.middle_m)} for {share_text(share)} at {length_text(at_m, self.units)}"
        if self.other is not None:
            told += f"; held {self.other[1]}, across the subject, {which} {focal_text(self.other[0])}"
        return told


class Gap(NamedTuple):
    """A picture that nothing owned does: why, and the three ways to close it; an empty one is not to be had.

    why, cure: of the answer that comes nearest. sweep: several frames in place of one, where the field is too wide.
    tube: where a magnification is not reached.
    """

    shot: str
    must: bool
    why: str
    cure: str
    lenses: tuple[NeededLens, ...]
    approach: Approach | None
    change: Change | None
    sweep: str = ""
    tube: NeededTube | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """The gap in words, one line each: why, magnification, lens, walk, smallest change, several frames."""
        found = [self.why]
        if self.tube is not None:
            found.append(f"magnification: {self.tube.text}")
        if not self.lenses and self.approach is None and self.change is None and self.cure:
            found.append(self.cure)
        if self.lenses:
            found.append(f"lens: {self.lenses[0].text}")
        if self.approach is not None:
            found.append(f"distance: {self.approach.text}")
        if self.change is not None:
            found.append(f"smallest change: {self.change.text}")
        if self.sweep:
            found.append(f"several frames: {self.sweep}")
        return tuple(found)


def gap_of(shot: TripShot, owned: Sequence[Answer], kit: Kit) -> Gap:
    """Why nothing owned takes a picture, and what would. owned: its answers from what is owned, none that works."""
    wanted = wish_as_owned(shot, kit)
    first = min(owned, key=order, default=None)
    if wanted is None or first is None:
        return Gap(shot.name, shot.must, "nothing owned fits: no lens for a body", "", (), None, None)
    least = first.shortfalls[0]
    why = f"{first.label}: {least.text}"
    framed = any(not any(s.kind in FRAMING for s in a.shortfalls) and a.verdict != "cannot" for a in owned)
    lenses = () if framed else needed_lenses(kit, wanted, owned, shot.plan.units)
    walk, change = approach_of(shot, wanted, owned, kit), smallest_change(shot, wanted, owned, kit)
    wide = wanted.width is not None and not framed and any(s.kind == "cut off" for s in first.shortfalls)
    labels = {answer.label for answer in owned}
    rigs = tuple(rig for rig in kit.rigs if rig.label in labels)
    tube = None if wanted.magnification is None else needed_tube(rigs, wanted.magnification, shot.plan.units)
    sweep = _sweep(shot, rigs, kit) if wide else ""
    return Gap(shot.name, shot.must, why, least.cure, lenses, walk, change, sweep, tube)


def _sweep(shot: TripShot, rigs: tuple[Rig, ...], kit: Kit) -> str:
    """A field too wide for one frame, in several, with what is owned."""
    found = sweeps_for(shot, kit._replace(rigs=rigs))
    return found[0].lines[0] if found else ""


def needed_lenses(kit: Kit, wanted: Wanted, owned: Sequence[Answer], units: str) -> tuple[NeededLens, ...]:
    """Thin-lens focal length for each owned body's whole frame, shortest first; none where the wish gives no frame.

    The frame must be filled as wanted from the near to the far end of the distance by a subject of middle size. Held
    along the subject's long side; where only one of its sizes is known, as the shorter (or the longer) one does.
    """
    if wanted.fill is None or wanted.distance is None or not math.isfinite(wanted.distance[1]):
        return ()
    kinds = {s.kind for a in owned for s in a.shortfalls}
    longer = bool(kinds & {"short", "fill out of reach", "part of the range"}) or "cut off" not in kinds
    at = 1 if longer else 0
    found = []
    for body in kit.profile.bodies:
        if not body.owned:
            continue
        ways = [w for hold in wanted.holds if (w := _focal(body, hold, wanted, longer)) is not None]
        if not ways:
            continue
        easiest = min(ways) if longer else max(ways)
        focal, hold, middle = next((way for way in ways if way[1] == hold_along(wanted)), easiest)
        other = easiest[:2] if abs(math.log(easiest[0] / focal)) > _TOLD else None
        middles = sum(wanted.fill) / 2.0, sum(wanted.distance) / 2.0
        found.append(NeededLens(body.name, hold, focal, longer, wanted.fill[1 - at], wanted.distance[at], middle,
                                middles, other, units))  # fmt: skip
    return tuple(sorted(found, key=lambda lens: (lens.focal_m if longer else -lens.focal_m, lens.body)))


def _focal(body: Body, hold: str, wanted: Wanted, longer: bool) -> tuple[float, str, float] | None:
    """(focal length that binds, hold, that for the middle share at the middle distance) of a body's whole frame."""
    long, short = max(body.sensor.width, body.sensor.height), min(body.sensor.width, body.sensor.height)
    across, up = (long, short) if hold == "level" else (short, long)
    tall = 0.0 if wanted.height is None else sum(wanted.height) / 2.0
    wide = 0.0 if wanted.width is None else sum(wanted.width) / 2.0
    rate = max(tall / up, wide / across)
    assert wanted.fill is not None and wanted.distance is not None
    low, high = wanted.fill[0] / rate if rate else 0.0, wanted.fill[1] / rate if rate else 0.0
    if not rate or high >= 1.0:  # past life size the distance rules, not the focal length
        return None
    least, most = needed_focal_m(wanted.distance[1], low), needed_focal_m(wanted.distance[0], high)
    if least > most * (1.0 + _HAIR):
        return None
    return least if longer else most, hold, needed_focal_m(sum(wanted.distance) / 2.0, (low + high) / 2.0)
