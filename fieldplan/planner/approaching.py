"""Where to stand instead: the least walk, to or fro, after which something owned takes a picture."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fieldplan.notation.display import length_text
from fieldplan.notation.marks import share_text
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.inpart import part_of_range
from fieldplan.planner.leave import Leave, leave_to_go
from fieldplan.planner.ranking import order
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.trip import TripShot

FRAMING = frozenset({"short", "cut off", "part of the range", "fill out of reach"})
_HAIR = 1e-6  # a distance is taken this share inside the span in which the picture works
_STEP = 1.06  # of the distance, between places tried one after the other
_FARTHEST = math.log(3.0)  # no place farther than three times the planned distance, or nearer than a third, is tried
_TRIED = 16  # answers that are tried step by step, best first
_FINER = 12  # halvings between a place that works and the one before it


class Approach(NamedTuple):
    """Where to stand instead, with which body and lens; nearer: than planned. left: what then still is in the way.

    stay_m: the part of the planned range that works, where one does; distance_m is then its end that binds. leave: what
    law and guidance say of going there; None where one steps back or stays within the range. rule_fill: the share at
    the distance that a rule asks for, where the walk would break it.
    """

    rig: str
    hold: str
    distance_m: float
    nearer: bool
    left: tuple[str, ...]
    leave: Leave | None
    rule_fill: float | None
    units: str
    stay_m: tuple[float, float] | None = None
    planned_m: tuple[float, float] | None = None

    @property
    def _where(self) -> str:
        where = length_text(self.distance_m, self.units)
        if self.stay_m is None or self.planned_m is None:
            return f"{'go' if self.nearer else 'step back'} to {where}"
        near, far = self.stay_m
        if near <= self.planned_m[0]:
            return f"come no farther off than {where}"
        if far >= self.planned_m[1]:
            return f"go no nearer than {where}"
        return f"stay between {length_text(near, self.units)} and {length_text(far, self.units)}"

    @property
    def text(self) -> str:
        parts = [f"{self._where} with {self.rig}"]
        if self.left:
            parts.append(f"still in the way: {', '.join(self.left)}")
        if self.leave is not None and self.leave.text:
            parts.append(self.leave.text)
        if self.rule_fill is not None and self.leave is not None and self.leave.distance_m is not None:
            kept = length_text(self.leave.distance_m, self.units)
            parts.append(f"from {kept} it fills {share_text(self.rule_fill)}: an animal in its surroundings")
        return "; ".join(parts)


class _Place(NamedTuple):
    """A place tried out: how far from the plan (as a logarithm), the distances, and what is made of the picture."""

    walk: float
    span: tuple[float, float]
    there: Answer

    @property
    def works(self) -> bool:
        return self.there.verdict == "works"

    @property
    def framed(self) -> bool:
        return self.there.verdict != "cannot" and not any(s.kind in FRAMING for s in self.there.shortfalls)


class _Walks:
    """Places for one picture."""

    def __init__(self, shot: TripShot, wanted: Wanted, planned: tuple[float, float], kit: Kit) -> None:
        self.shot, self.wanted, self.planned = shot, wanted, planned
        self.rigs = {rig.label: rig for rig in kit.rigs}

    def walk(self, near: float, far: float) -> float:
        """How far the two ends of the planned range are moved, as the sum of two logarithms."""
        return abs(math.log(near / self.planned[0])) + abs(math.log(far / self.planned[1]))

    def tried(self, answer: Answer, near: float, far: float) -> _Place:
        there = assess_rig(self.rigs[answer.label], self.wanted._replace(distance=(near, far)), answer.hold,
                           self.shot.found.light, self.shot.plan.units)  # fmt: skip
        return _Place(self.walk(near, far), (near, far), there)

    def ends(self, answer: Answer) -> Iterator[_Place]:
        """Where an answer's setting begins and ends to fill, and to focus, and the part of the range that it fills."""
        framing = any(s.kind in FRAMING or s.kind == "cannot focus" for s in answer.shortfalls)
        stay = part_of_range(answer, self.wanted)
        if framing and stay is not None:
            yield self.tried(answer, *stay)
        for distance in self._places(answer) if framing else ():
            if distance < self.planned[0] or distance > self.planned[1]:
                yield self.tried(answer, distance, distance)

    def _places(self, answer: Answer) -> list[float]:
        ends: list[float] = []
        if answer.fills_from_m is not None and answer.fills_to_m is not None:
            near, far = answer.fills_from_m * (1.0 + _HAIR), answer.fills_to_m * (1.0 - _HAIR)
            ends += [near, far] if near < far else [(answer.fills_from_m + answer.fills_to_m) / 2.0]
        for s in answer.shortfalls:
            if s.kind == "cannot focus":
                ends += [d * (1.0 + _HAIR) for d in s.numbers[1:2] if d]
                ends += [d * (1.0 - _HAIR) for d in s.numbers[2:] if d]
        return [d for d in ends if math.isfinite(d) and d > 0.0]

    def step_by_step(self, answer: Answer, most: float) -> _Place | None:
        """The first place on the way to or fro at which an answer works, with less walk than ``most``."""
        kinds = {s.kind for s in answer.shortfalls}
        best: _Place | None = None
        for way in (-1, 1):
            if (way > 0 and "short" in kinds) or (way < 0 and "cut off" in kinds):
                continue  # farther off it fills still less, nearer still more
            before, step = 0.0, math.log(_STEP)
            while before < _FARTHEST:
                place = self._step(answer, way * (before + step))
                if self._walk_of(way * before) >= most:
                    break
                if self._whole(place):
                    found = self._finer(answer, way, before, before + step, place)
                    if found.walk < most:
                        best, most = found, found.walk
                    break
                before += step
        return best

    def _at(self, way: float) -> float:
        """The distance so far (a logarithm, below 0 nearer) outside of the planned range [m]."""
        return self.planned[0 if way < 0.0 else 1] * math.exp(way)

    def _walk_of(self, way: float) -> float:
        return self.walk(self._at(way), self._at(way))

    def _step(self, answer: Answer, way: float) -> _Place:
        return self.tried(answer, self._at(way), self._at(way))

    def _whole(self, place: _Place) -> bool:
        """Whether a place works with the share all in the wanted range, and not just nearly."""
        assert self.wanted.fill is not None
        low, high = self.wanted.fill
        fill = place.there.fill
        return place.works and fill is not None and low * (1.0 - _HAIR) <= fill <= high * (1.0 + _HAIR)

    def _finer(self, answer: Answer, way: int, short: float, enough: float, place: _Place) -> _Place:
        """The last place that still works on the way back to one that does not."""
        for _ in range(_FINER):
            middle = (short + enough) / 2.0
            between = self._step(answer, way * middle)
            if self._whole(between):
                place, enough = between, middle
            else:
                short = middle
        return place


