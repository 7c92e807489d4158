"""Framing: a slow scan of the stated model as the reference, inverses, and what must hold for every lens."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldplan.optics.framing import (
    LensLaw,
    distance_for,
    focus_at,
    image_distance_m,
    largest_magnification,
    needed_focal_m,
    optic,
    thin_lens_magnification,
)

FOCALS = st.floats(0.012, 0.8)
LARGEST = st.sampled_from([0.1, 0.15, 0.2, 0.25, 0.33, 0.5, 0.7, 1.0])


@st.composite
def printed_lenses(draw: st.DrawFn) -> LensLaw:
    """A prime as printed: up to half its focal length lost at closest focus, as internal focusing does."""
    focal, m0 = draw(FOCALS), draw(LARGEST)
    kept = draw(st.floats(0.5, 1.0))
    return LensLaw(focal, focal, focal * kept * (2.0 + m0 + 1.0 / m0), m0)


def scanned(law: LensLaw, distance_m: float, factor: float = 1.0, steps: int = 20_000) -> float | None:
    """Smallest m in (0, m0] with (f - (f-f0) m/m0)(2 + m + 1/m) = D, found by walking m up in small steps."""
    assert law.closest_m is not None and law.largest_magnification is not None
    m0 = law.largest_magnification * factor
    focal, at_closest = law.long_m * factor, law.closest_m * m0 / (1.0 + m0) ** 2
    for i in range(1, steps + 1):
        m = m0 * i / steps
        f = focal - (focal - at_closest) * m / m0
        if f * (2.0 + m + 1.0 / m) <= distance_m * (1.0 + 1e-12):
            return m
    return None


@settings(max_examples=40, deadline=None)
@given(printed_lenses(), st.floats(1.0, 30.0), st.sampled_from([1.0, 1.4, 2.0]))
def test_focus_agrees_with_a_slow_scan(law: LensLaw, times: float, factor: float) -> None:
    assert law.closest_m is not None
    lens = optic(law, law.long_m, factor)
    focus = focus_at(lens, law.closest_m * times)
    by_scan = scanned(law, law.closest_m * times, factor)
    assert focus is not None and by_scan is not None
    assert focus.magnification == pytest.approx(by_scan, abs=lens.own_limit / 20_000 * 1.01)


@given(printed_lenses(), st.sampled_from([1.0, 1.4, 1.7, 2.0]))
def test_closest_focus_draws_the_printed_magnification_times_the_converter(law: LensLaw, factor: float) -> None:
    assert law.closest_m is not None and law.largest_magnification is not None
    lens = optic(law, law.long_m, factor)
    wanted = law.largest_magnification * factor
    assert largest_magnification(lens) == pytest.approx(wanted)
    assert distance_for(lens, wanted) == pytest.approx(law.closest_m)
    assert lens.nearest_m == law.closest_m
    focus = focus_at(lens, law.closest_m)
    assert focus is not None
    assert focus.magnification <= wanted * (1.0 + 1e-9)
    if factor == 1.0:
        assert focus.magnification == pytest.approx(wanted, rel=1e-4)  # a double root at life size of a thin lens


@given(printed_lenses(), st.floats(1.001, 500.0), st.sampled_from([1.0, 1.4, 2.0]))
def test_focus_and_distance_are_inverse(law: LensLaw, times: float, factor: float) -> None:
    assert law.closest_m is not None
    lens = optic(law, law.long_m, factor)
    focus = focus_at(lens, law.closest_m * times)
    assert focus is not None
    assert focus.object_m + focus.image_m == pytest.approx(law.closest_m * times, rel=1e-9)
    assert focus.image_m == pytest.approx(focus.focal_m * (1.0 + focus.magnification))
    assert image_distance_m(focus.focal_m, focus.object_m) == pytest.approx(focus.image_m)
    assert distance_for(lens, focus.magnification) == pytest.approx(law.closest_m * times, rel=1e-7)


@given(printed_lenses(), st.floats(1.001, 100.0), st.floats(1.01, 5.0), st.sampled_from([1.0, 1.4]))
def test_the_image_shrinks_with_distance(law: LensLaw, times: float, further: float, factor: float) -> None:
    assert law.closest_m is not None
    lens = optic(law, law.long_m, factor)
    near, far = (focus_at(lens, law.closest_m * t) for t in (times, times * further))
    assert near is not None and far is not None
    assert near.magnification > far.magnification > 0.0


@given(FOCALS, st.floats(1.01, 3.0), st.floats(4.1, 1000.0))
def test_the_image_grows_with_focal_length(focal: float, longer: float, times: float) -> None:
    distance = times * focal * longer
    short, long = thin_lens_magnification(focal, distance), thin_lens_magnification(focal * longer, distance)
    assert short is not None and long is not None
    assert long > short
    assert needed_focal_m(distance, long) == pytest.approx(focal * longer)


@given(FOCALS, st.floats(1.0, 3.0), st.floats(2.0, 12.0))
def test_a_lens_without_figures_is_thin(focal: float, ratio: float, closest: float) -> None:
    lens = optic(LensLaw(focal, focal, focal * closest), focal)
    distance = focal * closest * ratio
    focus = focus_at(lens, distance)
    assert focus is not None
    assert lens.assumed_life_size == (closest < 4.0)
    if closest >= 4.0:
        assert focus.magnification == thin_lens_magnification(focal, distance) or math.isclose(
            focus.magnification, thin_lens_magnification(focal, distance) or 0.0, rel_tol=1e-6
        )
    else:
        assert largest_magnification(lens) == 1.0
        assert distance_for(lens, 1.0) == pytest.approx(focal * closest)


@given(FOCALS, st.floats(2.0, 12.0), st.sampled_from([1.4, 2.0]))
def test_a_converter_never_draws_more_than_its_factor_at_closest_focus(
    focal: float, closest: float, factor: float
) -> None:
    law = LensLaw(focal, focal, focal * closest)
    bare, longer = optic(law, focal), optic(law, focal, factor)
    assert largest_magnification(longer) == pytest.approx(factor * largest_magnification(bare))
    assert longer.assumed_life_size == bare.assumed_life_size
    assert longer.nearest_m == bare.nearest_m


def test_four_focal_lengths_are_life_size_whatever_the_rounding() -> None:
    # 26 * 0.001 is a hair over 0.026, so that 0.104 m falls a hair short of four times it.
    assert 0.104 / (26 * 0.001) < 4.0
    for focal_mm in range(10, 400):
        distance = float(f"{4 * focal_mm / 1000:.3f}")
        for focal in (focal_mm / 1000, focal_mm * 0.001):
            assert thin_lens_magnification(focal, distance) == pytest.approx(1.0, abs=1e-5)


@given(FOCALS, st.floats(0.1, 3.99))
def test_nearer_than_four_focal_lengths_a_thin_lens_has_no_picture(focal: float, times: float) -> None:
    assert thin_lens_magnification(focal, focal * times) is None
    assert focus_at(optic(LensLaw(focal, focal), focal), focal * times) is None


@given(printed_lenses())
def test_infinity(law: LensLaw) -> None:
    lens = optic(law, law.long_m)
    focus = focus_at(lens, math.inf)
    assert focus is not None
    assert (focus.magnification, focus.image_m, focus.object_m) == (0.0, law.long_m, math.inf)
    assert thin_lens_magnification(law.long_m, math.inf) == 0.0
    assert distance_for(lens, 0.0) is None
    assert needed_focal_m(math.inf, 0.1) == needed_focal_m(5.0, 0.0) == math.inf


@given(printed_lenses(), st.floats(0.1, 0.999))
def test_nearer_than_closest_focus_is_out_of_reach(law: LensLaw, times: float) -> None:
    assert law.closest_m is not None and law.largest_magnification is not None
    lens = optic(law, law.long_m)
    assert focus_at(lens, law.closest_m * times) is None
    assert distance_for(lens, law.largest_magnification * 1.01) is None


def test_the_object_must_lie_beyond_the_focal_length() -> None:
    with pytest.raises(ValueError, match="no real image"):
        image_distance_m(0.05, 0.05)
    assert image_distance_m(0.05, math.inf) == 0.05


@given(st.floats(0.03, 0.1), st.floats(0.5, 0.9))
def test_a_lens_for_five_times_life_size(focal: float, kept: float) -> None:
    m0 = 5.0
    closest = focal * kept * (2.0 + m0 + 1.0 / m0)
    lens = optic(LensLaw(focal, focal, closest, m0), focal)
    assert largest_magnification(lens) == 5.0
    assert distance_for(lens, 5.0) == pytest.approx(closest)
    focus = focus_at(lens, closest)
    by_scan = scanned(LensLaw(focal, focal, closest, m0), closest)
    assume(by_scan is not None)
    assert focus is not None
    assert focus.magnification == pytest.approx(by_scan, abs=5.0 / 20_000 * 1.01)
    assert focus.object_m + focus.image_m == pytest.approx(closest)
