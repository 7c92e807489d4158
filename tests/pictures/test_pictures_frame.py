"""The frame and its subject: to scale, and what is cut off is seen."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.pictures import Level, draw_frame, plain, plain_rows
from fieldplan.pictures.cells import roles_by_cell
from fieldplan.pictures.field import fit_field
from fieldplan.pictures.frame import subject_box
from fieldplan.pictures.glyphs import DOTS

Reader = Callable[..., set[tuple[int, int]]]
LEVELS: tuple[Level, ...] = ("braille", "block", "ascii")

widths, heights = st.integers(20, 140), st.integers(8, 40)
sides = st.sampled_from([(36.0, 24.0), (24.0, 36.0), (17.3, 13.0), (13.0, 17.3), (53.4, 40.0), (1.0, 1.0)])
shares = st.floats(0.02, 0.9)


def extent(dots: set[tuple[int, int]]) -> tuple[int, int, int, int]:
    xs, ys = [x for x, _ in dots], [y for _, y in dots]
    return min(xs), max(xs) + 1, min(ys), max(ys) + 1


@settings(deadline=None)
@given(widths, heights, sides, shares, shares, st.sampled_from(["box", "ellipse"]))
def test_braille_picture_is_to_scale(
    read_dots: Reader, width: int, height: int, frame: tuple[float, float], share_w: float, share_h: float, shape: str
) -> None:
    """Measured on the glyphs alone: the line is the outermost ring of dots, the subject what is left inside it."""
    rows = plain_rows(draw_frame(width, height, *frame, share_w, share_h, shape=shape))  # type: ignore[arg-type]
    dots = read_dots(rows, "braille")
    left, right, top, bottom = extent(dots)
    field_w, field_h = right - left - 2, bottom - top - 2
    # a braille dot is 1/2 cell wide and 1/4 cell high, and a cell 1:2, so dots are square
    assert abs(field_w - field_h * frame[0] / frame[1]) <= 0.5 + 1e-9
    inside = {(x, y) for x, y in dots if left < x < right - 1 and top < y < bottom - 1}
    s_left, s_right, s_top, s_bottom = extent(inside)
    assert abs(s_right - s_left - share_w * field_w) <= 0.5 + 1e-9 or s_right - s_left == 1
    assert abs(s_bottom - s_top - share_h * field_h) <= 0.5 + 1e-9 or s_bottom - s_top == 1
    assert abs((s_left + s_right) - (left + right)) <= 1  # in the middle to half a dot
    assert abs((s_top + s_bottom) - (top + bottom)) <= 1
    assert len(dots) - len(inside) == 2 * (field_w + field_h) + 4


@settings(deadline=None)
@given(widths, heights, sides, shares, shares)
def test_ascii_picture_is_to_scale(
    read_dots: Reader, width: int, height: int, frame: tuple[float, float], share_w: float, share_h: float
) -> None:
    rows = plain_rows(draw_frame(width, height, *frame, share_w, share_h, level="ascii"))
    line = next(row for row in rows if "+" in row)
    field_w = line.count("-")
    field_h = sum(row.count("|") == 2 for row in rows)
    assert abs(field_w - field_h * 2 * frame[0] / frame[1]) <= 0.5 + 1e-9  # a cell is 1:2
    left, right, top, bottom = extent(read_dots(rows, "ascii"))
    assert abs(right - left - share_w * field_w) <= 0.5 + 1e-9 or right - left == 1
    assert abs(bottom - top - share_h * field_h) <= 0.5 + 1e-9 or bottom - top == 1


@settings(deadline=None)
@given(widths, heights, sides, shares, shares)
def test_block_picture_is_to_scale(
    read_dots: Reader, width: int, height: int, frame: tuple[float, float], share_w: float, share_h: float
) -> None:
    rows = plain_rows(draw_frame(width, height, *frame, share_w, share_h, level="block"))
    field_w = max(row.count("\N{LOWER ONE EIGHTH BLOCK}") for row in rows)
    field_h = 2 * sum("\N{RIGHT ONE EIGHTH BLOCK}" in row for row in rows)
    assert abs(field_w - field_h * frame[0] / frame[1]) <= 0.5 + 1e-9
    left, right, top, bottom = extent(read_dots(rows, "block"))
    assert abs(right - left - share_w * field_w) <= 0.5 + 1e-9 or right - left == 1
    assert abs(bottom - top - share_h * field_h) <= 0.5 + 1e-9 or bottom - top == 1


@settings(deadline=None)
@given(st.sampled_from(LEVELS), st.integers(10, 140), st.integers(3, 40), sides, st.floats(0.1, 3), st.floats(0.1, 3))
def test_cut_off_is_seen_when_it_is_a_dot_or_more(
    level: Level, width: int, height: int, frame: tuple[float, float], share_w: float, share_h: float
) -> None:
    picture = draw_frame(width, height, *frame, share_w, share_h, level=level)
    room_w, room_h = (min(max(share, 1), 1.6) for share in (share_w, share_h))
    field = fit_field(width, height, frame[0] / frame[1], level=level, room_w=room_w, room_h=room_h)
    subject = subject_box(field, share_w, share_h)
    beyond = subject.wide > field.wide or subject.high > field.high
    assert any(role == "warn" for row in picture for role in roles_by_cell(row)) == beyond
    if share_w <= 1 and share_h <= 1:
        assert not beyond


def test_the_hatch_outside_is_as_long_as_what_is_cut_off() -> None:
    # 1.5 x the width: a quarter of the field on either side
    rows = plain_rows(draw_frame(60, 14, 36, 24, 1.5, 0.3, level="ascii"))
    field_w = next(row for row in rows if "+" in row).count("-")
    body = next(row for row in rows if "#" in row)
    left, right = body.split("|")[0].count("/"), body.split("|")[2].count("/")
    # the line itself covers one cell of the hatch on either side
    assert abs(left + right + 2 - 0.5 * field_w) <= 0.5


def test_label_stands_in_the_subject_or_beside_it() -> None:
    assert "# 31 % #" in plain(draw_frame(60, 14, 36, 24, 0.5, 0.31, level="ascii", label="31 %"))
    rows = plain_rows(draw_frame(60, 14, 36, 24, 0.05, 0.1, level="ascii", label="10 %"))
    subject_row = max(i for i, row in enumerate(rows) if "#" in row)
    assert "10 %" in rows[subject_row + 1]
    assert "| 2 %" not in plain(draw_frame(10, 3, 36, 24, 0.9, 0.9, level="ascii", label="a long label"))


@pytest.mark.parametrize("level", LEVELS)
def test_nothing_and_everything(level: Level) -> None:
    empty = plain(draw_frame(30, 8, 36, 24, math.nan, 0.5, level=level))
    assert empty == plain(draw_frame(30, 8, 36, 24, 0.5, 0, level=level))
    assert empty == plain(draw_frame(30, 8, 36, 24, -1, 0.5, level=level))
    full = draw_frame(30, 8, 36, 24, math.inf, math.inf, level=level)
    blank = "".join(text for row in full for text, role in row if role not in ("frame", "warn", "subject"))
    assert blank.strip() == ""
    assert len(blank) < 30
    for frame_w, frame_h in ((math.nan, 24), (36, 0), (math.inf, 24), (-36, 24)):
        assert plain(draw_frame(30, 2, frame_w, frame_h, 0.5, 0.5, level=level, label="?")) == "?\n"


@pytest.mark.parametrize("cell_ratio", [0.4, 0.5, 0.6, 1.0])
@pytest.mark.parametrize("level", LEVELS)
def test_cell_ratio(level: Level, cell_ratio: float) -> None:
    field = fit_field(80, 24, 1.5, level=level, cell_ratio=cell_ratio)
    dots_x, dots_y = DOTS[level]
    seen_w, seen_h = field.wide / dots_x * cell_ratio, field.high / dots_y
    assert abs(seen_w - 1.5 * seen_h) <= 0.5 / dots_x * cell_ratio + 1e-9
