"""``fieldplan check``: says of each file whether it is sound, and explains what is not."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from fieldplan.files.reading import FileProblem, load_plan, load_profile, read_toml
from fieldplan.files.versions import PROFILE_KEY
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan


def run_check(files: Sequence[str], profiles: str | None = None, plans: str | None = None) -> int:
    """0 when all are sound, 1 when any is not. profiles: where a person's own lists lie, where not the usual folder."""
    sound = True
    for name in files:
        try:
            print(_said(_file(name, profiles, plans), profiles))
        except FileProblem as problem:
            print(problem, file=sys.stderr)
            sound = False
    return 0 if sound else 1


def _file(name: str, profiles: str | None, plans: str | None) -> Path:
    """A file by its path; else the plan or the gear profile of that name. Raises FileProblem."""
    from fieldplan.files.places import find_plan, find_profile
    from fieldplan.files.problems import expanded

    path = _beside(expanded(name), profiles)
    if os.path.exists(path) or path.suffix or len(path.parts) > 1 or len(name) > 200 or not name.isprintable():
        return path  # as it stands; reading it says what is wrong with it
    try:
        return find_plan(name, plans)
    except FileProblem as no_plan:
        try:
            return find_profile(name, folder=profiles)
        except FileProblem as no_profile:
            raise FileProblem(path, tuple(dict.fromkeys((*no_plan.problems, *no_profile.problems)))) from None


def _beside(path: Path, profiles: str | None) -> Path:
    """A list of one's own by its name alone, which lies beside the profiles where it is not here."""
    from fieldplan.files.catalogue import is_list
    from fieldplan.files.keytable import NAME
    from fieldplan.files.places import file_at, profiles_folder

    if len(path.parts) != 1 or not (is_list(path) or path.name == NAME) or os.path.lexists(path):
        return path
    return file_at(profiles_folder(profiles) / path.name) or path


def _is_profile(path: Path) -> bool:
    """Whether a file says that it is a gear profile; anything unreadable is left to the reader to explain."""
    try:
        return PROFILE_KEY in read_toml(path)
    except FileProblem:
        return False


def _said(path: Path, profiles: str | None) -> str:
    from fieldplan.files.catalogue import check_list, is_list
    from fieldplan.files.keytable import NAME as KEYS

    if is_list(path):
        return f"{path.name}: sound: a list of your own with {_count(check_list(path), 'entry', 'entries')}"
    if path.name == KEYS:
        from fieldplan.tui.ownkeys import checked

        return f"{path.name}: sound: your own keys for {_count(len(checked(path).chosen), 'command', 'commands')}"
    if _is_profile(path):
        return f"{path.name}: sound: {_profile(load_profile(path).value)}"
    plan = load_plan(path).value
    problems = [*_unknown(plan, profiles), *_carried(plan, path, profiles), *_places(plan)]
    text = f'{path.name}: sound: plan "{plan.title}" with {_count(len(plan.shots), "shot", "shots")}'
    return "\n".join([text, *(f"  note: {line}" for line in problems)])


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _profile(profile: Profile) -> str:
    from fieldplan.planner.rigs import prepare

    held = f"{_count(len(profile.bodies), 'body', 'bodies')} and {_count(len(profile.lenses), 'lens', 'lenses')}"
    rigs = len(prepare(profile).rigs)
    return f'profile "{profile.name}" with {held}: {_count(rigs, "combination", "combinations")}'


def _unknown(plan: Plan, profiles: str | None) -> list[str]:
    """Names in the shots that the lists do not hold: the file is sound, but these shots get no answer."""
    from fieldplan.files.catalogue import load_catalogue
    from fieldplan.files.places import profiles_folder
    from fieldplan.planner.subjects import Unknown, resolve

    said = []
    catalogue = load_catalogue(profiles_folder(profiles))
    for shot in plan.shots:
        try:
            resolve(shot, catalogue, {}, 1.0, plan.site)
        except Unknown as unknown:
            said.append(f'shot "{shot.name}": {unknown}')
    return said


def _carried(plan: Plan, path: Path, profiles: str | None) -> list[str]:
    """Names under ``carry`` that the plan's profile does not hold; nothing where that profile cannot be opened."""
    from fieldplan.model.gear import LISTS
    from fieldplan.notation.words import nearest_word
    from fieldplan.opening import profile_path

    if not plan.carry:
        return []
    try:
        gear = load_profile(profile_path(plan, path, None, profiles)).value
    except FileProblem:
        return []
    held = [item.name for attribute, _ in LISTS.values() for item in getattr(gear, attribute)]
    said = []
    for name in plan.carry:
        if name not in held:
            near = nearest_word(name, held)
            guess = f'; did you mean "{near}"?' if near else ""
            said.append(f'carry: "{name}" is not in the profile {gear.name}{guess}')
    return said


def _places(plan: Plan) -> list[str]:
    """Where the site lies in two notations, and positions that look like a slip."""
    from fieldplan.files.whereabouts import site_doubts, whereabouts

    site = plan.site
    if site is None:
        return []
    said = [] if site.position is None else [f"site: {whereabouts(site.position, site.time_zone, plan.date).echo}"]
    return [*said, *site_doubts(site, plan.date)]
