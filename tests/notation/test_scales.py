"""Magnifications as photographers write them: image over object size (reproduction ratio)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.notation.scales import next_scale, read_scale, scale_text


@pytest.mark.parametrize(
    ("text", "size"),
    [("1:1", 1.0), ("2:1", 2.0), ("1:4", 0.25), ("1 : 2.5", 0.4), ("0.5", 0.5), ("0,5x", 0.5), (2, 2.0), (0.25, 0.25),
     ("life size", 1.0), ("1/3", 1 / 3), ("5x", 5.0)],
)  # fmt: skip
def test_ratios_and_numbers(text: object, size: float) -> None:
    assert read_scale(text) == pytest.approx(size, rel=1e-12)


@pytest.mark.parametrize("text", ["", "big", "1:0", "0:1", "-1:2", "1:1:1", True, None, "1e9", 10**400, [1], "200:1"])
def test_what_is_none_is_explained(text: object) -> None:
    with pytest.raises(ValueError, match=r'is not a magnification; write "1:1"'):
        read_scale(text)


def test_it_is_kept_as_it_was_written() -> None:
    assert read_scale(" 1:2.5 ").typed == "1:2.5"


@pytest.mark.parametrize(("text", "up", "down"), [("1:1", "1.2:1", "1:1.2"), ("0.5", "1:1.5", "1:2.5"),
                                                 ("10:1", "10:1", "8:1"), ("1:20", "1:15", "1:20")])  # fmt: skip
def test_steps(text: str, up: str, down: str) -> None:
    assert (next_scale(text, True), next_scale(text, False)) == (up, down)


@given(st.floats(0.001, 50.0))
def test_what_is_said_reads_back(size: float) -> None:
    # Two figures: within half a unit of the second one.
    assert read_scale(scale_text(size)) == pytest.approx(size, rel=0.051)
