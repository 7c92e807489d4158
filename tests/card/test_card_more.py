"""The card and its JSON: close-ups, both ends, gaps, and what the plan carries."""

from __future__ import annotations

import copy
import json
import math
import re
from typing import Any

import pytest

from fieldplan.card import render
from fieldplan.card.lighttables import distance_table
from fieldplan.files.catalogue import load_catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.carrying import carried_profile
from fieldplan.planner.plans import assess
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.shotmore import fuller
from fieldplan.planner.tables import DistanceTable

from .invented import GEAR, PLAN, Table

MOTH: Table = {
    "name": "moth on the mill door", "subject": {"name": "moth", "height": "15 mm", "width": "20 mm", "living": True},
    "distance": "0.42 m", "fill": "30-60 %", "light": "EV 10", "depth_of_field": "6 mm", "activity": None,
}  # fmt: skip
MACRO: Table = {"name": "90 macro", "focal": 90, "f_number": 2.8, "closest_focus": "0.35 m", "mount": "A",
                "largest_magnification": 1.0, "length": "120 mm", "weight": "0.6 kg"}  # fmt: skip


def full(*carry: str, **more: Any) -> PlanAnswers:
    plan, gear = copy.deepcopy(PLAN), copy.deepcopy(GEAR) | more
    plan["shot"].append({key: value for key, value in MOTH.items() if value is not None})
    plan["shot"][0]["light"] = "EV 13"
    gear["lens"].append(MACRO)
    if carry:
        plan["carry"] = list(carry)
    made, held = Plan.model_validate(plan), Profile.model_validate(gear)
    setting = Setting(load_catalogue(), "Europe/Berlin", ("DE",))
    kit = prepare(carried_profile(made, held))
    return fuller(assess(made, held, setting, kit), kit, setting)


def block(text: str, shot: str) -> str:
    after = re.split(rf"{shot} \((?:must|nice to have)\)\n-", text)[1]
    return " ".join(after.split("distance against share")[0].split())


def test_a_close_up_takes_a_line_or_two_and_the_stack_one() -> None:
    answers = full()
    text = block(str(render(answers, "text")), "moth on the mill door")
    best = answers.shots[-1].best
    assert best is not None and best.lens == "90 macro" and best.magnification is not None
    # Effective f-number N (1 + m) [Wikipedia, "F-number"]; 42 cm less 12 cm of lens.
    assert f"acts as f/{best.f_number * (1 + best.magnification):.2g}" in text  # type: ignore[operator]
    assert "30 cm from the front of the lens at most" in text
    assert "stop 6 mm deep takes" in text


def test_both_ends_stand_beside_the_answer() -> None:
    text = block(str(render(full(), "text")), "mill over the water")
    assert "both ends body one + " in text and "holds 4 m-infinity" in text


def test_the_other_faces_carry_the_same_lines() -> None:
    html = str(render(full(), "html"))
    assert "both ends" in html and "close up" in html
    assert isinstance(render(full(), "pdf"), bytes)


def test_json_gains_fields_and_changes_none() -> None:
    data: dict[str, Any] = json.loads(str(render(full(), "json")))
    assert data["format"] == "fieldplan-answers/1" and data["carried"] is None
    moth, mill = data["shots"][-1], data["shots"][1]
    close = moth["close_up"]
    assert close["magnification"] == pytest.approx(moth["rigs"][0]["magnification"])
    assert close["effective_f_number"] == pytest.approx(moth["rigs"][0]["effective_f_number"], rel=1e-6)
    assert close["working_m"] == pytest.approx(0.42 - 0.12, abs=1e-6) and close["room_enough"] is True
    assert mill["close_up"] is None and mill["both_ends"]["f_number"] is not None
    # Both ends at once: focus at twice the near limit where the far one is infinity, near enough to the sensor plane.
    assert mill["both_ends"]["focus_m"] == pytest.approx(8.0, rel=0.02)
    nothing = data["shots"][2]
    assert {nothing[key] for key in ("close_up", "sway", "stack", "sweep", "both_ends", "gap")} == {None}


