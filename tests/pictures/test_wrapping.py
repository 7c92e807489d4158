"""Breaking lines: one way for paper and screen, which differ only in what becomes of too long a word."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from fieldplan.pictures.cells import text_cells
from fieldplan.pictures.wrapping import broken, pieces, wrap
from fieldplan.tui.rows import crop

words = st.lists(st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=30), max_size=12)


@given(words, st.integers(6, 40), st.integers(0, 3))
def test_no_line_is_too_wide_and_no_sign_is_lost(given_words: list[str], width: int, hang: int) -> None:
    lines = broken(given_words, width, " " * hang, pieces)
    assert all(text_cells(line) <= width for line in lines)
    assert "".join(line[hang if n else 0 :].replace(" ", "") for n, line in enumerate(lines)) == "".join(given_words)


@given(words, st.integers(6, 40))
def test_lines_are_as_full_as_they_can_be(given_words: list[str], width: int) -> None:
    short = [crop(word, width) for word in given_words]
    lines = broken(short, width, "", pieces)
    for line, after in pairwise(lines):
        assert text_cells(line) + 1 + text_cells(after.split(" ")[0]) > width


def test_too_long_a_word_is_broken_or_cut() -> None:
    assert broken(["a", "abcdefgh", "b"], 5, " ", pieces) == ["a", " abcd", " efgh", " b"]
    assert broken(["a", "abcdefgh", "b"], 5, " ", lambda word, cells: [crop(word, cells)]) == ["a", " abc…", " b"]
    assert broken([], 5, "", pieces) == [] and wrap("", 5) == [""]


def test_a_number_stays_with_its_unit() -> None:
    assert wrap("stand there at 600 mm", 17) == ["stand there at", "600 mm"]
    assert wrap("light of EV -3.4", 11) == ["light of", "EV -3.4"]
