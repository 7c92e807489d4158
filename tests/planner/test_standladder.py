"""Where to stand for a disc behind a landmark: every spot put back through the line of sight, against DE421."""

from __future__ import annotations

import datetime as dt
import math
import tomllib
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from skyfield.api import wgs84

from fieldplan.model.plan import Plan
from fieldplan.opening import setting_of
from fieldplan.planner.plans import assess
from fieldplan.planner.standanswers import StandLadder, StandRow
from fieldplan.sky.sightline import sightline
from fieldplan.sky.station import Place

from ..card.invented import GEAR
from ..de421 import load_de421

TOP = Place(53.4296, 12.7711, 101.0)
EYE_M = 1.6
# An invented hide and chapel.
TEXT = """
fieldplan_plan = 1
title = "Moon behind the chapel (invented)"
date = 2027-03-21
[site]
name = "hide"
position = "53.4300, 12.7500"
time_zone = "Europe/Berlin"
elevation = "62 m"
[[site.landmark]]
name = "chapel"
position = "53.4296, 12.7711"
foot = "70 m"
height = "31 m"
[[shot]]
name = "moon and chapel"
from = 17:50:00
to = 18:30:00
subject = { sky = "moon", behind = "chapel" }
support = "tripod"
"""


def plan_with(**site: Any) -> dict[str, Any]:
    plan = tomllib.loads(TEXT)
    plan["site"] |= site
    return plan


def ladder_of(plan: dict[str, Any]) -> StandLadder:
    from fieldplan.model.gear import Profile

    made = Plan.model_validate(plan)
    (stand,) = assess(made, Profile.model_validate(GEAR), setting_of(made.site)).stands
    return stand


@pytest.fixture(scope="module")
def stand() -> StandLadder:
    return ladder_of(plan_with())


def seen_by_de421(body: str, row: StandRow, eye_m: float) -> tuple[float, float]:
    """Azimuth, and altitude lifted by Saemundsson's refraction (Meeus 16.4), from the spot of a row."""
    ts, planets = load_de421()
    when = row.when.astimezone(dt.UTC)
    assert row.latitude_deg is not None and row.longitude_deg is not None and row.ground_m is not None
    spot = planets["earth"] + wgs84.latlon(row.latitude_deg, row.longitude_deg, elevation_m=row.ground_m + eye_m)
    instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second)
    altitude, azimuth, _ = spot.at(instant).observe(planets[body]).apparent().altaz()
    h = altitude.degrees
    return azimuth.degrees, h + 1.02 / 60.0 / math.tan(math.radians(h + 10.3 / (h + 5.11)))


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_from_every_spot_the_top_stands_where_de421_has_the_disc(body: str) -> None:
    plan = plan_with()
    plan["shot"][0]["subject"]["sky"] = body
    if body == "sun":
        plan["shot"][0] |= {"from": dt.time(6, 20), "to": dt.time(7, 20)}
    rows = [row for row in ladder_of(plan).rows if row.distance_m is not None]
    assert len(rows) >= 8
    # DE421 has the moon within 7.3" and the sun within 60" of the positions used here; 0.005 deg is 18".
    slack = 0.005 if body == "moon" else 0.02
    for row in rows:
        azimuth, altitude = seen_by_de421(body, row, EYE_M)
        assert row.latitude_deg is not None and row.longitude_deg is not None and row.ground_m is not None
        line = sightline(Place(row.latitude_deg, row.longitude_deg, row.ground_m + EYE_M), TOP)
        assert math.remainder(line.bearing_deg - azimuth, 360.0) == pytest.approx(0.0, abs=slack)
        assert line.apparent_altitude_deg == pytest.approx(altitude, abs=slack)
        assert row.azimuth_deg == pytest.approx(azimuth, abs=slack)
        assert row.altitude_deg == pytest.approx(altitude, abs=slack)


