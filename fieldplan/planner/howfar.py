"""How far is it? From a known size and its share of the frame, from a hand held up, from steps; each with its error.

Every way gives a range. Ranges that overlap are narrowed to what they share; ranges that do not are told as one that
holds them all, with a word that they disagree. The errors of reading are assumptions, each a named constant here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.model.gear import Photographer
from fieldplan.model.sighting import Sighting
from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import share_text
from fieldplan.notation.numbers import trimmed
from fieldplan.optics.framing import Optic, distance_for, optic
from fieldplan.optics.hands import HAND_DEG, angle_deg, distance_for_angle_m
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.rigs import Rig

# Shares by which a reading may be off either way.
SHARE_READ = 0.10  # the share of the frame, judged by eye in the finder (from memory)
HAND_OWN = 0.05  # a hand and arm measured with a ruler, held up the same way (from memory)
HAND_COMMON = 0.25  # anybody's hand: the spread hand is given as 20 and as 25 degrees
SPANS_READ = 0.15  # how many fingers or fists it spans, judged by eye (from memory)
STEP_OWN = 0.05  # steps of a known length on open ground (from memory)
STEP_COMMON = 0.15  # anybody's step
STEP_M = 0.75  # a walking step of an adult, common practice
ARM_M = (0.35, 0.9)  # from the eye to the hand of a stretched arm, children to very tall people (from memory)
ODD = 1.8  # an own angle so many times that of anybody's hand is asked about
_WIDTHS = {"little finger": "finger", "thumb": "thumb", "fist": "fist", "spread hand": "spread"}


class Line(NamedTuple):
    """One line of thought: what it rests on, and the distance that it gives, lowest to highest [m]."""

    by: str
    low_m: float
    high_m: float


class HowFar(NamedTuple):
    """All lines of thought together. agree: False where no distance satisfies every one of them."""

    lines: tuple[Line, ...]
    low_m: float | None = None
    high_m: float | None = None
    agree: bool = True
    missing: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        return self.low_m is not None and self.high_m is not None


def hand_angle_deg(hand: str, own: Photographer) -> tuple[float, bool]:
    """Degrees that a part of the hand spans, and whether they are the photographer's own."""
    width = getattr(own, _WIDTHS[hand], None) if hand in _WIDTHS else None
    if width is not None and own.arm is not None and float(width) > 0.0 and float(own.arm) > 0.0:
        return angle_deg(float(width), float(own.arm)), True
    return HAND_DEG[hand], False


def odd_measures(own: Photographer) -> list[str]:
    """Measures of a hand or an arm that can hardly be meant, in words: a bare 62 is read as millimetres."""
    if own.arm is None or float(own.arm) <= 0.0:
        return []
    odd = []
    if not ARM_M[0] <= float(own.arm) <= ARM_M[1]:
        odd.append(f"an arm of {length_text(float(own.arm))}? write it with its unit, such as 62 cm")
    for hand in _WIDTHS:
        angle, measured = hand_angle_deg(hand, own)
        if measured and not 1.0 / ODD <= angle / HAND_DEG[hand] <= ODD:
            odd.append(f"your {hand} would span {angle:.1f} deg, anybody's {HAND_DEG[hand]:g}: look at both figures")
    return odd


def fills_from_there(wanted: Wanted, found: HowFar, answer: Answer, rig: Rig) -> tuple[float, float] | None:
    """Focal lengths of the rig in hand that fill as wanted from the middle of the range found [m]; None: none does.

    Far subjects are drawn in proportion to focal length over distance (thin lens, subject many focal lengths away).
    """
    if wanted.fill is None or not answer.fill or answer.focal_m is None or answer.distance_m is None:
        return None
    if found.low_m is None or found.high_m is None or not math.isfinite(found.high_m):
        return None
    per_share = answer.focal_m / answer.fill * (found.low_m + found.high_m) / 2.0 / answer.distance_m
    low = max(wanted.fill[0] * per_share, rig.law.short_m * rig.factor)
    high = min(wanted.fill[1] * per_share, rig.law.long_m * rig.factor)
    return (low, high) if low <= high else None


def optic_in_hand(rig: Rig, focal_m: float) -> Optic:
    """The lens at a focal length as told with its converter, as far as it goes."""
    setting = min(max(focal_m / rig.factor, rig.law.short_m), rig.law.long_m)
    return optic(rig.law, setting, rig.factor, rig.tube_m, rig.power_d)


