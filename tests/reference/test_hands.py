"""Distances from angles against trigonometry done by SymPy and the worked examples of an army handbook."""

from __future__ import annotations

import math

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.optics.hands import HAND_DEG, angle_deg, distance_for_angle_m

MIL_DEG = 360.0 / 6400.0  # the artillery mil, 6400 to the circle (NATO STANAG 2129)


@pytest.mark.parametrize(("width_m", "mils", "range_m"), [(10.0, 10.0, 1000.0), (10.0, 20.0, 500.0)])
def test_the_mil_relation_of_the_handbook(width_m: float, mils: float, range_m: float) -> None:
    """US Army TM 9-1240-407-12&P, on finding range: 10 m across 10 mils is 1000 m away, across 20 mils 500 m.

    The relation takes a mil as a thousandth of a radian; the mil of 6400 to the circle is 1.86 % smaller.
    """
    assert distance_for_angle_m(width_m, math.degrees(mils / 1000.0)) == pytest.approx(range_m, rel=1e-4)
    assert distance_for_angle_m(width_m, mils * MIL_DEG) == pytest.approx(range_m, rel=0.02)


@pytest.mark.parametrize("size", ["1/5", "9/10", "17/10"])
@pytest.mark.parametrize("degrees", [1, 2, 5, 10, 20, 60])
def test_against_the_law_of_sines_by_sympy(size: str, degrees: int) -> None:
    """The isosceles triangle with base s and apex a: legs by the law of sines, height by Pythagoras, 30 digits."""
    s, a = sympy.Rational(size), sympy.pi * degrees / 180
    leg = s * sympy.sin((sympy.pi - a) / 2) / sympy.sin(a)
    height = sympy.N(sympy.sqrt(leg**2 - (s / 2) ** 2), 30)
    assert distance_for_angle_m(float(s), float(degrees)) == pytest.approx(float(height), rel=1e-12)


@given(st.floats(0.001, 1000.0), st.floats(0.01, 170.0))
def test_angle_and_distance_undo_each_other(size_m: float, degrees: float) -> None:
    assert angle_deg(size_m, distance_for_angle_m(size_m, degrees)) == pytest.approx(degrees, rel=1e-9)


def test_published_hand_angles() -> None:
    """Little finger 1, three fingers 5, fist 10 degrees: Rothney Astrophysical Observatory, what visitors are told.

    The spread hand is 25 there and 20 with others; thumb 2 is common practice.
    """
    assert (HAND_DEG["little finger"], HAND_DEG["three fingers"], HAND_DEG["fist"]) == (1.0, 5.0, 10.0)
    assert 20.0 <= HAND_DEG["spread hand"] <= 25.0


def test_a_centimetre_at_57_is_a_degree() -> None:
    """A ruler 57 cm from the eye shows a degree a centimetre, as taught to observers (57.3 = 180 / pi)."""
    assert angle_deg(0.01, 0.573) == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize(("size", "angle"), [(0.0, 5.0), (-1.0, 5.0), (math.nan, 5.0), (1.0, 0.0), (1.0, 180.0)])
def test_what_is_no_triangle_is_refused(size: float, angle: float) -> None:
    with pytest.raises(ValueError, match=r"greater|between"):
        distance_for_angle_m(size, angle)
