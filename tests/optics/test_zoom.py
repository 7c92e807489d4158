"""Zooms: the setting that draws as wanted, against a scan of the whole range; the widest f-number between the ends."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.optics.framing import LensLaw, focus_at, largest_magnification, optic
from fieldplan.optics.zoom import setting_for, widest_f_number


@st.composite
def zooms(draw: st.DrawFn) -> LensLaw:
    short = draw(st.sampled_from([0.018, 0.024, 0.07, 0.1, 0.15]))
    long = short * draw(st.floats(1.5, 5.0))
    m0 = draw(st.sampled_from([0.1, 0.2, 0.3, 0.5]))
    return LensLaw(short, long, long * draw(st.floats(0.5, 1.0)) * (2.0 + m0 + 1.0 / m0), m0)


def size_at(law: LensLaw, setting: float, distance: float, *rest: float) -> float:
    focus = focus_at(optic(law, setting, *rest), distance)
    return 0.0 if focus is None else focus.magnification


@given(zooms(), st.floats(0.0, 1.0), st.floats(1.01, 100.0), st.sampled_from([1.0, 1.4, 2.0]))
def test_setting_for_reproduces(law: LensLaw, share: float, times: float, factor: float) -> None:
    assert law.closest_m is not None
    setting = law.short_m + (law.long_m - law.short_m) * share
    wanted = size_at(law, setting, law.closest_m * times, factor)
    found = setting_for(law, law.closest_m * times, wanted, factor)
    assert law.short_m <= found <= law.long_m
    assert size_at(law, found, law.closest_m * times, factor) == pytest.approx(wanted, rel=1e-8)


@settings(max_examples=25, deadline=None)
@given(
    zooms(),
    st.floats(-2.5, 0.5),
    st.floats(0.2, 1.5),
    st.sampled_from([(1.0, 0.0, 0.0), (1.4, 0.0, 0.0), (1.0, 0.025, 0.0), (1.0, 0.0, 2.0), (2.0, 0.012, 2.0)]),
)
def test_no_setting_of_a_scan_comes_nearer(
    law: LensLaw, exponent: float, distance: float, rest: tuple[float, float, float]
) -> None:
    wanted = 10.0**exponent

    def miss(setting: float) -> float:
        size = size_at(law, setting, distance, *rest)
        return math.inf if size == 0.0 else abs(math.log(size / wanted))

    ratio = law.long_m / law.short_m
    best = min(miss(law.short_m * ratio ** (i / 60)) for i in range(61))
    if best < math.inf:
        assert miss(setting_for(law, distance, wanted, *rest)) <= best + 0.02


@given(zooms(), st.floats(0.0, 1.0))
def test_closest_focus_holds_through_the_zoom(law: LensLaw, share: float) -> None:
    # Model: f0 = r f with the long end's r, and m there the far root of D0 = f0 (2 + m + 1/m).
    assert law.closest_m is not None and law.largest_magnification is not None
    setting = law.short_m + (law.long_m - law.short_m) * share
    lens = optic(law, setting)
    m = largest_magnification(lens)
    m0 = law.largest_magnification
    kept = law.closest_m * m0 / (1.0 + m0) ** 2 / law.long_m
    assert lens.nearest_m == law.closest_m
    assert kept * setting * (2.0 + m + 1.0 / m) == pytest.approx(law.closest_m)
    assert 0.0 < m <= m0 * (1.0 + 1e-9)


@given(zooms(), st.floats(1.0, 50.0), st.floats(0.0, 0.98), st.floats(0.01, 1.0))
def test_zooming_in_draws_larger(law: LensLaw, times: float, share: float, rest: float) -> None:
    assert law.closest_m is not None
    span = law.long_m - law.short_m
    settings_m = [law.short_m + span * share, law.short_m + span * min(1.0, share + rest)]
    wide, tele = (size_at(law, setting, law.closest_m * times) for setting in settings_m)
    assert tele > wide


def test_out_of_reach_takes_the_nearer_end() -> None:
    law = LensLaw(0.1, 0.4, 1.0, 0.3)
    assert setting_for(law, 50.0, 0.5) == 0.4
    assert setting_for(law, 50.0, 1e-5) == 0.1
    assert setting_for(law, math.inf, 0.1) == setting_for(law, 10.0, 0.0) == 0.4
    assert setting_for(LensLaw(0.3, 0.3), 10.0, 0.1) == 0.3


def test_more_than_life_size_is_sought_at_the_largest() -> None:
    # 4 f is the shortest distance of a thin lens: 0.8 m is life size at 200 mm, and no setting draws larger there.
    law = LensLaw(0.05, 0.25)
    found = setting_for(law, 0.8, 2.0)
    assert found == pytest.approx(0.2)
    assert size_at(law, found, 0.8) == pytest.approx(1.0, rel=1e-3)


@given(st.floats(1.4, 6.0), st.floats(1.0, 2.0), st.floats(0.0, 1.0))
def test_widest_f_number_runs_between_the_ends(at_short: float, ratio: float, share: float) -> None:
    at_long = at_short * ratio
    at = widest_f_number(0.1, 0.4, at_short, at_long, 0.1 * 4.0**share)
    assert at_short * (1 - 1e-12) <= at <= at_long * (1 + 1e-12)
    assert math.log(at / at_short) == pytest.approx(share * math.log(ratio), abs=1e-9)


def test_widest_f_number_at_and_beyond_the_ends() -> None:
    assert widest_f_number(0.15, 0.6, 5.0, 6.3, 0.15) == widest_f_number(0.15, 0.6, 5.0, 6.3, 0.1) == 5.0
    assert widest_f_number(0.15, 0.6, 5.0, 6.3, 0.6) == widest_f_number(0.15, 0.6, 5.0, 6.3, 0.7) == 6.3
    assert widest_f_number(0.15, 0.6, 5.0, 6.3, 0.3) == pytest.approx(math.sqrt(5.0 * 6.3))
    assert widest_f_number(0.07, 0.2, 2.8, 2.8, 0.1) == 2.8
