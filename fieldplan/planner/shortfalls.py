"""What stands in the way of a picture, each with the number that cures it.

A shortfall keeps its numbers; its words are made when somebody reads them.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import f_mark, far_over, iso_mark, share_text, stops_text, time_mark
from fieldplan.notation.quantity import INCH
from fieldplan.notation.scales import scale_text
from fieldplan.optics.exposure import MARK_SLACK

KINDS = ("cannot focus", "fill out of reach", "no such focal length", "short", "cut off", "part of the range", "depth",
         "limits", "iso", "shutter", "too bright")  # fmt: skip

NEARLY = 0.95  # a share within a twentieth of the wanted one is nearly it; common practice: prints are trimmed by more


class Shortfall(NamedTuple):
    """kind: one of KINDS; numbers: by kind, see the functions below (SI, None where there is none)."""

    kind: str
    numbers: tuple[float | None, ...]
    units: str = "metric"

    @property
    def text(self) -> str:
        """What is wrong, in one line."""
        return _TEXT[self.kind](self)[0]

    @property
    def cure(self) -> str:
        """What would mend it; empty when nothing owned does."""
        return _TEXT[self.kind](self)[1]


def _get(s: Shortfall, index: int) -> float:
    value = s.numbers[index]
    return math.nan if value is None else value


def _cannot_focus(s: Shortfall) -> tuple[str, str]:
    """(distance, nearest, farthest)"""
    distance, nearest, farthest = (_get(s, i) for i in range(3))
    if distance < nearest:
        return (
            f"closer than this lens focuses ({length_text(nearest, s.units)})",
            f"step back to {length_text(nearest, s.units)}, or a tube or close-up lens",
        )
    return f"focuses only to {length_text(farthest, s.units)}", f"come to {length_text(farthest, s.units)}"


def _out_of_reach(s: Shortfall) -> tuple[str, str]:
    """(nearest; and where a magnification is wanted, the largest that it draws and that wanted)"""
    nearest = length_text(s.numbers[0], s.units)
    if len(s.numbers) > 1:
        return f"draws {scale_text(_get(s, 1))} at most, from {nearest}; {scale_text(_get(s, 2))} is wanted", ""
    return f"cannot fill as wanted even from its closest focus, {nearest}", ""


def _no_focal(s: Shortfall) -> tuple[str, str]:
    """(wanted, short end, long end)"""
    low, high = focal_text(_get(s, 1)), focal_text(_get(s, 2))
    return f"has no {focal_text(_get(s, 0))}: {low if low == high else f'{low} to {high}'}", ""


def _short(s: Shortfall) -> tuple[str, str]:
    """(fill, aim, focal length or None, distance or None, the distance judged where the plan has a range, or None)"""
    at = "" if s.numbers[4] is None else f" at {length_text(s.numbers[4], s.units)}"
    ways = [] if s.numbers[2] is None else [f"{focal_text(_get(s, 2))}{at}"]
    if s.numbers[3] is not None:
        ways.append(length_text(s.numbers[3], s.units))
    comma = "," if len(ways) > 1 else ""
    cure = f"{', or '.join(ways)}{comma} would fill {share_text(_get(s, 1))}"
    have, wanted = _get(s, 0), _get(s, 1)
    near = have >= NEARLY * wanted and share_text(have) != share_text(wanted)
    text = f"{share_text(have)} of the {share_text(wanted)} wanted" if near else f"short: fills {share_text(have)}"
    return text, cure if ways else ""


def _cut_off(s: Shortfall) -> tuple[str, str]:
    """(fill, wanted high, distance for the wanted high or None, distance for all in or None, focal length or None)"""
    fill, high = _get(s, 0), _get(s, 1)
    ways = []
    if fill > 1.0 and s.numbers[3] is not None:
        ways.append(f"all in from {length_text(s.numbers[3], s.units)}")
    if s.numbers[2] is not None and (fill <= 1.0 or high < 0.995):
        ways.append(f"{share_text(high)} from {length_text(s.numbers[2], s.units)}")
    if s.numbers[4] is not None:
        ways.append(f"or at {focal_text(_get(s, 4))}" if ways else f"{share_text(high)} at {focal_text(_get(s, 4))}")
    if fill <= 1.0 and high >= NEARLY * fill and share_text(fill) != share_text(high):
        return f"{share_text(fill)} for the {share_text(high)} wanted", ", ".join(ways)
    return f"{'cut off' if fill > 1.0 else 'too tight'}: fills {share_text(fill)}", ", ".join(ways)


def _part(s: Shortfall) -> tuple[str, str]:
    """(fill at the near end, fill at the far end: None where it cannot focus; from, to)"""
    near = "nearer than it focuses" if s.numbers[0] is None else share_text(s.numbers[0])
    far = "beyond its focus" if s.numbers[1] is None else share_text(s.numbers[1])
    where = ""
    if s.numbers[2] is not None and s.numbers[3] is not None:
        where = f"as wanted only from {length_text(s.numbers[2], s.units)} to {length_text(s.numbers[3], s.units)}"
    return f"{near} at the near end, {far} at the far end", where


def _depth(s: Shortfall) -> tuple[str, str]:
    """(depth, wanted, f-number that gives it, its cost in stops, smallest f-number)"""
    have, wanted = _get(s, 0), length_text(s.numbers[1], s.units)
    least = 0.001 * INCH if s.units == "imperial" else 1e-5
    deep = length_text(have, s.units) if have >= least else f"under {length_text(least, s.units)}"
    text = f"depth {deep} of the {wanted} wanted"
    return text, _stopping_down(_get(s, 2), _get(s, 3), _get(s, 4))


def _limits(s: Shortfall) -> tuple[str, str]:
    """(near limit, far limit, wanted from, wanted to, f-number that gives it, its cost in stops, smallest f-number)"""
    text = (
        f"sharp from {length_text(s.numbers[0], s.units)} to {length_text(s.numbers[1], s.units)}, wanted from "
        f"{length_text(s.numbers[2], s.units)} to {length_text(s.numbers[3], s.units)}"
    )
    return text, _stopping_down(_get(s, 4), _get(s, 5), _get(s, 6))


def _stopping_down(needed: float, cost: float, smallest: float) -> str:
    if needed > smallest * MARK_SLACK:
        return f"it would take {f_mark(needed)}, beyond this lens's {f_mark(smallest)}: step back, or several frames"
    return f"{f_mark(needed)} would give it and cost {stops_text(cost)}"


def _iso(s: Shortfall) -> tuple[str, str]:
    """(ISO, ceiling, stops over, time at the ceiling)"""
    if far_over(_get(s, 0), _get(s, 1)):
        return (f"too dark: {stops_text(_get(s, 2))} short at ISO {iso_mark(_get(s, 1))}",
                "more light: another hour, or your own")  # fmt: skip
    return (
        f"ISO {iso_mark(_get(s, 0))}: over the ISO ceiling by {stops_text(_get(s, 2))}",
        f"{time_mark(_get(s, 3))} would keep ISO {iso_mark(_get(s, 1))}, with more blur",
    )


def _shutter(s: Shortfall) -> tuple[str, str]:
    """(time wanted, fastest of the body)"""
    return (
        f"{time_mark(_get(s, 0))} wanted, the body's fastest is {time_mark(_get(s, 1))}",
        "follow the movement, or a smaller share of the frame",
    )


def _too_bright(s: Shortfall) -> tuple[str, str]:
    """(stops too bright)"""
    stops = stops_text(_get(s, 0))
    return f"too bright by {stops}", f"a grey filter of {stops}"


_TEXT = {
    "cannot focus": _cannot_focus,
    "fill out of reach": _out_of_reach,
    "no such focal length": _no_focal,
    "short": _short,
    "cut off": _cut_off,
    "part of the range": _part,
    "depth": _depth,
    "limits": _limits,
    "iso": _iso,
    "shutter": _shutter,
    "too bright": _too_bright,
}
