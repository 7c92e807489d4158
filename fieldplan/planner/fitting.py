"""Whether a shot is planned for when it works."""

from __future__ import annotations

from collections.abc import Sequence

from fieldplan.planner.answers import ShotAnswers, WorkSpan
from fieldplan.planner.moments import stretch
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
