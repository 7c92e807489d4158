"""Planned and done on the card: every entry of the log, as a table and as JSON; nothing where nothing is logged."""

from __future__ import annotations

import json
from typing import Any

import pytest

from fieldplan.card import render
from fieldplan.card.done import SHOWN, done_tables
from fieldplan.files.reading import validated
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import PlanAnswers

from .invented import PLAN, answers, changed

FOX = "fox at the fence"


def answers_with_log(taken: list[dict[str, Any]]) -> PlanAnswers:
    return answers(changed(PLAN, taken=taken))


@pytest.fixture(scope="module")
def logged() -> PlanAnswers:
    return answers_with_log(
        [
            {"shot": "gone", "time": "05:00", "note": "kept"},
            {"shot": FOX, "time": "19:40", "body": "body one", "lens": "70-300", "distance": "15 m", "sharp": False,
             "why": "shake"},
            *({"shot": FOX, "iso": 400} for _ in range(SHOWN + 2)),
        ]
    )  # fmt: skip


@pytest.mark.parametrize("form", ["text", "html", "pdf", "json", "ics"])
def test_every_form_can_be_made(logged: PlanAnswers, form: str) -> None:
    made = render(logged, form)
    if form in ("text", "html"):
        assert isinstance(made, str)
        assert "planned and done" in made
        assert "not sharp: shake" in made


def test_text_keeps_its_width(logged: PlanAnswers) -> None:
    made = render(logged, "text")
    assert isinstance(made, str)
    assert max(map(len, made.splitlines())) <= 80


def test_rows(logged: PlanAnswers) -> None:
    (table,) = done_tables(logged)
    told = [text for _, text in table.rows]
    assert any("3 m (25 %) farther than 10-12 m" in text for text in told)
    assert "and 3 more" in told
    assert any(text.startswith("gone") and "no shot of this name" in text for text in told)


def test_json_holds_every_entry(logged: PlanAnswers) -> None:
    log: list[dict[str, Any]] = json.loads(render(logged, "json"))["log"]
    assert len(log) == len(logged.plan.taken)
    gone = next(entry for entry in log if entry["shot"] == "gone")
    assert gone["shot_in_plan"] is False and gone["note"].startswith("kept")
    shaken = next(entry for entry in log if entry["why"] == "shake")
    assert (shaken["distance_m"], shaken["sharp"], shaken["shot_in_plan"]) == (15.0, False, True)


def test_without_a_log_nothing_is_said() -> None:
    answers = answers_with_log([])
    assert done_tables(answers) == ()
    assert "log" not in json.loads(render(answers, "json"))
    assert "planned and done" not in str(render(answers, "text"))


def test_names_that_a_person_typed_are_no_markup() -> None:
    made = render(answers_with_log([{"shot": "<b>x</b>", "note": "[red]&"}]), "html")
    assert isinstance(made, str)
    assert "<b>x</b>" not in made and "&lt;b&gt;x" in made


def test_the_plan_reads_its_own_log_back(logged: PlanAnswers) -> None:
    data = logged.plan.model_dump(by_alias=True, exclude_unset=True)
    assert validated(data, Plan).taken == logged.plan.taken
