"""The one way through: a typed plan and a gear profile become answers. No clock, no files, nothing global."""

from __future__ import annotations

import datetime as dt

from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, RigChoice, Shot
from fieldplan.notation.display import ev_text
from fieldplan.planner.answers import Answer, EndLight, Light, PlanAnswers, ShotAnswers, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.carrying import Carried, carried_of, carried_profile
from fieldplan.planner.cautions import SHIMMER_SUN_DEG, Surroundings, plan_cautions, shot_cautions
from fieldplan.planner.daylight import DayLight, day_light
from fieldplan.planner.discnotes import rig_notes, without_filter_none
from fieldplan.planner.kit import exposure_table, kit_list, total_weight_kg
from fieldplan.planner.ladder import light_ladder
from fieldplan.planner.landscape import not_asked
from fieldplan.planner.lighting import given_light, stepped
from fieldplan.planner.moments import clock_notes, moment, stretch
from fieldplan.planner.ranking import ranked, why_first
from fieldplan.planner.reach import distance_table, needed_distance, needed_focal, needed_size
from fieldplan.planner.rigs import Kit, Rig, prepare
from fieldplan.planner.scene import ASTRAY_STOPS, OPEN_GROUND, scene_light
from fieldplan.planner.setting import Setting
from fieldplan.planner.skycannot import cannot_be
from fieldplan.planner.skysubjects import (
    SkyMoment,
    disc_light,
    landmark_distance_m,
    moment_notes,
    sky_moment,
)
from fieldplan.planner.standladder import stand_ladder
from fieldplan.planner.standpoint import plan_from, standpoint_note
from fieldplan.planner.stars import with_stars
from fieldplan.planner.subjects import Unknown, resolve
from fieldplan.planner.tables import Ladder
from fieldplan.planner.times import angle_between_deg, half_angle_deg, is_sun
from fieldplan.planner.workday import band_notes, gained, working


def _chosen(rig: Rig, choice: RigChoice | None) -> bool:
    """Whether a rig is one that the shot names; a part left out is free."""
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
    scaled = wanted.magnification is not None
    if scaled and not sized:
        return None, "magnification wants the subject's size: give it a height or a width"
    if not sized and not placed:
        return None, "give the distance, or a subject with its size: without either there is nothing to reckon with"
    if sized and not placed and wanted.fill is None and not scaled:
        return None, "give the distance, or the share of the frame wanted"
    if not placed:
        return "distance", None
    if not sized:
        return ("size" if wanted.fill is not None and wanted.focal_m is not None else None), None
    if wanted.focal_m is None and (wanted.fill is not None or scaled):
        return "focal length", None
    return "share", None


def _surroundings(
    shot: Shot, when: dt.datetime | None, light: Light | None, best: Answer | None, setting: Setting
) -> Surroundings:
    """Where and when, for the cautions."""
    apart, up = None, False
    if light is not None and light.sun_altitude_deg is not None and light.sun_azimuth_deg is not None:
        up = light.sun_altitude_deg > -0.9
        if shot.aim is not None:
            apart = angle_between_deg(light.sun_azimuth_deg, light.sun_altitude_deg, shot.aim, shot.aim_altitude)
    frame = 0.0 if best is None else 2.0 * half_angle_deg(best)
    dark = light is not None and light.dark
    low = light is not None and light.sun_altitude_deg is not None and light.sun_altitude_deg < SHIMMER_SUN_DEG
    date = None if when is None else when.date()
    hour = None if when is None else when.hour
    return Surroundings(setting.countries, date, hour, up, apart, frame, dark, low)


def _light(plan: Plan, shot: Shot, when: dt.datetime | None, setting: Setting) -> Light | None:
    """The light as given; else reckoned from the sky, where position, zone, date and time are known.

    A given light also carries where sun and moon stand, when that can be known.
    """
    given = given_light(shot)
    if setting.book is None or when is None or when.tzinfo is None:
        return given
    scene = stepped(scene_light(plan, shot, setting.book, when), setting.light_step)
    if given is None:
        return scene
    return scene._replace(
        ev100=given.ev100, ev100_low=given.ev100_low, ev100_high=given.ev100_high,
        illuminance_lux=given.illuminance_lux, source=given.source, reason=given.reason + _beside(given, scene),
    )  # fmt: skip


def _beside(given: Light, scene: Light) -> str:
    """Where the light given is far from what the sky gives: that, too."""
    if abs(given.ev100 - scene.ev100) < ASTRAY_STOPS:
        return ""
    return f"; the sky then gives {ev_text(scene.ev100)}"


