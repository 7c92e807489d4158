"""Where to stand and how far to walk: spots put back through the line of sight, rules of the trade, and odd cases."""

import datetime as dt
import math
import random

import pytest

from fieldplan.sky.aims import CENTRED, RESTING, Correction, Placing, Target, right_of, wanted
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course, destination
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sightline import landmark_sight, sightline
from fieldplan.sky.standing import Ground, Spot
from fieldplan.sky.station import Place, Station
from fieldplan.sky.viewpoints import HowFar, ladder, line_at, spots_at
from fieldplan.sky.walking import Walk, correction_from_sighting, walk_sideways, walk_to_spot, walks_on

TOP = Place(52.30, 4.97, 43.0)  # invented: a tower of 31 m on a foot at 12 m
HEIGHT_M = 31.0
EYE_M = 4.6
DAY_S = 86400.0
EVENING_S = dt.datetime(2027, 1, 15, 12, tzinfo=dt.UTC).timestamp()


def seen(body: Body, place: Place, ut_s: float) -> tuple[Target, float]:
    there = Station(place).direction(body, ut_s)
    return Target(there.azimuth_deg, apparent_altitude_deg(there.altitude_deg)), there.semidiameter_deg


def off_deg(body: Body, place: Place, top: Place, ut_s: float, placing: Placing = CENTRED) -> tuple[float, float]:
    """How far right of and above its wanted place the disc stands, seen from the place."""
    disc, semidiameter_deg = seen(body, place, ut_s)
    aim = wanted(sightline(place, top).target, placing, semidiameter_deg)
    level = math.cos(math.radians(aim.apparent_altitude_deg))
    return (
        math.remainder(disc.bearing_deg - aim.bearing_deg, 360.0) * level,
        disc.apparent_altitude_deg - aim.apparent_altitude_deg,
    )


def rungs(ground: Ground, *wanted_: HowFar) -> list[Spot]:
    found = [spot for row in ladder(ground, wanted_, EVENING_S, EVENING_S + DAY_S) for spot in row]
    assert found
    return found


@pytest.mark.parametrize("placing", [CENTRED, RESTING, right_of(0.1), Placing(up_deg=-0.3)])
def test_spots_for_an_instant_bring_disc_and_top_together(placing: Placing) -> None:
    rng = random.Random(12)
    found = 0
    for _ in range(80):
        body: Body = rng.choice(["moon", "sun"])
        top = Place(rng.uniform(-78.0, 85.0), rng.uniform(-180.0, 180.0), rng.uniform(20.0, 900.0))
        ut_s = EVENING_S + rng.uniform(0.0, 3650.0) * DAY_S
        answer = spots_at(Ground(body, top, rng.uniform(0.0, 15.0), placing), ut_s)
        assert bool(answer.spots) == (answer.reason == "")
        for spot in answer.spots:
            assert off_deg(body, spot.place, top, ut_s, placing) == pytest.approx((0.0, 0.0), abs=1e-4)
            assert course(spot.place, top).distance_m == pytest.approx(spot.distance_m, abs=1e-4)
            found += 1
    assert found > 15


def test_uneven_ground_may_have_several_spots() -> None:
    """A ridge across the view: it rises by 40 m and falls again between 1 and 2 km from the tower."""

    def eye_m(latitude_deg: float, longitude_deg: float) -> float:
        away_m = course(Place(latitude_deg, longitude_deg), TOP).distance_m
        return 1.6 + 40.0 * max(0.0, 1.0 - abs(away_m - 1500.0) / 500.0)

    slope_m = 1700.0
    (there, *_), *_ = ladder(Ground("moon", TOP, 25.6), [HowFar(slope_m)], EVENING_S, EVENING_S + DAY_S)
    spots = spots_at(Ground("moon", TOP, eye_m), there.ut_s).spots
    assert len(spots) == 3  # going up the ridge, down behind it, and on the plain beyond
    assert any(spot.distance_m == pytest.approx(slope_m, abs=0.1) for spot in spots)
    for spot in spots:
        assert spot.place.elevation_m == pytest.approx(eye_m(*spot.place[:2]))
        assert off_deg("moon", spot.place, TOP, there.ut_s) == pytest.approx((0.0, 0.0), abs=1e-4)


def test_the_line_for_an_instant_and_the_eye_it_needs() -> None:
    ut_s = rungs(Ground("moon", TOP, EYE_M), HowFar(2000.0))[0].ut_s
    points = line_at(Ground("moon", TOP, EYE_M), ut_s, [500.0, 1500.0, 2000.0, 4000.0])
    assert [point.distance_m for point in points] == [500.0, 1500.0, 2000.0, 4000.0]
    for point in points:
        across, up = off_deg("moon", point.place, TOP, ut_s)
        assert across == pytest.approx(0.0, abs=1e-5)
        assert up == pytest.approx(point.above_deg, abs=1e-5)
        assert point.eye_needed_m is not None
        lifted = point.place._replace(elevation_m=point.eye_needed_m)
        assert off_deg("moon", lifted, TOP, ut_s)[1] == pytest.approx(0.0, abs=1e-5)
    assert points[0].above_deg < 0.0 < points[3].above_deg  # near by the tower stands high, far off low
    assert points[2].eye_needed_m == pytest.approx(EYE_M, abs=0.05)


