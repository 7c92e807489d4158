"""The Card page: the plan as it goes on paper, to read through and to write as a file."""

from __future__ import annotations

from pathlib import Path

from fieldplan.card import render
from fieldplan.files.problems import FileProblem, system_problem
from fieldplan.files.saving import save_made
from fieldplan.pictures.cells import Picture, Row
from fieldplan.planner.answers import PlanAnswers
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk, said
from fieldplan.tui.page import Page
from fieldplan.tui.rows import fitted, safe


class CardPage(Page):
    """The card as text, scrolled; PDF and HTML are written beside the plan."""

    number = 5
    title = "Card"
    commands = (
        Command("down", ("down", "j"), "", "a line down", 1),
        Command("up", ("up", "k"), "", "a line up", 2),
        Command("page_down", ("pagedown", "space"), "further", "a page down", 3),
        Command("page_back", ("pageup", "b"), "back", "a page up", 4),
        Command("top", ("home", "g"), "", "to the beginning", 5),
        Command("end", ("end", "G"), "", "to the end", 6),
        Command("pdf", ("w",), "write PDF", "write the card as PDF, pocket size, beside the plan", 10),
        Command("sheet", ("s",), "four on A4", "write the card as PDF, four pages on an A4 sheet, beside the plan", 11),
        Command("html", ("h",), "HTML", "write the card as HTML beside the plan", 12),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._held: tuple[PlanAnswers, list[Row]] | None = None
        self._top = 0
        self._high = 1

    @property
    def arrows(self) -> str:
        """The arrow keys scroll."""
        return "↑↓ scroll"

    def _rows(self) -> list[Row]:
        answers = self.desk.all_answers()
        if self._held is None or self._held[0] is not answers:
            text = render(answers, "text")
            lines = str(text).splitlines()
            self._held = (answers, [((safe(line), _role(lines, y)),) for y, line in enumerate(lines)])
        return self._held[1]

    def draw(self, width: int, height: int) -> Picture:
        """The part of the card in sight."""
        rows = self._rows()
        self._high = height
        self._top = max(0, min(self._top, len(rows) - height))
        if not self.message:
            self.message = f"lines {self._top + 1}-{min(self._top + height, len(rows))} of {len(rows)}"
        return fitted(rows[self._top :], width, height)

    def do_down(self) -> None:
        """A line down."""
        self._top += 1

    def do_up(self) -> None:
        """A line up."""
        self._top -= 1

    def do_page_down(self) -> None:
        """A page down."""
        self._top += self._high - 1

    def do_page_back(self) -> None:
        """A page up."""
        self._top -= self._high - 1

    def do_top(self) -> None:
        """To the beginning."""
        self._top = 0

    def do_end(self) -> None:
        """To the end."""
        self._top = len(self._rows())

    def do_pdf(self) -> None:
        """Write the pocket card."""
        self._write("pdf", "a6", ".card.pdf")

    def do_sheet(self) -> None:
        """Write four pages on a sheet."""
        self._write("pdf", "a4", ".card-a4.pdf")

    def do_html(self) -> None:
        """Write the card for a browser."""
        self._write("html", "a6", ".card.html")

    def _write(self, kind: str, paper: str, suffix: str) -> None:
        plan = self.desk.plan.path
        try:
            target = _home(plan) / f"{plan.stem}{suffix}"
            save_made(str(target), render(self.desk.all_answers(), kind, paper))
        except FileProblem as wrong:
            self.message = said(wrong)
        else:
            self.message = f"written: {target}"


def _home(plan: Path) -> Path:
    """Where the card of a plan goes: beside it, that of a demo plan into one's own folder. Raises FileProblem."""
    from fieldplan.files.places import is_starter, plans_folder

    home = plans_folder() if is_starter(plan) else plan.parent
    try:
        home.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise system_problem(home, error) from None
    return home


def _role(lines: list[str], y: int) -> str:
    """Titles stand over a rule of = or -."""
    below = lines[y + 1] if y + 1 < len(lines) else ""
    return "title" if below and not below.strip("=-") else ""
