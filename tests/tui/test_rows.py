"""Layout in cells."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fieldplan.pictures.cells import text_cells
from fieldplan.tui.rows import beside, columns, crop, crop_row, fitted, left, right, row_cells, safe, wrap

words = st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=40).map(safe)


@given(words, st.integers(1, 30))
def test_padded_texts_take_their_cells_exactly(text: str, width: int) -> None:
    assert text_cells(left(text, width)) == width
    assert text_cells(right(text, width)) == width
    assert text_cells(crop(text, width)) <= width


@given(words, words, st.integers(1, 30))
def test_cropped_rows_fit_and_say_that_they_are_cut(one: str, other: str, width: int) -> None:
    row = ((one, ""), (other, "dim"))
    cut = crop_row(row, width)
    assert row_cells(cut) <= width
    assert (cut == row) == (row_cells(row) <= width)


@given(words, st.integers(8, 60))
def test_wrapping_keeps_every_short_word(text: str, width: int) -> None:
    lines = wrap(text, width, 2)
    assert all(text_cells(line) <= width for line in lines)
    kept = " ".join(lines).split()
    assert [word for word in text.split() if text_cells(word) <= width - 2] == [
        w for w in kept if w in text.split()
    ] or (any(text_cells(word) > width - 2 for word in text.split()))


def test_blocks_side_by_side_and_in_columns() -> None:
    rows = [((str(n), ""),) for n in range(5)]
    assert ["".join(t for t, _ in row) for row in columns(rows, 11, 2, 1)] == ["0     3", "1     4", "2     "]
    assert ["".join(t for t, _ in row) for row in beside(rows[:1], 3, rows[:2], 1)] == ["0   0", "    1"]
    assert len(fitted(rows, 10, 3)) == 3 and len(fitted(rows, 10, 9)) == 9