def test_the_rule_of_110_heights() -> None:
    # Common practice: disc and landmark look equally high from about 110 times its height. From 1 / tan of the moon's
    # mean 31.1' (Meeus ch. 55: 0.2725076 of a mean parallax of 57' 2.6") it is 110.6; 107 to 117 over the year.
    for spot in rungs(Ground("moon", TOP, EYE_M), HowFar(landmark_discs=1.0, height_m=HEIGHT_M)):
        assert 101.0 < spot.distance_m / HEIGHT_M < 117.5
        assert spot.distance_m / HEIGHT_M == pytest.approx(1.0 / math.tan(math.radians(spot.disc_deg)), rel=0.002)


@pytest.mark.parametrize("discs", [0.5, 1.0, 2.0, 6.0])
def test_the_landmark_is_so_many_discs_high(discs: float) -> None:
    for spot in rungs(Ground("moon", TOP, EYE_M), HowFar(landmark_discs=discs, height_m=HEIGHT_M)):
        foot = TOP._replace(elevation_m=TOP.elevation_m - HEIGHT_M)
        shown = landmark_sight(spot.place, foot, HEIGHT_M)
        assert shown.height_deg / spot.disc_deg == pytest.approx(discs, rel=1e-3)
        assert off_deg("moon", spot.place, TOP, spot.ut_s) == pytest.approx((0.0, 0.0), abs=1e-4)


def test_a_ladder_finds_rise_and_set_and_says_nothing_where_there_is_none() -> None:
    ground = Ground("sun", TOP, EYE_M)
    near, far, over = ladder(ground, [HowFar(900.0), HowFar(3000.0), HowFar(20.0)], EVENING_S, EVENING_S + DAY_S)
    for row in (near, far):
        assert len(row) == 2  # the afternoon's, and the next morning's
        assert row[0].azimuth_deg > 180.0 > row[1].azimuth_deg
    # In mid-January the sun culminates 17 degrees up at 52 N: the top, 62 degrees up from 20 m off, is out of reach.
    assert over == []
    assert near[0].ut_s < far[0].ut_s  # a sinking sun meets the top later from further off
    night = ladder(Ground("sun", Place(80.0, 10.0, 50.0), 2.0), [HowFar(900.0)], EVENING_S, EVENING_S + DAY_S)
    assert night == [[]]


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_metres_a_minute_and_tolerances(body: Body) -> None:
    ground = Ground(body, TOP, EYE_M)
    for spot in rungs(ground, HowFar(1500.0), HowFar(4000.0)):
        # Staying at the distance while the disc moves on for a minute.
        later = ground.standing(spot.ut_s + 60.0, spot.distance_m)
        step = course(spot.place, later.place)
        facing = math.radians(step.bearing_deg - spot.azimuth_deg)
        assert step.distance_m * math.sin(facing) == pytest.approx(spot.sideways_m_per_min, rel=0.01)
        # A quarter of a disc sideways, and along.
        right = destination(spot.place, spot.azimuth_deg + 90.0, spot.sideways_tolerance_m)
        assert off_deg(body, right, TOP, spot.ut_s)[0] == pytest.approx(spot.disc_deg / 4.0, rel=0.02)
        assert spot.along_tolerance_m is not None
        assert spot.back_m_per_min is not None
        back = destination(spot.place, spot.azimuth_deg + 180.0, 0.1 * spot.along_tolerance_m)
        assert off_deg(body, back, TOP, spot.ut_s)[1] == pytest.approx(spot.disc_deg / 40.0, rel=0.1)
        moved = destination(spot.place, spot.azimuth_deg + 180.0, 0.1 * spot.back_m_per_min)
        assert off_deg(body, moved, TOP, spot.ut_s + 6.0)[1] == pytest.approx(0.0, abs=2e-3)
    # In the northern sky's south a disc moves right, so one walks left: 15 deg/h x sin(latitude) at least in size.
    assert all(spot.sideways_m_per_min < 0.0 for spot in rungs(ground, HowFar(1500.0)))


