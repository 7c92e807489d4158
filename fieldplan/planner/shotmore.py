"""What more there is to say of one picture: close up, swept, sharp at both ends. Empty parts do not matter for it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple, TypeVar

from fieldplan.model.gear import Item, Profile
from fieldplan.optics.framing import optic
from fieldplan.planner.answers import Answer, PlanAnswers
from fieldplan.planner.closesetups import Setup, setup_with
from fieldplan.planner.closeup import CloseUp, close_up_of
from fieldplan.planner.combining import Combination, law_of, recorded_frame
from fieldplan.planner.converting import ConverterOrCrop, converters_or_crop
from fieldplan.planner.exposing import Exposure, Limits, expose
from fieldplan.planner.flashing import FlashAnswer, flash_answers, flash_f_number
from fieldplan.planner.formats_compared import FormatsCompared, other_bodies
from fieldplan.planner.gaps import Gap, gap_of
from fieldplan.planner.landscape import BothEnds, both_ends
from fieldplan.planner.panorama import Sweep, sweeps_for
from fieldplan.planner.rigs import Kit
from fieldplan.planner.setting import Setting
from fieldplan.planner.stacking import Stack, stack
from fieldplan.planner.swaying import Inclined, Swaying, inclined, swaying
from fieldplan.planner.trip import TripShot

CLOSE = 0.1  # magnification from which a picture is treated as a close-up; common practice
ASLANT_DEG = 20.0  # out of the plane of focus, for a subject that does not lie square on; a choice
_Thing = TypeVar("_Thing", bound=Item)


class ShotMore(NamedTuple):
    """One picture with one answer. Parts that do not matter for it are None or empty.

    close_up: of the answer's own combination, at its settings. sweep: with fewest frames, where no lens is wide enough.
    converters, formats: each converter that fits the lens, and each other body, against what the answer takes.
    gap: what would close it, where nothing takes the picture; found for a whole plan only.
    """

    shot: str
    label: str
    close_up: CloseUp | None
    inclined: Inclined | None
    swaying: Swaying | None
    flashes: tuple[FlashAnswer, ...]
    stack: Stack | None
    sweep: Sweep | None
    ends: BothEnds | None
    gap: Gap | None = None
    converters: tuple[ConverterOrCrop, ...] = ()
    formats: tuple[FormatsCompared, ...] = ()


def more_on(shot: TripShot, kit: Kit, answer: Answer) -> ShotMore:
    """What more there is to say. kit: as the shot was assessed with."""
    wanted = shot.found.wanted
    close = _close_up(shot, kit.profile, answer)
    held = tuple(flash for flash in kit.profile.flashes if flash.owned)
    aslant = sway = None
    flashes: tuple[FlashAnswer, ...] = ()
    several: Stack | None = None
    if close is not None and wanted is not None:
        length = max(sum(wanted.height or (0.0, 0.0)), sum(wanted.width or (0.0, 0.0))) / 2.0
        aslant = inclined(shot, close, length, ASLANT_DEG) if length else None
        sway = swaying(shot, close)
        flashes = flash_answers(shot, close.stopped(flash_f_number(close)), close.setup.body.lowest_iso, held)
        several = stack(shot, close, exposed=_exposures(shot, close, answer))
    swept = () if wanted is None or wanted.living or _wide_enough(shot, kit) else sweeps_for(shot, kit)
    ends = _ends(shot, kit, answer)
    return ShotMore(
        shot.name, answer.label, close, aslant, sway, flashes, several, swept[0] if swept else None, ends, None,
        converters_or_crop(shot, kit, answer), other_bodies(shot, kit, answer),
    )  # fmt: skip


def _exposures(shot: TripShot, close: CloseUp, answer: Answer) -> Callable[[float], Exposure]:
    """Settings of the answer's combination at another marked f-number, in the shot's light and within its blur."""
    body, light = close.setup.body, shot.found.light
    limit = min(answer.shake_limit_s or math.inf, answer.motion_limit_s or math.inf)
    limits = Limits(body.lowest_iso, answer.iso_ceiling or body.iso_ceiling, float(body.fastest_shutter),
                    float(body.longest_shutter), close.smallest_f_number)  # fmt: skip
    share = close.effective_f_number / close.f_number
    return lambda n: expose(n, share, limit, None if light is None else light.ev100, limits)


def _wide_enough(shot: TripShot, kit: Kit) -> bool:
    """Whether something owned takes in as much as wanted."""
    held = {item.name for item in (*kit.profile.bodies, *kit.profile.lenses) if item.owned}
    framed = [a for a in shot.found.rigs if a.fill is not None and {a.body, a.lens} <= held]
    return not framed or any(all(s.kind != "cut off" for s in a.shortfalls) for a in framed)


def fuller(answers: PlanAnswers, kit: Kit, setting: Setting) -> PlanAnswers:
    """A plan's answers with what more there is to say of the first answer to each picture, and what closes its gap."""
    found = []
    for s in answers.shots:
        if s.rigs:
            shot = TripShot(s.shot.name, answers.plan, setting, s)
            gap = None if any(a.verdict == "works" for a in s.rigs) else gap_of(shot, s.rigs, kit)
            found.append(more_on(shot, kit, s.rigs[0])._replace(gap=gap))
    return answers._replace(more=tuple(found))


def setup_of(profile: Profile, answer: Answer) -> Setup | None:
    """The combination of an answer, at the focal length that it is set to; None where the profile has it no more."""
    made = _combination(profile, answer)
    if made is None or answer.focal_m is None:
        return None
    fitted, law = setup_with(made), law_of(made.lens)
    setting = answer.focal_m / fitted.factor
    for end in (law.short_m, law.long_m):  # a focal length times and over a factor misses the end that was set
        setting = end if math.isclose(setting, end, rel_tol=1e-9) else setting
    return replace(fitted, optics=(optic(law, setting, fitted.factor, fitted.tube_m, fitted.power_d),))


def _combination(profile: Profile, answer: Answer) -> Combination | None:
    body, lens = _named(profile.bodies, answer.body), _named(profile.lenses, answer.lens)
    frame = None if body is None or lens is None else recorded_frame(body, lens)
    if body is None or lens is None or frame is None:
        return None
    tube = _named(profile.tubes, answer.tube)
    return Combination(body, lens, frame, _named(profile.converters, answer.converter), () if tube is None else (tube,),
                       _named(profile.close_up_lenses, answer.close_up_lens))  # fmt: skip


def _named(items: Sequence[_Thing], name: str | None) -> _Thing | None:
    return next((item for item in items if item.name == name), None)


def _close_up(shot: TripShot, profile: Profile, answer: Answer) -> CloseUp | None:
    m, distance = answer.magnification, answer.distance_m
    if m is None or m < CLOSE or distance is None or answer.f_number is None:
        return None
    setup = setup_of(profile, answer)
    if setup is None:
        return None
    return close_up_of(shot, setup, setup.optics[0], (distance, m), answer.hold, answer.f_number)


def _ends(shot: TripShot, kit: Kit, answer: Answer) -> BothEnds | None:
    """Both ends, where both were asked for."""
    wanted = shot.found.wanted
    rig = next((rig for rig in kit.rigs if rig.label == answer.label), None)
    if wanted is None or rig is None or answer.focal_m is None or wanted.sharp_from_m is None:
        return None
    far = math.inf if wanted.sharp_to_m is None else wanted.sharp_to_m
    if not 0.0 < wanted.sharp_from_m < far or wanted.group == "sky":
        return None
    setting = answer.focal_m / rig.factor
    return both_ends(rig, wanted, wanted.sharp_from_m, far, shot.plan.units, setting, answer.focus_m)
