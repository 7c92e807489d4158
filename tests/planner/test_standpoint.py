"""A shot from a named viewpoint: everything is reckoned from there; and what cannot be stands first."""

from __future__ import annotations

import datetime as dt
import json
import math
import tomllib
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from pydantic import ValidationError
from skyfield.api import wgs84

from fieldplan.card import render
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.opening import setting_of
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.plans import assess
from fieldplan.planner.standpoint import plan_from

from ..card.invented import GEAR
from ..de421 import load_de421

BEACH, WALL, LIGHT = (50.2, -5.4), (50.208, -5.405), (50.22, -5.372)
# An invented shore.
TEXT = """
fieldplan_plan = 1
title = "Skerry light (invented)"
date = 2029-10-23
[site]
name = "Kelp beach"
position = "50.2000, -5.4000"
time_zone = "Europe/London"
elevation = "3 m"
[[site.landmark]]
name = "skerry light"
position = "50.2200, -5.3720"
foot = "12 m"
height = "26 m"
[[site.viewpoint]]
name = "harbour wall"
position = "50.2080, -5.4050"
elevation = "8 m"
[[shot]]
name = "moon at the light"
time = 18:25:00
subject = { sky = "moon", behind = "skerry light" }
support = "tripod"
"""


def plan_of(site: dict[str, Any] | None = None, **shot: Any) -> Plan:
    plan = tomllib.loads(TEXT)
    plan["site"] |= site or {}
    plan["shot"][0] |= shot
    return Plan.model_validate(plan)


def answers_of(plan: Plan) -> PlanAnswers:
    return assess(plan, Profile.model_validate(GEAR), setting_of(plan.site))


def test_distance_walks_and_ladder_are_those_of_the_viewpoint() -> None:
    from_wall, from_beach = (answers_of(plan_of(**shot)) for shot in ({"viewpoint": "harbour wall"}, {}))
    # Karney's geodesic (geographiclib) between the typed positions.
    wall, beach = (Geodesic.WGS84.Inverse(*place, *LIGHT) for place in (WALL, BEACH))
    for answers, way in ((from_wall, wall), (from_beach, beach)):
        wanted = answers.shots[0].wanted
        assert wanted is not None and wanted.sharp_from_m == pytest.approx(way["s12"], abs=0.5)
        told = " ".join(answers.shots[0].notes)
        assert f"bearing {round(way['azi1']) % 360:03d}, {round(way['s12'])} m off" in told
    (stand,) = from_wall.stands
    assert stand.viewpoint == "harbour wall" and "from harbour wall:" in from_wall.shots[0].notes[0]
    for row in stand.rows:
        if row.latitude_deg is not None and row.longitude_deg is not None:
            walk = Geodesic.WGS84.Inverse(*WALL, row.latitude_deg, row.longitude_deg)
            assert row.walk_m == pytest.approx(walk["s12"], abs=0.01)


def test_the_disc_stands_where_de421_sees_it_from_the_viewpoint() -> None:
    ts, planets = load_de421()
    spot = planets["earth"] + wgs84.latlon(*WALL, elevation_m=9.6)
    altitude, azimuth, _ = spot.at(ts.ut1(2029, 10, 23, 17, 25)).observe(planets["moon"]).apparent().altaz()
    lift = 1.02 / 60.0 / math.tan(math.radians(altitude.degrees + 10.3 / (altitude.degrees + 5.11)))  # Meeus 16.4
    told = " ".join(answers_of(plan_of(viewpoint="harbour wall")).shots[0].notes)
    assert f"bearing {round(azimuth.degrees):03d}, {altitude.degrees + lift:.1f} deg high as seen" in told


def test_card_and_json_say_from_where() -> None:
    answers = answers_of(plan_of(viewpoint="harbour wall"))
    shown = " ".join(str(render(answers)).split())
    assert "from harbour wall" in shown and "walks from harbour wall" in shown
    (shot,) = json.loads(str(render(answers, "json")))["shots"]
    assert shot["viewpoint"] == "harbour wall" and shot["cannot_be"] == []


def test_an_unknown_viewpoint_is_an_error_that_names_the_nearest() -> None:
    with pytest.raises(ValidationError, match='did you mean "harbour wall"'):
        plan_of(viewpoint="harbor wall")
    assert plan_of(viewpoint="Kelp beach").shots[0].viewpoint == "Kelp beach", "the site itself may be named"


