"""``fieldplan pictures``: which focal lengths, f-numbers, shutters and ISOs a folder of pictures was taken with, gear
that the profile lacks, and the pictures as a log of a plan. Nothing is written to a picture."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import Any

from fieldplan.files.document import Document, EditProblem
from fieldplan.files.document import open_plan as open_document
from fieldplan.files.folderpictures import Gathered, gather
from fieldplan.files.places import find_plan, find_profile
from fieldplan.files.problems import expanded, visible
from fieldplan.files.reading import load_profile
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.notation.numbers import shown
from fieldplan.notation.quantity import CLOCK_OFF, MARGIN
from fieldplan.notation.shift import read_shift
from fieldplan.opening import profile_path, zone_of
from fieldplan.optionnamed import given, named
from fieldplan.pictures.cells import Level
from fieldplan.picturestold import as_json, as_text
from fieldplan.planner.clockhints import ClockHint, clock_hints
from fieldplan.planner.matching import entries_from, in_order, match_pictures
from fieldplan.planner.offered import offers
from fieldplan.planner.owned import same_things
from fieldplan.planner.seen import Seen
from fieldplan.planner.tallies import sensors_of, tally
from fieldplan.stopping import STOPPED, stoppable

MOST_ENTRIES = 2000  # with so many a plan is still saved in half a second at every edit
_BROKEN_SHOWN = 20


def read_span_s(text: str) -> float:
    """A length of time [s]: "1:00" and "0:02:30" (hours), "90 s", "3 min", "1 h 5 min", "1 d". Raises ValueError."""
    if not any(c.isalpha() or c == ":" for c in text):
        raise ValueError(f"{shown(text)} is no length of time; write for example {CLOCK_OFF.example}")
    return float(read_shift(text, CLOCK_OFF))


def correction_s(options: argparse.Namespace) -> float:
    """Seconds to be added to the camera's clock. Raises ValueError."""
    behind_s, ahead_s = (given(f"--{way}", getattr(options, way), read_span_s) for way in ("behind", "ahead"))
    return (behind_s or 0.0) - (ahead_s or 0.0)


def run_pictures(options: argparse.Namespace) -> int:
    """Print what the pictures say; 1 where there are none, 2 where a word cannot be read. Raises FileProblem."""
    try:
        added_s = correction_s(options)
        with named("--margin"):
            margin_s = float(read_shift(options.margin, MARGIN))
        if options.write and options.plan is None:
            raise ValueError("--write writes the log of a plan: name one with --plan")
    except ValueError as wrong:
        print(f"fieldplan pictures: {wrong}", file=sys.stderr)
        return 2
    plan = None if options.plan is None else open_document(find_plan(options.plan, options.plans))
    profile = _profile(options, plan)
    with stoppable() as stop:
        found = gather(expanded(options.folder), _progress(), stop)
    if found.stopped and sys.stderr.isatty():
        print(file=sys.stderr)
    _tell_reading(found, options.folder)
    ended = STOPPED if found.stopped else 0
    if not found.pictures:
        return ended or 1
    counted = _of(found.pictures, options.of)
    if not counted:
        names = sorted({name for seen in found.pictures for name in (seen.body, seen.lens) if name is not None})
        known = f"they name {', '.join(names)}" if names else "they name neither"
        print(f"fieldplan pictures: no picture is of {visible(options.of)}; {known}", file=sys.stderr)
        return ended or 1
    used = tally(counted, sensors_of(profile))
    offered, same = offers(found.pictures, profile), same_things(found.pictures, profile)
    matched, entries = None, []
    hints: tuple[ClockHint, ...] = ()
    if plan is not None:
        gear = {"body": profile.bodies, "lens": profile.lenses} if profile is not None else {}
        zone = zone_of(plan.value.site)
        matched = match_pictures(counted, plan.value, zone, margin_s, added_s)
        hints = clock_hints(counted, plan.value, zone, margin_s, added_s)
        entries = entries_from(matched, plan.value, gear)
    if options.kind == "json":
        sys.stdout.write(as_json(found, used, offered, matched, entries, same))
    else:
        level: Level = "braille" if "utf" in (sys.stdout.encoding or "").lower() else "ascii"
        value = None if plan is None else plan.value
        sys.stdout.write(as_text(found, used, offered, matched, entries, value, level, same, hints))
    if plan is not None and options.write:
        return _write(plan, entries) or ended
    return ended


def _of(pictures: tuple[Seen, ...], name: str | None) -> tuple[Seen, ...]:
    """Pictures of one body or lens; all where none is named."""
    if name is None:
        return pictures
    wanted = name.casefold()
    return tuple(s for s in pictures if wanted in ((s.body or "").casefold(), (s.lens or "").casefold()))


def _profile(options: argparse.Namespace, plan: Document[Plan] | None) -> Profile | None:
    """The profile asked for, else that of the plan, else none."""
    if options.profile is None and plan is None:
        return None
    if plan is None:
        return load_profile(find_profile(options.profile, folder=options.profiles)).value
    return load_profile(profile_path(plan.value, plan.path, options.profile, options.profiles)).value


def _progress() -> Callable[[int, int], None]:
    """A bar on stderr where that is a terminal, and nothing elsewhere."""
    if not sys.stderr.isatty():
        return lambda done, of: None

    def show(done: int, of: int) -> None:
        part = done / of if of else 1.0
        bar = "#" * round(part * 30)
        end = "\r\x1b[K" if done == of else ""
        print(f"\r[{bar:<30}] {done} of {of} files, Ctrl+C stops{end}", end="", file=sys.stderr, flush=True)

    return show


def _tell_reading(found: Gathered, folder: str) -> None:
    """What could not be used, on stderr."""
    for name, why in found.broken[:_BROKEN_SHOWN]:
        print(f"skipped {name}: {why}", file=sys.stderr)
    if len(found.broken) > _BROKEN_SHOWN:
        print(f"and {len(found.broken) - _BROKEN_SHOWN} more broken files", file=sys.stderr)
    if found.stopped:
        print(f"stopped before the end: of {found.files} files", file=sys.stderr)
    if not found.pictures:
        print(f"fieldplan pictures: {visible(folder)} holds no picture that says how it was taken", file=sys.stderr)


def _write(plan: Document[Plan], entries: list[dict[str, Any]]) -> int:
    """Put the entries into the plan's log and save it; 1 where they are too many."""
    if len(plan.value.taken) + len(entries) > MOST_ENTRIES:
        print(f"fieldplan pictures: a log holds {MOST_ENTRIES} entries at most; name fewer pictures", file=sys.stderr)
        return 1
    if not entries:
        print("nothing new for the log; the plan is as it was", file=sys.stderr)
        return 0
    try:
        add_entries(plan, entries)
    except EditProblem as wrong:
        print(f"fieldplan pictures: {wrong}", file=sys.stderr)
        return 1
    saved = plan.save()
    for notice in saved.notices:
        print(notice, file=sys.stderr)
    print(f"{len(entries)} entries added to the log of {visible(str(saved.path))}", file=sys.stderr)
    return 0


def add_entries(plan: Document[Plan], entries: list[dict[str, Any]]) -> None:
    """One edit that puts entries, themselves in the order of time, into the log. Raises EditProblem."""
    held: list[Any] = list(plan.value.taken)
    for entry in reversed(entries):
        held.insert(in_order(plan.value, entry), entry)
    plan.set(("taken",), held)
