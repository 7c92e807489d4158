"""The search for crossings on curves whose crossings are known by algebra."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.sky.crossings import crossings

DAY_S = 86400.0


def wave(t: float) -> float:
    return math.sin(2.0 * math.pi * t / DAY_S)


def test_a_sine_passes_half_at_its_twelfths() -> None:
    found = crossings(wave, 0.5, 0.0, DAY_S)
    assert found == [
        (pytest.approx(DAY_S / 12.0, abs=0.002), True),
        (pytest.approx(DAY_S * 5 / 12.0, abs=0.002), False),
    ]


@given(st.floats(0.0, DAY_S), st.floats(1e-9, 1e-6))
def test_a_brief_visit_over_the_limit_shows_as_its_two_crossings(turn_s: float, depth: float) -> None:
    half_s = math.sqrt(depth) * 1e4  # of the parabola below

    def hill(t: float) -> float:
        return depth - ((t - turn_s) / 1e4) ** 2

    def valley(t: float) -> float:
        return -hill(t)

    expected = [t for t in (turn_s - half_s, turn_s + half_s) if 0.0 <= t < DAY_S]
    for curve, first_rises in ((hill, True), (valley, False)):
        found = crossings(curve, 0.0, 0.0, DAY_S)
        if all(abs(t - edge) > 0.01 for t in (turn_s - half_s, turn_s + half_s) for edge in (0.0, DAY_S)):
            assert [t for t, _ in found] == pytest.approx(expected, abs=0.002)
            if len(found) == 2:
                assert [rises for _, rises in found] == [first_rises, not first_rises]


def test_a_near_miss_is_no_crossing() -> None:
    assert crossings(lambda t: -1e-9 - ((t - 40_000.3) / 1e4) ** 2, 0.0, 0.0, DAY_S) == []
    assert crossings(lambda t: 5.0, 0.0, 0.0, DAY_S) == []
    assert crossings(lambda t: 0.0, 0.0, 0.0, DAY_S) == []


def test_a_jump_is_one_crossing() -> None:
    found = crossings(lambda t: 1.0 if t >= 1234.5 else -1.0, 0.0, 0.0, DAY_S)
    assert found == [(pytest.approx(1234.5, abs=0.002), True)]


def test_a_corner_is_followed_to_its_point() -> None:
    found = crossings(lambda t: 0.02 - abs(t - 50_011.0) / 1000.0, 0.0, 0.0, DAY_S)
    assert [t for t, _ in found] == pytest.approx([49_991.0, 50_031.0], abs=0.002)


def test_an_empty_span_has_none() -> None:
    assert crossings(wave, 0.0, 100.0, 100.0) == []


@given(st.lists(st.floats(0.0, 10 * DAY_S), min_size=1, max_size=12), st.floats(-0.999, 0.999))
def test_adjoining_spans_share_no_crossing_and_lose_none(cuts: list[float], limit: float) -> None:
    edges = sorted({0.0, *cuts, 10 * DAY_S})
    parts = [hit for a, b in pairwise(edges) for hit in crossings(wave, limit, a, b)]
    assert len(parts) == 20 if abs(limit) > 1e-9 else len(parts) in (19, 20)
    assert [rises for _, rises in parts] == [parts[0][1] == (k % 2 == 0) for k in range(len(parts))]


@given(st.floats(-0.9, 0.9))
def test_every_crossing_lies_within_the_half_open_span(limit: float) -> None:
    at_limit = math.asin(limit) / (2.0 * math.pi) * DAY_S
    for t, _ in crossings(wave, limit, at_limit, at_limit + DAY_S):
        assert at_limit <= t < at_limit + DAY_S
