"""Frames, lines of sight and what errors do to them: surveying constants, tables, and plain geometry."""

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldplan.sky.geodesic import course, destination
from fieldplan.sky.geodesy import (
    curvature_radius_m,
    east_north_up,
    frame_at,
    from_earth_centred,
    to_earth_centred,
)
from fieldplan.sky.sighterrors import angle_error_deg, metres_at, refraction_scatter_deg, sight_error
from fieldplan.sky.sightline import (
    angular_size_deg,
    curvature_drop_m,
    horizon_distance_m,
    landmark_sight,
    magnetic_bearing_deg,
    sightline,
)
from fieldplan.sky.station import Place

places = st.builds(Place, st.floats(-90.0, 90.0), st.floats(-180.0, 180.0), st.floats(-400.0, 9000.0))
HERE = Place(52.0, 5.0, 2.0)


@given(places)
def test_a_place_comes_back_from_its_vector(place: Place) -> None:
    back = from_earth_centred(to_earth_centred(place))
    assert back.elevation_m == pytest.approx(place.elevation_m, abs=1e-6)
    assert math.dist(to_earth_centred(back), to_earth_centred(place)) < 1e-6


def test_vectors_at_the_axes() -> None:
    # WGS 84 (NIMA TR8350.2): equatorial radius 6378137 m, polar radius 6356752.3142 m.
    assert to_earth_centred(Place(0.0, 0.0)) == pytest.approx((6_378_137.0, 0.0, 0.0))
    assert to_earth_centred(Place(0.0, 90.0, 10.0)) == pytest.approx((0.0, 6_378_147.0, 0.0), abs=1e-6)
    assert to_earth_centred(Place(-90.0, 0.0))[2] == pytest.approx(-6_356_752.3142, abs=1e-4)
    with pytest.raises(ValueError, match="surface"):
        from_earth_centred((0.0, 0.0, 100.0))


def test_radii_of_curvature() -> None:
    # Torge, Geodesy: a^2 / b = 6399593.6258 m at the poles, a (1 - e^2) = 6335439.327 m along an equator's meridian.
    assert curvature_radius_m(90.0, 17.0) == pytest.approx(6_399_593.6258, abs=1e-3)
    assert curvature_radius_m(0.0, 0.0) == pytest.approx(6_335_439.327, abs=1e-2)
    assert curvature_radius_m(0.0, 90.0) == pytest.approx(6_378_137.0)


@given(places)
def test_east_north_and_up_are_square_to_each_other(place: Place) -> None:
    frame = frame_at(place)
    axes = (frame.east, frame.north, frame.up)
    for m, one in enumerate(axes):
        for n, other in enumerate(axes):
            along = sum(a * b for a, b in zip(one, other, strict=True))
            assert along == pytest.approx(1.0 if m == n else 0.0, abs=1e-12)
    raised = place._replace(elevation_m=place.elevation_m + 100.0)
    assert east_north_up(place, raised) == pytest.approx((0.0, 0.0, 100.0), abs=1e-6)


@given(places, st.floats(0.0, 360.0), st.floats(10.0, 100_000.0))
def test_the_line_points_along_the_geodesic(place: Place, bearing_deg: float, length_m: float) -> None:
    assume(abs(place.latitude_deg) < 88.0)
    target = destination(place, bearing_deg, length_m)
    line = sightline(place, target)
    # Torge, Geodesy: the target's height turns the direction by 0.108" a kilometre at most, and the normal section
    # leaves the geodesic by 0.03" at 100 km.
    way = course(place, target)
    most_deg = (0.109 * abs(place.elevation_m) / 1000.0 + 0.04) / 3600.0 + 1e-6 / length_m
    assert abs(math.remainder(line.bearing_deg - way.bearing_deg, 360.0)) < most_deg
    assert line.distance_m == pytest.approx(length_m, abs=1e-6)


@pytest.mark.parametrize(("km", "drop_m"), [(1.0, 0.07), (5.0, 1.71), (10.0, 6.83), (20.0, 27.3)])
def test_drop_by_curvature_and_refraction(km: float, drop_m: float) -> None:
    # (1 - k) d^2 / 2R with k = 0.13 and R = 6371 km, worked by hand.
    assert curvature_drop_m(km * 1000.0) == pytest.approx(drop_m, rel=0.03 if km == 1.0 else 0.003)
    # On the ellipsoid: what stands level with the eye at that distance is seen so far below the level line.
    line = sightline(HERE, destination(HERE, 40.0, km * 1000.0))
    lowered_m = -metres_at(line.apparent_altitude_deg, line.distance_m)
    assert lowered_m == pytest.approx(drop_m, rel=0.04 if km < 2 else 0.01)
    assert line.drop_m == pytest.approx(drop_m, rel=0.04 if km < 2 else 0.01)


