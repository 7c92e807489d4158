"""Whole bags side by side: pictures kept and lost by name, kilograms, money; and the lightest bag that does the job."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

from fieldplan.notation.display import weight_text
from fieldplan.notation.numbers import trimmed
from fieldplan.planner.answers import Answer, KitLine
from fieldplan.planner.bagsearch import Found, bits, lightest, most_within
from fieldplan.planner.furthering import Further, further_items
from fieldplan.planner.packing import Packing, cost_of, lines_of, ways_within
from fieldplan.planner.purchase import drags_along

_WORK = 2_000_000  # ways looked at in one search, at most: it bounds the nodes of absurd kits
_FEWEST_NODES, _MOST_NODES = 300, 20_000


class Insist(NamedTuple):
    """What goes along whether a picture wants it or not: names of items, and how many bodies at least."""

    names: tuple[str, ...] = ()
    bodies: int = 0


NOTHING = Insist()


class Money(NamedTuple):
    """What is not owned in a bag: names, what buying and what renting it costs (known prices), and what has none."""

    names: tuple[str, ...]
    buy: float
    rent: float
    no_price: tuple[str, ...]
    no_rent: tuple[str, ...]

    @property
    def text(self) -> str:
        """ "to buy 2000, to rent 90 a trip"; empty where everything is owned."""
        if not self.names:
            return ""
        buy = "price not known" if len(self.no_price) == len(self.names) else f"to buy {trimmed(self.buy, 0)}"
        some = f" and {', '.join(self.no_price)}, price not known" if 0 < len(self.no_price) < len(self.names) else ""
        rent = "" if self.no_rent else f", to rent {trimmed(self.rent, 0)} a trip"
        return f"{buy}{some}{rent}"


class Bag(NamedTuple):
    """One whole bag. weight_kg: with bag and extras, unknown weights counted as nothing and named in ``unweighed``.

    done: each picture that it takes with the best answer to it. proven: nothing better is to be had of its kind;
    False where the search was cut short.
    """

    name: str
    items: int
    lines: tuple[KitLine, ...]
    weight_kg: float
    limit_kg: float | None
    unweighed: tuple[str, ...]
    done: tuple[tuple[str, Answer], ...]
    lost_must: tuple[str, ...]
    lost_nice: tuple[str, ...]
    money: Money
    drags: tuple[str, ...]
    proven: bool
    units: str

    @property
    def kept(self) -> tuple[str, ...]:
        """Names of the pictures that it takes."""
        return tuple(shot for shot, _ in self.done)

    @property
    def over_kg(self) -> float:
        """Kilograms over the limit; 0 where within it or where there is none."""
        return 0.0 if self.limit_kg is None else max(0.0, round(self.weight_kg - self.limit_kg, 6))

    @property
    def text(self) -> str:
        """One line: pictures, weight against the limit, money."""
        total = len(self.done) + len(self.lost_must) + len(self.lost_nice)
        parts = [f"{len(self.done)} of {total} pictures", weight_text(self.weight_kg, self.units)]
        if self.limit_kg is not None:
            limit = weight_text(self.limit_kg, self.units)
            over = weight_text(self.over_kg, self.units)
            parts[-1] += f", {over} over the limit of {limit}" if self.over_kg > 5e-4 else f" of {limit}"
        if self.lost_must:
            parts.append(f"loses of the musts: {', '.join(self.lost_must)}")
        if self.lost_nice:
            parts.append(f"loses: {', '.join(self.lost_nice)}")
        if self.unweighed:
            parts.append(f"weight not known: {', '.join(self.unweighed)}")
        if self.money.text:
            parts.append(self.money.text)
        return "; ".join(parts)


class Side(NamedTuple):
    """One choice: everything of it packed; and, where that is over the limit, the best of it that is within.

    gained, given_up: pictures against what is owned, compared whole with whole; gained_within, given_up_within: the
    best within the limit against the best within the limit of what is owned.
    """

    name: str
    whole: Bag
    within: Bag | None
    gained: tuple[str, ...]
    given_up: tuple[str, ...]
    gained_within: tuple[str, ...]
    given_up_within: tuple[str, ...]


class Lightest(NamedTuple):
    """The lightest bag for every must picture; impossible: musts that nothing allowed takes. further: what more buys.

    all_count: no picture is marked a must, so every picture was counted as one.
    """

    bag: Bag
    impossible: tuple[str, ...]
    further: tuple[Further, ...]
    all_count: bool
    notes: tuple[str, ...]


def _nodes(ways: Sequence[Sequence[int]]) -> int:
    """Nodes that a search may take, fewer where each looks at more."""
    return max(_FEWEST_NODES, min(_MOST_NODES, _WORK // max(1, sum(map(len, ways)))))


def _bodies(packing: Packing, allowed: int, count: int) -> tuple[int, ...]:
    """Sets of as many bodies as are insisted on, as far as there are so many."""
    bodies = [1 << i for i in packing.of_kind("body", allowed)]
    return tuple(sum(group) for group in combinations(bodies, min(count, len(bodies))))


def _money(packing: Packing, items: int) -> Money:
    lacking = [item for i in bits(items) for _, item in packing.things[i].parts if not item.owned]
    return Money(
        tuple(item.name for item in lacking),
        sum(item.price or 0.0 for item in lacking),
        sum(item.rent or 0.0 for item in lacking),
        tuple(item.name for item in lacking if item.price is None),
        tuple(item.name for item in lacking if item.rent is None),
    )


def bag_of(packing: Packing, items: int, name: str, proven: bool = True) -> Bag:
    """Everything about one bag of these items (bits)."""
    things = [packing.things[i] for i in bits(items)]
    lines = (*(line for thing in things for line in lines_of(thing)), *packing.always)
    answers = [(want, want.done_by(items)) for want in packing.wants]
    limit = packing.profile.photographer.bag_limit
    drags = [f"{t.name}: {text}" for t in things if not t.owned for text in drags_along(t.item, packing.profile)]
    return Bag(
        name, items, lines, sum(line.weight_kg or 0.0 for line in lines), None if limit is None else float(limit),
        tuple(line.name for line in lines if line.weight_kg is None),
        tuple((want.shot, answer) for want, answer in answers if answer is not None),
        tuple(want.shot for want, answer in answers if answer is None and want.must),
        tuple(want.shot for want, answer in answers if answer is None and not want.must),
        _money(packing, items), tuple(drags), proven, packing.units,
    )  # fmt: skip


def lightest_bag(packing: Packing, insist: Insist = NOTHING, allowed: int | None = None) -> Lightest:
    """The lightest bag, of what is allowed (bits; left out: what is owned), that takes every must picture.

    Raises ValueError where a name that is insisted on is not in the profile.
    """
    packed = packing.named(insist.names)
    allowed = packing.owned | packed if allowed is None else allowed | packed
    musts = [want for want in packing.wants if want.must]
    counted = musts or list(packing.wants)
    ways = {want.shot: ways_within(want, allowed) for want in counted}
    impossible = tuple(shot for shot, found in ways.items() if not found)
    wishes = [found for found in ways.values() if found]
    notes = []
    if insist.bodies:
        wishes.append(_bodies(packing, allowed, insist.bodies))
        if len(packing.of_kind("body", allowed)) < insist.bodies:
            notes.append(f"fewer than {insist.bodies} bodies to pack")
    found = lightest(packing.costs, wishes, packed, _nodes(wishes))
    assert found is not None
    bag = bag_of(packing, found.items, "lightest", found.proven)
    if not found.proven:
        notes.append(f"search cut short after {found.nodes} steps: a lighter bag may exist")
    if packing.stray:
        notes.append(f"packed in any case, for something not in the profile: {', '.join(packing.stray)}")
    return Lightest(bag, impossible, further_items(packing, found.items, allowed), not musts, tuple(notes))


def best_within(
    packing: Packing, allowed: int, name: str = "best within the limit", insist: Insist = NOTHING
) -> Bag | None:
    """The bag with the most must pictures, then the most others, then the least weight, within the bag limit.

    None where there is no limit, or where what is insisted on is over it by itself.
    """
    limit = packing.profile.photographer.bag_limit
    if limit is None:
        return None
    packed = packing.named(insist.names)
    allowed |= packed
    fixed = sum(line.weight_kg or 0.0 for line in packing.always)
    worth = len(packing.wants) + 1
    wishes = [ways_within(want, allowed) for want in packing.wants]
    values = [worth if want.must else 1 for want in packing.wants]
    if insist.bodies:
        wishes.append(_bodies(packing, allowed, insist.bodies))
        values.append(worth * worth)
    room = cost_of(float(limit) - fixed) + len(packing.things)
    found: Found | None = most_within(packing.costs, wishes, values, room, packed, _nodes(wishes))
    return None if found is None else bag_of(packing, found.items, name, found.proven)


def side_by_side(packing: Packing, choices: Sequence[tuple[str, int]], insist: Insist = NOTHING) -> tuple[Side, ...]:
    """Whole bags (name, items as bits) beside what is owned; the first of them is what the others are set against."""
    sides: list[Side] = []
    for name, items in choices:
        whole = bag_of(packing, items, name)
        within = whole if whole.over_kg == 0.0 else best_within(packing, items, f"{name}, within the limit", insist)
        first = sides[0] if sides else None
        base = whole if first is None else first.whole
        base_within = within if first is None else first.within
        gained, lost = _changed(base, whole)
        gained_within, lost_within = _changed(base_within, within)
        sides.append(Side(name, whole, within, gained, lost, gained_within, lost_within))
    return tuple(sides)


def _changed(before: Bag | None, after: Bag | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(pictures gained, pictures lost) from one bag to another."""
    old, new = (() if bag is None else bag.kept for bag in (before, after))
    return tuple(s for s in new if s not in old), tuple(s for s in old if s not in new)


def usual_choices(packing: Packing) -> tuple[tuple[str, int], ...]:
    """As owned; with each thing thought of, and with all of them; without each support."""
    owned = packing.owned
    more = [(i, thing) for i, thing in enumerate(packing.things) if not thing.owned]
    choices = [("as owned", owned), *((f"+ {thing.name}", owned | 1 << i) for i, thing in more)]
    if len(more) > 1:
        choices.append(("+ all of them", owned | sum(1 << i for i, _ in more)))
    supports = packing.of_kind("support", owned)
    choices += [(f"without the {packing.things[i].name}", owned & ~(1 << i)) for i in supports]
    return tuple(choices)
