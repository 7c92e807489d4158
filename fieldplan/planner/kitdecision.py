"""The kit decision for a trip in one answer: what reaches what, bags side by side, the lightest bag, what more buys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.quantity import Value
from fieldplan.planner.bags import (
    NOTHING,
    Bag,
    Insist,
    Lightest,
    Option,
    best_within,
    lightest_bag,
    side_by_side,
    usual_choices,
)
from fieldplan.planner.carrying import carried_loose, carried_names
from fieldplan.planner.coverage import Coverage, coverage
from fieldplan.planner.gaining import Choice, choices_of
from fieldplan.planner.packing import Packing, packing
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.trip import TripShot, trip_shots


class KitDecision(NamedTuple):
    """Everything about what to pack. choices: bags side by side, as owned first.

    lightest: of what is owned; lightest_of_all: with what is not owned as well, None where everything is owned.
    best: the best within the limit of what is owned, None where there is no limit.
    """

    titles: tuple[str, ...]
    profile: Profile
    kit: Kit
    shots: tuple[TripShot, ...]
    coverage: Coverage
    packing: Packing
    choices: tuple[Choice, ...]
    lightest: Lightest
    lightest_of_all: Lightest | None
    best: Bag | None
    insist: Insist
    units: str

    @property
    def candidates(self) -> bool:
        """Whether anything in the profile is not owned."""
        return self.lightest_of_all is not None

    @property
    def impossible(self) -> tuple[str, ...]:
        """Must pictures (every picture, where none is marked) that nothing in the profile takes, owned or not."""
        return (self.lightest_of_all or self.lightest).impossible

    @property
    def limit_kg(self) -> float | None:
        return None if self.profile.photographer.bag_limit is None else float(self.profile.photographer.bag_limit)


def with_limit(profile: Profile, limit_kg: float | None) -> Profile:
    """The profile with another bag limit [kg]; as it is where that is None."""
    if limit_kg is None:
        return profile
    limit = Value(limit_kg, f"{trimmed(limit_kg)} kg")
    return profile.model_copy(update={"photographer": profile.photographer.model_copy(update={"bag_limit": limit})})


def decide(plans: Sequence[tuple[Plan, Setting]], profile: Profile, insist: Insist = NOTHING) -> KitDecision:
    """The kit decision for the pictures of one or more plans. The bag limit is the photographer's.

    Raises ValueError where a name that is insisted on is not in the profile.
    """
    kit = prepare(profile, candidates=True)
    shots = trip_shots(plans, kit)
    table = packing(shots, kit, frozenset(insist.names))
    everything = (1 << len(table.things)) - 1
    usual = list(usual_choices(table, insist))
    carried = [carried_names(plan, profile) for plan, _ in plans if plan.carry]
    if len(plans) == 1 and carried and carried[0]:
        usual.insert(1, _as_carried(table, carried[0]))
    sides = side_by_side(table, usual, insist)
    owned = lightest_bag(table, insist)
    of_all = None if everything == table.owned else lightest_bag(table, insist, everything)
    best = best_within(table, table.owned, insist=insist)
    return KitDecision(
        tuple(plan.title for plan, _ in plans), profile, kit, shots, coverage(shots, kit), table,
        choices_of(table, sides), owned, of_all, best, insist, table.units,
    )  # fmt: skip


def _as_carried(table: Packing, names: frozenset[str]) -> Option:
    """The bag that the plan says: just the bags and loose extras that it names, or its usual bag."""
    bits = sum(1 << i for i, thing in enumerate(table.things) if thing.name in names)
    return Option("as carried", bits, packing=table._replace(loose=carried_loose(table.profile, names)))
