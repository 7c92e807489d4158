"""Invented plans and gear for the card: a small one with everything on it, and one full of hostile names."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

from fieldplan.files.catalogue import load_catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.plans import assess
from fieldplan.planner.setting import Setting

Table = dict[str, Any]

GEAR: Table = tomllib.loads("""
fieldplan_profile = 1
name = "small bag (invented)"
photographer = { bag_limit = "4 kg" }
[[body]]
name = "body one"
sensor = "36x24 mm"
pixels = "6000x4000"
mount = "A"
iso_ceiling = 1600
weight = "0.7 kg"
[[lens]]
name = "70-300"
focal = "70-300 mm"
f_number = "4-5.6"
closest_focus = "1.2 m"
largest_magnification = 0.3
mount = "A"
weight = "0.8 kg"
[[lens]]
name = "28"
focal = 28
f_number = 2
mount = "A"
weight = "0.3 kg"
[[support]]
name = "tripod"
weight = "2.5 kg"
[[extra]]
name = "rain cover"
""")

PLAN: Table = tomllib.loads("""
fieldplan_plan = 1
title = "Mill pond (invented)"
date = 2027-05-02
[site]
name = "mill pond"
position = "48.5, 9.25"
elevation = "420 m"
sky = "hazy"
magnetic_variation = 3.5
[[site.landmark]]
name = "mill"
position = "48.501, 9.252"
foot = "421 m"
height = "14 m"
[[site.viewpoint]]
name = "weir"
position = "48.4995, 9.2495"
note = "slippery"
[[shot]]
name = "fox at the fence"
must = true
time = 19:30:00
subject = { name = "fox", height = "40 cm", width = "70 cm", speed = "1 m/s", living = true, group = "mammal" }
distance = "10-12 m"
fill = "40-60 %"
depth_of_field = "10 cm"
background = "8 m"
aim = 250
light = "EV 9"
note = "wait for the bell"
[[shot]]
name = "mill over the water"
from = 20:00:00
to = 20:30:00
subject = { name = "mill", height = "14 m" }
distance = "20 m"
fill = "50 %"
sharp_from = "4 m"
sharp_to = "infinity"
light = "open shade"
support = "tripod"
[[shot]]
name = "no idea yet"
""")


def answers(plan: Table = PLAN, gear: Table = GEAR, zone: str | None = "Europe/Berlin") -> PlanAnswers:
    """The answers to a plan and a profile given as tables."""
    setting = Setting(load_catalogue(), zone, ("DE",))
    return assess(Plan.model_validate(plan), Profile.model_validate(gear), setting)


def changed(table: Table, **values: Any) -> Table:
    """A copy of a table with other values."""
    return copy.deepcopy(table) | values


def hostile() -> PlanAnswers:
    """Names as long as they may be, wide, without blanks, and full of markup."""
    gear, plan = copy.deepcopy(GEAR), copy.deepcopy(PLAN)
    gear["name"] = "<script>alert(1)</script> [b]bag[/b]"
    gear["body"][0]["name"] = "漢字" * 60
    gear["lens"][0] |= {"name": "W" * 120, "converters": ["ლინზა " * 19 + "x"]}
    gear["lens"][1]["name"] = "Ωμέγα ß Ж " * 11 + "z"
    gear["converter"] = [{"name": "ლინზა " * 19 + "x", "factor": 1.4, "mount": "A"}]
    gear["tube"] = [{"name": "長" * 120, "length": "25 mm", "mount": "A"}]
    plan["title"] = '<b>Title</b> & "co" %s {0} \\n; ' * 3
    plan["site"]["name"] = "]]> <!-- pond, north; east"
    plan["shot"][0]["name"] = "<script src=\"http://x\">alert('x')</script> [red]&amp;"
    plan["shot"][1]["name"] = "鷺" * 120
    plan["shot"][0]["note"] = "n" * 120
    return answers(plan, gear)
