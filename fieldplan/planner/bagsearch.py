"""Exact search over what to pack: the cheapest set of items that grants every wish.

Items are bits of a whole number; each has a cost, a whole number. A wish is granted when any one of its ways, a set of
items, is packed entirely. Branch and bound; the lower bound shares each item's cost among the wishes that may use it,
which is never more than what any packing pays. A limit on nodes, not a clock, bounds absurd kits; what is then found
is told as not proven.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

MOST_NODES = 20_000
_ROUNDING = 1e-3  # of a cost: the shares are floats, the costs whole numbers
Wish = tuple[int, ...]


class Found(NamedTuple):
    """A packing: its items as bits, its cost, the value of the wishes granted, whether it is proven best, and nodes."""

    items: int
    cost: int
    value: int
    proven: bool
    nodes: int


def bits(items: int) -> list[int]:
    """Indices of the items of a set."""
    found = []
    while items:
        low = items & -items
        found.append(low.bit_length() - 1)
        items ^= low
    return found


def smallest_ways(ways: Sequence[int]) -> Wish:
    """The ways without those that pack everything of another way and more."""
    kept: list[int] = []
    for way in sorted(set(ways), key=lambda w: (w.bit_count(), w)):
        if not any(way & other == other for other in kept):
            kept.append(way)
    return tuple(kept)


def _without_implied(wishes: Sequence[Wish]) -> list[Wish]:
    """Drop a wish that is granted whenever another one is."""
    kept: list[Wish] = []
    for wish in sorted(set(wishes), key=lambda w: (len(w), w)):
        if not any(all(any(a & b == b for b in wish) for a in other) for other in kept):
            kept.append(wish)
    return kept


class ItemCosts:
    """Costs of sets of items, remembered."""

    def __init__(self, costs: Sequence[int]) -> None:
        self.costs = costs
        self._known: dict[int, int] = {0: 0}

    def of(self, items: int) -> int:
        known = self._known.get(items)
        if known is None:
            low = items & -items
            known = self._known[items] = self.of(items ^ low) + self.costs[low.bit_length() - 1]
        return known


def _shares(wishes: Sequence[Wish], costs: Sequence[int]) -> list[float]:
    """For each wish the least that it adds to any packing, when every item's cost is shared among its users."""
    users: dict[int, int] = {}
    for wish in wishes:
        union = 0
        for way in wish:
            union |= way
        for item in bits(union):
            users[item] = users.get(item, 0) + 1
    share = {item: costs[item] / count for item, count in users.items()}
    known: dict[int, float] = {}

    def of(way: int) -> float:
        found = known.get(way)
        if found is None:
            found = known[way] = sum(share[item] for item in bits(way))
        return found

    return [min(map(of, wish)) for wish in wishes]


def _left(wishes: Sequence[Wish], chosen: int) -> list[Wish]:
    """What is still to be packed for each wish not yet granted."""
    left = []
    for wish in wishes:
        rest = {way & ~chosen for way in wish}
        if 0 not in rest:
            left.append(tuple(rest))
    return left


def lightest(
    costs: Sequence[int], wishes: Sequence[Wish], packed: int = 0, most_nodes: int = MOST_NODES
) -> Found | None:
    """The cheapest items that grant every wish, with ``packed`` in any case; None where a wish has no way at all.

    Among equals in cost the set with the lowest bits. value is the number of wishes.
    """
    if any(not wish for wish in wishes):
        return None
    search = _Lightest(costs, most_nodes)
    search.go(packed, _without_implied([smallest_ways(w) for w in _left(wishes, packed)]))
    cost, items = search.best
    return Found(items, cost, len(wishes), search.nodes < most_nodes, search.nodes)


class _Lightest:
    def __init__(self, costs: Sequence[int], most_nodes: int) -> None:
        self.costs, self.cost, self.most_nodes = costs, ItemCosts(costs), most_nodes
        self.best: tuple[int, int] = (1 << 200, 0)
        self.nodes = 0
        self._seen: set[int] = set()

    def go(self, chosen: int, wishes: list[Wish]) -> None:
        if chosen in self._seen:
            return
        self._seen.add(chosen)
        self.nodes += 1
        spent = self.cost.of(chosen)
        if not wishes:
            self.best = min(self.best, (spent, chosen))
            return
        known = self.best[0] < 1 << 200
        if known and self.nodes >= self.most_nodes:
            return
        cheapest = [min(map(self.cost.of, wish)) for wish in wishes]
        least = max(max(cheapest), sum(_shares(wishes, self.costs)) - _ROUNDING)
        if spent + least > self.best[0]:
            return
        at = min(range(len(wishes)), key=lambda i: (len(wishes[i]), -cheapest[i]))
        others = wishes[:at] + wishes[at + 1 :]
        for way in sorted(wishes[at], key=lambda w: (self._after(w, others), w)):
            if known and self.nodes >= self.most_nodes:
                return
            if spent + self.cost.of(way) <= self.best[0]:
                self.go(chosen | way, _without_implied([smallest_ways(w) for w in _left(others, way)]))
            known = self.best[0] < 1 << 200

    def _after(self, way: int, others: list[Wish]) -> int:
        """Cost of a way and of what the dearest other wish then still wants: the promising ways first."""
        rest = max((min(self.cost.of(w & ~way) for w in wish) for wish in others), default=0)
        return self.cost.of(way) + rest
