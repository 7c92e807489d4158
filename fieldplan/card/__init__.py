"""The paper and file face: the answers as text, PDF, HTML, JSON, calendar or waypoints. It computes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldplan.planner.answers import PlanAnswers

KINDS = ("text", "pdf", "html", "json", "ics", "gpx")


class NothingToWrite(ValueError):
    """A plan that holds nothing for the form asked for; the text says what is missing."""


def render(answers: PlanAnswers, kind: str = "text", paper: str = "a6") -> str | bytes:
    """The answers in one form; PDF as bytes (paper "a6", or "a4" with four pages on a sheet).

    Raises ValueError for another kind or paper; NothingToWrite where the plan holds nothing for a calendar or a map.
    """
    match kind:
        case "text":
            from fieldplan.card.text import as_text

            return as_text(answers)
        case "json":
            from fieldplan.card.json_answers import as_json

            return as_json(answers)
        case "html":
            from fieldplan.card.html import as_html

            return as_html(answers, paper)
        case "pdf":
            from fieldplan.card.pdf import as_pdf

            return as_pdf(answers, paper)
        case "ics":
            from fieldplan.card.calendar import as_ics

            return as_ics(answers)
        case "gpx":
            from fieldplan.card.waypoints import as_gpx

            return as_gpx(answers)
    raise ValueError(f"{kind} is not a form of the card; known: {', '.join(KINDS)}")
