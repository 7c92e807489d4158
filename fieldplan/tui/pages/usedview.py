"""What was used: a folder of pictures counted by focal length and settings, and gear that the profile lacks.

The folder is read in a thread of its own, so that keys and screen live on; no picture is written to.
"""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, ClassVar

from textual.worker import get_current_worker

from fieldplan.card.used import found_parts, used_sections
from fieldplan.files.folderpictures import Gathered, gather
from fieldplan.files.problems import FileProblem, expanded, no_home
from fieldplan.model.gear import LISTS
from fieldplan.pictures.cells import Picture, Row
from fieldplan.planner.offered import Offer, offers
from fieldplan.planner.owned import same_things
from fieldplan.planner.seen import Seen
from fieldplan.planner.tallies import sensors_of, tally
from fieldplan.tui.asking import Asked, AskSource
from fieldplan.tui.commands import TYPING, Command
from fieldplan.tui.desk import Desk, said
from fieldplan.tui.form import Form
from fieldplan.tui.page import Page
from fieldplan.tui.pages.gearlines import FRESH
from fieldplan.tui.pages.usedlines import ABOUT, broken_rows, offered_rows, progress_rows, stacked
from fieldplan.tui.rows import beside, crop, fitted, safe, wrapped

WIDE = 120
_GAP = 3
_REDRAWN_S = 0.25  # between two drawings of the progress


