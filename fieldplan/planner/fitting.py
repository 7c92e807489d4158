"""Whether a shot is planned for when it works, and the light at both ends of its stretch."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.model.plan import Plan
from fieldplan.planner.answers import EndLight, ShotAnswers, WorkSpan
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.moments import stretch
from fieldplan.planner.rigs import Kit
from fieldplan.planner.scene import scene_light
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import seconds

AT_THE_EDGE = "at the edge of its light"


def best_spans(found: ShotAnswers) -> list[WorkSpan]:
    """When the first answer works."""
    best = found.best
    return [] if best is None else [s for s in found.times if (s.rig, s.hold) == (best.label, best.hold)]


def out_of_time(found: ShotAnswers, spans: Sequence[WorkSpan]) -> str | None:
    """Why the planned moment or stretch does not lie in a span in which the answer works; None where it does.

    Within the range of an end it is said to be uncertain. spans: of one answer, through the shot's day or night.
    """
    own = stretch(found)
    if own is None or own[0].tzinfo is None or not spans:
        return None
    start_s = seconds(own[0])
    end_s = start_s if own[1] is None else seconds(own[1])
    if any(s.start_early_s <= start_s and end_s <= s.end_late_s for s in spans):
        sure = any(s.sure and s.start_late_s <= start_s and end_s <= s.end_early_s for s in spans)
        return None if sure else AT_THE_EDGE
    touching = [s for s in spans if s.start_early_s <= end_s and start_s <= s.end_late_s]
    if not touching:
        return "planned for when it does not work"
    if start_s < touching[0].start_early_s:
        return "begins before it works"
    return "goes on after it has ceased to work"


def end_lights(plan: Plan, found: ShotAnswers, kit: Kit, setting: Setting) -> tuple[EndLight, ...]:
    """Light and settings at both ends of a stretch, for a light that is reckoned; empty for a single moment."""
    own, best = stretch(found), found.best
    if best is None or found.wanted is None or found.shot.light is not None or setting.book is None:
        return ()
    if own is None or own[1] is None or own[0].tzinfo is None:
        return ()
    rig = next((rig for rig in kit.rigs if rig.label == best.label), None)
    if rig is None:
        return ()
    lights = [(when, scene_light(plan, found.shot, setting.book, when)) for when in (own[0], own[1])]
    return tuple(EndLight(when, light, assess_rig(rig, found.wanted, best.hold, light, plan.units))
                 for when, light in lights)  # fmt: skip
