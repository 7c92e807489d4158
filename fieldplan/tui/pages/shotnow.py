"""What the Shot page knows of the present moment: asked of the planner once a minute, and when something changed."""

from __future__ import annotations

import datetime as dt

from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.rightnow import RightNow, right_now
from fieldplan.tui.desk import Desk


class Moments:
    """Keeps the last moment asked for: the same shot, answer and minute give the same."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._held: tuple[ShotAnswers, Answer, dt.datetime, bool, RightNow] | None = None

    def of(self, answers: ShotAnswers, answer: Answer | None, deep: bool = True) -> RightNow | None:
        """The moment for an answer; None where the plan is not for today.

        deep: also what to give up first, which is not asked at every key of a text being typed.
        """
        if answer is None or not self.desk.is_today():
            return None
        minute = self.desk.clock.now().replace(second=0, microsecond=0)
        held = self._held
        if held is not None and held[0] is answers and held[1] is answer and held[2] == minute and held[3] >= deep:
            return held[4]
        desk = self.desk
        found = right_now(desk.shown_plan, answers, answer, desk.kit(), desk.setting(), minute, deep)
        self._held = (answers, answer, minute, deep, found)
        return found
