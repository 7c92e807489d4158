"""Small plans and profiles to change one thing of, and the planner's answers to them."""

from __future__ import annotations

import functools
from typing import Any

from fieldplan.files.catalogue import load_catalogue
from fieldplan.model.catalogue import Catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import Answer, PlanAnswers, ShotAnswers
from fieldplan.planner.plans import assess
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import book_for

Table = dict[str, Any]
BODY: Table = {"name": "body", "sensor": "36x24 mm", "pixels": "6000x4000", "mount": "A"}
LENS: Table = {"name": "lens", "focal": "600 mm", "f_number": 4, "mount": "A"}
TRIPOD: Table = {"name": "tripod", "shake": 0}


@functools.cache
def lists() -> Catalogue:
    return load_catalogue()


def gear(lens: Table | None = None, body: Table | None = None, **more: Any) -> Table:
    """A profile of one body and one lens; more: further lists, as in the file."""
    profile: Table = {"fieldplan_profile": 1, "name": "invented", "body": [{**BODY, **(body or {})}]}
    profile["lens"] = [{**LENS, **(lens or {})}]
    profile["support"] = [TRIPOD, {"name": "monopod", "shake": 0.25}]
    return {**profile, **more}


def plan_answers(shots: list[Table], profile: Table | None = None, zone: str | None = None, **plan: Any) -> PlanAnswers:
    """Answers to a plan of these shots; zone: the site's, so that light is reckoned."""
    named = [{"name": f"shot {i}", **shot} for i, shot in enumerate(shots)]
    made = {"fieldplan_plan": 1, "title": "invented", "shot": named, **plan}
    units = {"units": made.get("units", "metric")}
    typed = Plan.model_validate(made, context=units)
    setting = Setting(lists(), zone, (), book_for(typed.site, zone))
    return assess(typed, Profile.model_validate(profile or gear()), setting)


def shot_answers(shot: Table, profile: Table | None = None, zone: str | None = None, **plan: Any) -> ShotAnswers:
    return plan_answers([shot], profile, zone, **plan).shots[0]


def only(shot: Table, profile: Table | None = None, zone: str | None = None, **plan: Any) -> Answer:
    """The single answer to a shot of one rig held one way."""
    answers = shot_answers({"hold": "level", **shot}, profile, zone, **plan)
    assert answers.problem is None, answers.problem
    assert len(answers.rigs) == 1
    return answers.rigs[0]


def kinds(answer: Answer) -> list[str]:
    return [shortfall.kind for shortfall in answer.shortfalls]


def thing(**sizes: Any) -> Table:
    """A subject of one's own."""
    return {"name": "thing", **sizes}
