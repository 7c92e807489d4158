"""The keys of the Moon & sun page that choose: what is looked for, what is kept of it, what is shown of it."""

from __future__ import annotations

import contextlib
from typing import ClassVar

from fieldplan.files.skytexts import load_sky_texts, save_sky_texts
from fieldplan.planner.lineups import MOST_YEARS, PLACINGS
from fieldplan.tui.asking import Asked, AskSource
from fieldplan.tui.commands import TYPING, Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import Form
from fieldplan.tui.page import Page
from fieldplan.tui.pages.skyask import kept_of, look_of
from fieldplan.tui.pages.skykept import choices_of, choose_again
from fieldplan.tui.pages.skysearch import FAILING, LIT, WITHIN_DEG, SkySearch

_STEP_S = 60.0
_MOST_S = 7200.0  # from the hit, by the arrows
# Ranks over 90: in the footer only where there is room left after the keys of every page.
CHOOSING = (
    Command("next_hit", ("j", "down"), "hit", "the next hit, or the next choice of a list of choices", 10, "j k"),
    Command("previous_hit", ("k", "up"), "", "the hit or choice before", 11),
    Command("later", ("right",), "", "a minute later than shown", 12),
    Command("earlier", ("left",), "", "a minute earlier than shown", 13),
    Command("best", ("home",), "", "back to the moment of the hit", 14),
    Command("body", ("b",), "moon/sun", "the moon or the sun", 20),
    Command("landmark", ("l",), "landmark", "the next landmark of the site", 94),
    Command("viewpoint", ("v",), "from", "look from the next viewpoint of the site", 22),
    Command("placing", ("p",), "place", "the disc centred behind the top, resting on it, or at its side", 95),
    Command("wider", ("w",), "within", "how near the disc must come, in degrees", 96),
    Command("light", ("i",), "light", "any light, or one band of light after the other", 93),
    Command("lit", ("e",), "lit", "how much of the moon must be lit: anything, half, nine tenths", 96),
    Command("skyline", ("h",), "", "only where the whole disc is clear of the skyline, or all", 27),
    Command("hours", ("r",), "hours", "only at these hours: type 16:00-22:00, nothing for any", 93),
    Command("weekdays", ("d",), "", "only on these weekdays: type Sat, Sun, nothing for any", 28),
    Command("order", ("o",), "order", "by date, or the closest first", 97),
    Command("more", ("m",), "a year more", "search one year more, up to ten", 97),
    Command("all_years", ("M",), "", "search all ten years", 29),
    Command("stop", ("x",), "", "stop a search that goes on", 29),
    Command("lens", ("f",), "lens", "draw the view of the next body and lens", 97),
    Command("here", ("g",), "I am here", "type the position that the phone shows: the walk is told from there", 92),
    Command("look", ("s",), "saw it", "type how far off the disc stood and when: that corrects the rest", 92),
    Command("forget", ("S",), "", "forget the look that was typed: everything as reckoned again", 32),
    Command("fails", ("z",), "if it fails", "what else to do if the hit is clouded, missed, or the place is taken", 33),
    Command("take", ("enter", "="), "in full", "all figures in full, and back; of choices: take the marked one", 34),
)  # fmt: skip


