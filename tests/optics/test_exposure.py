"""Exposure arithmetic: inverses, and the exact thirds of a stop."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.optics import exposure

F_NUMBERS = st.floats(0.95, 64.0)
TIMES = st.floats(1e-5, 100.0)
ISOS = st.floats(25.0, 400_000.0)


@given(F_NUMBERS, TIMES, ISOS)
def test_iso_and_time_reproduce_the_exposure_value(n: float, t: float, iso: float) -> None:
    ev = exposure.exposure_value(n, t, iso)
    assert exposure.iso_for(n, t, ev) == pytest.approx(iso)
    assert exposure.time_for(n, iso, ev) == pytest.approx(t)


@given(st.floats(-12.0, 20.0))
def test_light_and_exposure_value_are_inverse(ev: float) -> None:
    assert exposure.ev100_of_lux(exposure.illuminance_lux(ev)) == pytest.approx(ev, abs=1e-9)
    assert exposure.ev100_of_luminance(exposure.luminance_cd_m2(ev)) == pytest.approx(ev, abs=1e-9)


def test_no_light_at_all() -> None:
    assert exposure.ev100_of_lux(0.0) == exposure.ev100_of_luminance(0.0) == -math.inf


@given(st.floats(0.0, 10.0), F_NUMBERS, st.floats(0.5, 2.0))
def test_close_up_loss_is_the_effective_f_number_in_stops(m: float, n: float, pupil_ratio: float) -> None:
    lost = exposure.stops_between(exposure.effective_f_number(n, m, pupil_ratio) ** 2, n**2)
    assert lost == pytest.approx(exposure.close_up_loss_stops(m, pupil_ratio), abs=1e-9)


@given(st.integers(-40, 40))
def test_exact_thirds_stay_where_they_are(k: int) -> None:
    assert exposure.iso_third_up(100.0 * 2 ** (k / 3)) == pytest.approx(100.0 * 2 ** (k / 3))
    assert exposure.time_third_faster(2 ** (k / 3)) == pytest.approx(2 ** (k / 3))
    assert exposure.f_number_third_up(2 ** (k / 6)) == pytest.approx(2 ** (k / 6))
    assert exposure.iso_third_nearest(100.0 * 2 ** ((k + 0.49) / 3)) == pytest.approx(100.0 * 2 ** (k / 3))


@given(F_NUMBERS, TIMES, ISOS)
def test_the_next_third_is_on_the_safe_side_by_less_than_a_third(n: float, t: float, iso: float) -> None:
    slack = 1e-8
    assert -slack <= exposure.stops_between(exposure.iso_third_up(iso), iso) < 1 / 3 + slack
    assert -slack <= exposure.stops_between(t, exposure.time_third_faster(t)) < 1 / 3 + slack
    assert -slack <= 2.0 * exposure.stops_between(exposure.f_number_third_up(n), n) < 1 / 3 + slack
    assert abs(exposure.stops_between(exposure.iso_third_nearest(iso), iso)) <= 1 / 6 + slack


@given(st.floats(0.95, 8.0), st.floats(11.0, 45.0))
def test_f_number_thirds_climb_from_the_typed_value(widest: float, smallest: float) -> None:
    marks = exposure.f_number_thirds(widest, smallest)
    assert marks[0] == widest
    steps = [2.0 * math.log2(b / a) for a, b in itertools.pairwise(marks)]
    assert all(step > 0.0 for step in steps)
    assert steps[1:] == pytest.approx([1 / 3] * (len(steps) - 1))
    assert steps[0] <= 1 / 3 + 1e-8
    assert abs(2.0 * math.log2(marks[-1] / smallest)) <= 1 / 6 + 1e-8


def test_three_thirds_are_a_stop() -> None:
    # ISO 517 and ISO 2720 series: f/2.8 to f/4, 1/125 to 1/250 (exactly 2^-7 to 2^-8), ISO 100 to 200.
    marks = exposure.f_number_thirds(2**1.5, 22.0)
    assert marks[3] == pytest.approx(4.0)
    assert marks[-1] == pytest.approx(2**4.5)
    assert exposure.time_third_faster(1 / 125) == pytest.approx(2**-7)
    assert exposure.time_third_faster(1 / 250) == pytest.approx(2**-8)
    assert exposure.iso_third_nearest(125.0) == pytest.approx(100.0 * 2 ** (1 / 3))
