"""What each entry of a log says for the learning: how its shutter stood to the limits, and the rest as numbers."""

from __future__ import annotations

import datetime as dt
import math
from typing import NamedTuple

from fieldplan.model.plan import Plan, Shot
from fieldplan.model.taken import MOVED, NOISE, SHAKE, LogEntry
from fieldplan.optics import blurlimits
from fieldplan.optics.framing import Focus, focus_at, optic
from fieldplan.planner.answers import Wanted
from fieldplan.planner.assess import circle_for
from fieldplan.planner.moments import moment, on_the_clock
from fieldplan.planner.owned import as_owned
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.scene import Conditions, conditions, estimate, reading_ev100
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import seconds
from fieldplan.planner.subjects import Unknown, resolve

_FOCAL_SLACK = 0.05  # a zoom's ends as files give them
_UNTOUCHED = 1e-3  # a distance this near to the planned one was logged as planned, not judged anew
_SAME_HOUR_S = 5400.0  # a reading tells of how a shot was lit when it was taken this close to it
_FAR_M = 1e6
_DARK_DEG = -8.0  # below this the sky is too dark for a reading to tell of sky and lighting


class Attempt(NamedTuple):
    """One entry. None where the entry, its shot or the profile does not say.

    shake_doublings: log2 of shutter over the hand's limit at a shake factor of 1, hand-held only; still: True sharp,
    False shaken; motion_doublings: log2 of shutter over the motion limit with nothing followed, where the subject was
    followed; followed: True sharp, False the subject smeared; distance_ratio: done over planned; kept_iso: of a picture
    marked as sharp, for one read from a file and not looked at says nothing; refused_iso: of one given up for its
    noise; body: as the profile calls it.
    """

    plan: str
    shot: str
    body: str | None
    shake_doublings: float | None
    still: bool | None
    motion_doublings: float | None
    followed: bool | None
    distance_ratio: float | None
    kept_iso: float | None
    refused_iso: float | None
    rig_known: bool


class Metering(NamedTuple):
    """One meter reading against the estimate: the sky, how the subject was lit, stops more than estimated."""

    plan: str
    sky: str
    lit: str
    stops: float


def attempts(plan: Plan, kit: Kit, setting: Setting) -> tuple[Attempt, ...]:
    """Every entry of a plan's log. kit: of the plan's own profile, with what is not owned."""
    shots = {shot.name: shot for shot in plan.shots}
    entries = (as_owned(entry, kit.profile) for entry in plan.taken)
    return tuple(_attempt(plan, entry, shots.get(entry.shot), kit, setting) for entry in entries)


def _attempt(plan: Plan, entry: LogEntry, shot: Shot | None, kit: Kit, setting: Setting) -> Attempt:
    wanted = _wanted(plan, shot, kit, setting)
    rig = _rig_of(entry, kit)
    focus = None if rig is None else _focus(entry, rig, wanted)
    shake = motion = None
    if rig is not None and focus is not None and entry.shutter is not None:
        circle = rig.print_circle if wanted is None else circle_for(rig, wanted)
        if entry.support is None:
            limit = blurlimits.shake_limit_s(circle, focus.image_m, 1.0, rig.stabilisation)
            shake = math.log2(float(entry.shutter) / limit)
        motion = _motion(entry, shot, wanted, focus, circle)
    noisy = entry.why is not None and entry.why.casefold() == NOISE
    return Attempt(
        plan.title,
        entry.shot,
        rig.body if rig is not None else entry.body,
        shake,
        _verdict(entry, SHAKE),
        motion,
        _verdict(entry, MOVED),
        _ratio(entry, shot, wanted),
        entry.iso if entry.sharp and not noisy else None,
        entry.iso if noisy else None,
        rig is not None,
    )


def _wanted(plan: Plan, shot: Shot | None, kit: Kit, setting: Setting) -> Wanted | None:
    if shot is None:
        return None
    try:
        return resolve(shot, setting.catalogue, kit.supports, 1.0, plan.site)
    except Unknown:
        return None


def _verdict(entry: LogEntry, cause: str) -> bool | None:
    """Sharp, or spoilt by this cause; a picture spoilt by another one says nothing of it."""
    if entry.sharp:
        return True
    spoilt = entry.sharp is False and entry.why is not None and entry.why.casefold() == cause
    return False if spoilt else None


