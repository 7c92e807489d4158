"""Lines and pictures of the Shot page: heading, trouble, caution, list of shots, frame, depth."""

from __future__ import annotations

import math

from fieldplan.notation.display import length_text, span_text
from fieldplan.notation.marks import share_text
from fieldplan.pictures import draw_depth, draw_frame
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.lighting import light_line
from fieldplan.planner.scene import describe
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.answerlines import shortfall_text
from fieldplan.tui.rows import crop, crop_row, safe, wrapped


def heading(desk: Desk, found: ShotAnswers, width: int) -> list[Row]:
    """Which shot, when; the subject, the distance and what is wanted; the light and where it comes from."""
    shot = found.shot
    when = "" if found.when is None else f"{found.when:%a %d %b %H:%M}"
    zone = "" if found.when is None or found.when.tzinfo is None else f" UTC{found.when.strftime('%z')[:3]}"
    name = f"{desk.shot_index + 1}/{len(desk.plan.shots)} {safe(shot.name)}"
    first = crop_row(((name, "title"), (f"  {'must' if shot.must else 'nice'}  {when}{zone}", "dim")), width)
    light = describe(found.light) if found.light is not None else light_line(None)
    return [first, ((crop(safe(_wanted(found, desk.units)), width), ""),), ((crop(f"light: {safe(light)}", width), "dim"),)]


def _wanted(found: ShotAnswers, units: str) -> str:
    w = found.wanted
    if w is None:
        return "subject and distance: not known yet"
    parts = [w.subject or "subject not given"]
    if w.activity:
        parts.append(w.activity)
    parts.append(span_text(*w.distance, units) if w.distance is not None else "distance to be found")
    if w.fill is not None:
        fill = share_text(w.fill[0]) if w.fill[0] == w.fill[1] else f"{w.fill[0] * 100:.0f}-{share_text(w.fill[1])}"
        parts.append(f"{fill} of the frame{' (assumed)' if w.fill_assumed else ''}")
    if w.depth_m is not None:
        parts.append(f"depth {length_text(w.depth_m, units)}")
    if w.sharp_from_m is not None:
        parts.append(f"sharp {span_text(w.sharp_from_m, math.inf if w.sharp_to_m is None else w.sharp_to_m, units)}")
    at = next(iter(found.needed_distance), None)
    if found.missing == "distance" and at is not None:
        parts.append(f"stand at {span_text(at.low_m, at.high_m, units)}")
    size = next(iter(found.needed_size), None)
    if found.missing == "size" and size is not None:
        parts.append(f"it is {span_text(size.height_low_m, size.height_high_m, units)} high to fill so")
    return ", ".join(parts)


def trouble(found: ShotAnswers, chosen: int, width: int) -> list[Row]:
    """What is wrong with the highlighted answer; if nothing, with the next one that falls short."""
    answer = found.rigs[chosen]
    text = shortfall_text(answer)
    if text:
        return wrapped(f"in the way: {safe(text)}", width, "warn", 2, 2)
    other = next((a for a in found.rigs[chosen + 1 :] if a.shortfalls), None)
    if other is None:
        return [(("nothing stands in the way of any of them", "dim"),)]
    return wrapped(f"next, {safe(other.label)}: {safe(shortfall_text(other))}", width, "dim", 2, 2)


def caution(found: ShotAnswers, width: int) -> list[Row]:
    """One line of care, the gravest first; the card has them all."""
    if not found.cautions:
        return []
    more = f" (+{len(found.cautions) - 1} on the card)" if len(found.cautions) > 1 else ""
    return [((crop(f"care: {safe(found.cautions[0].text)}", width - len(more)) + more, "warn"),)]


def shot_list(desk: Desk, width: int, room: int) -> list[Row]:
    """All shots, one line each, the one in hand marked, with its best answer."""
    rows: list[Row] = []
    top = max(0, min(desk.shot_index - room // 2, len(desk.plan.shots) - room))
    for index in range(top, min(top + room, len(desk.plan.shots))):
        found = desk.answers(index)
        if found is None:
            continue
        best = found.best
        answer = (f"{safe(best.label)} ({best.verdict})" if best is not None else safe(found.problem or found.why_first))
        when = "     " if found.when is None else f"{found.when:%H:%M}"
        here = index == desk.shot_index
        text = f"{'>' if here else ' '} {when} {'must' if found.shot.must else 'nice'} {safe(found.shot.name)}: {answer}"
        rows.append(((crop(text, width), "picked" if here else ""),))
    return rows


def _share(ends: tuple[float, float] | None, m: float, side: float | None) -> float:
    return 0.0 if ends is None or not side else sum(ends) / 2.0 * m / side


def frame_picture(found: ShotAnswers, a: Answer, width: int, height: int) -> list[Row]:
    """The frame to scale with the subject in it."""
    w = found.wanted
    if a.frame_width_m is None or a.frame_height_m is None or a.magnification is None or w is None:
        return []
    wide, tall = _share(w.width, a.magnification, a.frame_width_m), _share(w.height, a.magnification, a.frame_height_m)
    wide, tall = wide or tall * a.frame_height_m / a.frame_width_m / 2, tall or wide * a.frame_width_m / a.frame_height_m / 2
    label = "" if a.fill is None else share_text(a.fill)
    if a.fill is None:
        wide = tall = 0.0
    return list(draw_frame(width, height, a.frame_width_m, a.frame_height_m, wide, tall, label=label))


def depth_picture(found: ShotAnswers, a: Answer, width: int, units: str) -> list[Row]:
    """The depth along the line of sight."""
    w = found.wanted
    if a.near_m is None or a.far_m is None or a.focus_m is None or a.distance_m is None or w is None:
        return []
    half = 0.0 if w.front_to_back is None else sum(w.front_to_back) / 4.0
    behind = None if math.isinf(w.background_m) else a.distance_m + w.background_m
    return list(draw_depth(width, a.near_m, a.far_m, a.focus_m, format_m=lambda m: length_text(m, units),
                           subject_from_m=a.distance_m - half, subject_to_m=a.distance_m + half,
                           background_m=behind))  # fmt: skip
