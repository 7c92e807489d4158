"""What a plan says goes along: the profile with only that counted as owned, what stays at home, what that costs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from fieldplan.model.gear import LISTS, Item, Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import ShotAnswers
from fieldplan.planner.kit import kit_list
from fieldplan.planner.tables import KitLine


class Missed(NamedTuple):
    """A picture that what is carried does not take. with_home: what of home would take it, None where nothing would."""

    shot: str
    must: bool
    with_home: str | None

    @property
    def text(self) -> str:
        return f"{self.shot} ({'nothing owned takes it' if self.with_home is None else f'{self.with_home} would'})"


class Carried(NamedTuple):
    """What a plan's ``carry`` comes to. home: owned and left; unknown: names that the profile lacks."""

    home: tuple[KitLine, ...]
    unknown: tuple[str, ...]
    missed: tuple[Missed, ...]

    @property
    def lines(self) -> tuple[tuple[str, str], ...]:
        """(label, text): what stays at home, pictures that cannot be taken, names that are none."""
        told = [("at home", ", ".join(line.name for line in self.home) or "nothing")]
        if self.missed:
            told.append(("not taken", "; ".join(missed.text for missed in self.missed)))
        if self.unknown:
            told.append(("unknown", f"carry names what the profile does not hold: {', '.join(self.unknown)}"))
        return tuple(told)


def carried_names(plan: Plan, profile: Profile) -> frozenset[str]:
    """What goes along by the plan's ``carry``: the names that the profile holds, the owned extras for what is named,
    and the first bag owned where no bag is named. Empty where the profile holds none of the names.
    """
    named = frozenset(plan.carry) & _names(profile)
    if not named:
        return named
    extras = {extra.name for extra in profile.extras if extra.owned and extra.for_body in named}
    bags = [] if any(bag.name in named for bag in profile.bags) else [b.name for b in profile.bags if b.owned][:1]
    return named | extras | frozenset(bags)


def carried_loose(profile: Profile, names: frozenset[str]) -> tuple[tuple[str, Item], ...]:
    """Bags and extras of no one item that are among the names carried, with their kinds."""
    items = {item.name for attribute, _ in LISTS.values() for item in getattr(profile, attribute)
             if attribute not in ("bags", "extras")}  # fmt: skip
    loose = [extra for extra in profile.extras if extra.name in names and extra.for_body not in items]
    return (*(("bag", bag) for bag in profile.bags if bag.name in names), *(("extra", extra) for extra in loose))


def carried_profile(plan: Plan, profile: Profile) -> Profile:
    """The profile with just what the plan carries counted as owned; as it is where the plan does not say.

    Something not owned that is carried counts as at hand: bought or rented by then. Names that the profile lacks are
    passed over; a profile that holds none of them is another one than the plan was packed from, and counts whole.
    """
    carried = carried_names(plan, profile)
    if not carried:
        return profile

    def held(item: Item) -> Item:
        along = item.name in carried
        return item if item.owned == along else item.model_copy(update={"owned": along})

    lists: dict[str, Any] = {
        attribute: tuple(held(item) for item in getattr(profile, attribute)) for attribute, _ in LISTS.values()
    }
    return profile.model_copy(update=lists)


def _names(profile: Profile) -> frozenset[str]:
    """Names of everything in a profile."""
    return frozenset(item.name for attribute, _ in LISTS.values() for item in getattr(profile, attribute))


def carried_of(
    plan: Plan, profile: Profile, shots: Sequence[ShotAnswers], whole: Sequence[ShotAnswers]
) -> Carried | None:
    """What the plan's ``carry`` comes to; None where it names nothing.

    profile: as in the file; shots: the plan's answers with what is carried; whole: with everything owned.
    """
    if not plan.carry:
        return None
    held = _names(profile)
    unknown = tuple(name for name in plan.carry if name not in held)
    names = carried_names(plan, profile) or held
    home = tuple(line for line in kit_list(profile) if line.name not in names)
    asked = [(s, w) for s, w in zip(shots, whole, strict=True) if w.problem is None]
    return Carried(home, unknown, tuple(_missed(s, w) for s, w in asked if not _works(s)))


def _works(shot: ShotAnswers) -> bool:
    return any(answer.verdict == "works" for answer in shot.rigs)


def _missed(shot: ShotAnswers, whole: ShotAnswers) -> Missed:
    label = next((answer.label for answer in whole.rigs if answer.verdict == "works"), None)
    return Missed(shot.shot.name, shot.shot.must, label)
