"""From where a shot is taken: the site itself, or the viewpoint of the site that it names."""

from __future__ import annotations

from fieldplan.model.plan import Plan, Shot, Site
from fieldplan.notation.quantity import Value
from fieldplan.planner.sights import EYE_M


def site_from(site: Site | None, shot: Shot) -> Site | None:
    """The site as it is for a shot: with the name, place, ground and eye of its viewpoint, where it names one.

    The ground line is drawn from the site's own eye and left out there. The site itself where none is named, or where
    it has none of that name.
    """
    if site is None or shot.viewpoint is None or shot.viewpoint == site.name:
        return site
    view = next((view for view in site.viewpoints if view.name == shot.viewpoint), None)
    if view is None:
        return site
    return site.model_copy(update={
        "name": view.name, "position": view.position,
        "elevation": site.elevation if view.elevation is None else view.elevation,
        "eye_height": Value(EYE_M, f"{EYE_M} m") if view.eye_height is None else view.eye_height, "skyline": (),
    })  # fmt: skip


def plan_from(plan: Plan, shot: Shot) -> Plan:
    """The plan with its site as it is for a shot; see site_from."""
    site = site_from(plan.site, shot)
    return plan if site is plan.site else plan.model_copy(update={"site": site})


def standpoint_note(site: Site | None, shot: Shot) -> str:
    """From where a shot is reckoned, and what was taken for granted there; "" for the site itself.

    site: the plan's own, or as it is for the shot.
    """
    if site is None or shot.viewpoint is None:
        return ""
    view = next((view for view in site.viewpoints if view.name == shot.viewpoint), None)
    if view is None:
        return ""
    told = f"from {view.name}: place, height and distances are those of this viewpoint"
    if view.elevation is None:
        told += f"; its ground taken at the site's elevation, {float(site.elevation):.0f} m"
    return told if view.note is None else f"{told}; {view.note}"
