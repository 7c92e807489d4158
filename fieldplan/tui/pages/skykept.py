"""The choices of the Moon & sun page as they are put on disk and read back: by name, for the plan may have changed."""

from __future__ import annotations

from collections.abc import Mapping

from fieldplan.planner.lineups import MOST_YEARS, PLACINGS
from fieldplan.planner.sights import viewpoint_names
from fieldplan.tui.pages.skysearch import LIT, WITHIN_DEG, SkySearch

Kept = dict[str, str | float]


def choices_of(search: SkySearch) -> Kept:
    """What was chosen by single keys; nothing where all is as at the start, or the plan has no line of sight."""
    if search.lacking():
        return {}
    site = search.desk.shown_plan.site
    assert site is not None
    views, bands = viewpoint_names(site), search.desk.setting().catalogue.bands
    kept: Kept = {}
    if search.viewpoint_index % len(views):
        kept["viewpoint"] = views[search.viewpoint_index % len(views)]
    if search.landmark_index % len(site.landmarks):
        kept["landmark"] = site.landmarks[search.landmark_index % len(site.landmarks)].name
    if search.light_index:
        kept["light"] = bands[search.light_index - 1].name
    fresh = SkySearch(search.desk)
    for name in ("body", "placed", "by"):
        if getattr(search, name) != getattr(fresh, name):
            kept[name] = getattr(search, name)
    for name in ("within_deg", "years", "lit_index"):
        if getattr(search, name) != getattr(fresh, name):
            kept[name] = float(getattr(search, name))
    return kept | ({"clear": 1.0} if search.clear else {})


def choose_again(search: SkySearch, kept: Mapping[str, str | float]) -> None:
    """Choose what was chosen before; what is no longer there stays as at the start."""
    site = search.desk.shown_plan.site
    if site is None or search.lacking():
        return
    views, marks = viewpoint_names(site), [mark.name for mark in site.landmarks]
    bands = [band.name for band in search.desk.setting().catalogue.bands]
    search.viewpoint_index = _index(views, kept.get("viewpoint"))
    search.landmark_index = _index(marks, kept.get("landmark"))
    search.light_index = bands.index(str(kept["light"])) + 1 if kept.get("light") in bands else 0
    search.body = "sun" if kept.get("body") == "sun" else "moon"
    search.placed = str(kept["placed"]) if kept.get("placed") in PLACINGS else search.placed
    search.by = "closeness" if kept.get("by") == "closeness" else "date"
    search.clear = kept.get("clear") == 1.0
    within, years, lit = (kept.get(name) for name in ("within_deg", "years", "lit_index"))
    search.within_deg = within if isinstance(within, float) and within in WITHIN_DEG else search.within_deg
    search.years = int(years) if isinstance(years, float | int) and 1 <= years <= MOST_YEARS else search.years
    search.lit_index = int(lit) if isinstance(lit, float | int) and 0 <= lit < len(LIT) else search.lit_index


def _index(names: list[str] | tuple[str, ...], name: object) -> int:
    return next((n for n, one in enumerate(names) if one == name), 0)
