"""Exact search over what to pack: the cheapest set of items that grants every wish, and the most wishes under a limit.

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


class _Costs:
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
        self.costs, self.cost, self.most_nodes = costs, _Costs(costs), most_nodes
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


def most_within(
    costs: Sequence[int], wishes: Sequence[Wish], values: Sequence[int], limit: int, packed: int = 0,
    most_nodes: int = MOST_NODES,
) -> Found | None:  # fmt: skip
    """The packing of the highest value at a cost of at most ``limit``, and of these the cheapest.

    None where what is packed in any case is over the limit by itself. A wish without a way is granted by nothing.
    """
    search = _Most(costs, limit, most_nodes)
    if search.cost.of(packed) > limit:
        return None
    pairs = [(smallest_ways(wish), value) for wish, value in zip(wishes, values, strict=True) if wish]
    search.go(packed, pairs, 0)
    value, cost, items = search.best
    return Found(-items, -cost, value, search.nodes < most_nodes, search.nodes)


class _Most:
    def __init__(self, costs: Sequence[int], limit: int, most_nodes: int) -> None:
        self.costs, self.cost, self.limit, self.most_nodes = costs, _Costs(costs), limit, most_nodes
        self.best: tuple[int, int, int] = (-1, 0, 0)
        self.nodes = 0
        self._seen: dict[tuple[int, tuple[Wish, ...]], int] = {}

    def go(self, chosen: int, pairs: list[tuple[Wish, int]], value: int) -> None:
        self.nodes += 1
        spent = self.cost.of(chosen)
        budget = self.limit - spent
        open_: list[tuple[Wish, int]] = []
        for wish, worth in pairs:
            rest = {way & ~chosen for way in wish}
            if 0 in rest:
                value += worth
                continue
            ways = smallest_ways([way for way in rest if self.cost.of(way) <= budget])
            if ways:
                open_.append((ways, worth))
        self.best = max(self.best, (value, -spent, -chosen))
        key = (chosen, tuple(sorted(wish for wish, _ in open_)))
        if not open_ or self.nodes >= self.most_nodes or self._seen.get(key, -1) >= value:
            return
        self._seen[key] = value
        if value + self._reach(open_, budget) <= self.best[0] and not self._may_save(open_, value, spent):
            return
        at = min(range(len(open_)), key=lambda i: (-open_[i][1], len(open_[i][0])))
        (wish, _), others = open_[at], open_[:at] + open_[at + 1 :]
        for way in sorted(wish, key=lambda w: (self.cost.of(w), w)):
            if self.nodes < self.most_nodes:
                self.go(chosen | way, open_, value)
        self.go(chosen, others, value)

    def _reach(self, open_: list[tuple[Wish, int]], budget: int) -> int:
        """Most value that the budget may still buy: wishes by share of cost, the last one in part."""
        shares = _shares([wish for wish, _ in open_], self.costs)
        reach, left = 0.0, budget + _ROUNDING
        for share, (_, worth) in sorted(zip(shares, open_, strict=True), key=lambda p: p[0] / p[1][1]):
            if share >= left:
                return int(reach + worth * left / share + 1e-9)
            reach, left = reach + worth, left - share
        return int(reach + 1e-9)

    def _may_save(self, open_: list[tuple[Wish, int]], value: int, spent: int) -> bool:
        """Whether the best value so far might also be had for less than what it costs."""
        wants = self.best[0] - value
        if wants <= 0 or value + sum(worth for _, worth in open_) < self.best[0]:
            return False
        least = min(min(map(self.cost.of, wish)) for wish, _ in open_)
        return spent + least < -self.best[1]