def test_what_the_plan_carries_is_the_kit_and_what_it_costs_is_told() -> None:
    answers = full("body one", "28", "tripod", "anvil")
    text = str(render(answers, "text"))
    kit = text.split("\nkit\n")[1]
    assert "total 3.5 kg, bag limit 4 kg" in kit  # 0.7 + 0.3 + 2.5 kg by hand
    assert "at home 70-300, 90 macro, rain cover" in " ".join(kit.split())
    assert "fox at the fence (body one + 70-300 would)" in " ".join(kit.split())
    assert "anvil" in kit
    data = json.loads(str(render(answers, "json")))
    assert data["carried"]["at_home"] == ["70-300", "90 macro", "rain cover"]
    assert data["carried"]["unknown"] == ["anvil"]
    assert {rig["lens"] for shot in data["shots"] for rig in shot["rigs"]} == {"28"}
    assert "fox at the fence" in [missed["shot"] for missed in data["carried"]["not_taken"]]


def test_a_gap_is_told_with_what_closes_it() -> None:
    answers = full("body one", "28", "tripod")
    fox = json.loads(str(render(answers, "json")))["shots"][0]
    assert fox["gap"] is not None and fox["gap"]["change"] is not None
    text = block(str(render(answers, "text")), "fox at the fence")
    assert "or take" in text and "of the frame instead of 40 %" in text


def test_flash_and_slant_are_in_the_json_and_flash_takes_a_line() -> None:
    answers = full(flash=[{"name": "small flash", "guide_number": "24 m", "duration": "1/1000", "sync": "1/200"}])
    moth = json.loads(str(render(answers, "json")))["shots"][-1]
    told = moth["flash"][0]
    # ISO 1230: the guide number over the effective f-number is the reach; the power goes by the distance squared.
    ratio = moth["rigs"][0]["effective_f_number"] / moth["rigs"][0]["f_number"]
    assert told["reach_m"] == pytest.approx(24 / (told["f_number"] * ratio), rel=1e-6)
    assert told["power"] == pytest.approx((told["distance_m"] / told["reach_m"]) ** 2)
    assert told["shutter_s"] == 1 / 200 and told["iso"] == 100
    # EV 10 against N^2/t at ISO 100 (ISO 2720).
    assert told["other_light_stops"] == pytest.approx(10 - math.log2((told["f_number"] * ratio) ** 2 * 200), abs=1e-6)
    # 20 mm at 20 deg: 20 sin 20 = 6.84 mm.
    assert moth["aslant"]["needed_m"] == pytest.approx(0.00684, abs=1e-5)
    text = block(str(render(answers, "text")), "moth on the mill door")
    assert "flash small flash: f/" in text and "1/200, ISO 100, about 1/" in text


def test_the_card_sets_what_both_ends_ask_for() -> None:
    mill = json.loads(str(render(full(), "json")))["shots"][1]
    best, ends = mill["rigs"][0], mill["both_ends"]
    assert best["f_number"] == ends["f_number"] and best["focus_m"] == pytest.approx(ends["focus_m"], rel=1e-9)
    assert best["near_m"] <= 4.0 and best["far_infinite"]


def test_rows_of_what_focuses_nowhere_there_are_left_out() -> None:
    rows = (("near", 0.05, (0.5, None)), ("far", 0.6, (None, None)), ("farther", 0.8, (None, None)))
    made = distance_table(DistanceTable("x", "level", (0.5, 1.0), rows), "metric")
    assert [row[0] for row in made.rows] == ["near, 50 mm"] and made.rows[0][2] == "-"
    assert "2 that focus at none of these left out" in made.note
    none = distance_table(DistanceTable("x", "level", (0.5, 1.0), rows[1:]), "metric")
    assert none.rows == () and none.head[0] == "nothing focuses at these distances"


@pytest.mark.parametrize(("f_number", "soft"), [(13, False), (16, True)])
def test_diffraction_wider_than_the_circle_is_said(f_number: float, soft: bool) -> None:
    # 2.44 x 0.55 um x N (Airy): 24 x 16 mm / 1500 is a circle of 19.2 um, which f/14.3 makes.
    shot = {"name": "post", "subject": {"name": "post", "height": "1 m"}, "distance": "20 m", "f_number": f_number,
            "light": "EV 13"}  # fmt: skip
    gear = copy.deepcopy(GEAR)
    gear["body"] = [{**gear["body"][0], "sensor": "24x16 mm"}]
    made, held = Plan.model_validate({**copy.deepcopy(PLAN), "shot": [shot]}), Profile.model_validate(gear)
    answers = assess(made, held, Setting(load_catalogue(), "Europe/Berlin", ("DE",)))
    assert ("soft by diffraction" in str(render(answers, "text"))) is soft
    assert json.loads(str(render(answers, "json")))["shots"][0]["rigs"][0]["soft_by_diffraction"] is soft
