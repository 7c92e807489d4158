"""The view of a lens: degrees of arc to scale, the landmark and the disc where they belong."""

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.pictures import Disc, Level, draw_skyview, plain_rows
from fieldplan.pictures.cells import roles_by_cell

Reader = Callable[..., set[tuple[int, int]]]
View = dict[str, Any]


def inside(dots: set[tuple[int, int]]) -> tuple[set[tuple[int, int]], int, int, int, int]:
    """The dots within the outermost ring, and the field that it holds (left, top, width, height)."""
    left, right = min(x for x, _ in dots), max(x for x, _ in dots)
    top, bottom = min(y for _, y in dots), max(y for _, y in dots)
    kept = {(x, y) for x, y in dots if left < x < right and top < y < bottom}
    return kept, left + 1, top + 1, right - left - 1, bottom - top - 1


def separation_deg(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Angle between two directions by the haversine formula (R. W. Sinnott, Sky and Telescope 68, 159, 1984)."""
    (az1, alt1), (az2, alt2) = ([math.radians(v) for v in p] for p in (a, b))
    h = math.sin((alt2 - alt1) / 2) ** 2 + math.cos(alt1) * math.cos(alt2) * math.sin((az2 - az1) / 2) ** 2
    return math.degrees(2 * math.asin(math.sqrt(h)))


@settings(deadline=None)
@given(st.integers(30, 140), st.integers(10, 40), st.floats(0.1, 0.8))
def test_the_disc_is_to_scale(read_dots: Reader, width: int, height: int, radius_deg: float) -> None:
    view: View = {"field_w_deg": 3.0, "field_h_deg": 2.0, "centre_az_deg": 100, "centre_alt_deg": 5}
    rows = plain_rows(draw_skyview(width, height, **view, discs=[Disc(100, 5, radius_deg)]))
    disc, _, _, wide, high = inside(read_dots(rows, "braille"))
    disc_w = max(x for x, _ in disc) - min(x for x, _ in disc) + 1
    disc_h = max(y for _, y in disc) - min(y for _, y in disc) + 1
    assert abs(disc_w - 2 * radius_deg / 3 * wide) <= 0.5 + 1e-9
    assert abs(disc_h - 2 * radius_deg / 2 * high) <= 0.5 + 1e-9


@settings(deadline=None)
@given(st.floats(0, 360), st.floats(-5, 60), st.floats(-1, 1), st.floats(-0.7, 0.7))
def test_distances_in_the_picture_are_degrees_of_arc(
    read_dots: Reader, az: float, alt: float, across_deg: float, up_deg: float
) -> None:
    view: View = {"field_w_deg": 3.0, "field_h_deg": 2.0, "centre_az_deg": az, "centre_alt_deg": alt}
    point = (az + across_deg / math.cos(math.radians(alt)), alt + up_deg)
    rows = plain_rows(draw_skyview(140, 46, **view, discs=[Disc(*point, 0.0)]))
    dots, left, top, wide, high = inside(read_dots(rows, "braille"))
    ((x, y),) = dots
    dx_deg = (x + 0.5 - left - wide / 2) / wide * 3
    dy_deg = (top + high / 2 - y - 0.5) / high * 2
    # a dot is 0.012 degrees; at 60 degrees of altitude a flat field is off by up to 2.5 % at its rim
    assert math.hypot(dx_deg, dy_deg) == pytest.approx(separation_deg((az, alt), point), abs=0.012 + 0.025)
    assert abs(dx_deg - across_deg) <= 0.013
    assert abs(dy_deg - up_deg) <= 0.013


def test_the_landmark_stands_where_it_belongs() -> None:
    view: View = {"field_w_deg": 4.0, "field_h_deg": 2.0, "centre_az_deg": 0, "centre_alt_deg": 1}
    rows = plain_rows(draw_skyview(82, 22, **view, landmark=(359.5, 0.5, 0.5, 1.5), level="ascii"))
    field_w, field_h = rows[0].count("-"), sum(row.count("|") == 2 for row in rows)
    body = [row for row in rows if "#" in row]
    assert abs(len(body) - field_h * 1 / 2) <= 1
    assert abs(body[0].count("#") - field_w * 1 / 4) <= 1  # over north, the short way round
    assert abs(body[0].index("#") - body[0].index("|") - 1 - field_w * 1.5 / 4) <= 1


def test_the_landmark_hides_the_disc_and_the_skyline_is_ground() -> None:
    view: View = {"field_w_deg": 4.0, "field_h_deg": 2.0, "centre_az_deg": 90, "centre_alt_deg": 1}
    picture = draw_skyview(
        60,
        16,
        **view,
        landmark=(88, 92, 0, 2),
        discs=[Disc(90, 1, 0.2, "18:30")],
        skyline=[(80, 0.5), (100, 0.5)],
        level="ascii",
    )
    assert "moon" not in {role for row in picture for role in roles_by_cell(row)}
    picture = draw_skyview(60, 16, **view, skyline=[(80, 0.5), (100, 0.5)], level="ascii")
    ground = [i for i, row in enumerate(picture) if "ground" in roles_by_cell(row)]
    field = [i for i, row in enumerate(plain_rows(picture)) if row.count("|") == 2]
    assert abs(len(ground) - len(field) / 4) <= 1
    assert ground[-1] == field[-1]


@pytest.mark.parametrize("level", ["braille", "block", "ascii"])
def test_the_label_stands_beside_its_disc(level: Level) -> None:
    view: View = {"field_w_deg": 4.0, "field_h_deg": 2.0, "centre_az_deg": 90, "centre_alt_deg": 1}
    for azimuth_deg, side in ((89.0, 1), (91.8, -1)):
        picture = draw_skyview(60, 16, **view, discs=[Disc(azimuth_deg, 1, 0.2, "18:30")], level=level)
        text = next(row for row in plain_rows(picture) if "18:30" in row)
        middle = 30 + (azimuth_deg - 90) * 52 / 4
        assert (text.index("18:30") - middle) * side > 0
    outside = draw_skyview(60, 16, **view, discs=[Disc(120, 1, 0.2, "18:30")], level=level)
    assert outside == draw_skyview(60, 16, **view, level=level)


def test_what_is_not_finite_is_left_out() -> None:
    view: View = {"field_w_deg": 4.0, "field_h_deg": 2.0, "centre_az_deg": 90, "centre_alt_deg": 1}
    empty = draw_skyview(40, 10, **view)
    nan = math.nan
    assert empty == draw_skyview(
        40, 10, **view, discs=[Disc(nan, 1, 0.2, "x"), Disc(90, 1, math.inf, "x")], landmark=(89, nan, 0, 1),
        path=[(nan, 1), (90, nan)], skyline=[(90, math.inf)],
    )  # fmt: skip
    blank = plain_rows(draw_skyview(40, 10, **{**view, "field_w_deg": nan}))
    assert blank == (" " * 40,) * 10


def test_a_path_behind_the_photographer_does_not_cross_the_picture() -> None:
    view: View = {"field_w_deg": 40, "field_h_deg": 27, "centre_az_deg": 0, "centre_alt_deg": 0}
    path = [(170.0, 0.0), (190.0, 0.0)]
    assert draw_skyview(60, 16, **view, path=path) == draw_skyview(60, 16, **view)


def test_the_ground_hides_what_lies_behind_it() -> None:
    view: View = {"field_w_deg": 3.0, "field_h_deg": 2.0, "centre_az_deg": 100.0, "centre_alt_deg": 0.5}
    ground = [(90.0, 0.0), (110.0, 0.0)]
    bare = draw_skyview(60, 20, **view, skyline=ground)
    under = draw_skyview(60, 20, **view, skyline=ground, discs=[Disc(100.0, -0.26, 0.2)])
    assert plain_rows(under) == plain_rows(bare), "a disc under the ground is not drawn over it"
    half = draw_skyview(60, 20, **view, skyline=ground, discs=[Disc(100.0, 0.0, 0.25)])
    whole = draw_skyview(60, 20, **view, discs=[Disc(100.0, 0.0, 0.25)])
    moon = [{y for y, row in enumerate(one) for role in roles_by_cell(row) if role == "moon"} for one in (half, whole)]
    assert moon[0] and max(moon[0]) < max(moon[1]), "the upper half of one that rises is"
