"""A disc at the side of a wide landmark: its edge touches the wall from wherever one stands, by DE421."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import pytest
from geographiclib.geodesic import Geodesic
from skyfield.api import wgs84

from fieldplan.model.plan import Site
from fieldplan.planner.fallbacks import OWN_SPOT, Failed, fallbacks
from fieldplan.planner.hitspots import hit_spots
from fieldplan.planner.lineups import search_span
from fieldplan.planner.sidestep import side_step_of
from fieldplan.planner.sifting import Sieve
from fieldplan.planner.sights import aimed_for, find_sight_lineups, sight_of
from fieldplan.planner.skymoments import stand_at
from fieldplan.sky.station import Place

from ..de421 import load_de421

ZONE = ZoneInfo("Europe/Berlin")
CHAPEL = (53.4296, 12.7711)
HALF_M = 10.0
# An invented site: a chapel 20 m wide.
SITE = Site.model_validate(
    {
        "name": "hide",
        "position": "53.4300, 12.7500",
        "elevation": "62 m",
        "landmark": [
            {"name": "chapel", "position": "53.4296, 12.7711", "foot": "70 m", "height": "31 m", "width": "20 m"}
        ],
    }
)
SIGHT = sight_of(SITE, "chapel")
# JPL's moon is within 7.3" of the one used here, and the wall is 0.02 to 0.8 degrees wide over these distances.
SLACK_DEG = 0.005


def edge_off_deg(eye: Place, ut_s: float, side: int) -> float:
    """How far the disc's inner edge is from the wall that it touches; side: 1 right, -1 left."""
    ts, planets = load_de421()
    when = dt.datetime.fromtimestamp(ut_s, tz=dt.UTC)
    instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second + when.microsecond / 1e6)
    spot = planets["earth"] + wgs84.latlon(eye.latitude_deg, eye.longitude_deg, elevation_m=eye.elevation_m)
    altitude, azimuth, distance = spot.at(instant).observe(planets["moon"]).apparent().altaz()
    line = Geodesic.WGS84.Inverse(eye.latitude_deg, eye.longitude_deg, *CHAPEL)
    level = math.cos(math.radians(altitude.degrees))
    from_middle = math.remainder(azimuth.degrees - line["azi1"], 360.0) * level
    half_wall = math.degrees(math.atan2(HALF_M, line["s12"])) * level
    return side * from_middle - half_wall - math.degrees(math.asin(1737.4 / distance.km))


@pytest.mark.parametrize(("placed", "side"), [("left", -1), ("right", 1)])
@pytest.mark.parametrize("when", ["2027-06-25T22:23", "2027-05-15T13:30", "2027-03-21T17:20"])
def test_the_spot_of_an_instant_is_for_its_own_distance(placed: str, side: int, when: str) -> None:
    ut_s = dt.datetime.fromisoformat(when).replace(tzinfo=dt.UTC).timestamp()
    spot = stand_at(SIGHT, "moon", ut_s, placed).spot
    assert spot is not None and abs(spot.distance_m - SIGHT.seen.top.distance_m) > 100.0
    assert edge_off_deg(spot.place, ut_s, side) == pytest.approx(0.0, abs=SLACK_DEG)


@pytest.mark.parametrize(("placed", "side"), [("left", -1), ("right", 1)])
def test_walks_waypoints_and_fallbacks_touch_the_wall_too(placed: str, side: int) -> None:
    span = search_span(dt.date(2027, 3, 14), dt.date(2027, 9, 1), ZONE)
    found = find_sight_lineups(SIGHT, "moon", span, 1.5, placed).found
    assert found
    for one in hit_spots("moon", SIGHT.eye, SIGHT.top, found[:4], aimed_for(SIGHT, placed)):
        if one.spot is not None:
            assert edge_off_deg(one.spot.place, one.ut_s, side) == pytest.approx(0.0, abs=SLACK_DEG)
    step = side_step_of(SIGHT, "moon", found[0].hit.ut_s, placed)
    assert step is not None
    assert edge_off_deg(step.place, step.ut_s, side) == pytest.approx(0.0, abs=SLACK_DEG)
    failed = Failed(SITE, SIGHT, found[0], "missed", "moon", placed, 1.5, Sieve(), ZONE)
    new = [c for c in fallbacks(failed, 50) if c.sight.viewpoint == OWN_SPOT]
    assert len(new) >= 2
    for choice in new:
        assert edge_off_deg(choice.sight.eye, choice.up.hit.ut_s, side) == pytest.approx(0.0, abs=SLACK_DEG)
