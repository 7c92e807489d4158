"""One picture on two bodies: what frames alike, what is gained on the subject, and what it weighs and costs.

Two questions that are often taken for one. Same picture: the frame is filled again, by another focal length; then the
larger format may collect more light. Same lens, same place: no format collects more light on the subject, and only
the pixel pitch tells how many pixels it gets. Equivalents go by diagonal.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.model.gear import Body, Lens
from fieldplan.optics import formats
from fieldplan.optics.framing import focus_at, optic
from fieldplan.optics.zoom import setting_for, widest_f_number
from fieldplan.planner.answers import Answer
from fieldplan.planner.combining import mounts, recorded_frame
from fieldplan.planner.format_pictures import Frame, Picture, Seen, frame_of, matched, picture_on, taken
from fieldplan.planner.format_words import plain_answers
from fieldplan.planner.ranking import order
from fieldplan.planner.rigs import Kit
from fieldplan.planner.trip import TripShot


class SamePicture(NamedTuple):
    """The frame filled again: equivalents by diagonal, so that framing, depth and light are alike; blur far off.

    same_f_stops: light over the whole frame of the second body against the first where both use one f-number, time and
    ISO: by area, log2 of the ratio. lenses: those in the profile that reach the equivalent focal length and f-number on
    the second body.
    """

    first: Picture
    second: Picture
    same_f_stops: float
    lenses: tuple[str, ...]
    nearest_lenses: tuple[str, ...]


class SameLens(NamedTuple):
    """One lens at one setting from one place on both bodies. pixel_ratio: along a side, second over first.

    ratio: first recorded diagonal over the second with this lens.
    """

    lens: str
    first: Picture
    second: Picture
    pixel_ratio: float
    ratio: float


class FormatsCompared(NamedTuple):
    """Two bodies for one picture. best_first, best_second: the best answers that the profile itself has on each.

    ratio: first diagonal over the second; lines: the answers in sentences.
    """

    shot: str
    first: Frame
    second: Frame
    ratio: float
    same_picture: SamePicture
    same_lens: SameLens | None
    no_same_lens: str | None
    best_first: Answer
    best_second: Answer | None
    second_lowest_iso: float | None = None
    lines: tuple[str, ...] = ()


def compare_formats(
    shot: TripShot, kit: Kit, first: str, second: str, lens: str | None = None, picked: Answer | None = None
) -> FormatsCompared | None:
    """One picture on two bodies of the profile; candidates take part where the kit was made with them.

    picked: the answer on the first body; left out: the best there, with ``lens`` where that is given. None where the
    first body has no answer, or the distance is infinite. Raises ValueError for a body that is not in the profile.
    """
    bodies = {body.name: body for body in kit.profile.bodies}
    for name in (first, second):
        if name not in bodies:
            raise ValueError(f'"{name}" is not a body of the profile')
    answer = picked or _best(shot, first, lens)
    wanted = shot.found.wanted
    if answer is None or wanted is None:
        return None
    own = next(item for item in kit.profile.lenses if item.name == answer.lens)
    a, b = frame_of(bodies[first], own), frame_of(bodies[second])
    t = taken(answer, wanted, a, float(own.pupil_ratio))
    if t is None:
        return None
    ratio, as_set = a.diagonal_m / b.diagonal_m, answer.focal_m or t.acting
    seen, stop = Seen(t.acting_focus, t.m_focus, t.pupil_n), (t.n, t.effective)
    here = picture_on(t, a, t.m, seen, as_set, stop, answer.iso)
    there = matched(t, b, ratio)
    area_stops = formats.noise_stops(b.area_m2, a.area_m2)
    doing, nearest = _lenses_for(kit, bodies[second], t.distance, there)
    same = SamePicture(here, there, area_stops, doing, nearest)
    fitted = _same_lens(own, bodies[second])
    same_lens: SameLens | None = None
    why: str | None = None
    if isinstance(fitted, Frame):
        cut = picture_on(t, fitted, t.m, seen, as_set, stop, answer.iso)
        same_lens = SameLens(answer.lens, here, cut, a.pixel_m / fitted.pixel_m, a.diagonal_m / fitted.diagonal_m)
    else:
        why = fitted
    compared = FormatsCompared(
        shot.name, a, b, ratio, same, same_lens, why, answer, _best(shot, second, None), bodies[second].lowest_iso
    )
    return compared._replace(lines=plain_answers(compared, shot.plan.units))


def other_bodies(shot: TripShot, kit: Kit, answer: Answer) -> tuple[FormatsCompared, ...]:
    """The answer's picture on each other body of the kit."""
    held = {rig.body for rig in kit.rigs}
    found = (compare_formats(shot, kit, answer.body, body.name, picked=answer)
             for body in kit.profile.bodies if body.name in held and body.name != answer.body)  # fmt: skip
    return tuple(compared for compared in found if compared is not None)


def _best(shot: TripShot, body: str, lens: str | None) -> Answer | None:
    there = [
        a for a in shot.found.rigs if a.body == body and (lens is None or a.lens == lens) and a.verdict != "cannot"
    ]
    return min(there, key=order, default=None)


def _same_lens(lens: Lens, body: Body) -> Frame | str:
    """The second body's frame with the first one's lens, or why that cannot be."""
    if not mounts(body, lens):
        return f"{lens.name} does not fit {body.name} (mount {lens.mount})"
    if recorded_frame(body, lens) is None:
        return f"{lens.name} covers too little for {body.name}"
    return frame_of(body, lens)


def _lenses_for(kit: Kit, body: Body, distance_m: float, there: Picture) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(body + lens labels that take the matched picture; those that draw it as large but have not the f-number).

    What a rig draws at the distance counts to 3 %, its f-number there to 6 %.
    """
    whole = frame_of(body)
    both: list[str] = []
    only: list[str] = []
    for rig in kit.rigs:
        if rig.body != body.name or rig.tube is not None or rig.close_up_lens is not None:
            continue
        if rig.frame_w < whole.width_m * (1.0 - 1e-9):
            continue
        setting = setting_for(rig.law, distance_m, there.magnification, rig.factor)
        focus = focus_at(rig.fixed or optic(rig.law, setting, rig.factor), distance_m)
        if focus is None or not math.isclose(focus.magnification, there.magnification, rel_tol=0.03):
            continue
        widest = widest_f_number(rig.law.short_m, rig.law.long_m, rig.f_short, rig.f_long, setting) * rig.factor
        has = widest / 1.06 <= there.f_number <= rig.f_smallest * rig.factor * 1.06
        (both if has else only).append(rig.label)
    return tuple(both), tuple(only)
