"""When a shot is told how long stars stay points, and how long that is."""

from __future__ import annotations

import json
import math
import tomllib
from typing import Any

import pytest

from fieldplan.card import render
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.opening import setting_of
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.plans import assess

from ..card.invented import GEAR

# An invented night.
NIGHT = """
fieldplan_plan = 1
title = "Stars (invented)"
date = 2027-03-08
[site]
name = "hide"
position = "53.4300, 12.7500"
time_zone = "Europe/Berlin"
[[shot]]
name = "stars"
time = 22:00:00
subject = "view 20 m wide"
distance = "30 m"
focal = "28 mm"
rig = { body = "body one", lens = "28" }
hold = "level"
aim = 180
aim_altitude = 30
support = "tripod"
"""


def answers(**shot: Any) -> PlanAnswers:
    plan = tomllib.loads(NIGHT)
    plan["shot"][0] |= shot
    made = Plan.model_validate(plan)
    return assess(made, Profile.model_validate(GEAR), setting_of(made.site))


def test_the_limit_is_a_circle_over_the_speed_of_the_image() -> None:
    (trail,) = answers().shots[0].star_trails
    # Due south at 30 deg from 53.43 N: declination 30 - (90 - 53.43) = -6.57 deg (spherical astronomy, the meridian).
    assert trail.declination_deg == pytest.approx(-6.57, abs=0.001)
    # Print circle: the diagonal of 36x24 mm over 1500; 15.041" a second on 28 mm at that declination.
    circle = math.hypot(0.036, 0.024) / 1500.0
    speed = 0.028 * math.radians(15.041 / 3600.0) * math.cos(math.radians(6.57))
    assert trail.middle_s == pytest.approx(circle / speed, rel=1e-4)
    assert trail.frame_s is not None and 0.5 * trail.middle_s < trail.frame_s < trail.middle_s
    assert trail.circle_px == pytest.approx(circle / 6e-6, rel=1e-6)
    assert trail.rule_s == pytest.approx(500.0 / 28.0)  # the folk rule, which is told and not used


def test_it_is_told_on_the_card_and_in_json() -> None:
    given = answers()
    told = " ".join(str(render(given)).split())
    assert "the rule of 500 / f would say 17.9 s and is not used" in told and "declination -7" in told
    (shot,) = json.loads(str(render(given, "json")))["shots"]
    assert shot["star_trails"][0]["rule_of_500_s"] == pytest.approx(500.0 / 28.0)
    assert {"rig", "hold", "middle_limit_s", "frame_limit_s", "circle_mm"} <= set(shot["star_trails"][0])


@pytest.mark.parametrize("shot", [{"time": "12:00"}, {"time": "18:20"}, {"aim_altitude": 0}, {"aim_altitude": -5}])
def test_by_day_and_below_the_horizon_nothing_is_said_of_stars(shot: dict[str, Any]) -> None:
    # Sunset there and then is at 18:07 local; civil twilight ends after 18:35 (AMS Glossary: 6 degrees).
    found = answers(**shot).shots[0]
    assert found.star_trails == () and not any("stars" in note for note in found.notes)


def test_every_rig_has_its_own() -> None:
    plan = tomllib.loads(NIGHT)
    del plan["shot"][0]["rig"], plan["shot"][0]["focal"]
    plan["shot"][0]["fill"] = "80 %"
    made = Plan.model_validate(plan)
    found = assess(made, Profile.model_validate(GEAR), setting_of(made.site)).shots[0]
    labels = {trail.label for trail in found.star_trails}
    assert labels == {a.label for a in found.rigs if a.verdict != "cannot"} and len(labels) > 1
    by_focal = sorted((a.focal_m, t.middle_s) for a, t in zip(found.rigs, found.star_trails, strict=True) if a.focal_m)
    assert [s for _, s in by_focal] == sorted((s for _, s in by_focal), reverse=True), "the longer, the sooner"
