"""A picture that nothing owned does, and what would close the gap: a lens, a walk, or giving something up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import share_text
from fieldplan.optics.framing import needed_focal_m
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.leave import Leave, leave_to_go
from fieldplan.planner.ranking import order
from fieldplan.planner.relaxing import Change, smallest_change
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.trip import TripShot

_FILL = frozenset({"short", "cut off", "part of the range", "fill out of reach"})
_HAIR = 1e-6  # a distance is taken this share inside the span in which the picture works


class NeededLens(NamedTuple):
    """The lens that would frame it: the shortest focal length that reaches, or the longest that still holds it all."""

    body: str
    hold: str
    focal_m: float
    longer: bool

    @property
    def text(self) -> str:
        which = "at least" if self.longer else "at most"
        return f"{which} {focal_text(self.focal_m)} on the {self.body}, held {self.hold}"


class Approach(NamedTuple):
    """Where to stand instead, with which body and lens; nearer: than planned. left: what then still is in the way.

    leave: what law and guidance say of going there; None where one steps back. rule_fill: the share at the distance
    that a rule asks for, where the walk would break it.
    """

    rig: str
    hold: str
    distance_m: float
    nearer: bool
    left: tuple[str, ...]
    leave: Leave | None
    rule_fill: float | None
    units: str

    @property
    def text(self) -> str:
        where = length_text(self.distance_m, self.units)
        parts = [f"{'go' if self.nearer else 'step back'} to {where} with {self.rig}"]
        if self.left:
            parts.append(f"still in the way: {', '.join(self.left)}")
        if self.leave is not None and self.leave.text:
            parts.append(self.leave.text)
        if self.rule_fill is not None and self.leave is not None and self.leave.distance_m is not None:
            kept = length_text(self.leave.distance_m, self.units)
            parts.append(f"from {kept} it fills {share_text(self.rule_fill)}: an animal in its surroundings")
        return "; ".join(parts)


class Gap(NamedTuple):
    """A picture that nothing owned does: why, and the three ways to close it; an empty one is not to be had.

    why, cure: of the answer that comes nearest.
    """

    shot: str
    must: bool
    why: str
    cure: str
    lenses: tuple[NeededLens, ...]
    approach: Approach | None
    change: Change | None

    @property
    def lines(self) -> tuple[str, ...]:
        """The gap in words, one line each: why, lens, walk, smallest change."""
        found = [self.why]
        if not self.lenses and self.approach is None and self.change is None and self.cure:
            found.append(self.cure)
        if self.lenses:
            found.append(f"lens: {self.lenses[0].text}")
        if self.approach is not None:
            found.append(f"distance: {self.approach.text}")
        if self.change is not None:
            found.append(f"smallest change: {self.change.text}")
        return tuple(found)


def gap_of(shot: TripShot, owned: Sequence[Answer], kit: Kit) -> Gap:
    """Why nothing owned takes a picture, and what would. owned: its answers from what is owned, none that works."""
    wanted = shot.found.wanted
    first = min(owned, key=order, default=None)
    if wanted is None or first is None:
        return Gap(shot.name, shot.must, "nothing owned fits: no lens for a body", "", (), None, None)
    least = first.shortfalls[0]
    why = f"{first.label}: {least.text}"
    framed = any(not any(s.kind in _FILL for s in a.shortfalls) and a.verdict != "cannot" for a in owned)
    lenses = () if framed else needed_lenses(kit, wanted, owned)
    walk, change = approach_of(shot, owned, kit), smallest_change(shot, owned, kit)
    return Gap(shot.name, shot.must, why, least.cure, lenses, walk, change)


def needed_lenses(kit: Kit, wanted: Wanted, owned: Sequence[Answer]) -> tuple[NeededLens, ...]:
    """Thin-lens focal length for each owned body's whole frame, shortest first; none where the wish gives no frame.

    The frame must be filled as wanted from the near to the far end of the distance by a subject of middle size.
    """
    if wanted.fill is None or wanted.distance is None or not math.isfinite(wanted.distance[1]):
        return ()
    kinds = {s.kind for a in owned for s in a.shortfalls}
    longer = bool(kinds & {"short", "fill out of reach", "part of the range"}) or "cut off" not in kinds
    found = []
    for body in kit.profile.bodies:
        if not body.owned:
            continue
        sides = body.sensor.width, body.sensor.height
        ways = [way for hold in wanted.holds if (way := _focal(*sides, hold, wanted, longer)) is not None]
        if ways:
            focal, hold = min(ways) if longer else max(ways)
            found.append(NeededLens(body.name, hold, focal, longer))
    return tuple(sorted(found, key=lambda lens: (lens.focal_m if longer else -lens.focal_m, lens.body)))


def _focal(width: float, height: float, hold: str, wanted: Wanted, longer: bool) -> tuple[float, str] | None:
    long, short = max(width, height), min(width, height)
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
    return (least if longer else most), hold


def approach_of(shot: TripShot, owned: Sequence[Answer], kit: Kit) -> Approach | None:
    """The least walk, to or fro, after which something owned frames the picture; first what then has nothing left."""
    wanted = shot.found.wanted
    if wanted is None or wanted.distance is None or wanted.group == "sky" or wanted.fill is None:
        return None
    rigs = {rig.label: rig for rig in kit.rigs}
    planned = wanted.distance
    ways = []
    for answer in owned:
        if not any(s.kind in _FILL or s.kind == "cannot focus" for s in answer.shortfalls):
            continue
        for distance in _places(answer, planned):
            there = assess_rig(rigs[answer.label], wanted._replace(distance=(distance, distance)), answer.hold,
                               shot.found.light, shot.plan.units)  # fmt: skip
            if there.verdict == "cannot" or any(s.kind in _FILL for s in there.shortfalls):
                continue
            walk = abs(math.log(distance / (planned[0] if distance < planned[0] else planned[1])))
            ways.append((there.verdict != "works", walk, order(there), there))
    if not ways:
        return None
    best = min(ways, key=lambda way: way[:3])[3]
    return _approach(shot, best, planned, rigs[best.label])


def _places(answer: Answer, planned: tuple[float, float]) -> list[float]:
    """Distances at which an answer's rig may do better: the ends of where it fills, and of where it focuses."""
    ends: list[float] = []
    if answer.fills_from_m is not None and answer.fills_to_m is not None:
        near, far = answer.fills_from_m * (1.0 + _HAIR), answer.fills_to_m * (1.0 - _HAIR)
        ends += [near, far] if near < far else [(answer.fills_from_m + answer.fills_to_m) / 2.0]
    for s in answer.shortfalls:
        if s.kind == "cannot focus":
            ends += [d * (1.0 + _HAIR) for d in s.numbers[1:2] if d] + [d * (1.0 - _HAIR) for d in s.numbers[2:] if d]
    middle = (planned[0] + planned[1]) / 2.0
    return [d for d in ends if math.isfinite(d) and d > 0.0 and (d < planned[0] or d > planned[1] or d != middle)]


def _approach(shot: TripShot, there: Answer, planned: tuple[float, float], rig: Rig) -> Approach:
    assert there.distance_m is not None and shot.found.wanted is not None
    nearer = there.distance_m < planned[0]
    leave, rule_fill = None, None
    if nearer:
        date = shot.found.when.date() if shot.found.when is not None else shot.found.shot.date or shot.plan.date
        leave = leave_to_go(shot.found.wanted, there.distance_m, shot.setting.countries, date, shot.setting.catalogue,
                            shot.plan.units)  # fmt: skip
        if leave.broken and leave.distance_m is not None:
            kept = shot.found.wanted._replace(distance=(leave.distance_m, leave.distance_m))
            rule_fill = assess_rig(rig, kept, there.hold, None, shot.plan.units).fill
    left = tuple(s.text for s in there.shortfalls)
    return Approach(there.label, there.hold, there.distance_m, nearer, left, leave, rule_fill, shot.plan.units)
