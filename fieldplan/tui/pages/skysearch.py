"""What the Moon & sun page looks for: the choices made, the hits found for them, the hit in hand."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.planner.lineups import PLACINGS, LineUp, LineUps, search_span
from fieldplan.planner.sifting import Sieve, ordered, sifted
from fieldplan.planner.sights import Sight, find_sight_lineups, sight_of, viewpoint_names, what_lacks
from fieldplan.planner.skymoments import DiscAt, SkyFrame, disc_at, frames_for
from fieldplan.sky.geocentric import Body
from fieldplan.tui.desk import Desk

WITHIN_DEG = (0.3, 0.5, 1.0, 1.5, 3.0, 5.0)
LIT = (0.0, 0.5, 0.9)
MOST_YEARS = 10


class Asked(NamedTuple):
    """What a search rests on; the same values give the same hits."""

    sight: Sight
    sky: str
    body: Body
    placed: str
    within_deg: float
    date: dt.date
    zone: str


class SkySearch:
    """The choices, and what follows from them; searched one year at a time, and kept."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.body: Body = "moon"
        self.landmark_index = self.viewpoint_index = 0
        self.placed, self.within_deg, self.by = PLACINGS[0], 1.5, "date"
        self.light_index = self.lit_index = self.lens_index = 0
        self.clear = False
        self.years = 1
        self.chosen = 0
        self.late_s = 0.0
        self._found: tuple[Asked, list[LineUps]] | None = None
        self._frames: tuple[object, list[SkyFrame]] | None = None

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

    def searched(self, sight: Sight) -> list[LineUps]:
        """The years searched, one by one; each takes about ten milliseconds and is kept."""
        plan = self.desk.shown_plan
        assert plan.site is not None and plan.date is not None
        asked = Asked(sight, plan.site.sky, self.body, self.placed, self.within_deg, plan.date, self.zone.key)
        if self._found is None or self._found[0] != asked:
            self._found, self.chosen, self.late_s = (asked, []), 0, 0.0
        years = self._found[1]
        while len(years) < self.years:
            first = plan.date + dt.timedelta(days=365 * len(years))
            span = search_span(first, first + dt.timedelta(days=364), self.zone)
            years.append(find_sight_lineups(sight, self.body, span, self.within_deg, self.placed, plan.site.sky))
        return years

    def hits(self, sight: Sight) -> tuple[LineUp, ...]:
        """What is left of the hits, in order."""
        found = [up for year in self.searched(sight) for up in year.found]
        return ordered(sifted(found, self.sieve(), self.zone, sight.skyline), self.by)

    def sieve(self) -> Sieve:
        """What a hit must be to be listed."""
        bands = self.desk.setting().catalogue.bands
        band = None if not self.light_index else bands[self.light_index - 1]
        lit = LIT[self.lit_index]
        return Sieve(
            lit=(lit, 1.0) if lit else None,
            sun_altitude_deg=None if band is None else (band.low_deg, band.high_deg),
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
        sky = self.desk.shown_plan.site.sky if self.desk.shown_plan.site is not None else "clear"
        return sight, up, disc_at(sight, self.body, up.hit.ut_s + self.late_s, self.placed, sky)

    def told(self, sight: Sight, left: int) -> str:
        """How many hits are left of how many, and what was asked for."""
        years = self.searched(sight)
        bands = self.desk.setting().catalogue.bands
        parts = [f"{left} of {sum(len(year.found) for year in years)} hits by {self.by}"]
        if self.light_index:
            parts.append(bands[self.light_index - 1].name)
        if LIT[self.lit_index] and self.body == "moon":
            parts.append(f"{LIT[self.lit_index] * 100:.0f} % lit or more")
        if self.clear:
            parts.append("clear of the skyline" if sight.skyline else "above a level horizon (no skyline from here)")
        parts.append(f"within {self.within_deg:g} deg, {12 * len(years)} months from {self.desk.shown_plan.date}")
        return ", ".join(parts)

    def nothing(self, sight: Sight) -> str:
        """Why there is no hit, and what to do about it."""
        years = self.searched(sight)
        if any(year.found for year in years):
            return "No hit passes what is asked for: i, e or h ask for less."
        return f"{years[0].reason} (w looks wider, m a year further, v from elsewhere.)"
