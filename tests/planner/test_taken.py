"""The log of a plan: an answer as its entry, what was planned beside what was done, and entries whose shot is gone."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path
from typing import Any

import pytest

from fieldplan.files.edits import with_inserted, with_value
from fieldplan.files.places import starters_folder
from fieldplan.files.reading import validated
from fieldplan.files.writing import to_toml
from fieldplan.model.plan import Plan
from fieldplan.opening import answers_to, open_plan
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.taken import GONE, NOT_LOGGED, exposed_ev100, plan_and_done, taken_from

from .shots import gear, plan_answers

HERON = {"name": "heron", "subject": "grey heron", "distance": "25-31 m", "fill": "50-75 %", "light": "EV 12",
         "time": "07:20", "hold": "upright"}  # fmt: skip
DUCK = {"name": "duck", "subject": "mallard", "distance": "20 m", "light": "EV 12", "from": "08:00", "to": "09:00"}
NOW = dt.datetime(2027, 3, 14, 7, 20, 45, 999_999)


def answers(*taken: dict[str, Any], **plan: Any) -> PlanAnswers:
    return plan_answers([HERON, DUCK], taken=list(taken), date="2027-03-14", **plan)


def told(entry: dict[str, Any], **plan: Any) -> tuple[str, ...]:
    """The differences of one entry for the heron."""
    made = answers({"shot": "heron", **entry}, **plan)
    return plan_and_done(made.plan, made)[0].done[0].differences


def test_an_answer_as_an_entry_reads_back_and_differs_in_nothing() -> None:
    made = answers()
    planned = made.shots[0].best
    assert planned is not None
    entry = taken_from(planned, made.shots[0].shot, NOW)
    plan = with_inserted(made.plan, ("taken",), 0, entry)
    held = plan.taken[0]
    assert (held.shot, held.body, held.lens) == ("heron", "body", "lens")
    assert (held.date, held.time) == (NOW.date(), dt.time(7, 20, 45))
    assert float(held.focal or 0) == pytest.approx(0.6)
    assert float(held.distance or 0) == 28.0
    # a mark is within a seventh of a stop of the exact third that it stands for (worst: f/1.2, common practice)
    assert abs(2 * math.log2(float(held.f_number or 0) / (planned.f_number or 0))) < 0.15
    assert abs(math.log2(float(held.shutter or 0) / (planned.shutter_s or 0))) < 0.15
    done = plan_and_done(plan, answers(entry))
    assert done[0].done[0].differences == ()
    assert done[1].word == NOT_LOGGED


@pytest.mark.parametrize("path", sorted(starters_folder("demo").glob("*.toml")), ids=lambda path: path.stem)
def test_every_answer_to_the_demos_can_be_logged(path: Path) -> None:
    """Also those to the moon, whose distance is beyond any that a plan may hold."""
    made = answers_to(open_plan(str(path)))
    for s in made.shots:
        for answer in s.rigs[::7]:
            entry = taken_from(answer, s.shot, NOW)
            plan = with_inserted(made.plan, ("taken",), 0, entry)
            held = plan.taken[0]
            assert (held.body, held.lens, held.converter) == (answer.body, answer.lens, answer.converter)
            if answer is s.best:
                done = next(d for d in plan_and_done(plan, made) if d.shot == s.shot.name)
                assert not any("instead" in text or "than planned for" in text for text in done.done[0].differences)


def test_differences_in_words() -> None:
    planned = answers().shots[0].best
    assert planned is not None and planned.shutter_s is not None and planned.iso is not None
    assert told({"distance": "25 m"}) == ()
    assert told({"distance": "40 m"}) == ("9 m (29 %) farther than 25-31 m",)
    assert told({"distance": "20 m"}) == ("5 m (20 %) nearer than 25-31 m",)
    assert told({"distance": "infinity"}) == ("at infinity instead of 25-31 m",)
    assert told({"focal": "300 mm"}) == ("300 mm instead of 600 mm, 50 % shorter",)
    assert told({"f_number": "8"}) == ("f-number f/8 instead of f/4, 2 stops less light",)
    assert "1 stop higher" in told({"iso": planned.iso * 2})[0]
    assert "2 stops more light" in told({"shutter": f"{planned.shutter_s * 4} s"})[0]
    assert told({"time": "07:50"}) == ("30 min later than planned",)
    assert told({"time": "07:00"}) == ("20 min earlier than planned",)
    assert told({"body": "Body A", "lens": "lens"}) == ("Body A instead of body",)
    assert told({"lens": "lens", "converter": "1.4x"}) == ("1.4x instead of none",)


def test_a_time_within_the_span_of_a_shot_is_as_planned() -> None:
    for clock, words in (("08:59", ()), ("09:20", ("20 min later than planned",))):
        made = answers({"shot": "duck", "time": clock})
        assert plan_and_done(made.plan, made)[1].done[0].differences == words


def test_feet_in_an_imperial_plan() -> None:
    made = answers(units="imperial")
    best = made.shots[0].best
    assert best is not None
    entry = taken_from(best, made.shots[0].shot, NOW, "imperial")
    assert entry["distance"].endswith(" ft")
    plan = with_inserted(made.plan, ("taken",), 0, entry)
    assert float(plan.taken[0].distance or 0) == pytest.approx(best.distance_m or 0, rel=1e-3)


def test_light_of_the_settings() -> None:
    """f/8, 1/250 s, ISO 400 is EV 100 11.966: the documented example of colour-hdri."""
    made = answers({"shot": "heron", "f_number": "8", "shutter": "1/250", "iso": 400})
    assert exposed_ev100(made.plan.taken[0]) == pytest.approx(11.9657842)


def test_an_entry_of_a_shot_that_is_gone_stays_and_is_told() -> None:
    made = answers({"shot": "swan", "time": "07:00", "note": "first"}, {"shot": "heron"}, {"shot": "swan"})
    lines = plan_and_done(made.plan, made)
    assert [line.shot for line in lines] == ["heron", "duck", "swan"]
    assert lines[2].word == GONE
    assert [done.at for done in lines[2].done] == [0, 2]


def test_renaming_a_shot_renames_it_in_the_log() -> None:
    plan = answers({"shot": "heron"}, {"shot": "duck"}).plan
    renamed = with_value(plan, ("shot", 0, "name"), "old heron")
    assert [entry.shot for entry in renamed.taken] == ["old heron", "duck"]


def test_a_plan_without_a_log_is_written_as_before() -> None:
    plan = answers().plan
    assert "taken" not in to_toml(plan)
    assert plan.taken == ()


@pytest.mark.parametrize(
    ("entry", "said"),
    [({}, "shot"), ({"shot": "a", "sharp": "perhaps"}, "perhaps"), ({"shot": "a", "wy": "shake"}, "wy")],
)
def test_what_an_entry_cannot_be(entry: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        validated({"fieldplan_plan": 1, "title": "t", "taken": [entry]}, Plan)


def test_what_was_planned_before_the_day_stays_what_was_planned() -> None:
    """Planned at 45-60 m, logged at 52.5 m, then changed on the spot to 27.5 m and logged again: by plain subtraction
    the first is as planned and the second 17.5 m (39 %) nearer than 45 m."""
    far = {**HERON, "distance": "27.5 m", "planned_distance": "45-60 m"}
    logged = [{"shot": "heron", "distance": "52.5 m"}, {"shot": "heron", "distance": "27.5 m"}]
    made = plan_answers([far], taken=logged, date="2027-03-14")
    line = plan_and_done(made.plan, made)[0]
    assert line.planned is not None and line.planned.distance_m == pytest.approx(52.5)
    said = [text for done in line.done for text in done.differences if "than 45-60 m" in text]
    assert said == ["17.5 m (39 %) nearer than 45-60 m"]
    entry = taken_from(made.shots[0].rigs[0], made.plan.shots[0], NOW)
    assert entry["planned_distance"] == "45-60 m" and entry["distance"] == "27.5 m"
    held = with_inserted(made.plan, ("taken",), 0, entry).taken[0].planned_distance
    assert held is not None and (held.low, held.high) == (45.0, 60.0)


def test_names_that_the_profile_knows_are_no_difference() -> None:
    def said(name: str, **body: Any) -> tuple[str, ...]:
        plan = {"date": "2027-03-14", "taken": [{"shot": "heron", "body": name}]}
        made = plan_answers([HERON], gear(body=body), **plan)
        return plan_and_done(made.plan, made)[0].done[0].differences

    assert any("Full One instead of body" in text for text in said("Full One"))
    assert said("Full One", known_as=["full one"]) == ()


def test_an_iso_that_no_camera_was_set_to_is_not_logged() -> None:
    """EV -12 under f/4 and 1/500 or so wants millions: over 16 times any ceiling here."""
    made = plan_answers([{**HERON, "light": "EV -12"}], date="2027-03-14")
    best = made.shots[0].rigs[0]
    assert best.iso is not None and best.iso_ceiling is not None and best.iso > 16.0 * best.iso_ceiling
    assert "iso" not in taken_from(best, made.shots[0].shot, NOW)
