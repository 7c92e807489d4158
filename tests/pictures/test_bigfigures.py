"""Figures in large characters: every mark of a camera can be drawn, told apart, and read back in any size."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.pictures.bigfigures import SIZES, Size, can_draw, draw_figure, figure_cells, scale_of
from fieldplan.pictures.cells import Level, plain, plain_rows, text_cells

LEVELS: tuple[Level, ...] = ("block", "ascii")
# ISO 517 and ISO 2720: the thirds of f-numbers, times and speeds that stand on cameras, as notation.marks writes them.
F_NUMBERS = [f_mark(2 ** (third / 6)) for third in range(43)]
TIMES = [time_mark(2 ** (third / 3)) for third in range(-45, 16)]
SPEEDS = [iso_mark(100 * 2 ** (third / 3)) for third in range(-3, 31)]


def test_a_five_as_it_stands_on_the_screen() -> None:
    assert plain(draw_figure("5.", "large")).splitlines() == [
        "██████",
        "██",
        "██████",
        "    ██",
        "██████  ██",
    ]
    assert plain(draw_figure("5.", "medium")).splitlines() == ["██▀▀▀▀", "██▄▄▄▄", "    ██", "▀▀▀▀▀▀  ▀▀"]
    assert plain(draw_figure("5.", "narrow", "ascii")).splitlines() == ["###", "#", "###", "  #", "### #"]


@pytest.mark.parametrize("text", [*F_NUMBERS, *TIMES, *SPEEDS])
def test_every_mark_of_a_camera_has_a_large_form(text: str) -> None:
    assert can_draw(text)


@pytest.mark.parametrize(("size", "level"), list(itertools.product(SIZES, LEVELS)))
def test_no_two_characters_look_alike(size: Size, level: Level) -> None:
    chars = "0123456789f/.smhin?- "
    drawn = {plain(draw_figure(char, size, level)) for char in chars}
    assert len(drawn) == len(chars)


@given(st.text(max_size=12), st.sampled_from(SIZES), st.sampled_from(LEVELS))
def test_any_text_is_drawn_in_rows_of_the_width_told(text: str, size: Size, level: Level) -> None:
    rows = plain_rows(draw_figure(text, size, level))
    assert len(rows) == (scale_of(size, level).rows if text else 0)
    assert all(text_cells(row) == figure_cells(text, size, level) for row in rows)
    if level == "ascii":
        assert all(row.isascii() for row in rows)
    else:
        assert set("".join(rows)) <= set(" █▀▄")
