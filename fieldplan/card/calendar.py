"""The shots as a calendar (RFC 5545): one event for each shot with a time, in universal time."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator

from fieldplan.card import NothingToWrite
from fieldplan.card.sheet import Block, sheet_of
from fieldplan.planner.answers import PlanAnswers, ShotAnswers
from fieldplan.planner.moments import stretch

_FOLD = 75  # octets, RFC 5545 section 3.1


def folded(line: str) -> str:
    """A content line in lines of at most 75 octets, no character cut in two, each but the first begun by a space."""
    lines, size = [""], 0
    for char in line:
        octets = len(char.encode())
        if size + octets > _FOLD:
            lines.append(" ")
            size = 1
        lines[-1] += char
        size += octets
    return "\r\n".join(lines)


def escaped(text: str) -> str:
    """TEXT of RFC 5545 section 3.3.11."""
    safe = "".join(c for c in text if c in "\n\t" or (ord(c) >= 0x20 and c != "\x7f"))
    return safe.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def _instant(moment: dt.datetime) -> str:
    """Universal time; where the zone is not known the time as it stands (a floating one)."""
    if moment.tzinfo is None:
        return f"{moment:%Y%m%dT%H%M%S}"
    return f"{moment.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}"


def _event(answers: PlanAnswers, s: ShotAnswers, block: Block) -> Iterator[str]:
    ends = stretch(s)
    if ends is None:
        return
    plan, site = answers.plan, answers.plan.site
    stamp = plan.date or ends[0].date()
    key = "\n".join((plan.title, plan.date.isoformat() if plan.date else "", s.shot.name))
    yield "BEGIN:VEVENT"
    yield f"UID:{hashlib.sha256(key.encode()).hexdigest()[:32]}@fieldplan"
    yield f"DTSTAMP:{stamp:%Y%m%d}T000000Z"
    yield f"DTSTART:{_instant(ends[0])}"
    if ends[1] is not None and ends[1] > ends[0]:
        yield f"DTEND:{_instant(ends[1])}"
    yield f"SUMMARY:{escaped(s.shot.name)}"
    if site is not None:
        yield f"LOCATION:{escaped(site.name)}"
        if site.position is not None:
            yield f"GEO:{site.position.latitude_deg:.6f};{site.position.longitude_deg:.6f}"
    lines = "\n".join(f"{label}: {text}" for label, text in block.lines)
    yield f"DESCRIPTION:{escaped(lines)}"
    yield "END:VEVENT"


def as_ics(answers: PlanAnswers) -> str:
    """The calendar of a plan. NothingToWrite where no shot has both a date and a time."""
    blocks = sheet_of(answers).blocks
    events = [line for s, block in zip(answers.shots, blocks, strict=True) for line in _event(answers, s, block)]
    if not events:
        raise NothingToWrite("no shot has both a date and a time: there is nothing for a calendar")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//fieldplan//card 1//EN", *events, "END:VCALENDAR"]
    return "".join(f"{folded(line)}\r\n" for line in lines)
