"""What more there is to say of one picture: close up, swept, sharp at both ends. Empty parts do not matter for it."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.model.gear import Item, Profile
from fieldplan.optics.framing import LensLaw, optic
from fieldplan.planner.answers import Answer, PlanAnswers
from fieldplan.planner.closesetups import Setup, setups
from fieldplan.planner.closeup import CloseUp, close_ups
from fieldplan.planner.flashing import FlashAnswer, flash_answers
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
_SHUTTER_S = 1.0 / 125.0  # of a stack, where the light is not known


class ShotMore(NamedTuple):
    """One picture with one answer. Parts that do not matter for it are None or empty.

    close_up: of the answer's own combination, at its settings. sweep: with fewest frames, where no lens is wide enough.
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


def more_on(shot: TripShot, kit: Kit, answer: Answer) -> ShotMore:
    """What more there is to say. kit: as the shot was assessed with."""
    wanted = shot.found.wanted
    close = _close_up(shot, kit.profile, answer)
    aslant = sway = None
    flashes: tuple[FlashAnswer, ...] = ()
    several: Stack | None = None
    if close is not None and wanted is not None:
        length = max(sum(wanted.height or (0.0, 0.0)), sum(wanted.width or (0.0, 0.0))) / 2.0
        aslant = inclined(shot, close, length, ASLANT_DEG) if length else None
        sway = swaying(shot, close)
        iso = answer.iso or close.setup.body.lowest_iso
        flashes = flash_answers(shot, close, iso, tuple(flash for flash in kit.profile.flashes if flash.owned))
        several = stack(shot, close, shutter_s=answer.shutter_s or _SHUTTER_S)
    swept = () if wanted is None or wanted.living or _wide_enough(shot) else sweeps_for(shot, kit)
    ends = _ends(shot, kit, answer)
    return ShotMore(shot.name, answer.label, close, aslant, sway, flashes, several, swept[0] if swept else None, ends)


def _wide_enough(shot: TripShot) -> bool:
    """Whether something takes in as much as wanted."""
    framed = [a for a in shot.found.rigs if a.fill is not None]
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
    """The combination of an answer, at the focal length that it is set to."""

    def only(items: tuple[Item, ...], name: str | None) -> tuple[Item, ...]:
        return tuple(item for item in items if item.name == name)

    narrowed = profile.model_copy(update={
        "bodies": only(profile.bodies, answer.body), "lenses": only(profile.lenses, answer.lens),
        "converters": only(profile.converters, answer.converter), "tubes": only(profile.tubes, answer.tube),
        "close_up_lenses": only(profile.close_up_lenses, answer.close_up_lens),
    })  # fmt: skip
    fitted = max(setups(narrowed, candidates=True), key=lambda s: len(s.parts), default=None)
    if fitted is None or answer.focal_m is None:
        return None
    lens = fitted.lens
    closest, largest = lens.closest_focus, lens.largest_magnification
    law = LensLaw(
        lens.focal.low, lens.focal.high, None if closest is None else float(closest),
        None if largest is None else float(largest),
    )  # fmt: skip
    return fitted._replace(
        optics=(optic(law, answer.focal_m / fitted.factor, fitted.factor, fitted.tube_m, fitted.power_d),)
    )


def _close_up(shot: TripShot, profile: Profile, answer: Answer) -> CloseUp | None:
    if answer.magnification is None or answer.magnification < CLOSE or answer.f_number is None:
        return None
    setup = setup_of(profile, answer)
    if setup is None:
        return None
    # A lens named without its closest focus is not counted past infinity by itself: the answer says that it draws this.
    reach = (setup.magnifications[0], max(setup.magnifications[1], answer.magnification))
    found = close_ups(shot, [setup._replace(magnifications=reach)], answer.magnification, answer.f_number)
    return found[0]._replace(hold=answer.hold) if found else None


def _ends(shot: TripShot, kit: Kit, answer: Answer) -> BothEnds | None:
    """Both ends, where both were asked for."""
    wanted = shot.found.wanted
    rig = next((rig for rig in kit.rigs if rig.label == answer.label), None)
    if wanted is None or rig is None or answer.focal_m is None or wanted.sharp_from_m is None:
        return None
    far = math.inf if wanted.sharp_to_m is None else wanted.sharp_to_m
    if not 0.0 < wanted.sharp_from_m < far or wanted.group == "sky":
        return None
    return both_ends(rig, wanted, wanted.sharp_from_m, far, shot.plan.units, answer.focal_m / rig.factor)
