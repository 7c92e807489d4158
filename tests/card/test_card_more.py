"""The card and its JSON: close-ups, both ends, gaps, and what the plan carries."""

from __future__ import annotations

import copy
import json
import re
from typing import Any

import pytest

from fieldplan.card import render
from fieldplan.files.catalogue import load_catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.carrying import carried_profile
from fieldplan.planner.plans import assess
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.shotmore import fuller

from .invented import GEAR, PLAN, Table

MOTH: Table = {
    "name": "moth on the mill door", "subject": {"name": "moth", "height": "15 mm", "width": "20 mm", "living": True},
    "distance": "0.42 m", "fill": "30-60 %", "light": "EV 10", "depth_of_field": "6 mm", "activity": None,
}  # fmt: skip
MACRO: Table = {"name": "90 macro", "focal": 90, "f_number": 2.8, "closest_focus": "0.35 m", "mount": "A",
                "largest_magnification": 1.0, "length": "120 mm", "weight": "0.6 kg"}  # fmt: skip


def full(*carry: str) -> PlanAnswers:
    plan, gear = copy.deepcopy(PLAN), copy.deepcopy(GEAR)
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
