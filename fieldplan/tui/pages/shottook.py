"""Took it: the shot logged with the answer used and the time, and the form that puts an entry of the log right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from fieldplan.card.done import exposure_parts
from fieldplan.model.schema import KeyPath
from fieldplan.model.taken import MOVED, SHAKE, WHYS, LogEntry
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, Light, ShotAnswers
from fieldplan.planner.rightnow import RightNow, site_time, stops_off
from fieldplan.planner.taken import taken_from
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk, names
from fieldplan.tui.form import Form
from fieldplan.tui.pages.shotview import BACK, ShotView
from fieldplan.tui.rows import BLANK, crop, safe, wrapped
from fieldplan.tui.source import Part, RecordSource

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

_ORDER = ("distance", "focal", "f_number", "shutter", "iso", "sharp", "why", "time", "note")


def entries_of(desk: Desk) -> list[int]:
    """Places in the log of what was logged for the shot looked at."""
    shot = desk.shot
    return [] if shot is None else [i for i, entry in enumerate(desk.plan.value.taken) if entry.shot == shot.name]


def took(page: ShotOver) -> str:
    """Log the shot as taken now. Returns what to tell."""
    from fieldplan.tui.pages.shotglance import GlanceView

    desk, answers, answer = page.desk, page.desk.answers(), page.answer
    if answers is None or answer is None or desk.shot is None:
        return "there is no answer to log"
    light = answers.light
    now = page.moments.of(answers, answer)
    if isinstance(page.view, GlanceView):
        answer, light, _ = page.view.used(answers, answer)
    here = site_time(desk.clock.now(), desk.setting().time_zone)
    entry = taken_from(answer, desk.shot, here, desk.units)
    other = _other_light(answers, light, now)
    if other:
        entry["note"] = other
    problem = desk.edit(desk.plan, lambda plan: plan.insert(("taken",), len(plan.value.taken), entry))
    if problem:
        return f"not logged: {problem}"
    when = f"{here:%H:%M}" if desk.is_today() else f"{here:%Y-%m-%d %H:%M}"
    told = f"; {other}: {page.key('log')} puts it right" if other else ""
    settings = ", ".join(exposure_parts(answer)) or "no settings known"
    return f"logged {answers.shot.name} {when}, {settings}{told}; {page.key('undo')} takes it back"


def _other_light(answers: ShotAnswers, used: Light | None, now: RightNow | None) -> str:
    """That the settings logged are for another light than there is now; "" within a stop of it, or where not known."""
    if used is None or now is None or now.light is None or used is now.light or abs(stops_off(used, now.light)) < 1.0:
        return ""
    when = f" of {answers.when:%H:%M}" if used.source != "given" and answers.when is not None else " that was given"
    return f"settings for the light{when}, not for {now.here:%H:%M}"


class _LogSource(RecordSource):
    """One entry of the log, with the names that its fields may take."""

    def words(self, path: KeyPath) -> Sequence[str]:
        """The gear's names; why a picture is not sharp."""
        gear, key = self.desk.gear.value, str(path[-1])
        lists = {"body": gear.bodies, "lens": gear.lenses, "converter": gear.converters, "tube": gear.tubes,
                 "close_up_lens": gear.close_up_lenses, "support": gear.supports}  # fmt: skip
        if key in lists:
            return names(lists[key])
        if key == "shot":
            return names(self.desk.plan.value.shots)
        return WHYS if key == "why" else super().words(path)


class LogView(ShotView):
    """The entries of one shot, one at a time, in a form."""

    commands: ClassVar[tuple[Command, ...]] = (
        Command("previous_entry", ("[",), "entry", "the entry before", 20, "[ ]"),
        Command("next_entry", ("]",), "", "the next entry", 21),
        Command("remove_entry", ("d",), "delete", "delete this entry (undo takes it back)", 30),
        Command("leave", ("e", *BACK), "back", "back to the shot", 2, opener="log"),
    )
    arrows = "←→ field; ↑↓ step"
    with_form = True

    def __init__(self, page: ShotOver) -> None:
        self.at = len(entries_of(page.desk)) - 1
        source = _LogSource(page.desk, page.desk.plan, self._parts, _ORDER)
        super().__init__(page, Form(source))

    def _parts(self) -> Sequence[Part]:
        place = self._place()
        return [] if place is None else [(("taken", place), LogEntry)]

    def _place(self) -> int | None:
        places = entries_of(self.page.desk)
        self.at = max(0, min(self.at, len(places) - 1))
        return places[self.at] if places else None

    def do_previous_entry(self) -> None:
        """The entry before."""
        self.at -= 1

    def do_next_entry(self) -> None:
        """The next entry."""
        self.at += 1

    def do_remove_entry(self) -> None:
        """Away with this entry."""
        desk, place = self.page.desk, self._place()
        if place is None:
            return
        problem = desk.edit(desk.plan, lambda plan: plan.remove(("taken", place)))
        self.page.message = problem or f"the entry is deleted; {self.page.key('undo')} takes it back"
        if not entries_of(desk):
            self.page.close_view()

    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """The entry, its form, and what the fields mean."""
        places, place = entries_of(self.page.desk), self._place()
        title = f"log of {safe(answers.shot.name)}"
        if place is None:
            none = f"nothing logged for this shot: {self.page.key('took')} logs it as taken"
            return [((title, "title"),), BLANK, ((none, ""),)]
        entry = self.page.desk.plan.value.taken[place]
        when = "" if entry.time is None else f"  {entry.time:%H:%M:%S}"
        head: Row = ((crop(title, width - 24), "title"), (f"  {self.at + 1}/{len(places)}{when}", "dim"))
        fields = self.form.rows(width, max(height - 3, 1), 2 if width >= 70 else 1)
        told = [row for text in _doubts(entry) for row in wrapped(text, width, "warn")]
        return [head, BLANK, *fields, self.form.help_row(width), *told]


def _doubts(entry: LogEntry) -> list[str]:
    """What the learning cannot make sense of, in words."""
    if entry.why is None:
        return []
    known = entry.why.casefold() in WHYS
    doubts = [] if known else [f'"{safe(entry.why)}" is kept, and counts as none of: {", ".join(WHYS)}']
    if entry.sharp and entry.why.casefold() in (SHAKE, MOVED, "focus"):
        doubts.append(f"marked as sharp, and as not kept for {safe(entry.why)}: it counts as sharp")
    return doubts
