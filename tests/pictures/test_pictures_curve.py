"""The curve, and what shares its axis."""

import math
from collections.abc import Callable
from itertools import pairwise

import pytest

from fieldplan.pictures import Band, Level, Span, draw_curve, plain_rows
from fieldplan.pictures.cells import roles_by_cell

Reader = Callable[..., set[tuple[int, int]]]
HOURS = [float(h) for h in range(25)]
LEVELS: tuple[Level, ...] = ("braille", "block", "ascii")


def test_a_straight_line_goes_from_corner_to_corner(read_dots: Reader) -> None:
    picture = draw_curve(41, 10, HOURS, HOURS)
    dots = read_dots(plain_rows(picture), "braille")  # the y axis is no braille glyph
    assert {(2, 39), (81, 0)} <= dots
    for x, y in dots:
        assert abs((39 - y) - (x - 2) * 39 / 79) <= 1


def test_every_dot_of_a_curve_is_where_the_function_is(read_dots: Reader) -> None:
    xs = [x / 10 for x in range(101)]
    ys = [math.sin(x) for x in xs]
    rows = plain_rows(draw_curve(61, 20, xs, ys, y_range=(-1, 1)))
    for column, row in read_dots(rows, "braille"):
        x = (column - 2) / 119 * 10
        y = 1 - row / 79 * 2
        # within a dot across and a dot up of the sine itself
        near = [math.sin(x + dx / 10 * 10 / 119) for dx in range(-10, 11)]
        assert min(near) - 2 / 79 <= y <= max(near) + 2 / 79


def test_bands_spans_cursor_and_labels_share_the_axis() -> None:
    rows = plain_rows(
        draw_curve(
            48,
            10,
            HOURS,
            HOURS,
            x_range=(0, 24),
            x_labels=[(6, "06:00"), (18, "18:00")],
            bands=[(0, 6, "night"), (6, 7, "c"), (7, 24, "day")],
            spans=[(6, 18, "heron"), Span(12, 24, "fox")],
            cursor_x=12,
            level="ascii",
        )
    )
    labels, bands, first, second = rows[6:]
    six, noon, eighteen = 1 + 47 // 4, 1 + 47 // 2, 1 + 3 * 47 // 4
    assert abs(labels.index("06:00") + 2 - six) <= 1
    assert abs(labels.index("18:00") + 2 - eighteen) <= 1
    assert abs(bands.index("|") - six) <= 1
    assert "night" in bands
    assert "day" in bands
    assert abs(first.index("[") - six) <= 1
    assert abs(first.index("]") - eighteen) <= 1
    assert "heron" in first
    assert abs(second.index("[") - noon) <= 1
    assert all(row[noon] in ":-/" for row in rows[:6])


def test_narrow_bands_shrink_to_their_letters_and_stay_apart() -> None:
    bands = [Band(0, 5, "nautical"), Band(5, 6, "civil"), Band(6, 24, "day")]
    row = plain_rows(draw_curve(25, 6, HOURS, HOURS, bands=bands, level="ascii"))[-1]
    assert row.split("|")[0].split() == ["n", "c"]
    assert row[7] == "|"
    words = [Band(0, 12, "civil twilight"), Band(12, 24, "astronomical twilight")]
    row = plain_rows(draw_curve(25, 6, HOURS, HOURS, bands=words, level="ascii"))[-1]
    assert [part.strip() for part in row.split("|")] == ["civil", "a"]  # whole words, else the letter


def test_a_label_beside_a_short_bar_gives_way_to_the_next_bar() -> None:
    spans = [(2, 3, "works"), (6, 23, "works")]
    row = plain_rows(draw_curve(50, 6, HOURS, HOURS, spans=spans, level="ascii"))[-1]
    assert row.count("works") == 1 and "wo[" not in row


def test_spans_beyond_the_axis_are_open() -> None:
    row = plain_rows(draw_curve(40, 6, HOURS, HOURS, spans=[(-math.inf, 12, "a")], level="ascii"))[-1]
    assert "[" not in row
    assert "]" in row
    row = plain_rows(draw_curve(40, 6, HOURS, HOURS, spans=[(-math.inf, math.inf, "all")], level="ascii"))[-1]
    assert set(row) == set(" -al")
    hidden = draw_curve(40, 6, HOURS, HOURS, spans=[(30, 40, "late"), (math.nan, 4, "never")], level="ascii")
    assert hidden == draw_curve(40, 6, HOURS, HOURS, level="ascii")


def test_the_line_breaks_at_nan(read_dots: Reader) -> None:
    ys = [0.0] * 25
    ys[12] = math.nan
    columns = {x for x, _ in read_dots(plain_rows(draw_curve(51, 4, HOURS, ys)), "braille")}
    missing = set(range(2, 102)) - columns
    assert len(missing) in range(6, 9)  # two of 24 hours of 100 dots, less their ends
    assert missing == set(range(min(missing), max(missing) + 1))


@pytest.mark.parametrize("level", LEVELS)
def test_a_low_picture_keeps_the_curve(level: Level) -> None:
    more: dict[str, object] = {"x_labels": [(12, "12")], "bands": [(0, 24, "day")], "spans": [(1, 20, "heron")]}
    text = "\n".join(plain_rows(draw_curve(30, 3, HOURS, HOURS, level=level, **more)))  # type: ignore[arg-type]
    assert "12" in text
    assert "day" not in text
    text = "\n".join(plain_rows(draw_curve(30, 5, HOURS, HOURS, level=level, **more)))  # type: ignore[arg-type]
    assert "12" in text
    assert "day" in text
    assert "heron" in text


def test_the_cursor_is_a_role_where_it_meets_the_curve() -> None:
    picture = draw_curve(30, 6, HOURS, HOURS, cursor_x=12)
    column = 1 + 29 // 2
    assert all(roles_by_cell(row)[column] == "cursor" for row in picture)
    assert draw_curve(30, 6, HOURS, HOURS, cursor_x=math.nan) == draw_curve(30, 6, HOURS, HOURS)


def test_second_line_is_dotted(read_dots: Reader) -> None:
    level_line = [1.0] * 25
    rows = plain_rows(draw_curve(41, 4, HOURS, [math.nan] * 25, second_ys=level_line, y_range=(0, 2)))
    columns = sorted({x for x, _ in read_dots(rows, "braille")})
    assert {b - a for a, b in pairwise(columns)} == {2}


def test_a_line_that_leaves_the_picture_ends_at_its_edge(read_dots: Reader) -> None:
    # the last dot of the axis falls on the edge of the canvas to within rounding
    rows = plain_rows(draw_curve(55, 3, [16.0, 45.0], [0.0, 0.0], y_labels=[(0.0, "0")], x_range=(0.0, 44.0)))
    assert max(x for x, _ in read_dots(rows, "braille")) == 109
