"""The pictures of one plan, or of several that make a trip, each with its answers and a name of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.model.plan import Plan
from fieldplan.planner.answers import Answer, ShotAnswers, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import Kit
from fieldplan.planner.setting import Setting


class TripShot(NamedTuple):
    """One picture of a trip. name: the shot's; with its plan's title, date or place in the list where two share it."""

    name: str
    plan: Plan
    setting: Setting
    found: ShotAnswers

    @property
    def must(self) -> bool:
        return self.found.shot.must


def _names(plans: Sequence[Plan]) -> list[list[str]]:
    """A name for every shot of every plan, unique on the trip."""
    plain = [shot.name for plan in plans for shot in plan.shots]
    told = [f"{shot.name} ({plan.title})" for plan in plans for shot in plan.shots]
    dated = [
        f"{shot.name} ({plan.title}, {plan.date or f'plan {i}'})"
        for i, plan in enumerate(plans, 1)
        for shot in plan.shots
    ]
    numbered = [f"{shot.name} ({plan.title}, plan {i})" for i, plan in enumerate(plans, 1) for shot in plan.shots]
    names = []
    for ways in zip(plain, told, dated, numbered, strict=True):
        lists = (plain, told, dated, numbered)
        names.append(next((way for way, all_ in zip(ways, lists, strict=True) if all_.count(way) == 1), ways[-1]))
    rest = iter(names)
    return [[next(rest) for _ in plan.shots] for plan in plans]


def trip_shots(plans: Sequence[tuple[Plan, Setting]], kit: Kit) -> tuple[TripShot, ...]:
    """Every picture of the trip, assessed with the kit; ``prepare(profile, candidates=True)`` for the whole profile."""
    names = _names([plan for plan, _ in plans])
    return tuple(
        TripShot(name, plan, setting, assess_shot(plan, shot, kit, setting))
        for (plan, setting), row in zip(plans, names, strict=True)
        for shot, name in zip(plan.shots, row, strict=True)
    )


def again(shot: TripShot, kit: Kit, wanted: Wanted) -> tuple[Answer, ...]:
    """The shot's rigs, each held each way, assessed anew with something in the wish changed."""
    rigs = {rig.label: rig for rig in kit.rigs}
    return tuple(assess_rig(rigs[a.label], wanted, a.hold, shot.found.light, shot.plan.units) for a in shot.found.rigs)


def wish_as_owned(shot: TripShot, kit: Kit) -> Wanted | None:
    """The shot's wish, by hand where it names a support that is not owned."""
    wanted = shot.found.wanted
    lacking = {support.name for support in kit.profile.supports if not support.owned}
    if wanted is None or wanted.support not in lacking:
        return wanted
    return wanted._replace(support=None, shake_factor=kit.shake)
