"""Whole bags side by side: pictures kept and lost by name, kilograms, money; and the lightest bag that does the job."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

from fieldplan.notation.display import weight_text
from fieldplan.notation.numbers import trimmed
from fieldplan.planner.answers import Answer
from fieldplan.planner.bagaim import graded_wishes
from fieldplan.planner.bagbest import best_within_limit
from fieldplan.planner.bagsearch import bits, lightest
from fieldplan.planner.furthering import Further, further_items
from fieldplan.planner.packing import Packing, cost_of, lines_of, parts_within, ways_within
from fieldplan.planner.purchase import drags_along
from fieldplan.planner.tables import KitLine

_WORK = 2_000_000  # ways looked at in one search, at most: it bounds the nodes of absurd kits
_FEWEST_NODES, _MOST_NODES = 300, 20_000


class Insist(NamedTuple):
    """What goes along whether a picture wants it or not: names of the profile, and how many bodies at least."""

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
        rent = "" if len(self.no_rent) == len(self.names) else f", to rent {trimmed(self.rent, 0)} a trip"
        if rent and self.no_rent:
            rent += f" and {', '.join(self.no_rent)}, rent not known"
        return f"{buy}{some}{rent}"


class Bag(NamedTuple):
    """One whole bag. weight_kg: with bag and extras, unknown weights counted as nothing and named in ``unweighed``.

    done: each picture that it takes with the best answer to it. in_part: pictures that it has "nearly" or "partly",
    with the word; they stand among those lost too. drags: what is not owned, and what comes with it, one at a time.
    proven: nothing better is to be had of its kind; False where the search was cut short.
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
    drags: tuple[tuple[str, str], ...]
    proven: bool
    units: str
    in_part: tuple[tuple[str, str], ...] = ()

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
        if self.in_part:
            parts.append(", ".join(f"{shot} {word}" for shot, word in self.in_part))
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


class Option(NamedTuple):
    """A bag to set beside others: its items, and those that stay in it whatever the limit, both as bits.

    packing: the table with what goes along in any case, where that is not the usual.
    """

    name: str
    items: int
    keep: int = 0
    packing: Packing | None = None


class Lightest(NamedTuple):
    """The lightest bag for every must picture; impossible: musts that nothing allowed takes, not even in part.

    further: what more buys. all_count: no picture is marked a must, so every picture was counted as one. others_count:
    no must can be had, so every other picture was counted.
    """

    bag: Bag
    impossible: tuple[str, ...]
    further: tuple[Further, ...]
    all_count: bool
    others_count: bool
    notes: tuple[str, ...]