def by_share(seen: Sighting, answer: Answer, rig: Rig) -> Line | None:
    """From the share that a known size takes of the frame, along the side named, else the one that fills first."""
    if seen.size is None or seen.share is None:
        return None
    focal = float(seen.focal) if seen.focal is not None else answer.focal_m
    axis = seen.along or answer.fill_axis or "height"
    hold = seen.held or answer.hold
    sides = {"width": answer.frame_width_m, "height": answer.frame_height_m}
    side = sides[axis] if hold == answer.hold else sides["height" if axis == "width" else "width"]
    if focal is None or side is None:
        return None
    o = optic_in_hand(rig, focal)
    off = 0.0 if seen.share.is_range else SHARE_READ  # a range holds its own error
    share = seen.share.low * (1.0 - off), seen.share.high * (1.0 + off)
    ends = (distance_for(o, share[1] * side / seen.size.low), distance_for(o, share[0] * side / seen.size.high))
    if ends[0] is None and ends[1] is None:
        return None
    low, high = (o.nearest_m if end is None else end for end in ends)
    share_told = f"{share_text(seen.share.middle)} of the frame's {axis}, held {hold}"
    told = f"{share_told}, at {focal_text(o.focal_m)} on {rig.body}"
    return Line(told, min(low, high), max(low, high))


def by_hand(seen: Sighting, own: Photographer) -> Line | None:
    """From the angle that a known size spans against a hand; from the eye, which is as good as the sensor plane."""
    if seen.size is None or seen.hand is None or not seen.spans:
        return None
    angle, measured = hand_angle_deg(seen.hand, own)
    off = math.hypot(HAND_OWN if measured else HAND_COMMON, SPANS_READ)
    whole = angle * seen.spans
    if whole * (1.0 + off) >= 180.0:
        return None
    told = f"{trimmed(seen.spans, 2)} x {seen.hand} of {angle:.1f} deg" + ("" if measured else ", anybody's")
    return Line(
        told,
        distance_for_angle_m(seen.size.low, whole * (1.0 + off)),
        distance_for_angle_m(seen.size.high, whole / (1.0 + off)),
    )


def step_m(own: Photographer) -> tuple[float, bool]:
    """Length of one step [m], and whether it is the photographer's own."""
    return (float(own.pace), True) if own.pace else (STEP_M, False)


def by_steps(seen: Sighting, own: Photographer, units: str) -> Line | None:
    """From steps counted up to the subject, where they were not counted over a known distance."""
    if not seen.steps or seen.known is not None:
        return None
    one, measured = step_m(own)
    off = STEP_OWN if measured else STEP_COMMON
    told = f"{trimmed(seen.steps, 1)} steps of {length_text(one, units)}" + ("" if measured else ", anybody's")
    return Line(told, seen.steps * one * (1.0 - off), seen.steps * one * (1.0 + off))


def own_step_m(seen: Sighting) -> float | None:
    """Length of one step from a walk over a known distance [m]."""
    if seen.known is None or not seen.steps or not math.isfinite(float(seen.known)):
        return None
    return float(seen.known) / seen.steps


def steps_for(metres: float, own: Photographer) -> int:
    """Steps for a distance, to the nearest whole one."""
    return round(metres / step_m(own)[0])


def how_far(seen: Sighting, own: Photographer, answer: Answer | None, rig: Rig | None, units: str) -> HowFar:
    """Every line of thought that the sighting allows, and what they give together."""
    by = [by_hand(seen, own), by_steps(seen, own, units)]
    if answer is not None and rig is not None:
        by.insert(0, by_share(seen, answer, rig))
    return together([line for line in by if line is not None])._replace(missing=_missing(seen))


def together(lines: Sequence[Line]) -> HowFar:
    """What ranges have in common; where that is nothing, the range that holds them all."""
    if not lines:
        return HowFar(())
    low, high = max(line.low_m for line in lines), min(line.high_m for line in lines)
    if low <= high:
        return HowFar(tuple(lines), low, high)
    return HowFar(tuple(lines), min(line.low_m for line in lines), max(line.high_m for line in lines), False)


def _missing(seen: Sighting) -> tuple[str, ...]:
    """What a line of thought that was begun still wants."""
    wants = []
    if seen.size is None and (seen.share is not None or seen.hand is not None):
        wants.append("its size")
    if seen.hand is not None and not seen.spans:
        wants.append(f"how many of the {seen.hand} it spans")
    if seen.spans and seen.hand is None:
        wants.append("what was held up")
    if seen.known is not None and not seen.steps:
        wants.append("the steps over the known distance")
    return tuple(wants)
