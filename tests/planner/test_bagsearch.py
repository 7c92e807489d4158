"""The search for bags: exact against all sets of items, and cut short with a word where a kit is absurd."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.planner.bagsearch import lightest

ITEMS = st.integers(2, 9)


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[int], list[tuple[int, ...]], int]:
    count = draw(ITEMS)
    costs = draw(st.lists(st.integers(1, 60), min_size=count, max_size=count))
    way = st.sets(st.integers(0, count - 1), min_size=1, max_size=3).map(lambda s: sum(1 << i for i in s))
    wishes = draw(st.lists(st.lists(way, min_size=1, max_size=6).map(tuple), max_size=6))
    return costs, wishes, draw(st.integers(0, (1 << count) - 1))


def granted(wish: tuple[int, ...], items: int) -> bool:
    return any(way & items == way for way in wish)


def price(costs: list[int], items: int) -> int:
    return sum(costs[i] for i in range(len(costs)) if items >> i & 1)


@settings(max_examples=200, deadline=None)
@given(problems(), st.booleans())
def test_the_search_against_all_sets(problem: tuple[list[int], list[tuple[int, ...]], int], some: bool) -> None:
    # Exhaustive search over all sets of items.
    costs, wishes, packed_items = problem
    packed_items = packed_items if some else 0
    found = lightest(costs, wishes, packed_items)
    sets = [s for s in range(1 << len(costs)) if s & packed_items == packed_items]
    assert found is not None and found.proven
    assert found.cost == min(price(costs, s) for s in sets if all(granted(w, s) for w in wishes))
    assert all(granted(w, found.items) for w in wishes) and price(costs, found.items) == found.cost


def hard(rng: random.Random) -> tuple[list[int], list[tuple[int, ...]]]:
    """Many wishes on few items of like cost, where the first way taken is often the wrong one."""
    count = rng.randint(5, 10)
    costs = [rng.randint(4, 12) for _ in range(count)]
    wishes = [
        tuple(sum(1 << i for i in rng.sample(range(count), rng.choice([1, 2, 2, 3]))) for _ in range(rng.randint(2, 5)))
        for _ in range(rng.randint(3, 9))
    ]
    return costs, wishes


@pytest.mark.parametrize("seed", range(8))
def test_the_search_where_greed_goes_wrong(seed: int) -> None:
    # Exhaustive search over all sets of items, for sixty problems; taking each wish's cheapest way misses some of them.
    rng = random.Random(seed)
    greedy = 0
    for _ in range(60):
        costs, wishes = hard(rng)
        sets = [(price(costs, s), [granted(w, s) for w in wishes]) for s in range(1 << len(costs))]
        least = min(cost for cost, have in sets if all(have))
        found = lightest(costs, wishes)
        assert found is not None and found.cost == least
        cheapest = 0
        for wish in wishes:
            cheapest |= min(wish, key=lambda way: price(costs, way & ~cheapest))
        greedy += price(costs, cheapest) > least
    assert greedy > 5


def test_a_wish_without_a_way() -> None:
    assert lightest([1, 2], [(1,), ()]) is None


def test_an_absurd_kit_is_cut_short_and_says_so() -> None:
    rng = random.Random(5)
    count = 60
    costs = [rng.randint(1000, 1010) for _ in range(count)]
    wishes = [tuple({1 << a | 1 << b for a, b in (rng.sample(range(count), 2) for _ in range(60))}) for _ in range(40)]
    found = lightest(costs, wishes, most_nodes=300)
    assert found is not None and not found.proven and found.nodes <= 300
    assert all(granted(w, found.items) for w in wishes)
    assert lightest(costs, wishes, most_nodes=300) == found
