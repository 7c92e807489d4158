"""Pictures nearly or partly to be had: a share missed by a hair, or a range of distances of which a part does."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from fieldplan.planner.answers import Answer, Light, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.rigs import Rig
from fieldplan.planner.shortfalls import NEARLY as NEARLY_SHARE

NEARLY, PARTLY = "nearly", "partly"
_HELD = 1.005  # of the frame: more is cut off
_FRAMING = frozenset({"short", "cut off", "part of the range"})
_HAIR = 1e-6


class InPart(NamedTuple):
    """How a picture is to be had in part. word: NEARLY or PARTLY; distance_m: the part of the range that does, or all;
    answer: what is then made of it."""

    word: str
    distance_m: tuple[float, float] | None
    answer: Answer


def near_miss(answer: Answer) -> bool:
    """Whether the share alone is in the way, by less than a twentieth of itself, and nothing is cut off."""
    if len(answer.shortfalls) != 1 or answer.fill is None or answer.fill > _HELD:
        return False
    missed = answer.shortfalls[0]
    have, wanted = missed.numbers[0], missed.numbers[1]
    if missed.kind not in ("short", "cut off") or not have or not wanted:
        return False
    return min(have, wanted) / max(have, wanted) >= NEARLY_SHARE


def part_of_range(answer: Answer, wanted: Wanted) -> tuple[float, float] | None:
    """The part of the shot's range of distances in which an answer's setting fills as wanted; None where none does."""
    if wanted.distance is None or answer.fills_from_m is None or answer.fills_to_m is None:
        return None
    near = max(wanted.distance[0], answer.fills_from_m * (1.0 + _HAIR))
    far = min(wanted.distance[1], answer.fills_to_m * (1.0 - _HAIR))
    return (near, far) if near < far else None


def in_part(rig: Rig, wanted: Wanted, answer: Answer, light: Light | None, units: str) -> InPart | None:
    """How an answer that does not work takes the picture all the same; each is tried out. None where it does not."""
    if answer.verdict != "short" or any(s.kind not in _FRAMING for s in answer.shortfalls):
        return None
    if near_miss(answer):
        return InPart(NEARLY, wanted.distance, answer)
    span = part_of_range(answer, wanted)
    if span is None:
        return None
    there = assess_rig(rig, wanted._replace(distance=span), answer.hold, light, units)
    return InPart(PARTLY, span, there) if there.verdict == "works" else None


def best_word(words: Iterable[str]) -> str:
    """ "nearly" before "partly"; empty where there is none."""
    found = set(words)
    return next((word for word in (NEARLY, PARTLY) if word in found), "")