class UsedView:
    """The state of the view: folder, what was read, which body or lens is looked at, where it is scrolled to."""

    commands: ClassVar[tuple[Command, ...]] = (
        Command("open", ("enter", "="), "folder", "type the folder of pictures, with all folders in it", 10),
        Command("previous_part", (",", "k", "left"), "part", "all pictures, or those of one body or lens", 12, ", ."),
        Command("next_part", (".", "j", "right"), "", "the next body or lens", 13),
        Command("up", ("up", "pageup"), "", "further up", 14),
        Command("down", ("down", "pagedown", "space"), "", "further down", 15),
        Command("add_offered", ("a",), "add gear", "add the gear that the profile lacks (undo takes it back)", 20),
        Command("leave_used", ("h", "escape", "ctrl+g"), "back", "back to the list", 30, opener="used"),
    )
    stopping: ClassVar[Command] = Command("stop_reading", ("s",), "stop", "stop reading; what was read is shown", 5)
    arrows = "↑↓ scroll"

    def __init__(self, page: Page) -> None:
        self.page = page
        self.desk: Desk = page.desk
        self.shown = False
        self.folder: Path | None = None
        self.found: Gathered | None = None
        self._told: tuple[tuple[object, ...], tuple[Row, list[Row]]] | None = None
        self.reading: tuple[int, int] | None = None
        self.part, self.top, self.below = 0, 0, 0
        self.problem = ""
        self.form = Form(AskSource([Asked("folder", "folder of pictures", "~/Pictures/2027", self._take)]))
        self._before: Form | None = None
        self._asked_to_stop = False

    # what the keys do

    def open(self) -> None:
        """Into sight; the first time the folder is asked for at once."""
        self.shown, self._before, self.page.form = True, self.page.form, self.form
        if self.folder is None:
            self.form.open()

    def do_leave_used(self) -> None:
        """Back to the list; reading goes on."""
        self.shown, self.page.form = False, self._before

    def do_open(self) -> None:
        """Type the folder."""
        self.form.open()

    def do_previous_part(self) -> None:
        """The body or lens before."""
        self.part, self.top = self.part - 1, 0

    def do_next_part(self) -> None:
        """The next body or lens."""
        self.part, self.top = self.part + 1, 0

    def do_up(self) -> None:
        """Further up."""
        self.top = max(0, self.top - 5)

    def do_down(self) -> None:
        """Further down."""
        self.top += 5

    def do_stop_reading(self) -> None:
        """Stop reading."""
        self._asked_to_stop = True

    def do_add_offered(self) -> None:
        """Put the offered gear into the profile; what the files do not say stands as common as any, to be changed."""
        added, open_fields = [], []
        for offer in self._offers():
            problem = self._add(offer)
            if problem:
                self.page.message = f"{offer.name}: {problem}"
                return
            added.append(offer.name)
            open_fields += [f"{key} of {offer.name}" for key in offer.blanks]
        if not added:
            self.page.message = "the profile holds all gear that these pictures name"
            return
        undo = f"{self.page.key('undo')} takes the last back"
        self.page.message = f"{len(added)} added; put right: {', '.join(open_fields)} ({undo})"

    def _add(self, offer: Offer) -> str:
        gear = self.desk.gear.value
        mounts = [body.mount for body in gear.bodies] + [lens.mount for lens in gear.lenses]
        usual: dict[str, Any] = {**FRESH[offer.kind], "mount": mounts[0] if mounts else "A"}
        record = {**usual, "name": offer.name, **{key: value for key, value, _ in offer.fields if value is not None}}
        place = len(getattr(gear, LISTS[offer.kind][0]))
        return self.desk.edit(self.desk.gear, lambda held: held.insert((offer.kind,), place, record))

    def live_commands(self) -> tuple[Command, ...]:
        """While a field is open its own; stopping only while there is something to stop."""
        if self.form.typing:
            return TYPING
        return (self.stopping, *self.commands) if self.reading is not None else self.commands

    # reading

    def _take(self, text: str) -> None:
        """Read the folder that was typed. Raises ValueError where there is none."""
        if not text:
            if self.folder is None:  # the field stays open, so that what is typed next goes into it
                raise ValueError("write the folder; Esc goes back")
            self.folder = self.found = None
            return
        folder = expanded(text)
        try:
            there = folder.exists()
        except (OSError, ValueError):
            there = False
        if not there:
            raise ValueError(no_home(folder) or f"{safe(text)} is not there; look at the spelling")
        self.folder, self.found, self.problem, self.part, self.top = folder, None, "", 0, 0
        self._asked_to_stop = False
        if not self.page.is_attached:
            self._read(folder, lambda: self._asked_to_stop)
            return
        self.reading = (0, 0)
        self.page.run_worker(lambda: self._read_aside(folder), thread=True, exclusive=True, group="pictures")

    def _read_aside(self, folder: Path) -> None:
        """The worker's part: reads until it is done, stopped, superseded, or the program ends."""
        worker = get_current_worker()
        drawn = 0.0

        def progress(done: int, of: int) -> None:
            nonlocal drawn
            if worker.is_cancelled or folder != self.folder:
                return
            self.reading = (done, of)
            if time.monotonic() - drawn >= _REDRAWN_S:
                drawn = time.monotonic()
                self._draw_again()

        self._read(folder, lambda: self._asked_to_stop or worker.is_cancelled, progress)
        if not worker.is_cancelled:
            self._draw_again()

    def _draw_again(self) -> None:
        """Have the screen drawn by its own thread; there may be none any more."""
        with contextlib.suppress(Exception):
            self.page.app.call_from_thread(getattr(self.page.app, "draw", lambda: None))

    def _read(
        self, folder: Path, stop: Callable[[], bool], progress: Callable[[int, int], object] = lambda done, of: None
    ) -> None:
        found, problem = None, ""
        try:
            found = gather(folder, progress, stop)
        except FileProblem as wrong:
            problem = said(wrong)
        if folder == self.folder:
            self.found, self.problem, self.reading = found, problem, None

    # drawing

    def _parts(self) -> list[tuple[str, tuple[Seen, ...]]]:
        """All pictures, then those of each body and each lens, where there are several."""
        pictures = self.found.pictures if self.found is not None else ()
        parts = [("all", pictures)]
        for attribute in ("body", "lens"):
            names = sorted({name for seen in pictures if (name := getattr(seen, attribute)) is not None})
            if len(names) > 1:
                parts += [(name, tuple(s for s in pictures if getattr(s, attribute) == name)) for name in names]
        return parts

    def _offers(self) -> tuple[Offer, ...]:
        return () if self.found is None else offers(self.found.pictures, self.desk.gear.value)

    def draw(self, width: int, height: int) -> Picture:
        """Folder, progress or counts, and the bars; two columns where the screen is wide."""
        told = "" if self.found is None else ", ".join(found_parts(self.found))
        head: list[Row] = [(("What was used ", "title"), (crop(told, width - 14), "dim"))]
        head += self.form.rows(width, 1, 1)
        if self.form.typing or self.form.problem:
            head.append(self.form.help_row(width))
        body: list[Row] = []
        if self.reading is not None:
            body = progress_rows(self.reading, width)
        elif self.problem:
            body = wrapped(self.problem, width, "warn")
        elif self.found is None:
            body = wrapped(ABOUT, width, "dim")
        else:
            strip, body = self._counts(width)
            head.append(strip)
        room = max(height - len(head), 1)
        self.top = max(0, min(self.top, len(body) - room))
        self.below = max(0, len(body) - self.top - room)
        if self.below and not self.page.message:
            self.page.message = f"{self.below} more lines below (Down)"
        return fitted([*head, *body[self.top : self.top + room]], width, height)

    def _counts(self, width: int) -> tuple[Row, list[Row]]:
        """What is counted of the pictures, anew only where something of it has changed."""
        now = (self.found, self.desk.gear.value, self.part, width)
        if self._told is None or any(a is not b and a != b for a, b in zip(self._told[0], now, strict=True)):
            made = self._counted(width)
            now = (self.found, self.desk.gear.value, self.part, width)  # the part is put right while counting
            self._told = now, made
        return self._told[1]

    def _counted(self, width: int) -> tuple[Row, list[Row]]:
        """The strip of bodies and lenses, and everything below it."""
        parts = self._parts()
        self.part %= len(parts)
        name, pictures = parts[self.part]
        count = f"  {self.part + 1} of {len(parts)}, {len(pictures)} pictures" if len(parts) > 1 else ""
        strip: Row = ((crop(f"[{safe(name)}]", width - 30), "tab"), (count, "dim"))
        broken = broken_rows(() if self.found is None else self.found.broken, width)
        if not pictures:
            return strip, [*wrapped("No picture here says how it was taken.", width, "warn"), *broken]
        used = tally(pictures, sensors_of(self.desk.gear.value))
        wide = (width - _GAP) // 2 if width >= WIDE else width
        sections = used_sections(used, wide)
        half = len(sections) if wide == width else 3
        rows = stacked(sections[:half])
        if sections[half:]:
            rows = beside(rows, wide, stacked(sections[half:]), _GAP)
        same = same_things(self.found.pictures if self.found is not None else (), self.desk.gear.value)
        held = [row for thing in same for row in wrapped(safe(thing.line), width, "")]
        return strip, [*rows, *offered_rows(self._offers(), self.page.key("add_offered"), width), *held, *broken]


class WithUsed(Page):
    """A page over which the view of a folder of pictures opens; its keys go before those of the page."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.used = UsedView(self)

    @property
    def holders(self) -> tuple[object, ...]:
        """The view, while it is in sight, and the page."""
        return (self.used, self) if self.used.shown else (self,)

    @property
    def arrows(self) -> str:
        """The view is scrolled."""
        return self.used.arrows if self.used.shown and not self.typing else super().arrows

    def live_commands(self) -> tuple[Command, ...]:
        """The view's own, while it is in sight."""
        return self.used.live_commands() if self.used.shown else super().live_commands()

    def do_used(self) -> None:
        """What a folder of pictures was taken with."""
        self.used.open()
