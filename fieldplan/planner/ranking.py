"""The order of the answers, and why the first one is first."""

from __future__ import annotations

import math

from fieldplan.notation.display import size_text, weight_text
from fieldplan.notation.marks import iso_mark
from fieldplan.planner.answers import Answer
from fieldplan.planner.shortfalls import Shortfall

_SCALE = "fill out of reach"  # where a magnification is wanted, it says how large the lens draws
_FILL = frozenset({"short", "cut off", "part of the range", _SCALE})
_LAST = 1 << 30
_MISS_STEPS = 4  # a missed share is graded in quarters of a doubling: 6 % never comes before 37 % of the 60 % wanted
Key = tuple[int, int, int, int, int, int, str, str]


def order(answer: Answer) -> Key:
    """Fill met, or missed by least; fewest shortfalls; lowest ISO (as a third); most pixels (to 1 %); least weight
    (to 1 g); names."""
    cannot = answer.verdict == "cannot"
    missed = max([_miss(s) for s in answer.shortfalls if s.kind in _FILL], default=0) if answer.shortfalls else 0
    iso = _LAST if answer.iso is None else round(3.0 * math.log2(answer.iso))
    pixels = answer.pixels_on_subject
    many = 0 if not pixels else round(math.log(pixels) / math.log(1.01))
    weight = _LAST if answer.weight_kg is None else round(answer.weight_kg * 1000)
    return cannot, missed, len(answer.shortfalls), iso, -many, weight, answer.label, answer.hold


def _miss(shortfall: Shortfall) -> int:
    """How far the share is from the wanted one, in quarter stops, at least 1."""
    if shortfall.kind == _SCALE and len(shortfall.numbers) == 1:
        return 1
    fill, wanted = shortfall.numbers[1:3] if shortfall.kind == _SCALE else shortfall.numbers[:2]
    if shortfall.kind == "part of the range" or not fill or not wanted:
        return 1
    return 1 + int(abs(math.log2(fill / wanted)) * _MISS_STEPS)


def ranked(answers: list[Answer]) -> tuple[Answer, ...]:
    """Best first."""
    return tuple(sorted(answers, key=order))


def why_first(answers: tuple[Answer, ...]) -> str:
    """One line: what puts the first answer before the next one that uses other gear."""
    if not answers or answers[0].verdict == "cannot":
        return "nothing in this profile takes it"
    first = answers[0]
    rival = next((a for a in answers[1:] if a.label != first.label), None)
    if rival is None:
        return "the only body and lens for it"
    a, b = order(first), order(rival)
    same = f"{rival.body} + {rival.lens}" + (f" + {rival.converter}" if rival.converter else "")
    if a[0] != b[0]:
        return "the only body and lens that can focus and frame it"
    if a[1] != b[1]:
        return "fills as wanted; the others do not" if not a[1] else "nearest to the share wanted"
    if a[2] != b[2]:
        return (
            f"fewest things in the way ({a[2]}, {same} has {b[2]})"
            if a[2]
            else f"nothing in the way; {same} has {b[2]}"
        )
    if a[3] != b[3] and first.iso is not None:
        return f"lowest ISO, {iso_mark(first.iso)}" + (f"; {same} has {iso_mark(rival.iso)}" if rival.iso else "")
    if a[4] != b[4] and first.pixels_on_subject:
        other = f"; {same} has {size_text(rival.pixels_on_subject)}" if rival.pixels_on_subject else ""
        return f"most pixels on the subject, {size_text(first.pixels_on_subject)}{other}"
    if a[5] != b[5]:
        return f"lighter, {weight_text(first.weight_kg)}; {same} weighs {weight_text(rival.weight_kg)}"
    return f"the same as {same} in all that counts"