def test_the_surveyors_constant() -> None:
    # Combined curvature and refraction 0.0675 K^2 metres (surveying handbooks), which is k = 0.14.
    for km in (0.5, 1.0, 3.0, 10.0):
        assert curvature_drop_m(1000.0 * km, k=0.14) == pytest.approx(0.0675 * km**2, rel=5e-4)


def test_what_the_curve_hides() -> None:
    # Rules of the trade, worked by hand with k = 0.13: 3 m are hidden 6.6 km, 8 m 11 km beyond the horizon.
    assert curvature_drop_m(6_630.0) == pytest.approx(3.0, abs=0.05)
    assert curvature_drop_m(10_800.0) == pytest.approx(8.0, abs=0.05)
    # Bowditch, American Practical Navigator: distance of the sea horizon 1.17 sqrt(feet) nautical miles (k near 0.17).
    assert horizon_distance_m(100 * 0.3048) == pytest.approx(11.7 * 1852.0, rel=0.03)
    assert horizon_distance_m(0.0) == horizon_distance_m(-3.0) == 0.0


def test_a_landmark_close_by_is_all_in_sight() -> None:
    foot = destination(HERE, 120.0, 3000.0)._replace(elevation_m=2.0)
    seen = landmark_sight(HERE, foot, 31.0, 8.0)
    assert seen.hidden_m == 0.0
    assert not seen.top.hidden
    assert not seen.foot.hidden
    assert seen.top.bearing_deg == pytest.approx(120.0, abs=1e-4)
    assert seen.height_deg == pytest.approx(math.degrees(math.atan2(31.0, 3000.0)), rel=1e-4)
    assert seen.width_deg == pytest.approx(math.degrees(8.0 / 3000.0), rel=1e-4)
    assert seen.top.line_m > seen.top.distance_m
    assert seen.top.target == (seen.top.bearing_deg, seen.top.apparent_altitude_deg)
    # Air lifts both by k d / 2R: 0.13 x 3000 / 2 x 6.37e6 rad.
    lift = seen.top.apparent_altitude_deg - seen.top.straight_altitude_deg
    assert lift == pytest.approx(math.degrees(0.13 * 3000.0 / (2 * 6.38e6)), rel=0.01)


def test_a_landmark_half_over_the_horizon_and_one_beyond_it() -> None:
    eye = Place(54.0, 7.0, 2.0)
    foot = destination(eye, 300.0, 25_000.0)._replace(elevation_m=0.0)
    half = landmark_sight(eye, foot, 40.0)
    # By hand: horizon sqrt(2 x 6.383e6 x 2 / 0.87) = 5.42 km; (25 - 5.42)^2 km2 x 0.87 / 2R = 26.1 m.
    assert half.hidden_m == pytest.approx(26.1, abs=0.2)
    assert half.foot.hidden
    assert not half.top.hidden
    assert half.height_deg == pytest.approx(angular_size_deg(40.0 - half.hidden_m, 25_000.0), rel=1e-3)
    gone = landmark_sight(eye, foot, 20.0)
    assert gone.top.hidden
    assert gone.hidden_m == 20.0
    assert gone.height_deg == 0.0
    # Seen from higher up, or over ground that lies lower, it comes back.
    assert not landmark_sight(eye._replace(elevation_m=60.0), foot, 20.0).top.hidden
    assert not sightline(eye, foot._replace(elevation_m=20.0), level_m=-100.0).hidden


@given(places, st.floats(0.0, 360.0), st.floats(100.0, 60_000.0), st.floats(-300.0, 3000.0))
def test_what_is_hidden_lies_below_the_dip_of_the_horizon(
    place: Place, bearing_deg: float, length_m: float, top_m: float
) -> None:
    """The curve hides a point exactly where it is seen lower than the horizon and stands beyond it."""
    eye = place._replace(elevation_m=abs(place.elevation_m) / 30.0)
    target = destination(eye, bearing_deg, length_m)._replace(elevation_m=max(0.0, top_m))
    line = sightline(eye, target)
    dip_deg = math.degrees(math.sqrt(2.0 * 0.87 * eye.elevation_m / curvature_radius_m(eye.latitude_deg, bearing_deg)))
    assume(abs(line.apparent_altitude_deg + dip_deg) > 2e-3)
    assert line.hidden == (line.hidden_below_m is not None and line.apparent_altitude_deg < -dip_deg)