def _rig_of(entry: LogEntry, kit: Kit) -> Rig | None:
    def same(a: str | None, b: str | None) -> bool:
        return (a or "").casefold() == (b or "").casefold()

    for rig in kit.rigs:
        extras = ((rig.converter, entry.converter), (rig.tube, entry.tube), (rig.close_up_lens, entry.close_up_lens))
        if same(rig.body, entry.body) and same(rig.lens, entry.lens) and all(same(a, b) for a, b in extras):
            return rig
    return None


def _focus(entry: LogEntry, rig: Rig, wanted: Wanted | None) -> Focus | None:
    """How the rig drew at the logged focal length and distance; at the planned distance where none was logged."""
    law = rig.law
    setting = law.long_m if rig.fixed is not None else None
    if entry.focal is not None and rig.fixed is None:
        asked = float(entry.focal) / rig.factor
        if not law.short_m * (1.0 - _FOCAL_SLACK) <= asked <= law.long_m * (1.0 + _FOCAL_SLACK):
            return None
        setting = min(max(asked, law.short_m), law.long_m)
    if setting is None:
        return None
    planned = None if wanted is None or wanted.distance is None else (wanted.distance[0] + wanted.distance[1]) / 2.0
    distance = float(entry.distance) if entry.distance is not None else planned
    return focus_at(optic(law, setting, rig.factor, rig.tube_m, rig.power_d), min(distance or _FAR_M, _FAR_M))


def _motion(
    entry: LogEntry, shot: Shot | None, wanted: Wanted | None, focus: Focus, circle: float
) -> float | None:  # fmt: skip
    """log2 of shutter over the motion limit with nothing followed; None where nothing moved or it was not followed."""
    panned = entry.panned if entry.panned is not None else shot.panned if shot is not None else None
    if not panned or wanted is None or entry.shutter is None:
        return None
    longest = max(
        ((ends[0] + ends[1]) / 2.0 for ends in (wanted.height, wanted.width) if ends is not None), default=0.0
    )
    speed = blurlimits.image_speed_m_s(
        focus.magnification, focus.object_m, wanted.speed_m_s, wanted.direction_deg, longest
    )
    limit = blurlimits.motion_limit_s(circle, speed)
    return math.log2(float(entry.shutter) / limit) if 0.0 < limit < math.inf else None


def _ratio(entry: LogEntry, shot: Shot | None, wanted: Wanted | None) -> float | None:
    """Distance done over planned, the middle of a range; None where it was logged just as it was planned.

    What was planned before the day counts: as the entry keeps it, else the shot.
    """
    ends = None if wanted is None else wanted.distance
    before = entry.planned_distance or (None if shot is None else shot.planned_distance)
    if before is not None:
        ends = (before.low, before.high)
    if entry.distance is None or ends is None:
        return None
    planned = (ends[0] + ends[1]) / 2.0
    ratio = float(entry.distance) / planned if math.isfinite(planned) and planned > 0.0 else math.inf
    return None if not math.isfinite(ratio) or ratio <= 0.0 or abs(ratio - 1.0) < _UNTOUCHED else ratio


def meterings(plan: Plan, setting: Setting) -> tuple[Metering, ...]:
    """Every reading of a plan against the estimate, as the shot nearest in time is lit; level ground where none is."""
    if setting.book is None:
        return ()
    found = []
    for reading in plan.readings:
        date = reading.date or plan.date
        if date is None:
            continue
        when = on_the_clock(date, reading.time, setting.book.zone)
        day = setting.book.day(when.date())
        given = _lit_as(plan, when, setting)
        state = day.state(seconds(when))
        if state.sun_altitude_deg < _DARK_DEG:
            continue
        raw = estimate(state, given)
        found.append(Metering(plan.title, given.sky, raw.lit, reading_ev100(reading) - raw.ev100))
    return tuple(found)


def _lit_as(plan: Plan, when: dt.datetime, setting: Setting) -> Conditions:
    """Conditions of the shot nearest in time, without the photographer's own offset."""
    moments = [(moment(plan, shot, setting.time_zone), shot) for shot in plan.shots]
    near = [(abs(seconds(at) - seconds(when)), i) for i, (at, _) in enumerate(moments) if at is not None and at.tzinfo]
    off, nearest = min(near, default=(math.inf, 0))
    if off <= _SAME_HOUR_S:
        return conditions(plan, moments[nearest][1])._replace(offset_stops=0.0)
    sky = plan.site.sky if plan.site is not None else "clear"
    return Conditions(sky, "level ground", None, 0.0)
