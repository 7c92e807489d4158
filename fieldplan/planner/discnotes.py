"""What the first of the answers does for a disc: smear, sharpness with the landmark, diffraction, the longer lens."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fieldplan.model.plan import SkySubject
from fieldplan.notation.display import focal_text, length_text, size_text
from fieldplan.notation.marks import f_mark, faster_mark, iso_mark
from fieldplan.optics.exposure import f_number_third_down
from fieldplan.planner.answers import Answer

_LONGER = 1.5  # a lens so many times longer than the first is asked after


def without_filter_none(subject: object, answers: tuple[Answer, ...]) -> tuple[Answer, ...]:
    """The answers; for the sun without shutter and ISO, which only metering through the filter gives."""
    if not isinstance(subject, SkySubject) or subject.sky != "sun":
        return answers
    return tuple(a._replace(shutter_s=None, iso=None, iso_low=None, iso_high=None, shake_blur_px=None) for a in answers)


def rig_notes(
    subject: object, behind_m: float | None, answers: Sequence[Answer], units: str, seen: bool = True
) -> list[str]:
    """Of the first answer: the longest shutter before the disc smears, whether both are sharp, diffraction; and why
    a much longer lens is not first. seen: False where the landmark's top is out of sight."""
    best = answers[0] if answers else None
    if not isinstance(subject, SkySubject) or best is None or best.verdict == "cannot":
        return []
    notes = []
    if best.motion_limit_s is not None and math.isfinite(best.motion_limit_s):
        notes.append(f"longest shutter before the disc smears: {faster_mark(best.motion_limit_s)} ({best.label})")
    if seen and behind_m is not None and best.near_m is not None and best.far_m is not None:
        notes.append(_both(subject, behind_m, best, units))
    notes += [told for told in (diffraction_note(best), longer_note(answers)) if told]
    if seen and subject.behind is not None and subject.sky == "moon":
        notes.append(
            f"lamps on {subject.behind} itself are not reckoned: meter it alone; the stops between it and the disc "
            "tell whether one frame holds both"
        )
    return notes


def _both(subject: SkySubject, behind_m: float, best: Answer, units: str) -> str:
    both = sharp_together(best, behind_m)
    told = f"{subject.behind}, {length_text(behind_m, units)} off, and disc are {'both' if both else 'not both'} sharp"
    if best.near_m is not None and best.far_m is not None and math.isinf(best.far_m):
        told += f"; nearer than {length_text(best.near_m, units)} not both"
    return f"{told} ({best.label})"


def sharp_together(answer: Answer | None, landmark_m: float) -> bool | None:
    """Whether depth runs from a landmark so far off to infinity; None where it is not known."""
    if answer is None or answer.near_m is None or answer.far_m is None:
        return None
    return answer.near_m <= landmark_m and math.isinf(answer.far_m)


def diffraction_note(best: Answer) -> str:
    """That diffraction draws a point wider than the circle that the depth was reckoned for; "" where it does not."""
    if best.airy_m is None or best.circle_m is None or best.f_number is None or not best.soft:
        return ""
    even = f_number_third_down(best.f_number * best.circle_m / best.airy_m)
    return (
        f"at {f_mark(best.f_number)} diffraction draws a point {best.airy_m * 1e6:.0f} um wide (Airy disc), more than "
        f"the circle of {best.circle_m * 1e6:.0f} um: neither is as sharp as that; from about {f_mark(even)} down it "
        "is no wider"
    )


def longer_note(answers: Sequence[Answer]) -> str:
    """Why the longest lens is not the first answer, where it is much longer; "" where it is not."""
    best = answers[0]
    known = [a for a in answers if a.focal_m is not None]
    longest = max(known, key=lambda a: a.focal_m or 0.0, default=None)
    if longest is None or longest.focal_m is None or best.focal_m is None:
        return ""
    if longest.focal_m < _LONGER * best.focal_m or longest.label == best.label:
        return ""
    pixels = "" if longest.pixels_on_subject is None else f", {size_text(longest.pixels_on_subject)} pixels on the disc"
    why = _why_not(longest, best)
    return f"{longest.label} at {focal_text(longest.focal_m)}{pixels}, is not first: {why}" if why else ""


def _why_not(longest: Answer, best: Answer) -> str:
    held = "" if longest.support is not None else "hand-held, "
    if longest.shortfalls:
        return held + "; ".join(x.text for x in longest.shortfalls)
    if longest.iso is not None and best.iso is not None and longest.iso > best.iso * 1.1:
        cure = "; a support, or a share of the frame wanted, puts it first" if held else ""
        return f"{held}it wants ISO {iso_mark(longest.iso)}, the first ISO {iso_mark(best.iso)}{cure}"
    return ""
