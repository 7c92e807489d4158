"""Every picture, at any size and with any numbers: never an error, every row as wide as asked, ASCII when asked."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from fieldplan.pictures import ROLES, Disc, Level, Picture, draw_curve, draw_depth, draw_frame, draw_skyview
from fieldplan.pictures.cells import text_cells

levels = st.sampled_from(["braille", "block", "ascii"])
widths = st.one_of(st.integers(10, 140), st.integers(-1, 10))
heights = st.one_of(st.integers(3, 40), st.integers(-1, 3))
numbers = st.one_of(st.floats(-1, 50), st.floats())
words = st.text(max_size=8)
pairs = st.lists(st.tuples(numbers, numbers), max_size=4)
stretches = st.lists(st.tuples(numbers, numbers, words), max_size=4)
labels = st.lists(st.tuples(numbers, words), max_size=4)


def check(picture: Picture, width: int, height: int, level: Level) -> None:
    assert len(picture) == max(0, height)
    for row in picture:
        assert text_cells("".join(text for text, _ in row)) == max(0, width)
        assert all(role in ROLES for _, role in row)
        if level == "ascii":
            assert all(text.isascii() and text.isprintable() for text, _ in row)


@settings(deadline=None)
@given(widths, heights, numbers, numbers, numbers, numbers, levels, words, numbers, st.sampled_from(["box", "ellipse"]))
@example(10, 3, 36, 24, 1.2, 1.2, "ascii", "31 %", 0.5, "box")
@example(140, 40, 36, 24, 1e308, 1e308, "braille", "31 %", 5e-324, "ellipse")
def test_frame(width, height, frame_w, frame_h, share_w, share_h, level, label, ratio, shape) -> None:  # type: ignore[no-untyped-def]
    picture = draw_frame(
        width, height, frame_w, frame_h, share_w, share_h, level=level, label=label, cell_ratio=ratio, shape=shape
    )
    check(picture, width, height, level)


@settings(deadline=None)
@given(widths, numbers, numbers, numbers, numbers, numbers, st.none() | numbers, levels, words, st.integers(2, 4))
@example(10, 5e-324, 1.7e308, 1.0, 1.0, 1.0, 1.7e308, "braille", "s", 4)
@example(140, 5e-324, 5e-324, 5e-324, 5e-324, 5e-324, None, "block", "s", 4)
def test_depth(width, near, far, focus, start, end, background, level, word, rows) -> None:  # type: ignore[no-untyped-def]
    picture = draw_depth(
        width, near, far, focus, word, format_m=lambda m: f"{m:.3g} m", subject_from_m=start, subject_to_m=end,
        background_m=background, level=level, subject=word, rows=rows,
    )  # fmt: skip
    check(picture, width, rows, level)


@settings(deadline=None)
@given(
    widths, heights, pairs, labels, labels, stretches, stretches, st.none() | numbers, levels,
    st.none() | st.tuples(numbers, numbers),
)  # fmt: skip
@example(60, 16, [(-1.7e308, 1.0), (1.7e308, 2.0)], [], [], [], [], 0.0, "braille", None)
@example(60, 16, [(0.0, 0.0), (5e-324, 5e-324)], [], [], [], [], 0.0, "ascii", (0.0, 5e-324))
def test_curve(width, height, points, x_labels, y_labels, bands, spans, cursor, level, x_range) -> None:  # type: ignore[no-untyped-def]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    picture = draw_curve(
        width, height, xs, ys, x_labels=x_labels, y_labels=y_labels, bands=bands, spans=spans, cursor_x=cursor,
        second_ys=ys[::-1], level=level, x_range=x_range,
    )  # fmt: skip
    check(picture, width, height, level)


@settings(deadline=None)
@given(
    widths, heights, numbers, numbers, numbers, numbers, pairs,
    st.none() | st.tuples(numbers, numbers, numbers, numbers),
    st.lists(st.builds(Disc, numbers, numbers, numbers, words, st.sampled_from(["sun", "moon"])), max_size=3),
    levels, numbers,
)  # fmt: skip
@example(40, 10, 5e-324, 1.0, 90.0, 1.0, [(90.0, 1.0), (91.0, 1.0)], None, [Disc(90, 1, 1, "x")], "braille", 0.5)
@example(40, 10, 1.0, 1.0, 90.0, 1.0, [(89.0, -1.7e308), (91.0, 1.7e308)], None, [], "braille", 0.5)
def test_skyview(width, height, field_w, field_h, az, alt, points, landmark, discs, level, ratio) -> None:  # type: ignore[no-untyped-def]
    picture = draw_skyview(
        width, height, field_w_deg=field_w, field_h_deg=field_h, centre_az_deg=az, centre_alt_deg=alt,
        skyline=points, landmark=landmark, discs=discs, path=points, level=level, cell_ratio=ratio,
    )  # fmt: skip
    check(picture, width, height, level)
