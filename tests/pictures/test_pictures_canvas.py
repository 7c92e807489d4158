"""The canvas: dots where they belong, text in cells, everything clipped."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.pictures.canvas import Canvas
from fieldplan.pictures.cells import Level, plain, plain_rows, roles_by_cell, text_cells
from fieldplan.pictures.shapes import ellipse_rows

LEVELS: tuple[Level, ...] = ("braille", "block", "ascii")
DOTS = {"braille": (2, 4), "block": (1, 2), "ascii": (1, 1)}
coordinates = st.one_of(st.floats(-300, 300), st.floats())


@pytest.mark.parametrize("level", LEVELS)
def test_every_single_dot_is_where_it_was_put(level: Level, read_dots: Callable[..., set[tuple[int, int]]]) -> None:
    wide, high = DOTS[level][0] * 3, DOTS[level][1] * 2
    for x in range(wide):
        for y in range(high):
            canvas = Canvas(3, 2, level=level)
            canvas.point(x + 0.5, high - y - 0.5)
            assert read_dots(plain_rows(canvas.picture()), level, "*") == {(x, y)}


def test_diagonals() -> None:
    canvas = Canvas(5, 5, level="ascii")
    canvas.line(0.5, 4.5, 4.5, 0.5)
    assert plain(canvas.picture()) == "\\\n \\\n  \\\n   \\\n    \\"
    canvas = Canvas(4, 2, level="block")
    canvas.line(0.5, 0.5, 3.5, 3.5)
    assert plain(canvas.picture()) == "  \u2584\u2580\n\u2584\u2580"


def test_shapes_in_plain_characters() -> None:
    canvas = Canvas(12, 6, level="ascii")
    canvas.rectangle(0, 5, 0, 4)
    canvas.fill_rectangle(7, 9, 1, 3, hatch=True)
    canvas.ellipse(3.5, 4.5, 3.5, 1.5)
    canvas.text(9, 5, "to be cut")
    assert (
        plain(canvas.picture())
        == "\n".join(
            (
                " ooooo",
                "o     o",
                "+ooooo",
                "|   |  //",
                "|   |  //",
                "+---+    to",
            )
        )
        .replace("    to", "    to ")
        .rstrip()
    )


def test_window_to_scale_makes_a_square_square(read_dots: Callable[..., set[tuple[int, int]]]) -> None:
    cases: tuple[tuple[float, Level], ...] = ((0.5, "braille"), (0.5, "block"), (0.4, "braille"))
    for ratio, level in cases:
        canvas = Canvas(40, 10, level=level, window=(-1, 1, -1, 1), to_scale=True, cell_ratio=ratio)
        canvas.fill_rectangle(-0.8, 0.8, -0.8, 0.8)
        dots = read_dots(plain_rows(canvas.picture()), level)
        wide, high = (len({dot[axis] for dot in dots}) for axis in (0, 1))
        seen_wide = wide * ratio / DOTS[level][0]  # in heights of a cell
        seen_high = high / DOTS[level][1]
        assert abs(seen_wide - seen_high) <= 1 / DOTS[level][1]


def test_roles_follow_the_last_drawn() -> None:
    canvas = Canvas(4, 1, level="block")
    canvas.fill_rectangle(0, 4, 0, 2, "ground")
    canvas.text(1, 0, "ab", "label")
    assert canvas.picture() == ((("\u2588", "ground"), ("ab", "label"), ("\u2588", "ground")),)


def test_wide_characters_are_never_halved() -> None:
    canvas = Canvas(6, 1)
    canvas.text(-1, 0, "\u9dfa\u9dfa")  # its first half lies outside
    canvas.text(5, 0, "\u9dfa")  # its second half does
    assert plain_rows(canvas.picture()) == (" \u9dfa   ",)
    canvas.text(2, 0, "x")  # over the second half
    assert plain_rows(canvas.picture()) == ("  x   ",)
    canvas = Canvas(4, 1)
    canvas.text(1, 0, "\u9dfa")
    canvas.text(0, 0, "yz")  # over the first half
    assert plain_rows(canvas.picture()) == ("yz  ",)


def test_thin_shapes_do_not_vanish(read_dots: Callable[..., set[tuple[int, int]]]) -> None:
    canvas = Canvas(4, 2, level="braille")
    canvas.fill_rectangle(3.1, 3.2, 1.0, 5.0)
    canvas.ellipse(6.5, 4.5, 0.01, 0.01)
    assert read_dots(plain_rows(canvas.picture()), "braille") == {(3, y) for y in range(3, 7)} | {(6, 3)}


def test_infinite_edges_and_nan() -> None:
    canvas = Canvas(3, 1, level="ascii")
    canvas.fill_rectangle(1, math.inf, -math.inf, math.inf)
    canvas.fill_rectangle(math.nan, 2, 0, 1)
    canvas.polyline([(0.5, 0.5), (math.nan, 0.5), (1.5, 0.5)])
    assert plain_rows(canvas.picture()) == (" ##",)


@settings(deadline=None)
@given(st.floats(0.6, 60), st.floats(0.6, 60), st.floats(20, 80), st.floats(20, 80))
def test_an_ellipse_fills_its_box_and_has_its_area(radius_x: float, radius_y: float, x: float, y: float) -> None:
    rows = ellipse_rows(x, y, 2 * radius_x, 2 * radius_y, -1000, 1000)
    wide = max(end for _, end in rows.values()) - min(first for first, _ in rows.values())
    assert abs(wide - 2 * radius_x) <= 0.5 + 1e-9
    assert abs(len(rows) - 2 * radius_y) <= 0.5 + 1e-9
    area = sum(end - first for first, end in rows.values())
    # the area of an ellipse is pi a b; a count of dots is off by no more than about half its outline
    assert abs(area - math.pi * radius_x * radius_y) <= 2 * (radius_x + radius_y) + 2
    widths = [rows[row][1] - rows[row][0] for row in sorted(rows)]
    assert widths == widths[::-1]


@settings(deadline=None)
@given(
    st.sampled_from(LEVELS),
    st.integers(-1, 20),
    st.integers(-1, 8),
    st.lists(st.tuples(coordinates, coordinates), max_size=5),
    st.tuples(coordinates, coordinates, coordinates, coordinates),
    st.text(max_size=12),
    st.integers(-15, 25),
)
def test_rows_are_as_wide_as_the_canvas_whatever_is_drawn(
    level: Level,
    width: int,
    height: int,
    points: list[tuple[float, float]],
    box: tuple[float, float, float, float],
    text: str,
    column: int,
) -> None:
    canvas = Canvas(width, height, level=level)
    canvas.polyline(points, "sun")
    canvas.polyline(points, "moon", dotted=True)
    canvas.fill_rectangle(*box, "ground", hatch=True)
    canvas.rectangle(*box, "frame")
    canvas.ellipse(*box, "subject", hatch=True)
    canvas.text(column, 1, text, "label")
    canvas.text(column + 3, 1, text, "warn")
    picture = canvas.picture()
    assert len(picture) == max(0, height)
    for row in picture:
        assert text_cells("".join(run for run, _ in row)) == max(0, width)
        assert len(roles_by_cell(row)) == max(0, width)
        assert all(run for run, _ in row)
        if level == "ascii":
            assert all(run.isascii() and run.isprintable() for run, _ in row)