def assess_shot(plan: Plan, shot: Shot, kit: Kit, setting: Setting, times: bool = False) -> ShotAnswers:
    """Every rig for one shot, ranked. Fast enough to be called at each key press.

    times: also how long each rig works through the day and what giving one thing up buys (slower).
    """
    plan = plan_from(plan, shot)
    when = moment(plan, shot, setting.time_zone)
    scene = _light(plan, shot, when, setting)
    disc = sky_moment(shot.subject, plan.site, setting.book, when)
    light = disc_light(shot.subject, disc, scene)
    if light is not None:
        light = stepped(light, setting.light_step)

    def without(problem: str, wanted: Wanted | None = None, notes: tuple[str, ...] = ()) -> ShotAnswers:
        cautions = shot_cautions(wanted, shot.name, shot.subject, _surroundings(shot, when, scene, None, setting),
                                 setting.catalogue, plan.units)  # fmt: skip
        return ShotAnswers(shot, when, wanted, light, (), (), (), (), None, problem, notes, cautions, "")

    try:
        wanted = resolve(shot, setting.catalogue, kit.supports, kit.shake, plan.site, disc)
    except Unknown as unknown:
        return without(str(unknown))
    missing, problem = _missing(wanted)
    rigs = [rig for rig in kit.rigs if _chosen(rig, shot.rig)]
    if problem is None and not rigs:
        problem = _no_rig(plan, shot, kit)
    if problem is not None:
        return without(problem, wanted, wanted.notes)
    answers = ranked([assess_rig(rig, wanted, hold, light, plan.units) for rig in rigs for hold in wanted.holds])
    answers = without_filter_none(shot.subject, answers)
    never = cannot_be(shot, plan.site, setting.book, when, answers[0])
    around = _surroundings(shot, when, scene, answers[0], setting)
    cautions = shot_cautions(wanted, shot.name, shot.subject, around, setting.catalogue, plan.units)
    found = ShotAnswers(
        shot, when, wanted, light, answers, needed_focal(kit, wanted),
        needed_distance(kit, wanted, answers) if missing == "distance" or wanted.distance is not None else (),
        needed_size(wanted, answers) if missing == "size" else (),
        missing, None, _notes(plan, shot, wanted, light, disc, answers, setting, never), cautions, why_first(answers),
        cannot_be=never,
    )  # fmt: skip
    found = with_stars(plan, found)
    if times and shot.planned_distance is not None:
        before = shot.model_copy(update={"distance": shot.planned_distance, "planned_distance": None})
        found = found._replace(as_planned=assess_shot(plan, before, kit, setting).best)
    if times:
        spans = tuple(span for answer in answers for span in working(plan, shot, answer, setting))
        found = found._replace(times=spans, gains=gained(plan, shot, found, answers[0], kit, setting),
                               ends=_ends(plan, found, kit, setting))  # fmt: skip
    return found


def _ends(plan: Plan, found: ShotAnswers, kit: Kit, setting: Setting) -> tuple[EndLight, ...]:
    """Light and settings of the first answer at both ends of a stretch; empty for a single moment or a light given."""
    shot, own, best = found.shot, stretch(found), found.best
    if best is None or shot.light is not None or own is None or own[1] is None or own[0].tzinfo is None:
        return ()
    ends = []
    for when in (own[0], own[1]):
        alone = shot.model_copy(update={"start": None, "end": None, "time": when.time(), "date": when.date()})
        there = assess_shot(plan, alone, kit, setting)
        answer = next((a for a in there.rigs if (a.label, a.hold) == (best.label, best.hold)), None)
        if there.light is not None and answer is not None:
            ends.append(EndLight(when, there.light, answer))
    return tuple(ends)


