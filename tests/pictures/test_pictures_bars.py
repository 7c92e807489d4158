"""Bars are as long as what they count, never wider than asked, and drawn at every level."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from fieldplan.pictures.bars import Bar, draw_bars
from fieldplan.pictures.cells import plain_rows, text_cells

bars = st.builds(Bar, st.text(max_size=12).filter(str.isprintable), st.floats(allow_nan=True), st.just("n"))
EIGHTHS = {"ONE EIGHTH": 1, "ONE QUARTER": 2, "THREE EIGHTHS": 3, "HALF": 4, "FIVE EIGHTHS": 5, "THREE QUARTERS": 6,
           "SEVEN EIGHTHS": 7}  # fmt: skip


def eighths(text: str) -> int:
    """Length of a bar in eighths of a cell, by the Unicode names of its blocks."""
    total = 0
    for char in text:
        name = unicodedata.name(char)
        total += 8 if name == "FULL BLOCK" else EIGHTHS[name.removeprefix("LEFT ").removesuffix(" BLOCK")]
    return total


def lengths(rows: list[Bar], width: int) -> list[int]:
    drawn = draw_bars(rows, width)
    return [sum(eighths(text) for text, role in row if role == "subject") for row in drawn]


@given(st.lists(bars, max_size=8), st.integers(0, 100), st.sampled_from(["braille", "block", "ascii"]))
def test_no_row_is_wider_than_asked(rows: list[Bar], width: int, level: str) -> None:
    drawn = draw_bars(rows, width, level)
    assert len(drawn) == (len(rows) if width > 0 else 0)
    assert all(text_cells(row) <= width for row in plain_rows(drawn))
    if level == "ascii":
        assert all(row.isascii() for row in plain_rows(drawn))


@given(st.lists(st.integers(1, 10_000), min_size=1, max_size=10))
def test_lengths_are_to_one_scale(counts: list[int]) -> None:
    drawn = lengths([Bar("a", float(n), "12") for n in counts], 80)
    room = 8 * (80 - 1 - 2 - 2)
    for count, length in zip(counts, drawn, strict=True):
        assert abs(length - max(1.0, room * count / max(counts))) <= 0.5 + 1e-9


def test_nothing_draws_no_bar_and_little_draws_some() -> None:
    assert lengths([Bar("a", 0.0), Bar("b", 1e-9), Bar("c", float("nan")), Bar("d", 5.0)], 40)[:3] == [0, 1, 0]


def test_a_common_scale_for_several_drawings() -> None:
    half, full = (
        lengths(
            [Bar("a", n)],
            80,
        )[0]
        for n in (4.0, 8.0)
    )
    assert half == full
    drawn = draw_bars([Bar("a", 4.0)], 80, longest=8.0)
    assert abs(sum(eighths(t) for t, role in drawn[0] if role == "subject") - full / 2) <= 1
