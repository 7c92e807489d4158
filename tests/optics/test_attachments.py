"""Tubes, close-up lenses and a converter behind them: the chain written out again as the reference."""

from __future__ import annotations

import math
from typing import NamedTuple

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldplan.optics.framing import LensLaw, distance_for, focus_at, largest_magnification, optic


class Chain(NamedTuple):
    """A printed prime, and what is screwed to it."""

    law: LensLaw
    factor: float
    tube_m: float
    power_d: float


@st.composite
def chains(draw: st.DrawFn) -> Chain:
    focal, m0 = draw(st.sampled_from([0.024, 0.05, 0.1, 0.2, 0.4])), draw(st.sampled_from([0.15, 0.25, 0.5, 1.0]))
    kept = draw(st.floats(0.5, 1.0))
    tube, power = draw(st.sampled_from([(0.012, 0.0), (0.036, 0.0), (0.0, 2.0), (0.0, 5.0), (0.025, 2.0)]))
    law = LensLaw(focal, focal, focal * kept * (2.0 + m0 + 1.0 / m0), m0)
    return Chain(law, draw(st.sampled_from([1.0, 1.4, 2.0])), tube, power)


def drawn(chain: Chain, own: float) -> tuple[float, float]:
    """(distance, magnification) with the lens at ``own``, step by step from object to image, converter last."""
    law = chain.law
    assert law.closest_m is not None and law.largest_magnification is not None
    m0 = law.largest_magnification
    f = law.long_m - (law.long_m - law.closest_m * m0 / (1.0 + m0) ** 2) * own / m0
    image = f * (1.0 + own) + chain.tube_m
    before = image * f / (image - f)  # the object, or its virtual image by the close-up lens
    object_m = 1.0 / (1.0 / before + chain.power_d)
    return object_m + image, chain.factor * image / object_m


@settings(deadline=None, max_examples=60)
@given(chains(), st.floats(0.0, 1.0))
def test_distance_for_agrees_with_the_chain_written_out(chain: Chain, share: float) -> None:
    assert chain.law.largest_magnification is not None
    own = chain.law.largest_magnification * share
    assume(share > 1e-6 or (share == 0.0 and chain.tube_m > 0.0))
    distance, magnification = drawn(chain, own)
    lens = optic(chain.law, chain.law.long_m, chain.factor, chain.tube_m, chain.power_d)
    found = distance_for(lens, magnification)
    assert found is not None
    focus = focus_at(lens, found)
    assert focus is not None
    assert found >= distance * (1.0 - 1e-6)  # the same, or a farther way to the same size
    assert focus.object_m + focus.image_m == pytest.approx(found)
    if magnification <= 1.0:  # past life size one distance has two sizes, and focusing takes the smaller
        assert focus.magnification == pytest.approx(magnification, rel=1e-4)
    else:
        assert focus.magnification <= magnification * (1.0 + 1e-5)
    assert lens.nearest_m <= distance * (1.0 + 1e-9) and distance <= lens.farthest_m * (1.0 + 1e-9)


@settings(deadline=None, max_examples=40)
@given(chains(), st.floats(0.001, 0.999))
def test_focus_agrees_with_a_slow_scan(chain: Chain, share: float) -> None:
    assert chain.law.largest_magnification is not None
    lens = optic(chain.law, chain.law.long_m, chain.factor, chain.tube_m, chain.power_d)
    target = lens.nearest_m + (lens.farthest_m - lens.nearest_m) * share
    assume(lens.nearest_m < target < lens.farthest_m)
    steps = 3000
    walk = [drawn(chain, chain.law.largest_magnification * max(i / steps, 1e-12)) for i in range(steps + 1)]
    falling = walk[0][0] > target
    passed = next(i for i, (distance, _) in enumerate(walk) if (distance > target) != falling)
    focus = focus_at(lens, target)
    assert focus is not None
    low, high = sorted((walk[passed - 1][1], walk[passed][1]))
    slack = 1e-9 + 0.2 * (high - low)
    assert low - slack <= focus.magnification <= high + slack
    assert focus.object_m + focus.image_m == pytest.approx(target)
    assert focus.image_m / focus.object_m == pytest.approx(focus.magnification)


@given(chains())
def test_the_largest_magnification_is_the_largest_of_the_chain(chain: Chain) -> None:
    assert chain.law.largest_magnification is not None
    lens = optic(chain.law, chain.law.long_m, chain.factor, chain.tube_m, chain.power_d)
    sizes = [drawn(chain, chain.law.largest_magnification * max(i, 1e-9) / 200)[1] for i in range(201)]
    assert largest_magnification(lens) == pytest.approx(max(sizes), rel=1e-4)
    assert distance_for(lens, largest_magnification(lens)) is not None
    assert distance_for(lens, largest_magnification(lens) * 1.001) is None
    assert distance_for(lens, min(sizes) * 0.99) is None


@given(chains())
def test_with_extension_or_close_up_lens_infinity_is_lost(chain: Chain) -> None:
    lens = optic(chain.law, chain.law.long_m, chain.factor, chain.tube_m, chain.power_d)
    assert lens.farthest_m < math.inf
    assert focus_at(lens, math.inf) is None
    assert focus_at(lens, lens.farthest_m * 1.001) is None
    assert focus_at(lens, lens.nearest_m * 0.999) is None
    for end in (lens.nearest_m, lens.farthest_m):
        assert focus_at(lens, end) is not None


@given(st.floats(0.02, 0.4), st.floats(0.5, 8.0), st.floats(0.01, 0.99))
def test_a_close_up_lens_scales_focal_length_and_f_number_alike(focal: float, power: float, share: float) -> None:
    lens = optic(LensLaw(focal, focal), focal, power_d=power)
    focus = focus_at(lens, lens.nearest_m + (lens.farthest_m - lens.nearest_m) * share)
    assert focus is not None
    assert focus.focal_m == pytest.approx(focal / (1.0 + focal * power))
    assert focus.f_number_factor == pytest.approx(focus.focal_m / focal)


@given(chains())
def test_only_a_close_up_lens_changes_the_f_number(chain: Chain) -> None:
    lens = optic(chain.law, chain.law.long_m, chain.factor, chain.tube_m, chain.power_d)
    focus = focus_at(lens, lens.nearest_m)
    assert focus is not None
    assert (focus.f_number_factor < 1.0) == (chain.power_d > 0.0)


@given(st.sampled_from([1.4, 2.0]), st.sampled_from([0.012, 0.025]), st.sampled_from([0.0, 2.0]))
def test_a_converter_behind_multiplies_at_the_same_distance(factor: float, tube: float, power: float) -> None:
    law = LensLaw(0.1, 0.1, 0.3, 1.0)
    bare, longer = optic(law, 0.1, 1.0, tube, power), optic(law, 0.1, factor, tube, power)
    assert longer.nearest_m == pytest.approx(bare.nearest_m)
    assert longer.farthest_m == pytest.approx(bare.farthest_m)
    middle = (bare.nearest_m + bare.farthest_m) / 2.0
    one, two = focus_at(bare, middle), focus_at(longer, middle)
    assert one is not None and two is not None
    assert two.magnification == pytest.approx(factor * one.magnification)
