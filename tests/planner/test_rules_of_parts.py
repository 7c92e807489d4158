"""Rules that hold in a named park or state are no rule for the whole country.

36 CFR 13.1206 is headed "Wildlife distance conditions" of Katmai National Park and Preserve, and 36 CFR 13.920 of
Denali National Park; a deer in the state of New York lies under neither.
"""

from __future__ import annotations

import datetime as dt

import pytest

from fieldplan.planner.answers import Wanted
from fieldplan.planner.cautions import Surroundings, shot_cautions
from fieldplan.planner.subjects import resolve

from .shots import lists, plan_answers

WHEN = dt.date(2027, 5, 14)


def told(animal: str, country: str, distance: str = "30 m") -> list[str]:
    shot = plan_answers([{"name": "s", "subject": animal, "distance": distance}]).plan.shots[0]
    wanted: Wanted = resolve(shot, lists(), {}, 1.0, None)
    found = shot_cautions(wanted, "s", animal, Surroundings((country,), WHEN), lists(), "metric")
    return [caution.text for caution in found if caution.kind.startswith("approach")]


def test_a_deer_in_new_york_is_under_no_law_of_an_alaskan_park() -> None:
    lines = told("roe deer", "US")
    assert "none held for all of US, only for parts of it" in lines[0] and "law" not in lines[0]
    assert all("law only in" in line or "guidance only in" in line for line in lines[1:])
    assert any("law only in Katmai National Park" in line for line in lines[1:])


@pytest.mark.parametrize(("animal", "country"), [("seal ashore", "NZ"), ("fur seal", "NZ")])
def test_a_rule_of_the_whole_country_comes_first(animal: str, country: str) -> None:
    lines = told(animal, country, "10 m")
    assert lines[0].startswith("you plan 10 m: guidance in New Zealand, 20 m"), lines


def test_every_rule_of_a_named_park_or_state_says_so() -> None:
    words = ("National Park", "national parks", "mountain parks", "New South Wales", "Washington", "Columbia", "Hawaii")
    for rule in lists().rules:
        assert rule.part is any(word in rule.place for word in words), rule.place
