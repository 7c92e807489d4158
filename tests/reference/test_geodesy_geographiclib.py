"""Distances, bearings and destinations against geographiclib (Karney 2013), and a worked line from a survey manual."""

import math
import random

import pytest
from geographiclib.geodesic import Geodesic

from fieldplan.sky.geodesic import course, destination
from fieldplan.sky.station import Place

WGS84 = Geodesic.WGS84
RNG_SEED = 5


def lines(count: int) -> list[tuple[float, float, float, float]]:
    """Latitude, longitude, bearing and length of random lines up to 316 km, with poles, equator and date line."""
    rng = random.Random(RNG_SEED)
    return [
        (
            rng.choice([rng.uniform(-90.0, 90.0), 90.0, -90.0, 0.0, rng.uniform(-1e-3, 1e-3)]),
            rng.choice([rng.uniform(-180.0, 180.0), 180.0, -180.0, 179.9999]),
            rng.choice([rng.uniform(0.0, 360.0), 0.0, 90.0, 180.0, 270.0]),
            10.0 ** rng.uniform(-2.0, 5.5),
        )
        for _ in range(count)
    ]


def test_destinations_agree_to_a_hundredth_of_a_millimetre() -> None:
    for latitude, longitude, bearing, length_m in lines(3000):
        there = destination(Place(latitude, longitude, 7.0), bearing, length_m)
        expected = WGS84.Direct(latitude, longitude, bearing, length_m)
        apart = WGS84.Inverse(expected["lat2"], expected["lon2"], there.latitude_deg, there.longitude_deg)["s12"]
        assert apart < 1e-5
        assert there.elevation_m == 7.0
        assert -180.0 <= there.longitude_deg <= 180.0


def test_lengths_and_bearings_agree_to_a_hundredth_of_a_millimetre() -> None:
    for latitude, longitude, bearing, length_m in lines(3000):
        end = WGS84.Direct(latitude, longitude, bearing, length_m)
        way = course(Place(latitude, longitude), Place(end["lat2"], end["lon2"]))
        expected = WGS84.Inverse(latitude, longitude, end["lat2"], end["lon2"])
        assert way.distance_m == pytest.approx(expected["s12"], abs=1e-5)
        assert 0.0 <= way.bearing_deg < 360.0
        for ours, theirs, at in (
            (way.bearing_deg, expected["azi1"], latitude),
            (way.end_bearing_deg, expected["azi2"], end["lat2"]),
        ):
            if abs(at) < 89.999:  # at a pole every direction is south
                assert abs(math.radians(math.remainder(ours - theirs, 360.0))) * length_m < 1e-5


def test_far_lines_agree_too() -> None:
    rng = random.Random(8)
    for _ in range(300):
        start = Place(rng.uniform(-90.0, 90.0), rng.uniform(-180.0, 180.0))
        end = Place(rng.uniform(-90.0, 90.0), rng.uniform(-180.0, 180.0))
        expected = WGS84.Inverse(*start[:2], *end[:2])
        if expected["a12"] < 175.0:
            assert course(start, end).distance_m == pytest.approx(expected["s12"], abs=1e-3)


def test_the_worked_line_of_a_survey_manual() -> None:
    # Flinders Peak to Buninyong, ICSM Geocentric Datum of Australia Technical Manual, ch. 4; the figures from memory.
    peak = Place(-(37 + 57 / 60 + 3.72030 / 3600), 144 + 25 / 60 + 29.52440 / 3600)
    hill = Place(-(37 + 39 / 60 + 10.15610 / 3600), 143 + 55 / 60 + 35.38390 / 3600)
    way = course(peak, hill)
    assert way.distance_m == pytest.approx(54972.271, abs=1e-3)
    assert way.bearing_deg == pytest.approx(306 + 52 / 60 + 5.37 / 3600, abs=0.01 / 3600)
    assert way.end_bearing_deg + 180.0 - 360.0 == pytest.approx(127 + 10 / 60 + 25.07 / 3600, abs=0.01 / 3600)


@pytest.mark.parametrize("end", [Place(0.0, 179.9), Place(0.05, 180.0), Place(-10.0, -170.0)])
def test_points_opposite_each_other_have_no_bearing(end: Place) -> None:
    start = Place(0.0, 0.0) if end.longitude_deg > 0 else Place(10.0, 10.0)
    with pytest.raises(ValueError, match="opposite"):
        course(start, end)
