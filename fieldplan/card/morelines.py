"""What the card says besides of one shot, and of the bag: close-up, stack, both ends, sweep; what stays at home."""

from __future__ import annotations

from fieldplan.card.tables import Table
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.morewords import Line, brief_lines


def more_lines(answers: PlanAnswers, shot: str) -> tuple[Line, ...]:
    """Lines for a shot, by its name; empty where nothing more matters."""
    return next((brief_lines(more) for more in answers.more if more.shot == shot), ())


def carried_tables(answers: PlanAnswers) -> tuple[Table, ...]:
    """What the plan leaves at home, and which pictures that costs; none where the plan does not say what it carries."""
    if answers.carried is None:
        return ()
    return (Table("the bag against all that is owned", "lw", ("what", "names"), answers.carried.lines),)