def _notes(
    plan: Plan, shot: Shot, wanted: Wanted, light: Light | None, disc: SkyMoment | None,
    answers: tuple[Answer, ...], setting: Setting, never: tuple[str, ...],
) -> tuple[str, ...]:  # fmt: skip
    notes = [standpoint_note(plan.site, shot)] if plan.site is not None and shot.viewpoint is not None else []
    notes += [*moment_notes(shot.subject, disc, plan.site, plan.units), *wanted.notes]
    notes += [*clock_notes(plan, shot, setting.time_zone), *band_notes(shot, setting)]
    notes += rig_notes(shot.subject, landmark_distance_m(shot.subject, plan.site), answers, plan.units, not never)
    if asked := not_asked(wanted):
        notes.append(asked)
    if plan.carry and answers[0].verdict != "works":
        notes.append("only what the plan carries counts; page Gear, b: bags side by side")
    if light is None and disc is None and not is_sun(shot.subject):
        lacks = [what for what, there in (
            ("the site's position", plan.site is not None and plan.site.position is not None),
            ("a date", shot.date is not None or plan.date is not None),
            ("a time", shot.time is not None or shot.start is not None),
        ) if not there]  # fmt: skip
        missing = f"; to reckon it, add {' and '.join(lacks)}" if lacks else ""
        notes.append(f'no light, so no ISO: write light = "EV 12" or a row such as "open shade"{missing}')
    if any(a.magnification_assumed for a in answers):
        notes.append("a lens without its largest magnification is reckoned as 1:1 at its closest focus")
    return tuple(notes)


def _no_rig(plan: Plan, shot: Shot, kit: Kit) -> str:
    if not kit.rigs:
        held = "the profile holds" if not plan.carry else "the plan carries"
        return f"{held} no lens that fits a body: check mounts and what the lenses cover"
    choice = shot.rig
    parts = [] if choice is None else [p for p in (choice.body, choice.lens, choice.converter, choice.tube,
                                                  choice.close_up_lens) if p]  # fmt: skip
    allowed = "the profile allows" if not plan.carry else "the profile and what the plan carries allow"
    return f"rig: {' + '.join(parts)} is not a combination that {allowed}"


def assess(plan: Plan, profile: Profile, setting: Setting, kit: Kit | None = None) -> PlanAnswers:
    """Answers to a whole plan with what it carries. kit: that made ready, where the caller keeps it."""
    kit = kit or prepare(carried_profile(plan, profile))
    shots = tuple(assess_shot(plan, shot, kit, setting, times=True) for shot in plan.shots)
    return gather(plan, profile, setting, kit, shots)


def gather(plan: Plan, profile: Profile, setting: Setting, kit: Kit, shots: tuple[ShotAnswers, ...]) -> PlanAnswers:
    """What belongs to the plan as a whole, round shots that have been assessed already."""
    tables = [
        distance_table(kit, s.wanted, s.rigs, s.shot.name, plan.units) for s in shots if s.wanted is not None and s.rigs
    ]
    fastest = {rig.label: rig.fastest_s for rig in kit.rigs}
    exposures = [exposure_table(_first(s), s.light, s.shot.name, fastest.get(_first(s).label, 0.0))
                 for s in shots if s.best is not None]  # fmt: skip
    lines = kit_list(kit.profile, profile)
    limit = profile.photographer.bag_limit
    return PlanAnswers(
        plan, kit.profile, setting.time_zone, shots, plan_cautions(plan, setting.catalogue), lines,
        total_weight_kg(lines),
        None if limit is None else float(limit), tuple(t for t in tables if t is not None),
        tuple(t for t in exposures if t is not None), _ladders(plan, profile, setting, shots),
        tuple(rungs for s in shots if (rungs := stand_ladder(plan, s)) is not None),
        _carried(plan, profile, setting, shots), day=_sky_day(plan, setting),
    )  # fmt: skip


def _sky_day(plan: Plan, setting: Setting) -> DayLight | None:
    """Sun, twilights and moon of the plan's date at the site."""
    if setting.book is None or plan.date is None:
        return None
    day = setting.book.day(plan.date)
    return day_light(day, OPEN_GROUND) if day.end_s > day.start_s else None


def _carried(plan: Plan, profile: Profile, setting: Setting, shots: tuple[ShotAnswers, ...]) -> Carried | None:
    """What the plan carries, and which of its pictures want what stays at home."""
    if not plan.carry:
        return None
    everything = prepare(profile)
    return carried_of(plan, profile, shots, [assess_shot(plan, s.shot, everything, setting) for s in shots])


def _ladders(plan: Plan, profile: Profile, setting: Setting, shots: tuple[ShotAnswers, ...]) -> tuple[Ladder, ...]:
    if setting.book is None:
        return ()
    lowest = {body.name: float(body.lowest_iso) for body in profile.bodies}
    fastest = {body.name: float(body.fastest_shutter) for body in profile.bodies}
    found = [light_ladder(plan, s, setting.book, lowest.get(s.best.body), fastest.get(s.best.body, 0.0))
             for s in shots if s.best is not None]  # fmt: skip
    return tuple(ladder for ladder in found if ladder is not None)


def _first(shot: ShotAnswers) -> Answer:
    return shot.rigs[0]
