"""The Moon & sun page: when the disc stands with a landmark, how it looks through a lens, and where to stand."""

from __future__ import annotations

import datetime as dt
from typing import Any, ClassVar

from fieldplan.notation.position import write_position
from fieldplan.notation.signed import unsigned_zero
from fieldplan.pictures.cells import Picture, Row
from fieldplan.planner.fallbacks import OWN_SPOT
from fieldplan.planner.lineups import PLACINGS, SUN_CAUTION, LineUp
from fieldplan.planner.sights import EYE_M, Sight, viewpoint_names
from fieldplan.planner.skymoments import DiscAt
from fieldplan.planner.skyview import view_of
from fieldplan.sky.aims import AS_RECKONED
from fieldplan.sky.station import Place
from fieldplan.tui.commands import Command
from fieldplan.tui.pages import skylines as lines
from fieldplan.tui.pages.skyfallbacks import fallback_rows
from fieldplan.tui.pages.skykeys import CHOOSING, SkyKeys
from fieldplan.tui.pages.skynight import night_curve, night_row
from fieldplan.tui.pages.skytold import hits_text, none_text
from fieldplan.tui.rows import BLANK, beside, fitted, safe, wrapped

_FIGURES = 12  # rows below list and picture, at most
_LIST_LEAST = 5  # rows of list and picture, where the screen has them
_NIGHT_HIGH = 9  # rows of the curve of the night, on tall screens
_TALL = 20
_SOON_S = 0.01
_LOOKED = "forgets it; card and fieldplan lineup reckon without it"