def test_walks_and_distances_are_those_of_karneys_geodesic(stand: StandLadder) -> None:
    # geographiclib: C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013).
    for row in (*stand.rows, *stand.line):
        if row.latitude_deg is None or row.longitude_deg is None:
            continue
        walk = Geodesic.WGS84.Inverse(53.43, 12.75, row.latitude_deg, row.longitude_deg)
        off = Geodesic.WGS84.Inverse(row.latitude_deg, row.longitude_deg, TOP.latitude_deg, TOP.longitude_deg)
        assert row.walk_m == pytest.approx(walk["s12"], abs=0.01)
        assert row.walk_deg == pytest.approx(walk["azi1"] % 360.0, abs=0.05)
        assert row.distance_m == pytest.approx(off["s12"], abs=0.02)


def test_equal_half_and_twice_are_where_the_angles_say(stand: StandLadder) -> None:
    # About 110 times a landmark's height makes it as high as a disc of half a degree: 1 / tan 0.52 deg (geometry).
    looks = {row.label: row for row in stand.rows if row.label}
    for label, discs in (
        ("disc as high as the landmark", 1.0),
        ("disc half as high", 2.0),
        ("disc twice as high", 0.5),
    ):
        row = looks[label]
        assert row.distance_m is not None
        seen = math.degrees(math.atan2(31.0, row.distance_m))
        assert stand.told_step_s == 10.0, "its error is about a minute: told to ten seconds"
        assert seen / row.disc_deg == pytest.approx(discs, rel=0.01)
        assert row.landmark_discs == pytest.approx(discs, rel=0.01)
    assert stand.equal_m is not None and 105.0 < stand.equal_m / 31.0 < 117.0
    own = looks["as far off as hide"]
    assert own.distance_m == pytest.approx(Geodesic.WGS84.Inverse(53.43, 12.75, 53.4296, 12.7711)["s12"], abs=0.1)


def test_the_pace_is_how_far_the_spots_move(stand: StandLadder) -> None:
    """Sideways metres a minute, against the turn of the bearing between two spots ten minutes apart."""
    rows = {f"{row.when:%H:%M:%S}": row for row in stand.rows if not row.label}
    first, middle, last = (rows[f"18:{m}:00"] for m in ("00", "10", "20"))
    assert middle.distance_m is not None and middle.sideways_m_per_min is not None
    turn = math.radians(last.azimuth_deg - first.azimuth_deg) / 20.0
    assert abs(middle.sideways_m_per_min) == pytest.approx(turn * middle.distance_m, rel=0.02)
    assert middle.sideways_m_per_min < 0.0, "the moon goes right in the north, so the photographer goes left"
    assert middle.sideways_tolerance_m == pytest.approx(
        0.25 * middle.distance_m * math.tan(math.radians(middle.disc_deg)), rel=0.01
    )


def test_the_gap_is_between_disc_and_land_and_shutters_hold_it(stand: StandLadder) -> None:
    for row in stand.rows:
        if row.ev_disc is None or row.gap_stops is None or row.disc_s is None or row.land_s is None:
            continue
        assert row.gap_stops == pytest.approx((row.ev_disc[0] - row.ev_land[1], row.ev_disc[1] - row.ev_land[0]))
        # ISO 2720: 2^EV = N^2 S / 100 t
        ev = math.log2(stand.f_number**2 / row.disc_s * 100.0 / stand.iso)  # type: ignore[operator]
        assert ev == pytest.approx(sum(row.ev_disc) / 2.0, abs=0.01)
        assert math.log2(row.land_s / row.disc_s) == pytest.approx(sum(row.ev_disc) / 2.0 - _mid(row.ev_land), abs=0.01)


def _mid(ends: tuple[float, float]) -> float:
    return (ends[0] + ends[1]) / 2.0


