"""``fieldplan learn``: planned against done over plans: your own figures, how sure they are, and what to change.

Nothing is changed unless a change is named with --write; the profile is then saved as any edit is, with its former
content beside it.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from fieldplan.files.document import EditProblem, open_profile
from fieldplan.files.places import find_plan, find_profile, plans_folder, profiles_folder
from fieldplan.files.problems import FileProblem, expanded, file_there, visible
from fieldplan.files.reading import load_plan, load_profile, read_toml
from fieldplan.files.versions import PLAN_KEY
from fieldplan.opening import profile_path, setting_of
from fieldplan.pictures.wrapping import WIDTH, wrap
from fieldplan.planner.attempts import Attempt, Metering, attempts, meterings
from fieldplan.planner.learning import Lesson, lessons
from fieldplan.planner.rigs import Kit, prepare

FORMAT = "fieldplan-learned/1"


class Studied(NamedTuple):
    """Everything read: entries and readings of so many plans, and the profile to change."""

    tried: tuple[Attempt, ...]
    metered: tuple[Metering, ...]
    plans: int
    profile: Path


def run_learn(options: argparse.Namespace) -> int:
    """Print what was learned; 1 where there is no log, or a named change is not offered. Raises FileProblem."""
    paths, problems = _plan_paths(options.what, options.plans)
    studied, broken = study(paths, options.profile, options.profiles)
    for problem in (*problems, *broken):
        print(f"skipped {problem}", file=sys.stderr)
    if studied is None:
        print("fieldplan learn: no plan here has a log or a meter reading; log what you take, or read it from pictures "
              "with: fieldplan pictures FOLDER --plan PLAN --write", file=sys.stderr)  # fmt: skip
        return 1
    profile = load_profile(studied.profile).value
    found = lessons(studied.tried, studied.metered, profile)
    sys.stdout.write(as_json(studied, found) if options.kind == "json" else as_text(studied, found, profile.name))
    return _write(studied.profile, found, options.write) if options.write else 0


def _plan_paths(what: Sequence[str], plans: str | None) -> tuple[list[Path], list[str]]:
    """Plan files of what was named: folders give all plans in them, other words are plans. And what is none."""
    paths: list[Path] = []
    problems: list[str] = []
    for word in what or [str(plans_folder(plans))]:
        folder = expanded(word)
        if os.path.isdir(folder):  # unlike Path.is_dir, False for a name that is too long
            paths += _plans_in(folder)
            continue
        try:
            paths.append(find_plan(word, plans))
        except FileProblem as wrong:
            problems.append(str(wrong))
    return list(dict.fromkeys(paths)), problems


def _plans_in(folder: Path) -> Iterator[Path]:
    """The plans of a folder, by name; TOML files of another sort are passed over."""
    for path in sorted(folder.glob("*.toml")):
        try:
            if file_there(path) and PLAN_KEY in read_toml(path):
                yield path
        except FileProblem:
            yield path  # to be named as broken when it is loaded


def study(paths: Sequence[Path], profile: str | None, profiles: str | None) -> tuple[Studied | None, list[str]]:
    """Read the logs of plans, each with the profile that it names: what they hold, None where that is nothing; and
    what cannot be read.

    profile: the one to offer changes to; left out, the one that most entries rest on.
    """
    lists = profiles_folder(profiles)
    kits: dict[Path, Kit] = {}
    tried: list[Attempt] = []
    metered: list[Metering] = []
    problems: list[str] = []
    weights: Counter[Path] = Counter()
    plans = 0
    for path in paths:
        try:
            plan = load_plan(path)
            if not plan.value.taken and not plan.value.readings:
                continue
            gear = profile_path(plan.value, plan.path, None, profiles)
            kit = _kit(kits, gear)
        except FileProblem as wrong:
            problems.append("; ".join(str(wrong).splitlines()[:3]))
            continue
        setting = setting_of(plan.value.site, lists)
        tried += attempts(plan.value, kit, setting)
        metered += meterings(plan.value, setting)
        weights[gear] += len(plan.value.taken) or 1
        plans += 1
    if not plans:
        return None, problems
    chosen = find_profile(profile, folder=profiles) if profile is not None else weights.most_common(1)[0][0]
    return Studied(tuple(tried), tuple(metered), plans, chosen), problems


def _kit(kits: dict[Path, Kit], gear: Path) -> Kit:
    if gear not in kits:
        kits[gear] = prepare(load_profile(gear).value, candidates=True)
    return kits[gear]


def as_text(studied: Studied, found: Sequence[Lesson], profile: str) -> str:
    """One paragraph for each thing learned, then the changes that are offered."""
    unknown = sum(not a.rig_known for a in studied.tried)
    lines = [f"{len(studied.tried)} entries and {len(studied.metered)} meter readings of {studied.plans} plans"]
    if unknown:
        lines += wrap(f"{unknown} entries name gear that their profile does not hold, or none: they count for nothing "
                      "but distance and ISO; known_as in the profile says what a body or lens is called in files",
                      WIDTH)  # fmt: skip
    for lesson in found:
        lines += ["", *wrap(visible(lesson.name), WIDTH)]
        for text in (visible(lesson.said), f"from {visible(lesson.counts)}"):
            lines += ["  " + line for line in wrap(text, WIDTH - 2)]
        lines += [f"    {line}" for line in lesson.evidence]
        if lesson.plan_line:
            lines.append(f"  in shots like these: {lesson.plan_line}")
    changes = [lesson for lesson in found if lesson.change is not None]
    if changes:
        lines += ["", f"changes offered to the profile {visible(profile)}; --write NAME makes one"]
        for lesson in changes:
            assert lesson.change is not None
            lines += ["", f"# {visible(lesson.name)}: now {lesson.change.now}", *lesson.change.line.split("\n")]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def as_json(studied: Studied, found: Sequence[Lesson]) -> str:
    """The format fieldplan-learned/1; null where too few are there to say."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "plans": studied.plans,
        "entries": len(studied.tried),
        "meter_readings": len(studied.metered),
        "profile": studied.profile.name,
        "learned": [
            {
                "name": lesson.name,
                "value": lesson.value,
                "low_95": lesson.low,
                "high_95": lesson.high,
                "said": lesson.said,
                "from": lesson.counts,
                "offered": None
                if lesson.change is None
                else {"toml": lesson.change.line, "now": lesson.change.now, "to": lesson.change.text},
                "plan_line": lesson.plan_line or None,
                "evidence": list(lesson.evidence),
            }
            for lesson in found
        ],
    }
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def _write(path: Path, found: Sequence[Lesson], names: Sequence[str]) -> int:
    """Make the changes that were named, all or none; 1 where one is not offered."""
    offered = {lesson.name: lesson.change for lesson in found if lesson.change is not None}
    missing = [name for name in names if name not in offered]
    if missing:
        known = f"offered: {', '.join(map(visible, offered))}" if offered else "nothing is offered"
        print(f"fieldplan learn: {visible(', '.join(missing))} is not offered; {known}", file=sys.stderr)
        return 1
    profile = open_profile(path)
    try:
        for name in names:
            profile.set(offered[name].path, offered[name].text)
    except EditProblem as wrong:
        print(f"fieldplan learn: {wrong}", file=sys.stderr)
        return 1
    saved = profile.save()
    for notice in saved.notices:
        print(notice, file=sys.stderr)
    for name in names:
        print(f"{visible(name)}: {offered[name].now} is now {offered[name].text} in {visible(str(saved.path))}",
              file=sys.stderr)  # fmt: skip
    return 0