def test_walking_to_the_line_and_to_the_spot() -> None:
    ground = Ground("moon", TOP, EYE_M)
    spot = rungs(ground, HowFar(2500.0))[0]
    position = destination(spot.place, spot.azimuth_deg - 90.0, 14.0)  # 14 m too far left
    walk = walk_sideways(ground, position, spot.ut_s)
    assert walk.distance_m == pytest.approx(14.0, abs=0.1)
    assert math.remainder(walk.bearing_deg - spot.azimuth_deg - 90.0, 360.0) == pytest.approx(0.0, abs=0.5)
    assert walk.sideways_m == pytest.approx(14.0, abs=0.1)
    assert walk.above_deg == pytest.approx(0.0, abs=1e-3)
    further = destination(position, spot.azimuth_deg + 180.0, 100.0)
    exact = walk_to_spot(ground, further, spot.ut_s)
    assert isinstance(exact, Walk)
    assert exact.back_m == pytest.approx(-100.0, abs=0.2)
    assert exact.sideways_m == pytest.approx(14.0, abs=0.6)  # the landmark lies 0.3 deg to the side of the walk back
    assert course(exact.place, spot.place).distance_m < 0.01
    assert course(destination(further, exact.bearing_deg, exact.distance_m), spot.place).distance_m < 0.01
    (same,) = walks_on(ground, position, spot.ut_s - 3600.0, spot.ut_s + 3600.0)
    assert same.ut_s == pytest.approx(spot.ut_s, abs=1.0)
    assert same.sideways_m == pytest.approx(14.0, abs=0.2)


def test_one_sighting_corrects_the_rest() -> None:
    """The tower really stands 12 m off and 3 m higher than the plan has it: one look finds that out."""
    planned = rungs(Ground("moon", TOP, EYE_M), HowFar(2500.0))[0]
    ut_s, position = planned.ut_s, planned.place
    really = destination(TOP, planned.azimuth_deg + 60.0, 12.0)._replace(elevation_m=TOP.elevation_m + 3.0)
    across, up = off_deg("moon", position, really, ut_s)
    _, semidiameter_deg = seen("moon", position, ut_s)
    discs = (across / (2.0 * semidiameter_deg), up / (2.0 * semidiameter_deg))
    found = correction_from_sighting("moon", position, TOP, ut_s, *discs)
    assert (found.across_deg, found.up_deg) == pytest.approx((across, up), abs=2e-4)
    later_s = ut_s + 600.0
    blind, corrected = (
        walk_sideways(Ground("moon", TOP, EYE_M, correction=one), position, later_s).place
        for one in (Correction(), found)
    )
    assert abs(off_deg("moon", blind, really, later_s)[0]) > 0.15
    assert off_deg("moon", corrected, really, later_s)[0] == pytest.approx(0.0, abs=5e-3)
    # Two disc widths to the left, as reckoned dead on, is a correction of two widths.
    spot = spots_at(Ground("moon", TOP, EYE_M), ut_s).spots[0]
    left = correction_from_sighting("moon", spot.place, TOP, ut_s, -2.0, 0.0)
    assert left.across_deg == pytest.approx(-2.0 * spot.disc_deg, rel=1e-3)
    assert left.up_deg == pytest.approx(0.0, abs=1e-4)


def test_sentences_where_no_spot_is() -> None:
    midnight_s = EVENING_S + 0.5 * DAY_S
    assert "below the horizon" in spots_at(Ground("sun", TOP, EYE_M), midnight_s).reason
    assert "not above the eye" in spots_at(Ground("sun", TOP, 100.0), EVENING_S).reason
    assert "too low" in spots_at(Ground("sun", TOP, EYE_M), EVENING_S, 5.0, 40.0).reason
    assert "above the landmark's top" in spots_at(Ground("sun", TOP, EYE_M), EVENING_S, 2000.0, 4000.0).reason
    assert walk_to_spot(Ground("sun", TOP, EYE_M), TOP, midnight_s) == (
        spots_at(Ground("sun", TOP, EYE_M), midnight_s).reason
    )
    equinox_s = dt.datetime(2027, 3, 20, 12, 7, 30, tzinfo=dt.UTC).timestamp()
    overhead = Ground("sun", Place(0.0, 0.0, 100.0), 2.0)
    assert "overhead" in spots_at(overhead, equinox_s).reason
    with pytest.raises(ValueError, match="overhead"):
        line_at(overhead, equinox_s, [100.0])


def test_what_is_no_distance_or_position_is_refused() -> None:
    ground = Ground("sun", TOP, EYE_M)
    for distance_m in (0.0, -5.0, math.nan, 1e6):
        with pytest.raises(ValueError, match="distance"):
            line_at(ground, EVENING_S, [distance_m])
        with pytest.raises(ValueError, match="distance"):
            ladder(ground, [HowFar(distance_m)], EVENING_S, EVENING_S + DAY_S)
    with pytest.raises(ValueError, match="wanted in metres"):
        ladder(ground, [HowFar(landmark_discs=1.0)], EVENING_S, EVENING_S + DAY_S)
    with pytest.raises(ValueError, match="no distance makes"):
        ladder(ground, [HowFar(landmark_discs=0.0, height_m=3.0)], EVENING_S, EVENING_S + DAY_S)
    with pytest.raises(ValueError, match="no distances"):
        spots_at(ground, EVENING_S, 100.0, 50.0)
    with pytest.raises(ValueError, match="at the landmark itself"):
        walk_sideways(ground, TOP, EVENING_S)
    with pytest.raises(ValueError, match="latitude"):
        Ground("sun", Place(95.0, 0.0), EYE_M)