class SkyKeys(Page):
    """State and keys of the choices; drawing and what changes the plan belong to the page itself."""

    commands: ClassVar[tuple[Command, ...]] = CHOOSING

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.search = SkySearch(desk)
        self.source = AskSource(
            (
                Asked("hours", "hours", "16:00-22:00", self.search.take_hours),
                Asked("weekdays", "weekdays", "Sat, Sun", self.search.take_weekdays),
                Asked("here", "I stand at", "53.43012, 12.75034, or any notation", self.search.take_here),
                Asked("look", "disc widths off", "2 left, 0.5 above at 21:04", self.search.take_look),
            ),
            self._keep_texts,
        )
        self.form = self.asking = Form(self.source)
        self._kept: dict[str, str | float] = {}
        self.in_full = False
        self._bring_back()

    def _keep_texts(self) -> None:
        """Put on disk at once what was typed and chosen, for the next start; where one stood belongs to its day."""
        kept = kept_of(self.source.texts, self.search.look) | choices_of(self.search)
        if kept != self._kept:
            self._kept = kept
            save_sky_texts(self.desk.plan.path, kept)

    def _bring_back(self) -> None:
        """What was typed and chosen for this plan before the program was left."""
        kept = load_sky_texts(self.desk.plan.path)
        choose_again(self.search, kept)
        self._kept = kept
        self.search.look = look_of(kept)
        takers = {"hours": self.search.take_hours, "weekdays": self.search.take_weekdays}
        for key, take in takers.items():
            text = kept.get(key)
            if isinstance(text, str) and text and not self.search.lacking():
                with contextlib.suppress(ValueError, OverflowError):  # the plan may have changed
                    take(text)
                    self.source.texts[key] = text
        if self.search.look is not None:
            self.source.texts["look"] = str(kept.get("look", ""))

    @property
    def arrows(self) -> str:
        """Left and right step the time, up and down the list."""
        return "" if self.typing else "←→ minute"

    def live_commands(self) -> tuple[Command, ...]:
        """The page's own; a field is opened by its key only."""
        return TYPING if self.typing else self.commands

    def _move(self, way: int) -> None:
        shown = self.search.shown()
        if self.search.failing:
            count = len(self.search.choices())
            self.search.fallback_index = max(0, min(self.search.fallback_index + way, count - 1))
        elif shown is not None:
            count = len(self.search.hits(shown[0]))
            self.search.chosen, self.search.late_s = max(0, min(self.search.chosen + way, count - 1)), 0.0

    def do_next_hit(self) -> None:
        """The next hit."""
        self._move(1)

    def do_previous_hit(self) -> None:
        """The hit before."""
        self._move(-1)

    def do_later(self) -> None:
        """A minute later."""
        self.search.late_s = min(self.search.late_s + _STEP_S, _MOST_S)

    def do_earlier(self) -> None:
        """A minute earlier."""
        self.search.late_s = max(self.search.late_s - _STEP_S, -_MOST_S)

    def do_best(self) -> None:
        """To the moment of the hit."""
        self.search.late_s = 0.0

    def do_body(self) -> None:
        """Moon or sun."""
        self.search.body = "sun" if self.search.body == "moon" else "moon"
        self._keep_texts()

    def do_landmark(self) -> None:
        """The next landmark."""
        self.search.landmark_index += 1
        self._keep_texts()

    def do_viewpoint(self) -> None:
        """From the next viewpoint."""
        self.search.viewpoint_index += 1
        self._keep_texts()

    def do_placing(self) -> None:
        """The next place against the landmark."""
        self.search.placed = PLACINGS[(PLACINGS.index(self.search.placed) + 1) % len(PLACINGS)]
        self._keep_texts()

    def do_wider(self) -> None:
        """The next reach."""
        self.search.within_deg = WITHIN_DEG[(WITHIN_DEG.index(self.search.within_deg) + 1) % len(WITHIN_DEG)]
        self._keep_texts()

    def _sieved(self) -> None:
        self.search.chosen, self.search.late_s = 0, 0.0
        self._keep_texts()

    def do_light(self) -> None:
        """The next band of light."""
        self.search.light_index = (self.search.light_index + 1) % (len(self.desk.setting().catalogue.bands) + 1)
        self._sieved()

    def do_lit(self) -> None:
        """The next least share that is lit."""
        self.search.lit_index = (self.search.lit_index + 1) % len(LIT)
        self._sieved()

    def do_skyline(self) -> None:
        """Clear of the skyline, or all."""
        self.search.clear = not self.search.clear
        self._sieved()

    def do_order(self) -> None:
        """By date or by closeness."""
        self.search.by = "closeness" if self.search.by == "date" else "date"
        self._sieved()

    def do_more(self) -> None:
        """A year more."""
        if self.search.years >= MOST_YEARS:
            self.message = "ten years are searched: that is the most"
        self.search.years = min(self.search.years + 1, MOST_YEARS)
        self._keep_texts()

    def do_all_years(self) -> None:
        """All the years that a search takes."""
        self.search.years = MOST_YEARS
        self._keep_texts()

    def do_stop(self) -> None:
        """No further years than are searched already."""
        if self.search.unfinished:
            self.search.years = max(self.search.found_years, 1)
            self.message = f"stopped after {12 * self.search.years} months; what was found is listed"
        self._keep_texts()

    def do_lens(self) -> None:
        """The next body and lens."""
        self.search.lens_index += 1

    def do_fails(self) -> None:
        """The next way in which the hit may fail, or none."""
        self.search.failing = FAILING[(FAILING.index(self.search.failing) + 1) % len(FAILING)]

    def _ask(self, key: str) -> None:
        lacking = self.search.lacking()
        if lacking:
            self.message = lacking
            return
        self.asking.select_key(key)
        self.asking.open()

    def do_hours(self) -> None:
        """Type the hours."""
        self._ask("hours")

    def do_weekdays(self) -> None:
        """Type the weekdays."""
        self._ask("weekdays")

    def do_here(self) -> None:
        """Type where one stands."""
        self._ask("here")

    def do_look(self) -> None:
        """Type what one look showed."""
        self._ask("look")

    def do_forget(self) -> None:
        """No look any more."""
        told = self.search.look is not None
        self.search.look, self.source.texts["look"] = None, ""
        self._keep_texts()
        self.message = "the look is forgotten: everything as reckoned" if told else "there is no look to forget"
