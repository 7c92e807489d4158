"""Roots and dips against SciPy's own (brentq, minimize_scalar), a library of general use."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from fieldplan.optics.searching import least, passed

CURVES: tuple[Callable[[float], float], ...] = (
    lambda x: x**3 - 2.0 * x - 5.0,
    lambda x: math.exp(x) - 10.0,
    lambda x: math.atan(5.0 * (x - 1.7)),
    lambda x: (x - 1.25) ** 9,
    lambda x: 1.0 - 2.5 / x,
)


@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize("turned", [False, True])
def test_crossings_agree_with_brentq(curve: Callable[[float], float], turned: bool) -> None:
    low, high = (3.0, 0.1) if turned else (0.1, 3.0)
    wanted = brentq(curve, 0.1, 3.0, xtol=1e-15, rtol=1e-14, maxiter=2000)
    flat = 1e-4 if curve is CURVES[3] else 1e-12  # a ninth power is lost in rounding long before its root
    assert passed(curve, low, high) == pytest.approx(wanted, rel=flat)


def test_a_value_that_is_infinite_at_an_end_is_halved_away() -> None:
    calls = 0

    def distance(m: float) -> float:
        nonlocal calls
        calls += 1
        return 2.0 + m + 1.0 / m - 12.0 if m > 0.0 else math.inf

    assert passed(distance, 0.0, 1.0) == pytest.approx(5.0 - math.sqrt(24.0), rel=1e-14)  # m^2 - 10 m + 1 = 0
    assert calls < 30


@given(st.floats(-3.0, 3.0), st.floats(0.3, 3.0), st.floats(0.2, 20.0))
def test_dips_agree_with_minimize_scalar(dip: float, width: float, steep: float) -> None:
    def bowl(x: float) -> float:
        return math.cosh(steep * (x - dip)) + 0.3 * (x - dip) ** 2

    low, high = dip - width, dip + 0.7 * width
    found = least(bowl, low, high)
    reference = minimize_scalar(bowl, bounds=(low, high), method="bounded", options={"xatol": 1e-10})
    assert found == pytest.approx(reference.x, abs=2e-6 * width)
    assert bowl(found) <= bowl(dip) * (1.0 + 1e-12)
