"""Where plans and gear profiles live, and how a name finds its file.

Profiles are settings of a kind and lie in the configuration folder of the platform; plans are documents that a person
makes, sends and keeps, and lie in the documents folder. FIELDPLAN_PROFILES and FIELDPLAN_PLANS take others in their
place. Starter profiles and demo plans come with the program and are never written: editing one makes a copy first.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from fieldplan.files.problems import FileProblem, expanded, no_home, plain_problem, system_problem, visible
from fieldplan.notation.words import nearest_word

_PACKAGE = Path(__file__).resolve().parent.parent
SUFFIX = ".toml"
# A person's own lists, beside the profiles: the table that each holds, laid over the ready one of that name.
OWN_LISTS = {"subjects": "subject", "fills": "fill", "approach": "rule", "bands": "band", "cautions": "caution"}


@dataclass(frozen=True)
class Place:
    """A file found by name. starter: it came with the program and is not to be written."""

    name: str
    path: Path
    starter: bool


@dataclass(frozen=True)
class Copied:
    """A copy of a starter in the person's own folder, and what to tell the person."""

    path: Path
    notice: str


def profiles_folder(folder: Path | str | None = None) -> Path:
    """The person's gear profiles: the folder given, else FIELDPLAN_PROFILES, else the platform's. It may not exist.

    Raises FileProblem for a folder in the home of nobody.
    """
    chosen = folder or os.environ.get("FIELDPLAN_PROFILES")
    if chosen:
        return _homed(chosen)
    from platformdirs import user_config_path

    return user_config_path("fieldplan", appauthor=False) / "profiles"


def plans_folder(folder: Path | str | None = None) -> Path:
    """The person's plans: the folder given, else FIELDPLAN_PLANS, else fieldplan in the documents. It may not exist.

    Raises FileProblem for a folder in the home of nobody.
    """
    chosen = folder or os.environ.get("FIELDPLAN_PLANS")
    if chosen:
        return _homed(chosen)
    from platformdirs import user_documents_path

    return user_documents_path() / "fieldplan"


def _homed(chosen: Path | str) -> Path:
    folder = expanded(chosen)
    nobody = no_home(folder)
    if nobody:
        raise plain_problem(folder, nobody)
    return folder


def starters_folder(sort: str) -> Path:
    """What comes with the program: sort "profiles" or "demo", in the installed package or in a source tree."""
    installed = _PACKAGE / "starters" / sort
    source = _PACKAGE.parent / sort
    return source if not installed.is_dir() and (_PACKAGE.parent / "pyproject.toml").is_file() else installed


def is_starter(path: Path) -> bool:
    """True for a file that came with the program."""
    real = Path(os.path.realpath(path))
    return any(real.parent == starters_folder(sort).resolve() for sort in ("profiles", "demo"))


def list_profiles(folder: Path | str | None = None) -> tuple[Place, ...]:
    """The person's profiles, then the starters that none of them hides; each by name. Lists beside them are none."""
    found = _listed(profiles_folder(folder), starters_folder("profiles"))
    return tuple(place for place in found if place.name not in (*OWN_LISTS, "places", "keys"))


def list_plans(folder: Path | str | None = None) -> tuple[Place, ...]:
    """The person's plans, then the demo plans that none of them hides; each by name."""
    return _listed(plans_folder(folder), starters_folder("demo"))


def find_plan(name: Path | str, folder: Path | str | None = None) -> Path:
    """The file of a plan, from a path or the name of one in the plans folder or the demos. Raises FileProblem."""
    typed = expanded(name)
    found = file_at(typed) or _by_name(str(name), list_plans(folder))
    if found:
        return found
    if typed.suffix == SUFFIX or len(typed.parts) > 1:
        raise _missing(typed, "is not there", typed.stem, list_plans(folder), "plans")
    raise _missing(typed, "is no plan", typed.name, list_plans(folder), "plans")


