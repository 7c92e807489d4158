"""The Moon & sun page: when the disc stands with a landmark, how it looks through a lens, and where to stand."""

from __future__ import annotations

import datetime as dt
from typing import ClassVar

from fieldplan.notation.position import write_position
from fieldplan.pictures.cells import Picture, Row
from fieldplan.planner.lineups import PLACINGS, SUN_CAUTION, LineUp
from fieldplan.planner.sights import EYE_M, Sight
from fieldplan.planner.skymoments import DiscAt, disc_path, stand_at
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.page import Page
from fieldplan.tui.pages import skylines as lines
from fieldplan.tui.pages.skysearch import LIT, MOST_YEARS, WITHIN_DEG, SkySearch
from fieldplan.tui.rows import BLANK, beside, fitted, safe, wrapped

_STEP_S = 60.0
_MOST_S = 7200.0  # from the hit, by the arrows
_FIGURES = 9  # rows below list and picture


class SkyPage(Page):
    """Landmark, viewpoint and body by single keys; the hits, one of them drawn and reckoned, stepped in time."""

    number = 4
    title = "Moon & sun"
    commands: ClassVar[tuple[Command, ...]] = (
        Command("next_hit", ("j", "down"), "hit", "the next hit in the list", 10, "j k"),
        Command("previous_hit", ("k", "up"), "", "the hit before", 11),
        Command("later", ("right",), "", "a minute later than shown", 12),
        Command("earlier", ("left",), "", "a minute earlier than shown", 13),
        Command("best", ("home",), "", "back to the moment of the hit", 14),
        Command("body", ("b",), "moon/sun", "the moon or the sun", 20),
        Command("landmark", ("l",), "landmark", "the next landmark of the site", 21),
        Command("viewpoint", ("v",), "from", "look from the next viewpoint of the site", 22),
        Command("placing", ("p",), "place", "the disc centred behind the top, resting on it, or at its side", 23),
        Command("wider", ("w",), "within", "how near the disc must come, in degrees", 24),
        Command("light", ("i",), "light", "any light, or one band of light after the other", 25),
        Command("lit", ("e",), "lit", "how much of the moon must be lit: anything, half, nine tenths", 26),
        Command("skyline", ("h",), "", "only where the whole disc is clear of the skyline, or all", 27),
        Command("order", ("o",), "order", "by date, or the closest first", 28),
        Command("more", ("m",), "a year more", "search one year more, up to ten", 29),
        Command("lens", ("f",), "lens", "draw the view of the next body and lens", 30),
        Command("shot", ("c",), "to shots", "make a shot of the plan from what is shown", 35),
        Command("spot", ("a",), "keep spot", "add the spot to the plan as a viewpoint; GPX waypoints follow it", 36),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.search = SkySearch(desk)

    @property
    def arrows(self) -> str:
        """Left and right step the time, up and down the list."""
        return "←→ minute"

    # drawing

    def draw(self, width: int, height: int) -> Picture:
        """Heading, list and view, figures of the instant, where to stand."""
        told = self.search.lacking()
        if told:
            return fitted(wrapped(told, width, "warn"), width, height)
        try:
            sight = self.search.sight()
            hits = self.search.hits(sight)
        except (ValueError, OverflowError) as wrong:
            return fitted([*self._caution(width), *wrapped(safe(wrong), width, "warn")], width, height)
        site = self.desk.shown_plan.site
        variation, units = (None if site is None else site.magnetic_variation), self.desk.units
        rows: list[Row] = [
            *self._caution(width),
            *lines.head_rows(sight, self.search.body, self.search.placed, variation, units, width),
            *wrapped(self.search.told(sight, len(hits)), width, "dim", most=2),
        ]
        shown = self.search.shown()
        if shown is None:
            return fitted([*rows, BLANK, *wrapped(self.search.nothing(sight), width, "warn")], width, height)
        figures = self._figures(*shown, width)
        room = max(height - len(rows) - len(figures), 3)
        listed = lines.hit_rows(hits, min(self.search.chosen, len(hits) - 1), self.search.zone, room)
        return fitted([*rows, *self._block(shown, listed, width, room), *figures], width, height)

    def _block(self, shown: tuple[Sight, LineUp, DiscAt], listed: list[Row], width: int, room: int) -> list[Row]:
        """List and view side by side; the list alone where there is no room or no lens."""
        sight, up, now = shown
        frame, wide = self.search.frame(sight), width - lines.LIST_WIDE - 2
        if frame is None or wide < 16 or room < 5:
            return listed[:room] + [BLANK] * (room - len(listed))
        path = disc_path(sight, self.search.body, up.hit.ut_s)
        picture = lines.view_picture(sight, now, self.search.body, path, frame, (wide, room - 1))
        view = [*picture, ((lines.frame_text(frame, wide), "dim"),)]
        return beside(listed, lines.LIST_WIDE, view)[:room]

    def _figures(self, sight: Sight, up: LineUp, now: DiscAt, width: int) -> list[Row]:
        units = self.desk.units
        frame = self.search.frame(sight)
        bodies = {body.name: body.latitude for body in self.desk.gear.value.bodies}
        latitude = None if frame is None else bodies.get(frame.body)
        stand = stand_at(sight, self.search.body, now.ut_s, self.search.placed)
        rows = lines.figure_rows(sight, up, now, self.search.zone, latitude, units, width)
        return [*rows, *lines.stand_rows(sight, stand, units, width)][:_FIGURES]

    def _caution(self, width: int) -> list[Row]:
        return wrapped(SUN_CAUTION, width, "warn") if self.search.body == "sun" else []

    # what the keys do

    def _move(self, way: int) -> None:
        shown = self.search.shown()
        if shown is not None:
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

    def do_landmark(self) -> None:
        """The next landmark."""
        self.search.landmark_index += 1

    def do_viewpoint(self) -> None:
        """From the next viewpoint."""
        self.search.viewpoint_index += 1

    def do_placing(self) -> None:
        """The next place against the landmark."""
        self.search.placed = PLACINGS[(PLACINGS.index(self.search.placed) + 1) % len(PLACINGS)]

    def do_wider(self) -> None:
        """The next reach."""
        self.search.within_deg = WITHIN_DEG[(WITHIN_DEG.index(self.search.within_deg) + 1) % len(WITHIN_DEG)]

    def _sieved(self) -> None:
        self.search.chosen, self.search.late_s = 0, 0.0

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

    def do_lens(self) -> None:
        """The next body and lens."""
        self.search.lens_index += 1

    def _free_name(self, sight: Sight, now: DiscAt, taken: set[str]) -> str:
        base = f"{self.search.body} with {sight.landmark} {lines.clock(now.ut_s, self.search.zone, '%Y-%m-%d %H:%M')}"
        return next(name for n in range(1, len(taken) + 2) if (name := base if n == 1 else f"{base} {n}") not in taken)

    def do_shot(self) -> None:
        """A shot of the plan from the instant shown."""
        shown = self.search.shown()
        if shown is None:
            self.message = "no hit to make a shot of"
            return
        sight, _, now = shown
        shots = self.desk.plan.value.shots
        when = dt.datetime.fromtimestamp(round(now.ut_s), tz=self.search.zone)
        record = {
            "name": self._free_name(sight, now, {shot.name for shot in shots}),
            "date": when.date(), "time": when.time(), "subject": {"sky": self.search.body, "behind": sight.landmark},
            "aim": round(now.azimuth_deg, 1), "aim_altitude": round(now.altitude_deg, 1), "support": "tripod",
        }  # fmt: skip
        problem = self.desk.edit(self.desk.plan, lambda plan: plan.insert(("shot",), len(shots), record))
        self.message = problem or f'shot "{record["name"]}" added to the plan; u takes it back'

    def do_spot(self) -> None:
        """The spot of the instant shown as a viewpoint of the site."""
        shown = self.search.shown()
        stand = None if shown is None else stand_at(shown[0], self.search.body, shown[2].ut_s, self.search.placed)
        if shown is None or stand is None or stand.spot is None:
            self.message = "there is no spot to keep at this moment"
            return
        site = self.desk.plan.value.site
        views = () if site is None else site.viewpoints
        sight, _, now = shown
        place, ground_m = stand.spot.place, sight.eye.elevation_m - EYE_M
        record = {
            "name": self._free_name(sight, now, {view.name for view in views}),
            "position": write_position(place.latitude_deg, place.longitude_deg),
            "elevation": f"{ground_m:.1f} m", "eye_height": f"{EYE_M} m",
            "note": "reckoned; look at the ground and who owns it",
        }  # fmt: skip
        problem = self.desk.edit(self.desk.plan, lambda plan: plan.insert(("site", "viewpoint"), len(views), record))
        self.message = problem or f'viewpoint "{record["name"]}" added to the plan; u takes it back'