def test_ground_and_eye_are_the_viewpoints_own_and_twice_is_as_once() -> None:
    plan = plan_of({"skyline": [{"bearing": 0, "altitude": 3}, {"bearing": 180, "altitude": 3}]},
                   viewpoint="harbour wall")  # fmt: skip
    seen = plan_from(plan, plan.shots[0])
    assert seen.site is not None and float(seen.site.elevation) == 8.0 and seen.site.skyline == ()
    assert plan_from(seen, plan.shots[0]).site == seen.site
    assert plan_from(plan, plan_of().shots[0]) is plan


@pytest.mark.parametrize(
    ("site", "shot", "told"),
    [
        ({}, {"time": dt.time(17, 30)}, "below the horizon"),
        ({}, {"time": dt.time(22, 0)}, "in no picture together"),
        # 20 m seen over 51 km from 3.6 m: sqrt(2 R h) with R 7/6 of the Earth's hides what is under about 130 m.
        ({"landmark": [{"name": "skerry light", "position": "50.5500, -4.9300", "foot": "0 m", "height": "20 m"}]},
         {}, "the Earth's curve"),
        ({"skyline": [{"bearing": 0, "altitude": 9}, {"bearing": 180, "altitude": 9}]}, {}, "behind the ground line"),
    ],
)  # fmt: skip
def test_what_cannot_be_stands_at_the_head(site: dict[str, Any], shot: dict[str, Any], told: str) -> None:
    answers = answers_of(plan_of(site, **shot))
    (never,) = answers.shots[0].cannot_be
    assert told in never
    lines = str(render(answers)).splitlines()
    first = next(n for n, line in enumerate(lines) if line.startswith("NO "))
    assert first < next(n for n, line in enumerate(lines) if line.startswith("best "))
    assert "both sharp" not in " ".join(answers.shots[0].notes)


def test_of_a_stretch_its_best_instant_counts() -> None:
    shot = {"time": None, "from": dt.time(17, 30), "to": dt.time(18, 40), "viewpoint": "harbour wall"}
    plan = tomllib.loads(TEXT)
    plan["shot"][0] |= shot
    del plan["shot"][0]["time"]
    assert answers_of(Plan.model_validate(plan)).shots[0].cannot_be == ()


def test_the_spots_have_their_error_beside_them_and_none_is_behind_the_sea() -> None:
    (stand,) = answers_of(plan_of(viewpoint="harbour wall")).stands
    error = next(note for note in stand.notes if note.startswith("standard error of each spot"))
    assert "5 m sideways" in error and "s on the clock" in error
    high = {"elevation": "200 m", "landmark": [{"name": "skerry light", "position": "50.2200, -5.3720", "foot": "0 m",
                                               "height": "14 m"}]}  # fmt: skip
    plan = tomllib.loads(TEXT)
    plan["site"] |= high
    del plan["shot"][0]["time"]
    plan["shot"][0] |= {"from": dt.time(18, 8), "to": dt.time(18, 20)}
    (stand,) = answers_of(Plan.model_validate(plan)).stands
    # Dip of the sea's horizon: 1.76 minutes of arc times the root of metres (the Nautical Almanac's table).
    dip = 1.76 / 60.0 * math.sqrt(201.6)
    assert all(row.altitude_deg >= -dip - 0.005 for row in stand.rows if row.distance_m is not None)
    assert any("under the horizon" in row.reason for row in stand.rows)


def test_hidden_and_dim_have_marks_of_their_own() -> None:
    answers = answers_of(plan_of(viewpoint="harbour wall"))
    (stand,) = answers.stands
    spots = [row for row in stand.rows if row.distance_m is not None]
    assert any(row.dim and not row.hidden for row in spots)
    assert all(row.dim == (row.altitude_deg < 2.0) for row in spots)
    shown = str(render(answers))
    assert "~" in shown and "may be too dim to see" in " ".join(shown.split())
    for row in spots:
        mark = "*" if row.hidden else "~" if row.dim else " "
        told = row.when - dt.timedelta(seconds=(row.when.second + 5) % 10 - 5)  # to ten seconds
        assert f"{told:%H:%M:%S}{mark}" in shown
