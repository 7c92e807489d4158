"""Opens a plan for a face: the plan, its gear profile, and what the answers rest on besides."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from fieldplan.files.catalogue import load_catalogue
from fieldplan.files.places import find_plan, find_profile, profiles_folder
from fieldplan.files.reading import Loaded, load_plan, load_profile
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Site
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.carrying import carried_profile
from fieldplan.planner.plans import assess
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import book_for

if TYPE_CHECKING:
    from fieldplan.planner.withheld import Shared

FIRST_PROFILE = "two-bodies"  # the starter for a plan that names none


class Opened(NamedTuple):
    """A plan and the profile it names, as read."""

    plan: Loaded[Plan]
    profile: Loaded[Profile]


def zone_of(site: Site | None) -> str | None:
    """The site's time zone: as written, else from its position; None where neither is known or the name is none."""
    if site is None:
        return None
    if site.time_zone is not None:
        from zoneinfo import ZoneInfo

        try:
            ZoneInfo(site.time_zone)
        except (KeyError, ValueError, OSError):
            return None
        return site.time_zone
    if site.position is None:
        return None
    from fieldplan.sky.zones import zone_at

    try:
        return zone_at(site.position.latitude_deg, site.position.longitude_deg)
    except (LookupError, ValueError):
        return None


def countries_of(site: Site | None, time_zone: str | None) -> tuple[str, ...]:
    """ISO 3166 codes of the country of a site: as written, else those that keep its clock."""
    if site is not None and site.country is not None:
        return (site.country.upper(),)
    if time_zone is None:
        return ()
    from fieldplan.sky.zones import countries_of_zone

    return countries_of_zone(time_zone)


def setting_of(site: Site | None, folder: Path | None = None) -> Setting:
    """Lists, zone, countries and sky for a site. folder: where a person's own lists lie. Raises FileProblem."""
    zone = zone_of(site)
    return Setting(load_catalogue(folder), zone, countries_of(site, zone), book_for(site, zone))


def open_plan(name: str, profile: str | None = None, plans: str | None = None, profiles: str | None = None) -> Opened:
    """A plan by name or path, and its profile (or another one). Raises FileProblem.

    plans, profiles: folders to look in, where not the usual ones.
    """
    plan = load_plan(find_plan(name, plans))
    return Opened(plan, load_profile(profile_path(plan.value, plan.path, profile, profiles)))


def profile_path(plan: Plan, path: Path, profile: str | None, profiles: Path | str | None) -> Path:
    """Where the profile of a plan lies: the one asked for, else the one that the plan names, else the first starter.

    path: of the plan; profiles: the folder to look in, where not the usual one. Raises FileProblem.
    """
    if profile is not None:
        return find_profile(profile, folder=profiles)
    return find_profile(plan.profile or FIRST_PROFILE, relative_to=path, folder=profiles)


def shared_answers(opened: Opened, profiles: str | None = None) -> Shared:
    """The answers of an opened plan without its place."""
    from fieldplan.planner.withheld import without_place

    plan, profile = opened.plan.value, opened.profile.value
    setting = setting_of(plan.site, profiles_folder(profiles))
    return without_place(plan, profile, setting, prepare(carried_profile(plan, profile)))


def answers_to(opened: Opened, profiles: str | None = None) -> PlanAnswers:
    """All answers of an opened plan."""
    from fieldplan.planner.shotmore import fuller

    plan, setting = opened.plan.value, setting_of(opened.plan.value.site, profiles_folder(profiles))
    kit = prepare(carried_profile(plan, opened.profile.value))
    return fuller(assess(plan, opened.profile.value, setting, kit), kit, setting)
