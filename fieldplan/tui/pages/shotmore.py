"""More on the picked answer: a scrolled view over the Shot page, close-ups, formats, converters, sweeps, both ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Shot
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.morewords import Section, sections
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.trip import TripShot
from fieldplan.tui.commands import Command
from fieldplan.tui.pages.shotview import BACK, PICKING, SHOTS, ShotView
from fieldplan.tui.rows import BLANK, crop, safe, wrap

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

_LABEL = 8


class _Key(NamedTuple):
    """What the sections rest on; the same objects give the same sections."""

    plan: Plan
    shot: Shot
    profile: Profile
    setting: Setting
    answer: Answer


class MoreView(ShotView):
    """The sections of one answer. They take up to a second, and are made when they are first looked at."""

    commands: ClassVar[tuple[Command, ...]] = (
        Command("leave", ("m", *BACK), "back", "back to the form and all answers", 1, opener="more"),
        Command("up", ("up",), "", "further up", 5),
        Command("down", ("down",), "", "further down", 6),
        Command("page_up", ("pageup",), "", "a page up", 7),
        Command("page_down", ("pagedown", "space"), "", "a page down", 8),
        *PICKING,
        *SHOTS,
    )
    arrows: ClassVar[str] = "↑↓ scroll"

    def __init__(self, page: ShotOver) -> None:
        super().__init__(page, page.shot_form)
        self.top = 0
        self.room = 1
        self._kit: Kit | None = None
        self._held: tuple[_Key, tuple[Section, ...]] | None = None

    def do_up(self) -> None:
        """Scroll up."""
        self.top -= 3

    def do_down(self) -> None:
        """Scroll down."""
        self.top += 3

    def do_page_up(self) -> None:
        """A page up, with one line of the one before."""
        self.top -= max(1, self.room - 1)

    def do_page_down(self) -> None:
        """A page down, with one line of the one before."""
        self.top += max(1, self.room - 1)

    def told(self, answers: ShotAnswers, answer: Answer) -> tuple[Section, ...]:
        """The sections; compared with everything in the profile, packed or not, owned or not."""
        desk = self.page.desk
        key = _Key(desk.shown_plan, answers.shot, desk.trial_gear or desk.gear.value, desk.setting(), answer)
        if self._held is None or any(a is not b for a, b in zip(self._held[0], key, strict=True)):
            if self._kit is None or self._kit.profile is not key.profile:
                self._kit = prepare(key.profile, candidates=True)
            whole = assess_shot(key.plan, key.shot, self._kit, key.setting)
            self._held = (key, sections(TripShot(key.shot.name, key.plan, key.setting, whole), self._kit, answer))
            self.top = 0
        return self._held[1]

    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """Title, then the sections as far as they are in sight."""
        name = safe(answers.shot.name)
        if answer is None:
            return [((crop(f"More on {name}", width), "title"),), BLANK, (("There is no answer yet.", "warn"),)]
        head: list[Row] = [
            ((crop(f"More on {name}", width), "title"),),
            ((f"{self.page.picked + 1} ", "key"), (crop(f"{safe(answer.label)}, {answer.hold}", width - 3), "")),
        ]
        body = section_rows(self.told(answers, answer), width)
        self.room = room = height - len(head)
        self.top = max(0, min(self.top, len(body) - room))
        below = len(body) - self.top - room
        if below > 0 and not self.page.message:
            self.page.message = f"{below} more lines below (Down)"
        return [*head, *body[self.top : self.top + room]]


def section_rows(found: tuple[Section, ...], width: int) -> list[Row]:
    """Headings, and under each its lines; those without a label begin with a dash."""
    if not found:
        return [BLANK, (("Nothing more: no close-up, no other body, no converter, no sweep.", "dim"),)]
    rows: list[Row] = []
    for section in found:
        rows += [BLANK, ((crop(safe(section.title), width), "title"),)]
        labelled = any(label for label, _ in section.lines)
        for label, text in section.lines:
            lead, indent = (label, _LABEL) if labelled else ("-", 2)
            for y, line in enumerate(wrap(safe(text), width - indent)):
                rows.append((((lead if y == 0 else "").ljust(indent), "label"), (line, "")))
    return rows