@pytest.mark.parametrize(("ground_deg", "limit"), [(0.0, "two degrees"), (4.0, "the ground line")])
def test_likely_visible_from_when_the_disc_is_clear_of_ground_and_haze(ground_deg: float, limit: str) -> None:
    stand = ladder_of(plan_with(skyline=[{"bearing": 0, "altitude": ground_deg}]))
    assert stand.visible and stand.visible_from is not None, limit
    ts, planets = load_de421()
    eye = planets["earth"] + wgs84.latlon(53.43, 12.75, elevation_m=63.6)
    when = stand.visible_from.astimezone(dt.UTC)
    altitude, _, distance = (
        eye.at(ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second))
        .observe(planets["moon"])
        .apparent()
        .altaz()
    )
    lift = 1.02 / 60.0 / math.tan(math.radians(altitude.degrees + 10.3 / (altitude.degrees + 5.11)))
    radius = math.degrees(math.asin(1737.4 / distance.km))
    wanted = 2.0 if ground_deg == 0.0 else ground_deg + radius
    assert altitude.degrees + lift == pytest.approx(wanted, abs=0.01)
    assert all(row.clear == (row.when >= stand.visible_from) for row in stand.rows)


def test_a_site_on_the_landmark_itself_says_so_or_looks_from_its_viewpoint() -> None:
    at = plan_with(position="53.4296, 12.7711")
    assert "there is no bearing to it" in ladder_of(at).problem
    at["site"]["viewpoint"] = [{"name": "dam", "position": "53.43, 12.75", "elevation": "62 m"}]
    assert ladder_of(at).viewpoint == "dam" and not ladder_of(at).problem


def test_a_moon_that_is_down_gives_reasons_and_no_numbers() -> None:
    plan = plan_with()
    plan["shot"][0] |= {"from": dt.time(12, 0), "to": dt.time(12, 30)}
    stand = ladder_of(plan)
    assert stand.rows and not stand.line
    for row in stand.rows:
        assert row.distance_m is None and row.walk_m is None and "below the horizon" in row.reason
        assert row.ev_disc is None


def test_other_shots_and_unknown_times_have_no_ladder() -> None:
    from fieldplan.model.gear import Profile

    plan = plan_with()
    del plan["shot"][0]["from"], plan["shot"][0]["to"]
    plan["shot"].append({"name": "moon alone", "time": dt.time(18, 0), "subject": {"sky": "moon"}})
    made = Plan.model_validate(plan)
    assert assess(made, Profile.model_validate(GEAR), setting_of(made.site)).stands == ()


def test_disc_and_landmark_in_the_frames_are_focal_length_times_angle(stand: StandLadder) -> None:
    # Elementary optics: the image of a far angle is 2 f tan(angle / 2). The moon's angle from DE421 at 18:10.
    ts, planets = load_de421()
    eye = planets["earth"] + wgs84.latlon(53.43, 12.75, elevation_m=63.6)
    distance = eye.at(ts.ut1(2027, 3, 21, 17, 10)).observe(planets["moon"]).apparent().altaz()[2]
    disc = 2.0 * math.asin(1737.4 / distance.km)
    frames = {one.label: one for one in stand.frames}
    tele = frames["body one + 70-300"]
    assert tele.focal_m == pytest.approx(0.3) and tele.hold in ("level", "upright")
    high = 0.024 if tele.hold == "level" else 0.036
    assert tele.disc_share == pytest.approx(2.0 * 0.3 * math.tan(disc / 2.0) / high, rel=1e-3)
    assert tele.disc_px == pytest.approx(2.0 * 0.3 * math.tan(disc / 2.0) / 6e-6, rel=1e-3)
    assert tele.landmark_share == pytest.approx(0.3 * 31.0 / 1403.5 / high, rel=5e-3)
    # The moon crosses its own width in about two minutes, 15 seconds of arc a second less its own motion.
    assert tele.smear_s is not None
    moved = tele.smear_s * 14.5 / 3600.0 * math.pi / 180.0 * 0.3
    assert moved == pytest.approx(math.hypot(0.036, 0.024) / 1500.0, rel=0.03), "the print circle of the shot"
    assert tele.star_s is None, "it is day"
