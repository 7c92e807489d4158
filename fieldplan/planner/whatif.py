"""What if: one thing about a shot changed, and the answer to that beside the one in hand.

Every change is written in the shot's own fields, so that it can be kept in the plan and taken back:

- more ISO: the shot's ISO ceiling, one stop over the one that counted;
- wider: the shot's f-number, one stop wider than the answer's, as far as the lens opens;
- slower: the shot's speed (and the rate of its sway) halved;
- longer, shorter: the shot's body and lens, the next reach in the profile on the same body;
- closer: two thirds of the shot's distance;
- turned: the shot's hold, upright for level and the other way round.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

from fieldplan.model.plan import Plan, RigChoice, Shot, SkySubject
from fieldplan.notation import quantity as q
from fieldplan.notation.display import focal_text, speed_text
from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.words import read_sway
from fieldplan.optics.exposure import iso_third_nearest, time_third_faster
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.rough import close_span
from fieldplan.planner.setting import Setting

KINDS = ("iso", "wider", "slower", "longer", "shorter", "closer", "turned")
CLOSER = 2.0 / 3.0
_SAME_REACH = 1.01  # longest focal lengths this near to each other are no next step
_SAME = 1e-6


class WhatIf(NamedTuple):
    """A change: its kind, in words, the shot with it, the answers to that and the place of the one to look at.

    why_not: why there is nothing to set beside, else "". note: what else should be known.
    """

    kind: str
    what: str
    shot: Shot | None = None
    found: ShotAnswers | None = None
    at: int = 0
    why_not: str = ""
    note: str = ""

    @property
    def answer(self) -> Answer | None:
        """The new answer."""
        return None if self.found is None or not self.found.rigs else self.found.rigs[self.at]


class _Change(NamedTuple):
    """Fields of the shot with their new values, in words; the body and lens and hold to look at afterwards."""

    what: str
    fields: dict[str, Any]
    label: str = ""
    hold: str = ""
    note: str = ""


class _No(ValueError):
    """A change that makes no sense here; the text says why."""


class _Case(NamedTuple):
    """What a change starts from."""

    plan: Plan
    found: ShotAnswers
    answer: Answer
    kit: Kit

    @property
    def units(self) -> str:
        return self.plan.units

    @property
    def rig(self) -> Rig:
        return next(rig for rig in self.kit.rigs if rig.label == self.answer.label)


def what_if(kind: str, plan: Plan, found: ShotAnswers, answer: Answer, kit: Kit, setting: Setting) -> WhatIf:
    """One change (of KINDS) to the shot that was answered, seen from one of its answers."""
    case = _Case(plan, found, answer, kit)
    try:
        change = _CHANGES[kind](case)
    except _No as no:
        return WhatIf(kind, "", why_not=str(no))
    shot = found.shot.model_copy(update=change.fields)
    after = assess_shot(plan, shot, kit, setting)
    if not after.rigs:
        return WhatIf(kind, change.what, why_not=after.problem or "no body and lens is left")
    label, hold = change.label or answer.label, change.hold or answer.hold
    index = next((i for i, a in enumerate(after.rigs) if (a.label, a.hold) == (label, hold)), 0)
    result = WhatIf(kind, change.what, shot, after, index, "", change.note)
    same = _nothing_gained(kind, answer, after.rigs[index])
    return WhatIf(kind, change.what, why_not=same) if same else result


def _iso(case: _Case) -> _Change:
    ceiling = case.answer.iso_ceiling
    if ceiling is None:
        raise _No("no ISO ceiling counts here")
    more = 2.0 * iso_third_nearest(ceiling)
    text = iso_mark(more)
    return _Change(f"ISO up to {text} for this shot", {"iso_ceiling": float(text)})


def _nothing_gained(kind: str, before: Answer, after: Answer) -> str:
    """Why more ISO or a wider opening changes nothing; "" where it does."""
    if kind == "iso" and _settings(before) == _settings(after) and before.shortfalls == after.shortfalls:
        if before.iso is None or before.iso_ceiling is None:
            return "without a known light there is no ISO to change"
        told = f"ISO {iso_mark(before.iso)} is within the ceiling of {iso_mark(before.iso_ceiling)} already"
        if before.shutter_s is None:
            return told
        half = time_mark(time_third_faster(before.shutter_s / 2.0))
        return f"{told}: nothing is in want of it (set by hand, a stop more would buy {half})"
    if kind == "wider" and before.f_number is not None and after.f_number is not None and (
        after.f_number > before.f_number * (1.0 - _SAME)
    ):  # fmt: skip
        return f"{f_mark(before.f_number)} is this lens's widest at {focal_text(before.focal_m or 0.0)}"
    return ""


def _settings(a: Answer) -> tuple[float | None, float | None, float | None]:
    return a.f_number, a.shutter_s, a.iso


def _wider(case: _Case) -> _Change:
    n = case.answer.f_number
    if n is None:
        raise _No("there is no f-number to open")
    text = f_mark(n / math.sqrt(2.0)).removeprefix("f/")
    return _Change(f"opened to f/{text}", {"f_number": q.read_value(text, q.F_NUMBER)})


def _slower(case: _Case) -> _Change:
    shot, wanted = case.found.shot, case.found.wanted
    if wanted is None or not wanted.speed_m_s:
        raise _No("nothing moves here")
    if isinstance(shot.subject, SkySubject):
        raise _No("the sky keeps its own pace")
    text = speed_text(wanted.speed_m_s / 2.0, case.units)
    fields: dict[str, Any] = {"speed": q.read_span(text, q.SPEED, case.units)}
    if shot.sway is not None:
        width = shot.sway.typed.partition(",")[0] if "," in shot.sway.typed else f"{trimmed(shot.sway.width_m, 4)} m"
        fields["sway"] = read_sway(f"{width}, {trimmed(shot.sway.per_second / 2.0, 4)} per second")
    return _Change(f"it moves at {text}, half as fast", fields)


def _reach(rig: Rig) -> float:
    return rig.law.long_m * rig.factor


def _next_reach(case: _Case, longer: bool) -> _Change:
    """The next reach on the same body with the same tube and close-up lens; the one nearest in name breaks a tie."""
    own = case.rig
    others = [rig for rig in case.kit.rigs if (rig.body, rig.tube, rig.close_up_lens) ==
              (own.body, own.tube, own.close_up_lens)]  # fmt: skip
    if longer:
        beyond = [rig for rig in others if _reach(rig) > _reach(own) * _SAME_REACH]
    else:
        beyond = [rig for rig in others if _reach(rig) < _reach(own) / _SAME_REACH]
    if not beyond:
        raise _No(f"{own.body} has nothing {'longer' if longer else 'shorter'} than {focal_text(_reach(own))}")
    rig = min(beyond, key=lambda r: (abs(math.log(_reach(r) / _reach(own))), r.lens != own.lens, r.label))
    parts = {"body": rig.body, "lens": rig.lens, "converter": rig.converter, "tube": rig.tube,
             "close_up_lens": rig.close_up_lens}  # fmt: skip
    fields: dict[str, Any] = {"rig": RigChoice(**{key: part for key, part in parts.items() if part is not None})}
    short, focal = rig.law.short_m * rig.factor, case.found.shot.focal
    if focal is not None and not short <= float(focal) <= _reach(rig):
        text = focal_text(min(max(float(focal), short), _reach(rig)))
        fields["focal"] = q.read_value(text, q.FOCAL)
    lens = rig.lens if rig.converter is None else f"{rig.lens} + {rig.converter}"
    return _Change(f"{lens}, {focal_text(_reach(rig))} at its longest", fields, rig.label)


def _longer(case: _Case) -> _Change:
    return _next_reach(case, True)


def _shorter(case: _Case) -> _Change:
    return _next_reach(case, False)


def _closer(case: _Case) -> _Change:
    shot, wanted = case.found.shot, case.found.wanted
    if isinstance(shot.subject, SkySubject):
        raise _No("nobody steps nearer to the sky")
    if wanted is None or wanted.distance is None:
        raise _No("the distance is not given here: it is what was asked for")
    low, high = (end * CLOSER for end in wanted.distance)
    if not math.isfinite(high):
        raise _No("it stands at infinity")
    text = close_span(low, high, case.units)
    note = f"care: {wanted.subject} may not let you" if wanted.living else ""
    fields: dict[str, Any] = {"distance": q.read_span(text, q.DISTANCE, case.units)}
    return _Change(f"from {text}, closer by a third", fields, note=note)


def _turned(case: _Case) -> _Change:
    hold = "level" if case.answer.hold == "upright" else "upright"
    return _Change(f"held {hold}", {"hold": hold}, hold=hold)


_CHANGES: dict[str, Callable[[_Case], _Change]] = {
    "iso": _iso, "wider": _wider, "slower": _slower, "longer": _longer, "shorter": _shorter, "closer": _closer,
    "turned": _turned,
}  # fmt: skip
