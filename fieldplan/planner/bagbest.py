"""Exact search for the best that a limit allows: the highest value, and of these the cheapest.

Items are bits of a whole number; each has a cost, a whole number. A wish has graded ways, each a set of items with what
it is worth: whole numbers, of which the first counts before the second, and so on. A wish gives what its best way that
is packed entirely is worth; values add up part by part. Branch and bound, item by item; each part is bounded by itself,
once by what the budget left allows each wish alone, once by sharing the budget among all of them, where an item's cost
is split among the wishes that may use it, which is never more than what a packing pays. A limit on nodes, not a clock,
bounds absurd kits; what is then found is told as not proven.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from fieldplan.planner.bagsearch import MOST_NODES, ItemCosts, bits

_ROUNDING = 1e-3  # of a cost: the shares are floats, the costs whole numbers
Worth = tuple[int, ...]
Graded = tuple[tuple[int, Worth], ...]


class Best(NamedTuple):
    """A packing: its items as bits, its cost, its value, whether it is proven best, and nodes."""

    items: int
    cost: int
    value: Worth
    proven: bool
    nodes: int


class _Open(NamedTuple):
    """A wish that may still give more: what it gives already, and its better ways, as what is still to be packed."""

    held: Worth
    ways: Graded

    def most(self) -> Worth:
        """Most that it may add, part by part."""
        parts = zip(zip(*(worth for _, worth in self.ways), strict=True), self.held, strict=True)
        return tuple(max(0, max(part) - held) for part, held in parts)


def best_ways(ways: Sequence[tuple[int, Worth]]) -> Graded:
    """The ways without those that pack everything of another one and are worth no more."""
    kept: list[tuple[int, Worth]] = []
    for way, worth in sorted(set(ways), key=lambda w: (w[0].bit_count(), tuple(-part for part in w[1]), w[0])):
        if not any(way & other == other and worth <= better for other, better in kept):
            kept.append((way, worth))
    return tuple(kept)


def best_within_limit(
    costs: Sequence[int], wishes: Sequence[Sequence[tuple[int, Worth]]], limit: int, packed: int = 0,
    most_nodes: int = MOST_NODES,
) -> Best | None:  # fmt: skip
    """The packing of the highest value at a cost of at most ``limit``, and of these the cheapest.

    None where what is packed in any case is over the limit by itself. All worths have the same number of parts, none
    below 0. A wish without a way gives nothing.
    """
    search = _Search(costs, limit, most_nodes)
    if search.cost.of(packed) > limit:
        return None
    parts = next((len(worth) for wish in wishes for _, worth in wish), 1)
    nothing = (0,) * parts
    search.best = (nothing, -search.cost.of(packed), -packed)
    search.go(packed, 0, nothing, [_Open(nothing, best_ways(wish)) for wish in wishes if wish])
    value, cost, items = search.best
    return Best(-items, -cost, value, search.nodes < most_nodes, search.nodes)


def _sum(one: Worth, other: Worth) -> Worth:
    return tuple(a + b for a, b in zip(one, other, strict=True))


class _Search:
    def __init__(self, costs: Sequence[int], limit: int, most_nodes: int) -> None:
        self.costs, self.cost, self.limit, self.most_nodes = costs, ItemCosts(costs), limit, most_nodes
        self.best: tuple[Worth, int, int] = ((), 0, 0)
        self.nodes = 0

    def go(self, chosen: int, out: int, closed: Worth, wishes: list[_Open]) -> None:
        """Everything with ``chosen`` and without ``out``. closed: value of the wishes that can give no more."""
        self.nodes += 1
        spent = self.cost.of(chosen)
        budget = self.limit - spent
        open_: list[_Open] = []
        value = closed
        for wish in wishes:
            now = self._open(wish, chosen, out, budget)
            value = _sum(value, now.held)
            if now.ways:
                open_.append(now)
            else:
                closed = _sum(closed, now.held)
        self.best = max(self.best, (value, -spent, -chosen))
        if not open_ or self.nodes >= self.most_nodes or self._hopeless(value, spent, open_, budget):
            return
        item = self._branch(open_)
        self.go(chosen | item, out, closed, open_)
        if self.nodes < self.most_nodes:
            self.go(chosen, out | item, closed, open_)

    def _open(self, wish: _Open, chosen: int, out: int, budget: int) -> _Open:
        """The wish with these chosen and those left out."""
        held = wish.held
        left: dict[int, Worth] = {}
        for way, worth in wish.ways:
            if way & out:
                continue
            rest = way & ~chosen
            if not rest:
                held = max(held, worth)
            elif left.get(rest, held) <= worth and self.cost.of(rest) <= budget:
                left[rest] = worth
        return _Open(held, tuple((way, worth) for way, worth in left.items() if worth > held))

    def _branch(self, open_: list[_Open]) -> int:
        """The item to decide on: of the best way of the wish with most to give, the one that most wishes may use."""
        wish = max(open_, key=lambda w: (w.most(), -len(w.ways)))
        way, _ = max(wish.ways, key=lambda w: (w[1], -self.cost.of(w[0]), -w[0]))
        users = {item: sum(any(way >> item & 1 for way, _ in wish.ways) for wish in open_) for item in bits(way)}
        return 1 << max(users, key=lambda item: (users[item], self.costs[item], -item))

    def _hopeless(self, value: Worth, spent: int, open_: list[_Open], budget: int) -> bool:
        """Whether nothing from here is better than the best so far."""
        best = self.best[0]
        most = [wish.most() for wish in open_]
        reach = tuple(have + sum(gains) for have, gains in zip(value, zip(*most, strict=True), strict=True))
        if reach < best:
            return True
        if reach == best:
            return spent + self._least(open_, most) >= -self.best[1]
        shares = self._shares(open_)
        for part, have in enumerate(value):
            # What a part may reach in the budget left: no way to a higher value where it stays behind the best.
            at_most = min(reach[part], have + self._shared(open_, shares, part, budget))
            if at_most != best[part]:
                return bool(at_most < best[part])
        return spent >= -self.best[1]

    def _least(self, open_: list[_Open], most: list[Worth]) -> int:
        """Least cost at which every wish gives all that it may."""
        full = [[way for way, worth in wish.ways if worth == _sum(wish.held, gain)]
                for wish, gain in zip(open_, most, strict=True)]  # fmt: skip
        if not all(full):
            return self.limit + 1
        shares = self._shares([_Open((), tuple((way, ()) for way in ways)) for ways in full])
        dearest = max(min(map(self.cost.of, ways)) for ways in full)
        together = sum(min(sum(shares[item] for item in bits(way)) for way in ways) for ways in full)
        return max(dearest, int(together - _ROUNDING))

    def _shares(self, open_: Sequence[_Open]) -> dict[int, float]:
        """Cost of each item, split among the wishes that may use it."""
        users: dict[int, int] = {}
        for wish in open_:
            union = 0
            for way, _ in wish.ways:
                union |= way
            for item in bits(union):
                users[item] = users.get(item, 0) + 1
        return {item: self.costs[item] / count for item, count in users.items()}

    def _shared(self, open_: list[_Open], shares: dict[int, float], part: int, budget: int) -> int:
        """Most that one part may gain when all wishes share the budget: the steepest steps first, the last in part."""
        steps: list[tuple[float, float]] = []  # (gain, price)
        for wish in open_:
            priced = sorted(
                (sum(shares[item] for item in bits(way)), worth[part] - wish.held[part])
                for way, worth in wish.ways
                if worth[part] > wish.held[part]
            )
            steps += _steepest(priced)
        left, gained = budget + _ROUNDING, 0.0
        for gain, price in sorted(steps, key=lambda step: -step[0] / max(step[1], _ROUNDING)):
            if price >= left:
                gained += gain * left / price
                break
            gained, left = gained + gain, left - price
        return int(gained + 1e-6)


def _steepest(priced: list[tuple[float, int]]) -> list[tuple[float, float]]:
    """Steps (gain, price) along the upper hull of priced gains, from nothing: each step less steep than the last."""
    hull: list[tuple[float, float]] = [(0.0, 0.0)]
    for price, gain in priced:
        if gain <= hull[-1][1]:
            continue
        while len(hull) > 1 and (gain - hull[-2][1]) * (hull[-1][0] - hull[-2][0]) >= (hull[-1][1] - hull[-2][1]) * (
            price - hull[-2][0]
        ):
            hull.pop()
        hull.append((price, gain))
    return [(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(hull)]
