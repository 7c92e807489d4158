"""What the Moon & sun page looks for: the choices made, the hits found for them, the hit in hand."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.notation.position import read_position
from fieldplan.notation.skywords import read_hours, read_sighting
from fieldplan.planner.fallbacks import FAILED, Failed, Fallback, fallbacks
from fieldplan.planner.lineups import MOST_YEARS, PLACINGS, LineUp, LineUps, search_span
from fieldplan.planner.nightsky import Night, night_around, night_bounds
from fieldplan.planner.sidestep import side_step_of
from fieldplan.planner.sifting import Sieve, ordered, sifted, weekdays_of
from fieldplan.planner.sightings import Corrected, Doubtful, corrected_by, standing_here
from fieldplan.planner.sights import Sight, find_sight_lineups, sight_of, viewpoint_names, what_lacks
from fieldplan.planner.skymoments import DiscAt, SkyFrame, Stand, disc_at, frames_for, stand_at
from fieldplan.sky.aims import AS_RECKONED, Correction
from fieldplan.sky.geocentric import Body
from fieldplan.sky.station import Place
from fieldplan.sky.walking import Walk
from fieldplan.tui.desk import Desk

WITHIN_DEG = (0.3, 0.5, 1.0, 1.5, 3.0, 5.0)
LIT = (0.0, 0.5, 0.9)
_YEAR_DAYS = 365
FAILING = ("", *FAILED)


class Asked(NamedTuple):
    """What a search rests on; the same values give the same hits."""

    sight: Sight
    sky: str
    body: Body
    placed: str
    within_deg: float
    date: dt.date
    zone: str
    correction: Correction


class SkySearch:
    """The choices, and what follows from them; searched one year at a time, and kept."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.body: Body = "moon"
        self.landmark_index = self.viewpoint_index = 0
        self.placed, self.within_deg, self.by = PLACINGS[0], 1.5, "date"
        self.light_index = self.lit_index = self.lens_index = 0
        self.clear = False
        self.hours: tuple[dt.time, dt.time] | None = None
        self.weekdays: frozenset[int] = frozenset()
        self.here: Place | None = None
        self.look: Corrected | None = None
        self._doubted = ""
        self.failing = ""
        self.fallback_index = 0
        self.years = 1
        self.chosen = 0
        self.late_s = 0.0
        self._found: tuple[Asked, list[LineUps]] | None = None
        self._frames: tuple[object, list[SkyFrame]] | None = None
        self._fallbacks: tuple[Failed, tuple[Fallback, ...]] | None = None
        self._night: tuple[Place, Night] | None = None
        self._step: tuple[object, Walk | None] | None = None

    def lacking(self) -> str:
        """What the page wants that the plan has not; "" where all is there."""
        plan = self.desk.shown_plan
        told = what_lacks(plan.site)
        if not told and self.desk.setting().time_zone is None:
            told = 'To line up moon or sun, add the site\'s time zone (time_zone = "Europe/Berlin").'
        if not told and plan.date is None:
            told = "To line up moon or sun, give the plan a date: the search begins there."
        return told

    def sight(self) -> Sight:
        """The line of sight chosen. ValueError in plain words where a figure is missing or makes no sense."""
        site = self.desk.shown_plan.site
        assert site is not None
        marks, views = site.landmarks, viewpoint_names(site)
        return sight_of(site, marks[self.landmark_index % len(marks)].name, views[self.viewpoint_index % len(views)])

    @property
    def zone(self) -> ZoneInfo:
        """The site's."""
        return ZoneInfo(self.desk.setting().time_zone or "UTC")

    @property
    def sky(self) -> str:
        """The site's cover."""
        site = self.desk.shown_plan.site
        return "clear" if site is None else site.sky

    def correction(self, sight: Sight) -> Correction:
        """What one look corrects, where it was taken along this line of sight."""
        if self.look is None or not self.look.holds_for(sight, self.body):
            return AS_RECKONED
        return self.look.correction

    def searched(self, sight: Sight, most: int = MOST_YEARS) -> list[LineUps]:
        """The years searched, one by one, each kept; most: so many new ones at this call."""
        plan = self.desk.shown_plan
        assert plan.date is not None
        correction = self.correction(sight)
        asked = Asked(sight, self.sky, self.body, self.placed, self.within_deg, plan.date, self.zone.key, correction)
        if self._found is None or self._found[0] != asked:
            self._found, self.chosen, self.late_s = (asked, []), 0, 0.0
        years = self._found[1]
        while len(years) < self.years and most > 0:
            first = plan.date + dt.timedelta(days=_YEAR_DAYS * len(years))
            span = search_span(first, first + dt.timedelta(days=_YEAR_DAYS - 1), self.zone)
            years.append(
                find_sight_lineups(sight, self.body, span, self.within_deg, self.placed, self.sky, None, correction)
            )
            most -= 1
        return years

    @property
    def found_years(self) -> int:
        """Years searched for what is asked now."""
        return 0 if self._found is None else len(self._found[1])

    @property
    def unfinished(self) -> bool:
        """True while years that were asked for are still to be searched."""
        return self._found is not None and self.found_years < self.years

    def hits(self, sight: Sight) -> tuple[LineUp, ...]:
        """What is left of the hits found so far, in order."""
        years = self.searched(sight, 0) or self.searched(sight, 1)
        found = [up for year in years for up in year.found]
        return ordered(sifted(found, self.sieve(), self.zone, sight.skyline), self.by)

    def sieve(self) -> Sieve:
        """What a hit must be to be listed."""
        bands = self.desk.setting().catalogue.bands
        band = None if not self.light_index else bands[self.light_index - 1]
        lit = LIT[self.lit_index]
        return Sieve(
            lit=(lit, 1.0) if lit else None,
            sun_altitude_deg=None if band is None else (band.low_deg, band.high_deg),
            hours=self.hours,
            weekdays=self.weekdays,
            clear=self.clear,
        )

    def frame(self, sight: Sight) -> SkyFrame | None:
        """The frame that the view is drawn in."""
        key = (sight, self.desk.kit())
        if self._frames is None or self._frames[0] != key:
            self._frames = (key, frames_for(sight, self.desk.shown_plan, self.desk.kit(), self.desk.setting()))
        frames = self._frames[1]
        return frames[self.lens_index % len(frames)] if frames else None

    def shown(self) -> tuple[Sight, LineUp, DiscAt] | None:
        """The sight, the hit in hand and the disc at the instant shown; None where there is none."""
        if self.lacking():
            return None
        try:
            sight = self.sight()
            hits = self.hits(sight)
        except (ValueError, OverflowError):
            return None
        if not hits:
            return None
        up = hits[min(self.chosen, len(hits) - 1)]
        now_s = up.hit.ut_s + self.late_s
        return sight, up, disc_at(sight, self.body, now_s, self.placed, self.sky, self.correction(sight))

    def stand(self, sight: Sight, ut_s: float) -> Stand:
        """Where to go, from where one stands."""
        return stand_at(sight, self.body, ut_s, self.placed, self.here, self.correction(sight))

    def step(self, sight: Sight, up: LineUp) -> Walk | None:
        """The short walk sideways for a pass, to a moment of its own."""
        key = (sight, up, self.placed, self.here, self.correction(sight))
        if self._step is None or self._step[0] != key:
            self._step = (
                key,
                side_step_of(sight, self.body, up.hit.ut_s, self.placed, self.here, self.correction(sight)),
            )
        return self._step[1]

    def night(self, sight: Sight, ut_s: float) -> Night:
        """The night round an instant, kept until another one is asked for."""
        if (
            self._night is None
            or self._night[0] != sight.eye
            or self._night[1].start_s != night_bounds(ut_s, self.zone)[0]
        ):
            self._night = (sight.eye, night_around(sight.eye, ut_s, self.zone))
        return self._night[1]

    def reach_to(self, ut_s: float) -> None:
        """Ask for as many years as reach to an instant, up to the most."""
        date = self.desk.shown_plan.date
        assert date is not None
        then = dt.datetime.fromtimestamp(ut_s, tz=self.zone).date()
        self.years = min(max(self.years, (then - date).days // _YEAR_DAYS + 1), MOST_YEARS)

    def choose_near(self, ut_s: float) -> None:
        """Take the hit that is nearest in time in hand."""
        try:
            sight = self.sight()
            self.searched(sight)
            hits = self.hits(sight)
        except (ValueError, OverflowError):
            return
        if hits:
            self.chosen = min(range(len(hits)), key=lambda n: abs(hits[n].hit.ut_s - ut_s))
            self.late_s = 0.0

    def choices(self) -> tuple[Fallback, ...]:
        """What to do in place of the hit in hand, should it fail as chosen."""
        shown, site = self.shown(), self.desk.shown_plan.site
        if not self.failing or shown is None or site is None:
            return ()
        sight, up, _ = shown
        failed = Failed(
            site, sight, up, self.failing, self.body, self.placed, self.within_deg, self.sieve(), self.zone,
            self.correction(sight),
        )  # fmt: skip
        if self._fallbacks is None or self._fallbacks[0] != failed:
            self._fallbacks, self.fallback_index = (failed, fallbacks(failed)), 0
        return self._fallbacks[1]

    # what is typed; ValueError in plain words for what cannot be read

    def take_hours(self, text: str) -> None:
        """Hours of the local clock; "" for any."""
        self.hours = read_hours(text) if text else None
        self.chosen, self.late_s = 0, 0.0

    def take_weekdays(self, text: str) -> None:
        """Weekdays; "" for any."""
        self.weekdays = weekdays_of(text)
        self.chosen, self.late_s = 0, 0.0

    def take_here(self, text: str) -> None:
        """The position where one stands; "" for the viewpoint itself."""
        if not text:
            self.here = None
            return
        place = read_position(text)
        self.here = standing_here(self.sight(), place.latitude_deg, place.longitude_deg)

    def take_look(self, text: str) -> None:
        """One look at the disc; "" for as reckoned. One beyond its error is doubted first: Doubtful, a ValueError."""
        shown = self.shown()
        if text and shown is None:
            raise ValueError("there is no hit in hand that a look could belong to")
        now_s = None if shown is None else shown[2].ut_s
        look = None
        if text and shown is not None:
            try:
                look = corrected_by(
                    shown[0], self.body, read_sighting(text), shown[2].ut_s, self.zone, text == self._doubted
                )
            except Doubtful:
                self._doubted = text  # the same text once more keeps it
                raise
        self.look, self._doubted = look, ""
        if now_s is not None:
            self.choose_near(now_s)
