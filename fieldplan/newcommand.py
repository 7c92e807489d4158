"""``fieldplan new``: a plan of one's own, with a first shot to fill in, opened where there is a terminal."""

from __future__ import annotations

import argparse
import os
import sys
from typing import Any

FIRST_SHOT = "first picture"


def add_new_command(commands: Any, places: argparse.ArgumentParser) -> None:
    """The command to the subparsers of the command line; places: the options that say where files lie."""
    new = commands.add_parser("new", parents=[places], help="begin a plan of your own, and open it")
    new.add_argument("title", metavar="TITLE", help='such as "Lake at dawn"; the file is named after it')
    new.add_argument("--on", metavar="DATE", help="2027-03-14")
    new.add_argument("--at", metavar="POSITION", help="of the site: any usual notation, a saved place, a city, "
                     "or FILE.gpx#NAME")  # fmt: skip
    new.add_argument("--site", metavar="NAME", help="what the site is called")


def run_new(options: argparse.Namespace) -> int:
    """Write the plan, say where it is; 2 where a word cannot be read. Raises FileProblem, also where it is there."""
    from fieldplan.files.document import new_document
    from fieldplan.files.places import file_name, plans_folder
    from fieldplan.files.problems import plain_problem, visible
    from fieldplan.model.plan import Plan

    try:
        value = Plan.model_validate(_written(options))
    except ValueError as wrong:
        print(f"fieldplan new: {_first(wrong)}", file=sys.stderr)
        return 2
    path = plans_folder(options.plans) / file_name(value.title)
    if os.path.lexists(path):
        raise plain_problem(path, f"is there already; fieldplan open {visible(path.stem)} opens it")
    if options.profile is not None:
        from fieldplan.files.places import find_profile

        find_profile(options.profile, folder=options.profiles)
    new_document(path, value).save()
    print(f"{visible(str(path))} begins with the shot {FIRST_SHOT}", file=sys.stderr)
    options.plan = str(path)
    return 0


def _written(options: argparse.Namespace) -> dict[str, Any]:
    """The plan as a table. Raises ValueError in plain words."""
    from fieldplan.notation.words import read_date, read_name

    plan: dict[str, Any] = {"fieldplan_plan": 1, "title": read_name(options.title)}
    if options.on is not None:
        plan["date"] = read_date(options.on)
    if options.profile is not None:
        plan["profile"] = options.profile
    if options.at is not None:
        plan["site"] = _site(options)
    elif options.site is not None:
        plan["site"] = {"name": options.site}
    return {**plan, "shot": [{"name": FIRST_SHOT}]}


def _site(options: argparse.Namespace) -> dict[str, Any]:
    from fieldplan.files.findplace import find_place
    from fieldplan.files.whereabouts import whereabouts
    from fieldplan.notation.position import write_position

    spot = find_place(options.at, options.profiles)
    for warning in whereabouts(spot).warnings:
        print(f"fieldplan new: note: {warning}", file=sys.stderr)
    typed = getattr(spot, "typed", None)
    named = options.at.rpartition("#")[2].strip()
    site = {
        "name": options.site or ("site" if typed else named),
        "position": typed or write_position(spot.latitude_deg, spot.longitude_deg, "decimal"),
    }
    return site if spot.height_m is None else {**site, "elevation": f"{spot.height_m:.0f} m"}


def _first(wrong: ValueError) -> str:
    """The words of a refusal, on one line; of several, the first."""
    from pydantic import ValidationError

    if isinstance(wrong, ValidationError):
        return str(wrong.errors()[0]["msg"]).removeprefix("Value error, ")
    return str(wrong)
