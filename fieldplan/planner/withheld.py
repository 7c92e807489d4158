"""Answers without their place, to be shared where a subject must not be found by others.

Left out: every position and height; the names of site, landmarks and viewpoints wherever they are written, and any
position that somebody typed into a name; the time zone's name (the offset from UTC stays); where sun and moon stand,
bearings of the lens, the ground line, magnetic variation, spots to stand at; leaving and arriving; notes, which may
tell the way. Kept: what, when, how far, with what, and how light it is. Clock times and light together still tell the
region to some tens of kilometres, and a caution that belongs to one country tells the country.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Any

from fieldplan.model.plan import LandmarkSubject, OwnSubject, Plan, Shot, Site, SkySubject
from fieldplan.model.taken import LogEntry
from fieldplan.notation.position import read_position
from fieldplan.planner.answers import Light, PlanAnswers, ShotAnswers

Hide = Callable[[str], str]
SAID = "place left out"
_HIDDEN = "(place)"
_MOST_WORDS = 8  # words that one position takes at most, in degrees, minutes and seconds with their letters
_LEAST_DIGITS = 6  # digits below which two numbers are no position that anybody could go to
# Fields of answers to a shot that hold nothing of the place; whatever else they have, now or later, is left out.
_KEPT_OF_SHOT = ("rigs", "needed_focal", "needed_distance", "needed_size", "missing", "problem", "cautions",
                 "why_first", "times", "gains")  # fmt: skip
_KEPT = ("cautions", "kit", "weight_kg", "bag_limit_kg", "distance_tables", "exposure_tables", "ladders", "carried")


def without_place(answers: PlanAnswers) -> PlanAnswers:
    """The same answers with nothing in them that leads to the place; see above for what that is."""
    hide = _hider(answers.plan.site)
    plan = _plan(answers.plan, hide)
    shots = {shot.name: shot for shot in plan.shots}
    kept = {name: _scrubbed(getattr(answers, name), hide) for name in _KEPT}
    told = tuple(_shot_answers(s, shots[hide(s.shot.name)], hide) for s in answers.shots)
    return PlanAnswers(plan=plan, profile=answers.profile, time_zone=None, shots=told, **kept)


def _hider(site: Site | None) -> Hide:
    """Puts stand-ins for names of the site and what belongs to it, and for anything that reads as a position."""
    names: dict[str, str] = {}
    if site is not None:
        names[site.name] = "the site"
        names |= {mark.name: f"landmark {i}" for i, mark in enumerate(site.landmarks, 1)}
        names |= {view.name: f"viewpoint {i}" for i, view in enumerate(site.viewpoints, 1)}
    stand_ins = {name.casefold(): told for name, told in names.items()}
    longest = sorted(names, key=len, reverse=True)
    known = re.compile("|".join(rf"(?<!\w){re.escape(name)}(?!\w)" for name in longest), re.IGNORECASE)

    def hide(text: str) -> str:
        if names:
            text = known.sub(lambda found: stand_ins.get(found.group().casefold(), _HIDDEN), text)
        return _without_positions(text)

    return hide


def _without_positions(text: str) -> str:
    """The text with a stand-in for every run of words that reads as a position, in any notation that is read."""
    if sum(char.isdigit() for char in text) < _LEAST_DIGITS and "+" not in text:
        return text
    words = text.split(" ")
    at, kept = 0, []
    while at < len(words):
        length = next(
            (n for n in range(min(_MOST_WORDS, len(words) - at), 0, -1) if _is_position(words[at : at + n])), 0
        )
        kept.append(_HIDDEN if length else words[at])
        at += length or 1
    return " ".join(kept)


def _is_position(words: list[str]) -> bool:
    run = " ".join(words).strip('()[]{}<>.,;:!?"')
    if sum(char.isdigit() for char in run) < _LEAST_DIGITS and "+" not in run:
        return False
    try:
        read_position(run)
    except ValueError:
        return False
    return True


def _plan(plan: Plan, hide: Hide) -> Plan:
    shots = tuple(_shot(shot, hide) for shot in plan.shots)
    taken = tuple(_entry(entry, hide) for entry in plan.taken)
    return plan.model_copy(update={
        "title": f"{hide(plan.title)} ({SAID})", "leave": None, "arrive": None, "site": None, "readings": (),
        "shots": shots, "taken": taken,
    })  # fmt: skip


def _shot(shot: Shot, hide: Hide) -> Shot:
    subject = shot.subject
    if isinstance(subject, str):
        subject = hide(subject)
    elif isinstance(subject, OwnSubject):
        subject = subject.model_copy(update={"name": hide(subject.name)})
    elif isinstance(subject, SkySubject):
        subject = subject.model_copy(update={"behind": None if subject.behind is None else hide(subject.behind)})
    elif isinstance(subject, LandmarkSubject):
        subject = subject.model_copy(update={"landmark": hide(subject.landmark)})
    return shot.model_copy(update={
        "name": hide(shot.name), "subject": subject, "aim": None, "aim_altitude": 0.0, "note": None,
    })  # fmt: skip


def _entry(entry: LogEntry, hide: Hide) -> LogEntry:
    return entry.model_copy(update={"shot": hide(entry.shot), "note": None, "picture": None})


def _shot_answers(s: ShotAnswers, shot: Shot, hide: Hide) -> ShotAnswers:
    placed = isinstance(s.shot.subject, (SkySubject, LandmarkSubject))
    own = () if s.wanted is None or placed else s.wanted.notes
    wanted = None if s.wanted is None else s.wanted._replace(subject=hide(s.wanted.subject), notes=())
    kept = {name: _scrubbed(getattr(s, name), hide) for name in _KEPT_OF_SHOT}
    notes = tuple(hide(note) for note in s.notes if note in own)
    light = None if s.light is None else _light(s.light)
    return ShotAnswers(shot=shot, when=_moved(s.when), wanted=wanted, light=light, notes=notes, **kept)


def _light(light: Light) -> Light:
    """How light it is, without where sun and moon stand."""
    said = light.reason if light.source == "given" else light.source
    return Light(light.ev100, light.ev100_low, light.ev100_high, light.illuminance_lux, light.source, said, light.lit)


def _moved(when: dt.datetime | None) -> dt.datetime | None:
    """A moment with its offset from UTC, and no zone that has a name."""
    if when is None or when.tzinfo is None:
        return when
    return when.replace(tzinfo=dt.timezone(when.utcoffset() or dt.timedelta()), fold=0)


def _scrubbed(found: Any, hide: Hide) -> Any:
    """Every text in answers with stand-ins, every moment without a named zone."""
    if isinstance(found, str):
        return hide(found)
    if isinstance(found, dt.datetime):
        return _moved(found)
    if isinstance(found, tuple):
        parts = [_scrubbed(part, hide) for part in found]
        return type(found)(*parts) if hasattr(found, "_fields") else tuple(parts)
    return found