def test_a_landmark_below_the_eye() -> None:
    hill = Place(47.0, 11.0, 800.0)
    line = sightline(hill, destination(hill, 10.0, 4000.0)._replace(elevation_m=500.0))
    assert line.below_eye
    assert line.apparent_altitude_deg == pytest.approx(math.degrees(math.atan2(-300.0, 4000.0)), abs=0.02)
    assert not line.hidden


@pytest.mark.parametrize(
    ("target", "words"),
    [
        (HERE, "at the target itself"),
        (HERE._replace(elevation_m=60.0), "straight above"),
        (HERE._replace(elevation_m=-60.0), "straight below"),
        (Place(52.0, 15.0, 100.0), "beyond the horizon"),
        (Place(-52.0, -175.0, 100.0), "beyond the horizon"),
        (Place(91.0, 0.0), "latitude"),
        (Place(math.nan, 0.0), "not a place"),
    ],
)
def test_where_no_line_of_sight_is(target: Place, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        sightline(HERE, target)


def test_figures_out_of_range_are_refused() -> None:
    there = destination(HERE, 0.0, 1000.0)
    for k in (1.0, -2.0, math.nan):
        with pytest.raises(ValueError, match="coefficient"):
            sightline(HERE, there, k)
    with pytest.raises(ValueError, match="ground between"):
        sightline(HERE, there, level_m=3.0)
    for size in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="height"):
            landmark_sight(HERE, there, size)
        with pytest.raises(ValueError, match="width"):
            landmark_sight(HERE, there, 10.0, size)
    with pytest.raises(ValueError, match="error of height"):
        sight_error(sightline(HERE, there), 5.0, -1.0)


def test_magnetic_bearings() -> None:
    # Rule of every compass course: variation east, compass least; variation west, compass best.
    assert magnetic_bearing_deg(100.0, 12.0) == pytest.approx(88.0)
    assert magnetic_bearing_deg(100.0, -12.0) == pytest.approx(112.0)
    assert magnetic_bearing_deg(1.0, 2.5) == pytest.approx(358.5)
    assert magnetic_bearing_deg(0.0, 1e-18) == 0.0


def test_error_budget() -> None:
    # 57.3 e / d degrees: 5 m at 1 km make 0.29 deg; k off by 0.1 makes 0.0045 deg at 10 km (k d / 2R, by hand).
    assert angle_error_deg(5.0, 1000.0) == pytest.approx(0.2865, abs=1e-4)
    line = sightline(HERE, destination(HERE, 200.0, 10_000.0)._replace(elevation_m=560.0))
    errors = sight_error(line, 5.0, 2.0)
    assert errors.k_deg == pytest.approx(0.0045, abs=5e-5)
    assert errors.position_deg == pytest.approx(57.3 * 5.0 / 10_000.0, rel=2e-3)
    assert errors.height_deg == pytest.approx(57.3 * 2.0 / 10_000.0, rel=5e-3)
    assert errors.up_deg**2 == pytest.approx(errors.height_deg**2 + errors.k_deg**2 + errors.refraction_deg**2)
    assert errors.combined_deg**2 == pytest.approx(errors.across_deg**2 + errors.up_deg**2)
    # Moving the eye or the top by that much changes the angles by as much as told.
    moved = sightline(destination(HERE, 290.0, 5.0), destination(HERE, 200.0, 10_000.0))
    assert abs(moved.bearing_deg - line.bearing_deg) == pytest.approx(errors.position_deg, rel=0.01)
    raised = sightline(HERE, destination(HERE, 200.0, 10_000.0)._replace(elevation_m=562.0))
    assert raised.apparent_altitude_deg - line.apparent_altitude_deg == pytest.approx(errors.height_deg, rel=0.01)


def test_scatter_of_refraction() -> None:
    # Sampson et al. 2003, PASP 115: 0.175 deg at the horizon; 0.05 deg at 3 deg is common practice.
    assert refraction_scatter_deg(0.0) == refraction_scatter_deg(-2.0) == pytest.approx(0.175)
    assert refraction_scatter_deg(3.0) == pytest.approx(0.05)
    values = [refraction_scatter_deg(h / 10.0) for h in range(901)]
    assert all(later < earlier for earlier, later in itertools.pairwise(values[:891]))
    assert values[-1] < 1e-4