class SkyPage(SkyKeys):
    """Landmark, viewpoint and body by single keys; the hits, one of them drawn and reckoned, stepped in time."""

    number = 4
    title = "Moon & sun"
    commands: ClassVar[tuple[Command, ...]] = (
        *CHOOSING,
        Command("shot", ("c",), "to shots", "make a shot of the plan from what is shown", 91),
        Command("spot", ("a",), "keep spot", "add the spot to the plan as a viewpoint; GPX waypoints follow it", 91),
    )
    _going_on = False

    # drawing

    def draw(self, width: int, height: int) -> Picture:
        """Heading, list and view, figures of the instant, where to stand."""
        told = self.search.lacking()
        if told:
            return fitted(wrapped(told, width, "warn"), width, height)
        try:
            sight = self.search.sight()
            self._search_on(sight)
            hits = self.search.hits(sight)
        except (ValueError, OverflowError) as wrong:
            other, elsewhere = self.key("landmark"), self.key("viewpoint")
            told = f"{safe(wrong)} ({elsewhere} looks from elsewhere, {other} at another landmark)"
            return fitted([*self._caution(width), *wrapped(told, width, "warn")], width, height)
        site = self.desk.shown_plan.site
        variation, units = (None if site is None else site.magnetic_variation), self.desk.units
        rows: list[Row] = [
            *self._caution(width),
            *lines.head_rows(sight, self.search.body, self.search.placed, variation, units, width),
        ]
        if self.typing:
            rows += self.asking.rows(width, 1, 1)
            trouble = self.asking.trouble()
            rows += wrapped(f"! {safe(trouble)}", width, "warn", 2) if trouble else [self.asking.help_row(width)]
        else:
            rows += wrapped(hits_text(self.search, sight, len(hits)), width, "dim", most=2)
        if self.search.look is not None and self.search.look.holds_for(sight, self.search.body):
            told = f"{self.search.look.told(self.search.zone)}; {self.key('forget')} {_LOOKED}"
            rows += wrapped(told, width, "warn", 2, 3)
        shown = self.search.shown()
        if shown is None:
            return fitted([*rows, BLANK, *wrapped(none_text(self.search, sight), width, "warn")], width, height)
        most = max(min(_FIGURES, height - len(rows) - _LIST_LEAST), 4)
        figures = self._below(*shown, width, height - 1 if self.in_full else most)
        if self.in_full and not self.search.failing:
            return fitted([*rows[:1], *figures], width, height)
        room = max(height - len(rows) - len(figures), 3)
        chosen, wide = min(self.search.chosen, len(hits) - 1), lines.list_wide(width)
        listed = lines.hit_rows(hits, chosen, self.search.zone, room, wide, sight.skyline)
        return fitted([*rows, *self._block(shown, listed, width, room), *figures], width, height)

    def _search_on(self, sight: Sight) -> None:
        """Search the years asked for: one at a drawing where the screen is up, so that it shows how far it has come."""
        if not self.is_attached:
            self.search.searched(sight)
            return
        self.search.searched(sight, 1)
        if self.search.unfinished and not self._going_on:
            self._going_on = True
            self.set_timer(_SOON_S, self._next_year)

    def _next_year(self) -> None:
        self._going_on = False
        again = getattr(self.app, "draw", None)
        if again is not None and self.search.unfinished:
            again()

    def _block(self, shown: tuple[Sight, LineUp, DiscAt], listed: list[Row], width: int, room: int) -> list[Row]:
        """List and view side by side; the list alone where there is no room or no lens."""
        sight, up, now = shown
        list_wide = lines.list_wide(width)
        frame, wide = self.search.frame(sight), width - list_wide - 2
        if frame is None or wide < 16 or room < 5:
            return listed[:room] + [BLANK] * (room - len(listed))
        night = []
        if room >= _TALL:
            curve = night_curve(self.search.night(sight, now.ut_s), now.ut_s, self.search.zone, (wide, _NIGHT_HIGH))
            night, room_left = list(curve), room - _NIGHT_HIGH
        else:
            room_left = room
        seen = view_of(sight, now, self.search.body, up.hit.ut_s, frame, self.search.correction(sight))
        picture = lines.view_picture(seen, now, self.search.body, frame, (wide, room_left - 1))
        view = [*picture, ((lines.frame_text(frame, wide), "dim"),), *night]
        return beside(listed, list_wide, view)[:room]

    def _below(self, sight: Sight, up: LineUp, now: DiscAt, width: int, most: int) -> list[Row]:
        """The figures of the instant, so many rows at most; or the choices, should the hit fail."""
        units = self.desk.units
        if self.search.failing:
            choices, keys = self.search.choices(), (self.key("take"), self.key("fails"))
            return fallback_rows(
                self.search.failing, choices, self.search.fallback_index, self.search.zone, units, width, most, keys
            )
        frame = self.search.frame(sight)
        bodies = {body.name: body.latitude for body in self.desk.gear.value.bodies}
        latitude = None if frame is None else bodies.get(frame.body)
        stand = self.search.stand(sight, now.ut_s)
        looked = self.search.correction(sight) != AS_RECKONED
        exact: Row = ()
        if not self.search.late_s:
            exact = lines.step_row(sight, up, self.search.step(sight, up), self.search.zone, units)
        rows = lines.figure_rows(sight, up, now, self.search.zone, latitude, units, width, looked, exact)
        rows += lines.stand_rows(sight, stand, units, width, self.search.here, not exact)
        rows += lines.size_rows(sight, up, now, units, width)
        night = night_row(self.search.night(sight, now.ut_s), self.search.zone, width)
        return [*rows[: most - 1], night]

    def _caution(self, width: int) -> list[Row]:
        return wrapped(SUN_CAUTION, width, "warn") if self.search.body == "sun" else []

    # what changes the plan

    def _free_name(self, sight: Sight, ut_s: float, taken: set[str]) -> str:
        base = f"{self.search.body} with {sight.landmark} {lines.clock(ut_s, self.search.zone, '%Y-%m-%d %H:%M')}"
        return next(name for n in range(1, len(taken) + 2) if (name := base if n == 1 else f"{base} {n}") not in taken)

    def do_shot(self) -> None:
        """A shot of the plan from the instant shown."""
        shown = self.search.shown()
        if shown is None:
            self.message = "no hit to make a shot of"
            return
        sight, _, now = shown
        if not now.is_up(sight.eye):
            told = unsigned_zero(now.altitude_deg)
            self.message = f"the {self.search.body} is below the horizon then ({told} deg): no shot"
            return
        shots = self.desk.plan.value.shots
        when = dt.datetime.fromtimestamp(round(now.ut_s), tz=self.search.zone)
        record = {
            "name": self._free_name(sight, now.ut_s, {shot.name for shot in shots}),
            "date": when.date(), "time": when.time(), "subject": {"sky": self.search.body, "behind": sight.landmark},
            "aim": round(now.azimuth_deg, 1), "aim_altitude": round(now.altitude_deg, 1), "support": "tripod",
        }  # fmt: skip
        site = self.desk.plan.value.site
        if site is not None and (sight.viewpoint != site.name or site.position is None):
            record["viewpoint"] = sight.viewpoint
        notes = []
        if self.search.placed != PLACINGS[0]:
            notes.append(f"disc wanted {lines.PLACED[self.search.placed]}; the card's spots have it centred")
        if self.search.correction(sight) != AS_RECKONED and self.search.look is not None:
            looked = lines.clock(self.search.look.ut_s, self.search.zone, "%Y-%m-%d %H:%M")
            notes.append(f"found with the look of {looked}; the card reckons without it")
        if notes:
            record["note"] = "; ".join(notes)
        problem = self.desk.edit(self.desk.plan, lambda plan: plan.insert(("shot",), len(shots), record))
        self.message = problem or f'shot "{record["name"]}" added to the plan; {self.key("undo")} takes it back'

    def do_spot(self) -> None:
        """The spot of the instant shown as a viewpoint of the site."""
        shown = self.search.shown()
        stand = None if shown is None else self.search.stand(shown[0], shown[2].ut_s)
        if shown is None or stand is None or stand.spot is None:
            self.message = "there is no spot to keep at this moment"
            return
        step = None if self.search.late_s else self.search.step(shown[0], shown[1])
        if step is not None and not self.search.here:
            self._keep(shown[0], step.place, step.ut_s)
            return
        self._keep(shown[0], stand.spot.place, shown[2].ut_s)

    def _keep(self, sight: Sight, eye: Place, ut_s: float) -> str:
        """Add a spot as a viewpoint; its name."""
        site = self.desk.plan.value.site
        views = () if site is None else site.viewpoints
        record: dict[str, Any] = {
            "name": self._free_name(sight, ut_s, {view.name for view in views}),
            "position": write_position(eye.latitude_deg, eye.longitude_deg),
            "elevation": f"{eye.elevation_m - EYE_M:.1f} m", "eye_height": f"{EYE_M} m",
            "note": "reckoned; look at the ground and who owns it",
        }  # fmt: skip
        problem = self.desk.edit(self.desk.plan, lambda plan: plan.insert(("site", "viewpoint"), len(views), record))
        self.message = problem or f'viewpoint "{record["name"]}" added to the plan; {self.key("undo")} takes it back'
        return "" if problem else str(record["name"])

    def do_take(self) -> None:
        """The marked choice becomes what is shown; a new spot becomes a viewpoint first. Else all figures, and back."""
        if not self.search.failing:
            self.in_full = not self.in_full
            return
        choices = self.search.choices()
        if not choices:
            return
        choice = choices[min(self.search.fallback_index, len(choices) - 1)]
        ut_s, name = choice.up.hit.ut_s, choice.sight.viewpoint
        if name == OWN_SPOT:
            look = self.search.look
            looked = look is not None and look.holds_for(self.search.sight(), self.search.body)
            name = self._keep(choice.sight, choice.sight.eye, ut_s)
            if name and looked and look is not None:
                self.search.look = look._replace(also=(*look.also, name))  # the spot was reckoned with it
                self._keep_texts()
        site = self.desk.shown_plan.site
        if not name or site is None:
            return
        self.search.failing = ""
        self.search.viewpoint_index = viewpoint_names(site).index(name)
        self.search.reach_to(ut_s)
        self.search.choose_near(ut_s)
