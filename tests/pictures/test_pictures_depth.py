"""The depth picture: things in their order along the axis, breaks and infinity said in words."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.pictures import Level, draw_depth, plain_rows
from fieldplan.pictures.labels import place_labels
from fieldplan.pictures.line_scale import choose_scale


def metres(distance_m: float) -> str:
    assert math.isfinite(distance_m)
    return f"{distance_m:.1f} m"


def rows(*args: float, width: int = 70, level: Level = "ascii", **more: float | int | str | None) -> tuple[str, ...]:
    given_args = {"subject_from_m": args[2], "subject_to_m": args[2], **more}
    return plain_rows(draw_depth(width, *args, format_m=metres, level=level, **given_args))  # type: ignore[arg-type]


def test_even_scale_with_a_break() -> None:
    top, axis, distances, ends = rows(12.0, 12.6, 12.3, subject_from_m=12.1, subject_to_m=12.5)
    assert axis.startswith("camera //")
    assert "even scale" in ends
    near, focus, far = (axis.index(mark) for mark in "[+]")
    assert abs((focus - near) - (far - focus)) <= 1  # the focus lies midway
    body = top.index("#"), top.rindex("#")
    assert near < body[0] < focus < body[1] < far
    # 0.4 m of subject in 0.6 m of depth
    assert abs((body[1] - body[0] + 1) / (far - near) - 0.4 / 0.6) <= 1.5 / (far - near)
    assert distances.split() == ["near", "12.0", "m", "focus", "12.3", "m", "far", "12.6", "m"]


def test_unbroken_from_the_camera_when_it_is_near() -> None:
    _, axis, _, ends = rows(1.0, 3.0, 2.0)
    assert "//" not in axis
    assert "0.0 m" in ends


def test_logarithmic_to_infinity() -> None:
    _, axis, distances, ends = rows(5.2, math.inf, 10.5)
    assert "logarithmic scale" in ends
    assert axis.rstrip().endswith("=//>")
    assert "]" not in axis
    assert "infinity" in distances


def test_equal_ratios_take_equal_room_on_a_logarithmic_scale() -> None:
    _, axis, _, _ = rows(2.0, 50.0, 10.0, width=120)
    near, focus, far = (axis.index(mark) for mark in "[+]")
    assert abs((focus - near) - (far - focus)) <= 1  # 10 / 2 = 50 / 10


def test_what_is_not_sharp_is_hatched() -> None:
    top, axis, *_ = rows(12.0, 12.6, 12.3, subject_from_m=12.4, subject_to_m=12.8)
    far = axis.index("]")
    assert abs(top.index("x") - far) <= 1
    assert "x" not in rows(12.0, 12.6, 12.3, subject_from_m=12.1, subject_to_m=12.5)[0]
    assert "#" not in rows(12.0, 12.6, 12.3, subject_from_m=13, subject_to_m=13.2)[0]


def test_background_near_beyond_a_break_and_at_infinity() -> None:
    assert "//" not in rows(12.0, 12.6, 12.3, background_m=12.9)[1].split("]")[1]
    assert rows(12.0, 12.6, 12.3, background_m=40)[1].rstrip().endswith("//|")
    _, axis, distances, _ = rows(12.0, 12.6, 12.3, background_m=math.inf)
    assert axis.rstrip().endswith("//>")
    assert "infinity" in distances
    assert rows(12.0, 12.6, 12.3, background_m=2)[1] == rows(12.0, 12.6, 12.3)[1]


def test_fewer_rows() -> None:
    assert len(rows(12.0, 12.6, 12.3, rows=2)) == 2
    assert rows(12.0, 12.6, 12.3, rows=2) == rows(12.0, 12.6, 12.3)[1:3]
    assert rows(12.0, 12.6, 12.3, rows=3) == rows(12.0, 12.6, 12.3)[:3]
    assert len(rows(12.0, 12.6, 12.3, rows=9)) == 4


@pytest.mark.parametrize("nothing", [math.nan, 0.0, -3.0, math.inf])
def test_without_distances_it_says_so(nothing: float) -> None:
    assert "no distance" in rows(nothing, nothing, nothing)[1]


@settings(deadline=None)
@given(st.lists(st.floats(0.001, 1e6), min_size=1, max_size=5), st.floats(0.001, 1e7), st.integers(30, 140))
def test_scale_keeps_the_order_and_holds_all(distances_m: list[float], background_m: float, width: int) -> None:
    scale = choose_scale(7, width, distances_m, background_m)
    assert scale is not None
    for distance_m in distances_m:
        assert scale.first <= scale.column(distance_m) <= scale.end
    columns = [scale.column(m) for m in sorted([*distances_m, background_m])]
    assert columns == sorted(columns)


@settings(deadline=None)
@given(st.integers(0, 60), st.lists(st.tuples(st.floats(-5, 65), st.text("ab", max_size=9)), max_size=8))
def test_labels_never_touch(width: int, labels: list[tuple[float, str]]) -> None:
    placed = [
        (at[0], len(at[1]), middle) for at, (middle, _) in zip(place_labels(width, labels), labels, strict=True) if at
    ]
    placed.sort()
    for (start, wide, middle), (following, _, next_middle) in pairwise(placed):
        assert start + wide < following
        assert middle <= next_middle
    assert all(start >= 0 and start + wide <= width for start, wide, _ in placed)
