"""The best that a limit allows: exact against all sets of items, part by part, and bounded where absurd."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.planner.bagbest import Worth, best_ways, best_within_limit

Ways = list[tuple[int, Worth]]
PARTS = 3


def price(costs: list[int], items: int) -> int:
    return sum(costs[i] for i in range(len(costs)) if items >> i & 1)


def worth(wishes: list[Ways], items: int) -> Worth:
    """Of each wish the best way held, added up part by part."""
    held = [max([w for way, w in wish if way & items == way], default=(0,) * PARTS) for wish in wishes]
    return tuple(sum(part) for part in zip(*held, (0,) * PARTS, strict=True))


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[int], list[Ways], int, int]:
    count = draw(st.integers(2, 9))
    costs = draw(st.lists(st.integers(1, 60), min_size=count, max_size=count))
    way = st.sets(st.integers(0, count - 1), min_size=1, max_size=3).map(lambda s: sum(1 << i for i in s))
    part = st.tuples(st.integers(0, 1), st.integers(0, 1), st.integers(0, 9))
    wishes = draw(st.lists(st.lists(st.tuples(way, part), max_size=7), max_size=6))
    return costs, wishes, draw(st.integers(0, 300)), draw(st.integers(0, (1 << count) - 1))


@settings(max_examples=250, deadline=None)
@given(problems(), st.booleans())
def test_the_best_against_all_sets(problem: tuple[list[int], list[Ways], int, int], some: bool) -> None:
    # Exhaustive search over all sets of items that are within the limit and hold what is packed in any case.
    costs, wishes, limit, packed = problem
    packed = packed if some else 0
    found = best_within_limit(costs, wishes, limit, packed)
    sets = [s for s in range(1 << len(costs)) if s & packed == packed and price(costs, s) <= limit]
    if not sets:
        assert found is None
        return
    assert found is not None and found.proven and found.items in sets
    parts = PARTS if any(wishes) else 1
    best = max((worth(wishes, s)[:parts], -price(costs, s)) for s in sets)
    assert (found.value, -found.cost) == best
    assert (worth(wishes, found.items)[:parts], -price(costs, found.items)) == best


@pytest.mark.parametrize("seed", range(6))
def test_where_greed_goes_wrong(seed: int) -> None:
    # Many wishes on few items of like cost: exhaustive, for forty problems; the cheapest ways first misses some.
    rng = random.Random(seed)
    greedy = 0
    for _ in range(40):
        count = rng.randint(6, 10)
        costs = [rng.randint(4, 12) for _ in range(count)]
        wishes = [
            [
                (sum(1 << i for i in rng.sample(range(count), rng.choice([1, 2, 3]))), (1, 0, rng.randint(0, 9)))
                for _ in range(rng.randint(2, 6))
            ]
            for _ in range(rng.randint(3, 9))
        ]
        limit = rng.randint(8, sum(costs) // 2)
        best = max((worth(wishes, s), -price(costs, s)) for s in range(1 << count) if price(costs, s) <= limit)
        found = best_within_limit(costs, wishes, limit)
        assert found is not None and (found.value, -found.cost) == best
        packed = 0
        for way, _ in sorted((way for wish in wishes for way in wish), key=lambda w: price(costs, w[0])):
            if price(costs, packed | way) <= limit:
                packed |= way
        greedy += (worth(wishes, packed), -price(costs, packed)) < best
    assert greedy > 5


def test_a_way_that_packs_more_for_no_more_is_left_out() -> None:
    assert best_ways([(3, (1, 0)), (1, (1, 0)), (5, (1, 2)), (1, (0, 9))]) == ((1, (1, 0)), (5, (1, 2)))


def test_an_absurd_kit_is_cut_short_and_says_so() -> None:
    rng = random.Random(5)
    costs = [rng.randint(1000, 1010) for _ in range(60)]
    pairs = [[rng.sample(range(60), 2) for _ in range(60)] for _ in range(40)]
    wishes = [[(1 << a | 1 << b, (1, 0, rng.randint(0, 60))) for a, b in row] for row in pairs]
    found = best_within_limit(costs, wishes, 8000, most_nodes=300)
    assert found is not None and not found.proven and found.nodes <= 300 and found.cost <= 8000
    assert found.value == worth(wishes, found.items)
    assert best_within_limit(costs, wishes, 8000, most_nodes=300) == found
