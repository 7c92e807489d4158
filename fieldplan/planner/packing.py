"""What may go into a bag and which of it each picture wants: the table that the bags are chosen from."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

from fieldplan.model.gear import Extra, Item, Profile
from fieldplan.notation.numbers import shown
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.bagsearch import bits, smallest_ways
from fieldplan.planner.inpart import best_word, in_part
from fieldplan.planner.kit import line_of
from fieldplan.planner.ranking import order
from fieldplan.planner.rigs import Kit
from fieldplan.planner.tables import KitLine
from fieldplan.planner.trip import TripShot, again

GRAIN = 4096  # a cost is milligrams times this, plus one for each item: the lightest, and of these the fewest items
_MG = 1e6


class Thing(NamedTuple):
    """One item that may be packed, with the extras that go where it goes. Weights in kg, money as in the profile."""

    kind: str
    item: Item
    extras: tuple[Extra, ...]

    @property
    def name(self) -> str:
        return self.item.name

    @property
    def owned(self) -> bool:
        return self.item.owned

    @property
    def parts(self) -> tuple[tuple[str, Item], ...]:
        """The item and its extras, with their kinds."""
        return ((self.kind, self.item), *(("extra", extra) for extra in self.extras))

    @property
    def weight_kg(self) -> float:
        """Weight with its extras, unknown ones counted as nothing."""
        return sum(float(item.weight or 0.0) for _, item in self.parts)


class Way(NamedTuple):
    """One way to take a picture: the items that it wants, as bits, and what it makes of it."""

    items: int
    answer: Answer


class Want(NamedTuple):
    """One picture: its name, whether it must be had, and its ways, best first.

    parts: ways to have it nearly or partly, as (items, word), where nothing more is in the way. support: the one that
    the shot names.
    """

    shot: str
    must: bool
    ways: tuple[Way, ...]
    parts: tuple[tuple[int, str], ...] = ()
    support: str | None = None

    def done_by(self, items: int) -> Answer | None:
        """The best answer that a bag of these items holds; None where it holds none."""
        return next((way.answer for way in self.ways if way.items & items == way.items), None)

    def part_by(self, items: int) -> str:
        """ "nearly" or "partly" where a bag of these items has it so, and not wholly; else empty."""
        if self.done_by(items) is not None:
            return ""
        return best_word(word for way, word in self.parts if way & items == way)


class Packing(NamedTuple):
    """Everything that may be packed, what goes along in any case, and what each picture wants.

    loose: the bag and the extras that belong to no one item, with their kinds. stray: extras for something that the
    profile lacks.
    """

    profile: Profile
    things: tuple[Thing, ...]
    wants: tuple[Want, ...]
    loose: tuple[tuple[str, Item], ...]
    stray: tuple[str, ...]
    units: str

    @property
    def always(self) -> tuple[KitLine, ...]:
        """What goes along in any case, as lines of the kit list."""
        return tuple(line_of(kind, item) for kind, item in self.loose)

    @property
    def costs(self) -> tuple[int, ...]:
        """Cost of each thing for the search: see GRAIN."""
        return tuple(cost_of(thing.weight_kg) + 1 for thing in self.things)

    @property
    def owned(self) -> int:
        """Everything owned, as bits."""
        return sum(1 << i for i, thing in enumerate(self.things) if thing.owned)

    def named(self, names: Iterable[str]) -> int:
        """Things of these names, or that extras of these names go with, as bits; a bag or a loose extra is in none.

        Raises ValueError for a name that the profile lacks.
        """
        found = 0
        for name in names:
            here = [i for i, thing in enumerate(self.things) if name in (thing.name, *(e.name for e in thing.extras))]
            if not here and not any(item.name == name for item in (*self.profile.bags, *self.profile.extras)):
                raise ValueError(f"{shown(name)} is not in the profile")
            found |= sum(1 << i for i in here)
        return found

    def of_kind(self, kind: str, items: int) -> list[int]:
        """Indices of the things of a kind among the items."""
        return [i for i in bits(items) if self.things[i].kind == kind]


def cost_of(weight_kg: float) -> int:
    """A weight as a whole number for the search."""
    return round(weight_kg * _MG) * GRAIN


def _items(profile: Profile) -> list[tuple[str, Item]]:
    groups: tuple[tuple[str, Sequence[Item]], ...] = (
        ("body", profile.bodies), ("lens", profile.lenses), ("converter", profile.converters), ("tube", profile.tubes),
        ("close-up lens", profile.close_up_lenses), ("flash", profile.flashes), ("support", profile.supports),
    )  # fmt: skip
    return [(kind, item) for kind, items in groups for item in items]


def _things(profile: Profile, insisted: Collection[str]) -> tuple[Thing, ...]:
    """Every item with its extras; an extra goes with the first item of the name that it is for.

    An extra that is not owned goes with what is not owned either, for it is bought with it, or where it is insisted on.
    """
    items = _items(profile)
    first: dict[str, int] = {}
    for index, (_, item) in enumerate(items):
        first.setdefault(item.name, index)

    def goes(extra: Extra, index: int, item: Item) -> bool:
        wanted = extra.owned or not item.owned or extra.name in insisted
        return wanted and extra.for_body is not None and first.get(extra.for_body) == index

    return tuple(
        Thing(kind, item, tuple(e for e in profile.extras if goes(e, index, item)))
        for index, (kind, item) in enumerate(items)
    )


def lines_of(thing: Thing) -> Iterator[KitLine]:
    """A thing and its extras as lines of the kit list."""
    return (line_of(kind, item) for kind, item in thing.parts)


def _loose(profile: Profile, insisted: Collection[str], names: set[str]) -> tuple[tuple[str, Item], ...]:
    """The bags (those insisted on, else the first owned) and the extras, owned or insisted on, of no one item."""
    bags = [b for b in profile.bags if b.name in insisted] or [b for b in profile.bags if b.owned][:1]
    loose = [e for e in profile.extras
             if (e.owned or e.name in insisted) and (e.for_body is None or e.for_body not in names)]  # fmt: skip
    return (*(("bag", b) for b in bags), *(("extra", e) for e in loose))


def _wishes(shot: TripShot, kit: Kit) -> Iterator[tuple[str | None, Wanted]]:
    """The wish with each support of the profile, and hand-held; a shot that names no support as it is."""
    wanted = shot.found.wanted
    if wanted is None:
        return
    if wanted.support is None or wanted.support not in kit.supports:
        yield None, wanted
        return
    yield None, wanted._replace(support=None, shake_factor=kit.shake)
    for name, support in kit.supports.items():
        yield name, wanted._replace(support=name, shake_factor=kit.shake * support.shake)


def _want(shot: TripShot, kit: Kit, at: dict[tuple[str, str], int]) -> Want:
    rigs = {rig.label: rig for rig in kit.rigs}
    ways: list[Way] = []
    parts: dict[int, list[str]] = {}
    for support, wanted in _wishes(shot, kit):
        firm = () if support is None else (("support", support),)
        same = wanted == shot.found.wanted
        for answer in shot.found.rigs if same else again(shot, kit, wanted):
            if answer.verdict == "cannot":
                continue
            fitted = (("body", answer.body), ("lens", answer.lens), ("converter", answer.converter),
                      ("tube", answer.tube), ("close-up lens", answer.close_up_lens), *firm)  # fmt: skip
            items = sum(1 << at[kind, name] for kind, name in fitted if name is not None)
            if answer.verdict == "works":
                ways.append(Way(items, answer))
            elif part := in_part(rigs[answer.label], wanted, answer, shot.found.light, shot.plan.units):
                parts.setdefault(items, []).append(part.word)
    best: dict[int, Way] = {}
    for way in sorted(ways, key=lambda w: order(w.answer)):
        best.setdefault(way.items, way)
    told = tuple((items, best_word(found)) for items, found in parts.items() if items not in best)
    return Want(shot.name, shot.must, tuple(best.values()), told, shot.found.shot.support)


def packing(shots: Sequence[TripShot], kit: Kit, insisted: Collection[str] = ()) -> Packing:
    """The table for a trip's pictures, assessed with ``kit`` (made with ``candidates=True`` to consider buying).

    A picture counts as taken where its verdict is "works". One that names a support may be taken with any that
    serves, or by hand where that works; one that names none is taken by hand, as the plan says. insisted: names of
    bags and extras that go along, owned or not.
    """
    profile = kit.profile
    things = _things(profile, insisted)
    at = {(thing.kind, thing.name): i for i, thing in enumerate(things)}
    names = {thing.name for thing in things}
    lost = [e for e in profile.extras if e.for_body is not None and e.for_body not in names]
    stray = tuple(extra.name for extra in lost if extra.owned or extra.name in insisted)
    wants = tuple(_want(shot, kit, at) for shot in shots)
    units = shots[0].plan.units if shots else profile.units
    return Packing(profile, things, wants, _loose(profile, insisted, names), stray, units)


def ways_within(want: Want, allowed: int) -> tuple[int, ...]:
    """The smallest sets of allowed items that take a picture."""
    return smallest_ways([way.items for way in want.ways if way.items & ~allowed == 0])


def parts_within(want: Want, allowed: int) -> tuple[int, ...]:
    """The smallest sets of allowed items that have a picture nearly or partly."""
    return smallest_ways([way for way, _ in want.parts if way & ~allowed == 0])