def find_profile(name: Path | str, relative_to: Path | None = None, folder: Path | str | None = None) -> Path:
    """The file of a gear profile, from a path or a name. Raises FileProblem that lists those that exist.

    Looked for as a path from the plan (relative_to), then in the person's folder, then among the starters. A plan may
    come from anybody: what it names is only looked at where it is a .toml file.
    """
    typed = expanded(name)
    base = relative_to.parent if relative_to is not None else Path()
    whole = [base / typed] if relative_to is None or typed.suffix == SUFFIX else []
    for candidate in (*whole, base / f"{typed}{SUFFIX}"):
        found = file_at(candidate)
        if found and not (relative_to is not None and _same(found, relative_to)):
            return found
    by_name = _by_name(str(name), list_profiles(folder))
    if by_name:
        return by_name
    raise _missing(typed, "is no gear profile", typed.stem, list_profiles(folder), "profiles")


def copy_for_editing(path: Path, folder: Path | str | None = None) -> Copied:
    """A copy of a starter or demo in the person's folder, under its own name, or a numbered one where that is taken.

    folder: where it goes instead. Raises FileProblem.
    """
    demo = Path(os.path.realpath(path)).parent == starters_folder("demo").resolve()
    home = plans_folder(folder) if demo else profiles_folder(folder)
    try:
        home.mkdir(parents=True, exist_ok=True)
        target = free_path(home, path.stem)
        with target.open("xb") as copy, path.open("rb") as source:
            shutil.copyfileobj(source, copy)
    except OSError as error:
        raise system_problem(home / path.name, error) from None
    what = "demo plan" if demo else "starter profile"
    return Copied(target, f"The {what} {visible(path.name)} stays as it is; your copy is {visible(str(target))}")


def file_name(name: str) -> str:
    """A file name for a record's name: "Lake at dawn" gives lake-at-dawn.toml; never empty, hidden or a path."""
    word = re.sub(r"[^\w.+-]+", "-", name.strip().lower()).strip("-.")[:60].rstrip("-.")
    return f"{word or 'unnamed'}{SUFFIX}"


def free_path(home: Path, stem: str) -> Path:
    """A file that is not there yet: STEM.toml, or with the next free number."""
    target, number = home / f"{stem}{SUFFIX}", 2
    while os.path.lexists(target):
        target, number = home / f"{stem}-{number}{SUFFIX}", number + 1
    return target


def _listed(own: Path, starters: Path) -> tuple[Place, ...]:
    places = [Place(path.stem, path, is_starter(path)) for path in _tomls(own)]
    names = {place.name for place in places}
    places += [Place(path.stem, path, True) for path in _tomls(starters) if path.stem not in names]
    return tuple(places)


def _tomls(folder: Path) -> Iterator[Path]:
    try:
        names = sorted(os.listdir(folder))
    except OSError:
        return
    for name in names:
        if name.endswith(SUFFIX) and not name.startswith(".") and file_at(folder / name):
            yield folder / name


def file_at(path: Path) -> Path | None:
    """The path of a file; None where there is none, or the system does not let one look."""
    try:
        return path if path.is_file() else None
    except (OSError, ValueError):
        return None


def _same(a: Path, b: Path) -> bool:
    try:
        return a.samefile(b)
    except OSError:
        return False


def _by_name(name: str, places: tuple[Place, ...]) -> Path | None:
    """By the name of the file, else by the file name that such a record would be given."""
    exact = (place.path for place in places if name in (place.name, place.path.name))
    alike = (place.path for place in places if place.path.name == file_name(name.removesuffix(SUFFIX)))
    return next(exact, None) or next(alike, None)


def _missing(typed: Path, what: str, word: str, places: tuple[Place, ...], sort: str) -> FileProblem:
    nobody = no_home(typed)
    if nobody:
        return plain_problem(typed, nobody)
    names = [place.name for place in places]
    near = nearest_word(word, names)
    guess = f'did you mean "{visible(near)}"? ' if near else ""
    there = (
        f"the {sort} here are: {', '.join(visible(name) for name in names)}" if names else f"there are no {sort} yet"
    )
    new = f'; fieldplan new "{visible(word)}" begins one' if sort == "plans" else ""
    return plain_problem(typed, f"{what}; {guess}{there}{new}")
