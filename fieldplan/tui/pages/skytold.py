"""What the Moon & sun page says of a search: how many hits are left, or why there is none and what helps."""

from __future__ import annotations

from fieldplan.planner.lineups import Hindrance
from fieldplan.planner.sifting import WEEKDAYS
from fieldplan.planner.sights import Sight
from fieldplan.tui.pages.skysearch import LIT, SkySearch

# What helps where nothing was found, by what hinders; commands stand for their keys.
_WAYS: dict[Hindrance, str] = {
    "hidden": "{viewpoint} looks from elsewhere",
    "never": "{wider} looks wider, {viewpoint} looks from elsewhere",
    "down": "{viewpoint} looks from elsewhere, {forget} forgets a look",
}
_ANY_WAY = "{wider} looks wider, {all_years} searches ten years, {viewpoint} looks from elsewhere"


def hits_text(search: SkySearch, sight: Sight, left: int) -> str:
    """How many hits are left of how many, and what was asked for."""
    years = search.searched(sight, 0)
    bands = search.desk.setting().catalogue.bands
    parts = [f"{left} of {sum(len(year.found) for year in years)} hits by {search.by}"]
    if search.unfinished:
        parts.insert(0, f"searching: {len(years)} of {search.years} years, {_key(search, 'stop')} stops")
    if search.light_index:
        parts.append(bands[search.light_index - 1].name)
    if LIT[search.lit_index] and search.body == "moon":
        parts.append(f"{LIT[search.lit_index] * 100:.0f} % lit or more")
    if search.hours is not None:
        parts.append(f"{search.hours[0]:%H:%M}-{search.hours[1]:%H:%M}")
    if search.weekdays:
        parts.append(" ".join(WEEKDAYS[day] for day in sorted(search.weekdays)))
    if search.clear:
        parts.append("clear of the skyline" if sight.skyline else "above a level horizon (no skyline from here)")
    parts.append(f"within {search.within_deg:g} deg, {12 * len(years)} months from {search.desk.shown_plan.date}")
    return ", ".join(parts)


def none_text(search: SkySearch, sight: Sight) -> str:
    """Why there is no hit, and what to do about it."""
    years = search.searched(sight, 0)
    if any(year.found for year in years):
        *most, last = (_key(search, id) for id in ("light", "lit", "skyline", "hours", "weekdays"))
        return f"No hit passes what is asked for: {', '.join(most)} or {last} ask for less."
    hindered = years[-1]
    keys = {id: _key(search, id) for id in ("viewpoint", "wider", "forget", "all_years")}
    return f"{hindered.reason} ({_WAYS.get(hindered.hindrance, _ANY_WAY).format(**keys)}.)"


def _key(search: SkySearch, id: str) -> str:
    return search.desk.keys.name(id, "Moon & sun")