def _nodes(ways: Sequence[Sequence[int]]) -> int:
    """Nodes that a search may take, fewer where each looks at more."""
    return max(_FEWEST_NODES, min(_MOST_NODES, _WORK // max(1, sum(map(len, ways)))))


def _bodies(packing: Packing, allowed: int, count: int) -> tuple[int, ...]:
    """Sets of as many bodies as are insisted on, as far as there are so many."""
    bodies = [1 << i for i in packing.of_kind("body", allowed)]
    return tuple(sum(group) for group in combinations(bodies, min(count, len(bodies))))


def _money(packing: Packing, items: int) -> Money:
    parts = [*(part for i in bits(items) for part in packing.things[i].parts), *packing.loose]
    lacking = [item for _, item in parts if not item.owned]
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
    drags = [(t.name, text) for t in things if not t.owned for text in drags_along(t.item, packing.profile)]
    return Bag(
        name, items, lines, sum(line.weight_kg or 0.0 for line in lines), None if limit is None else float(limit),
        tuple(line.name for line in lines if line.weight_kg is None),
        tuple((want.shot, answer) for want, answer in answers if answer is not None),
        tuple(want.shot for want, answer in answers if answer is None and want.must),
        tuple(want.shot for want, answer in answers if answer is None and not want.must),
        _money(packing, items), tuple(drags), proven, packing.units,
        tuple((want.shot, word) for want in packing.wants if (word := want.part_by(items))),
    )  # fmt: skip


def lightest_bag(packing: Packing, insist: Insist = NOTHING, allowed: int | None = None) -> Lightest:
    """The lightest bag, of what is allowed (bits; left out: what is owned), that takes every must picture.

    Raises ValueError where a name that is insisted on is not in the profile.
    """
    packed = packing.named(insist.names)
    allowed = packing.owned | packed if allowed is None else allowed | packed
    musts = [want for want in packing.wants if want.must]
    counted = musts or list(packing.wants)
    had = {want.shot: ways_within(want, allowed) or parts_within(want, allowed) for want in counted}
    impossible = tuple(shot for shot, ways in had.items() if not ways)
    wishes = [ways for ways in had.values() if ways]
    others = not wishes and bool(musts)
    if others:
        wishes = [ways for want in packing.wants if not want.must and (ways := ways_within(want, allowed))]
    notes = []
    if insist.bodies:
        wishes.append(_bodies(packing, allowed, insist.bodies))
        notes += lacking_bodies(packing, allowed, insist)
    found = lightest(packing.costs, wishes, packed, _nodes(wishes))
    assert found is not None
    bag = bag_of(packing, found.items, "lightest", found.proven)
    if not found.proven:
        notes.append(f"search cut short after {found.nodes} steps: a lighter bag may exist")
    if packing.stray:
        notes.append(f"packed in any case, for something not in the profile: {', '.join(packing.stray)}")
    further = further_items(packing, found.items, allowed)
    return Lightest(bag, impossible, further, not musts, others and bool(bag.kept), tuple(notes))


def lacking_bodies(packing: Packing, allowed: int, insist: Insist) -> list[str]:
    """A sentence where fewer bodies are allowed than are insisted on."""
    held = len(packing.of_kind("body", allowed))
    return [f"fewer than {insist.bodies} bodies to pack: {held or 'none'}"] if held < insist.bodies else []


def best_within(
    packing: Packing, allowed: int, name: str = "best within the limit", insist: Insist = NOTHING, keep: int = 0
) -> Bag | None:
    """The best bag within the bag limit: see ``bagaim`` for what counts, and of equals the lightest.

    keep: items that stay in, as bits. None where there is no limit, or where what is insisted on is over it by itself.
    """
    limit = packing.profile.photographer.bag_limit
    if limit is None:
        return None
    packed = packing.named(insist.names) | keep
    allowed |= packed
    fixed = sum(line.weight_kg or 0.0 for line in packing.always)
    bodies = _bodies(packing, allowed, insist.bodies) if insist.bodies else ()
    wishes = graded_wishes(packing, allowed, bodies)
    room = cost_of(float(limit) - fixed) + len(packing.things)
    found = best_within_limit(packing.costs, wishes, room, packed, _nodes([[way for way, _ in w] for w in wishes]))
    if found is None or (bodies and 0 not in bodies and not found.value[0]):
        return None
    return bag_of(packing, found.items, name, found.proven)


def side_by_side(packing: Packing, choices: Sequence[Option], insist: Insist = NOTHING) -> tuple[Side, ...]:
    """Whole bags beside what is owned; the first of them is what the others are set against."""
    sides: list[Side] = []
    for option in choices:
        table = option.packing or packing
        whole = bag_of(table, option.items, option.name)
        named = f"{option.name}, within the limit"
        within = best_within(table, option.items, named, insist, option.keep) if whole.over_kg else whole
        first = sides[0] if sides else None
        base = whole if first is None else first.whole
        base_within = within if first is None else first.within
        gained, lost = _changed(base, whole)
        gained_within, lost_within = _changed(base_within, within)
        sides.append(Side(option.name, whole, within, gained, lost, gained_within, lost_within))
    return tuple(sides)


def _changed(before: Bag | None, after: Bag | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(pictures gained, pictures lost) from one bag to another."""
    old, new = (() if bag is None else bag.kept for bag in (before, after))
    return tuple(s for s in new if s not in old), tuple(s for s in old if s not in new)


def usual_choices(packing: Packing, insist: Insist = NOTHING) -> tuple[Option, ...]:
    """As owned; with each thing thought of, which then stays in; with all of them; without each support.

    What is insisted on is in every one of them.
    """
    packed = packing.named(insist.names)
    owned = packing.owned | packed
    bought = [packing.things[i].name for i in bits(packed & ~packing.owned)]
    more = [(i, thing) for i, thing in enumerate(packing.things) if not owned >> i & 1]
    choices = [Option(" + ".join(["as owned", *bought]), owned)]
    choices += [Option(f"+ {thing.name}", owned | 1 << i, 1 << i) for i, thing in more]
    if len(more) > 1:
        everything = owned | sum(1 << i for i, _ in more)
        over = bag_of(packing, everything, "").over_kg
        choices.append(Option("best of all of them" if over else "+ all of them", everything))
    supports = packing.of_kind("support", owned & ~packed)
    choices += [Option(f"without the {packing.things[i].name}", owned & ~(1 << i)) for i in supports]
    return tuple(choices)
