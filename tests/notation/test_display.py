"""Figures as people read them: nothing reads as less than nothing, and no more is told than is known."""

from __future__ import annotations

import pytest

from fieldplan.notation.display import length_text, whole_length
from fieldplan.notation.signed import signed, unsigned_zero


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),  # 1 ft = 0.3048 m (international yard and pound agreement, 1959)
    [(10.6, "11 m", "35 ft"), (19.36, "19 m", "64 ft"), (0.065, "less than 1 m", "less than 1 ft"),
     (0.3, "less than 1 m", "1 ft"), (1403.2, "1403 m", "4604 ft"), (12_345.0, "12 km", "7.7 mi")],
)  # fmt: skip
def test_a_length_known_to_metres_is_told_in_whole_ones(metres: float, metric: str, imperial: str) -> None:
    assert (whole_length(metres), whole_length(metres, "imperial")) == (metric, imperial)


def test_nothing_is_less_than_nothing() -> None:
    assert [signed(value) for value in (-0.04, 0.0, 0.04, -0.06, 2.5)] == ["0.0", "0.0", "0.0", "-0.1", "+2.5"]
    assert [unsigned_zero(value) for value in (-0.04, 0.04, -3.14)] == ["0.0", "0.0", "-3.1"]
    assert length_text(0.0) == "0 m" and length_text(0.0, "imperial") == "0 ft"
