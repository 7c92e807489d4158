"""The one way through: a typed plan and a gear profile become answers. No clock, no files, nothing global."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.catalogue import Catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, RigChoice, Shot
from fieldplan.planner.answers import Answer, PlanAnswers, ShotAnswers, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.cautions import plan_cautions, shot_cautions
from fieldplan.planner.kit import exposure_table, kit_list, total_weight_kg
from fieldplan.planner.lighting import given_light
from fieldplan.planner.ranking import ranked, why_first
from fieldplan.planner.reach import distance_table, needed_distance, needed_focal, needed_size
from fieldplan.planner.rigs import Kit, Rig, prepare
from fieldplan.planner.subjects import Unknown, resolve


class Setting(NamedTuple):
    """What the answers rest on besides the plan: the lists, the zone and the countries of the site."""

    catalogue: Catalogue
    time_zone: str | None = None
    countries: tuple[str, ...] = ()


def moment(plan: Plan, shot: Shot, time_zone: str | None) -> dt.datetime | None:
    """When the shot is taken, with its zone where it is known; the middle of from and to."""
    date = shot.date or plan.date
    clock = shot.time
    if clock is None and shot.start is not None and shot.end is not None:
        first, last = (t.hour * 3600 + t.minute * 60 + t.second for t in (shot.start, shot.end))
        if last < first:
            last += 86400
        middle = (first + last) // 2
        day = dt.timedelta(days=middle // 86400)
        clock = (dt.datetime.min + dt.timedelta(seconds=middle % 86400)).time()
        date = None if date is None else date + day
    if date is None or clock is None:
        return None
    return dt.datetime.combine(date, clock, tzinfo=ZoneInfo(time_zone) if time_zone else None)


def _chosen(rig: Rig, choice: RigChoice | None) -> bool:
    """Whether a rig is one that the shot names (a part left out is free; a converter, tube or close-up lens is not)."""
    if choice is None:
        return True
    if (choice.body is not None and rig.body != choice.body) or (choice.lens is not None and rig.lens != choice.lens):
        return False
    extras = ((rig.converter, choice.converter), (rig.tube, choice.tube), (rig.close_up_lens, choice.close_up_lens))
    return all(wanted is None or have == wanted for have, wanted in extras)


def _missing(wanted: Wanted) -> tuple[str | None, str | None]:
    """(the one of size, distance, share and focal length to be found, why nothing can be said)."""
    sized = wanted.height is not None or wanted.width is not None
    placed = wanted.distance is not None or wanted.sharp_from_m is not None
    if not sized and not placed:
        return None, "give the distance, or a subject with its size: without either there is nothing to reckon with"
    if sized and not placed and wanted.fill is None:
        return None, "give the distance, or the share of the frame wanted"
    if not placed:
        return "distance", None
    if not sized:
        return ("size" if wanted.fill is not None and wanted.focal_m is not None else None), None
    if wanted.focal_m is None and wanted.fill is not None:
        return "focal length", None
    return "share", None


def _nothing(shot: Shot, when: dt.datetime | None, problem: str, setting: Setting, units: str) -> ShotAnswers:
    cautions = shot_cautions(None, shot.name, shot.subject, setting.countries, setting.catalogue, units)
    return ShotAnswers(shot, when, None, given_light(shot), (), (), (), (), None, problem, (), cautions, "")


def assess_shot(plan: Plan, shot: Shot, kit: Kit, setting: Setting) -> ShotAnswers:
    """Every rig for one shot, ranked. Fast enough to be called at each key press."""
    when = moment(plan, shot, setting.time_zone)
    try:
        wanted = resolve(shot, setting.catalogue, kit.supports, kit.shake, plan.site)
    except Unknown as unknown:
        return _nothing(shot, when, str(unknown), setting, plan.units)
    missing, problem = _missing(wanted)
    rigs = [rig for rig in kit.rigs if _chosen(rig, shot.rig)]
    if problem is None and not rigs:
        problem = _no_rig(shot, kit)
    if problem is not None:
        return _nothing(shot, when, problem, setting, plan.units)._replace(wanted=wanted, notes=wanted.notes)
    light = given_light(shot)
    answers = ranked([assess_rig(rig, wanted, hold, light, plan.units) for rig in rigs for hold in wanted.holds])
    notes = list(wanted.notes)
    if light is None:
        notes.append("no light given, so no ISO: write light = \"EV 12\" or a row such as \"open shade\"")
    if any(a.magnification_assumed for a in answers):
        notes.append("a lens without its largest magnification is reckoned as 1:1 at its closest focus")
    cautions = shot_cautions(wanted, shot.name, shot.subject, setting.countries, setting.catalogue, plan.units)
    return ShotAnswers(
        shot, when, wanted, light, answers, needed_focal(kit, wanted),
        needed_distance(kit, wanted, answers) if missing == "distance" or wanted.distance is not None else (),
        needed_size(wanted, answers) if missing == "size" else (),
        missing, None, tuple(notes), cautions, why_first(answers),
    )  # fmt: skip


def _no_rig(shot: Shot, kit: Kit) -> str:
    if not kit.rigs:
        return "the profile holds no lens that fits a body: check mounts and what the lenses cover"
    choice = shot.rig
    parts = [] if choice is None else [p for p in (choice.body, choice.lens, choice.converter, choice.tube,
                                                  choice.close_up_lens) if p]  # fmt: skip
    return f"rig: {' + '.join(parts)} is not a combination that the profile allows"


def assess(plan: Plan, profile: Profile, setting: Setting, kit: Kit | None = None) -> PlanAnswers:
    """Answers to a whole plan. kit: the profile made ready, where the caller keeps it."""
    kit = kit or prepare(profile)
    shots = tuple(assess_shot(plan, shot, kit, setting) for shot in plan.shots)
    return gather(plan, profile, setting, kit, shots)


def gather(plan: Plan, profile: Profile, setting: Setting, kit: Kit, shots: tuple[ShotAnswers, ...]) -> PlanAnswers:
    """What belongs to the plan as a whole, round shots that have been assessed already."""
    tables = [distance_table(kit, s.wanted, s.rigs, s.shot.name) for s in shots if s.wanted is not None and s.rigs]
    exposures = [exposure_table(_first(s), s.light, s.shot.name) for s in shots if s.best is not None]
    lines = kit_list(profile)
    limit = profile.photographer.bag_limit
    return PlanAnswers(
        plan, profile, setting.time_zone, shots, plan_cautions(plan, setting.catalogue), lines, total_weight_kg(lines),
        None if limit is None else float(limit), tuple(t for t in tables if t is not None),
        tuple(t for t in exposures if t is not None),
    )  # fmt: skip


def _first(shot: ShotAnswers) -> Answer:
    return shot.rigs[0]