def approach_of(shot: TripShot, wanted: Wanted | None, owned: Sequence[Answer], kit: Kit) -> Approach | None:
    """The least walk, to or fro, after which something owned frames the picture; first what then has nothing left.

    wanted: the shot's wish with what is owned; owned: its answers, none of which works.
    """
    if wanted is None or wanted.distance is None or wanted.group == "sky" or wanted.fill is None:
        return None
    if not all(math.isfinite(end) and end > 0.0 for end in wanted.distance):
        return None
    walks = _Walks(shot, wanted, wanted.distance, kit)
    places = [place for answer in owned for place in walks.ends(answer) if place.framed]
    most = min((place.walk for place in places if place.works), default=math.inf)
    able = [a for a in owned if a.verdict == "short"]
    for answer in sorted(able, key=order)[:_TRIED]:
        place = walks.step_by_step(answer, most)
        if place is not None:
            places.append(place)
            most = place.walk
    if not places:
        return None
    best = min(places, key=lambda place: (not place.works, place.walk, order(place.there)))
    return _approach(shot, wanted, best, walks.rigs[best.there.label])


def _approach(shot: TripShot, wanted: Wanted, place: _Place, rig: Rig) -> Approach:
    near, far = place.span
    planned, there, units = wanted.distance, place.there, shot.plan.units
    assert planned is not None
    left = tuple(s.text for s in there.shortfalls)
    if near < far:
        binds = far if near <= planned[0] else near
        stay = (near, far)
        return Approach(there.label, there.hold, binds, binds == far, left, None, None, units, stay, planned)
    leave, rule_fill = None, None
    if near < planned[0]:
        date = shot.found.when.date() if shot.found.when is not None else shot.found.shot.date or shot.plan.date
        leave = leave_to_go(wanted, near, shot.setting.countries, date, shot.setting.catalogue, units)
        if leave.broken and leave.distance_m is not None:
            kept = wanted._replace(distance=(leave.distance_m, leave.distance_m))
            rule_fill = assess_rig(rig, kept, there.hold, None, units).fill
    return Approach(there.label, there.hold, near, near < planned[0], left, leave, rule_fill, units)
