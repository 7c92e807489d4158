"""Planned and done, side by side, as a table of the card and as JSON."""

from __future__ import annotations

from typing import Any

from fieldplan.card.jsonparts import finite, finite_ends
from fieldplan.card.tables import Table
from fieldplan.model.taken import LogEntry
from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import f_mark, iso_mark, iso_words, time_mark, written_f, written_time
from fieldplan.planner.answers import Answer, PlanAnswers
from fieldplan.planner.taken import Done, ShotDone, instant_of, plan_and_done

SHOWN = 6  # entries of one shot on the card


def done_tables(answers: PlanAnswers) -> tuple[Table, ...]:
    """One table for the whole plan; none where nothing is logged."""
    if not answers.plan.taken:
        return ()
    units = answers.plan.units
    rows: list[tuple[str, ...]] = []
    for line in plan_and_done(answers.plan, answers):
        rows.append(("", _planned_text(line, units)))
        rows += [(_clock(done), _done_text(done, units)) for done in line.done[:SHOWN]]
        if len(line.done) > SHOWN:
            rows.append(("", f"and {len(line.done) - SHOWN} more"))
    return (Table("planned and done", "lw", ("clock", "what, with what, and how it differs"), tuple(rows)),)


def _planned_text(line: ShotDone, units: str) -> str:
    planned = "" if line.planned is None else f": planned {_settings(line.planned, units)}"
    return f"{line.shot}{planned}{f'; {line.word}' if line.word else ''}"


def exposure_parts(a: Answer) -> list[str]:
    """f-number, shutter and ISO of an answer, as far as they are known."""
    parts = (
        "" if a.f_number is None else f_mark(a.f_number),
        "" if a.shutter_s is None else time_mark(a.shutter_s),
        "" if a.iso is None else f"ISO {iso_words(a.iso, a.iso_ceiling)}",
    )
    return [part for part in parts if part]


def _settings(a: Answer, units: str) -> str:
    focal = "" if a.focal_m is None else focal_text(a.focal_m)
    distance = "" if a.distance_m is None else length_text(a.distance_m, units)
    return ", ".join(part for part in (a.label, focal, *exposure_parts(a), distance) if part)


def _clock(done: Done) -> str:
    return "-" if done.entry.time is None else f"{done.entry.time:%H:%M}"


def _done_text(done: Done, units: str) -> str:
    """ "body + lens, 500 mm, f/6.3, 1/640, ISO 1600, 31 m, sharp; 3 m (10 %) farther than 25-28 m"."""
    e = done.entry
    gear = " + ".join(part for part in (e.body, e.lens, e.converter, e.tube, e.close_up_lens) if part)
    said = [
        gear,
        "" if e.focal is None else focal_text(float(e.focal)),
        "" if e.f_number is None else f"f/{written_f(float(e.f_number))}",
        "" if e.shutter is None else written_time(float(e.shutter)),
        "" if e.iso is None else f"ISO {iso_mark(e.iso)}",
        "" if e.distance is None else length_text(float(e.distance), units),
        _verdict(e),
        e.note or "",
    ]
    told = ", ".join(part for part in said if part)
    return "; ".join(part for part in (told or "logged", *done.differences) if part)


def _verdict(e: LogEntry) -> str:
    if e.sharp is None:
        return e.why or ""
    return ("sharp" if e.sharp else "not sharp") + (f": {e.why}" if e.why else "")


def done_json(answers: PlanAnswers) -> list[dict[str, Any]]:
    """Every entry of the log with its differences; SI with the unit in the key, null where not known."""
    return [
        _entry_json(done, line, answers) for line in plan_and_done(answers.plan, answers) for done in line.done
    ]  # fmt: skip


def _entry_json(done: Done, line: ShotDone, answers: PlanAnswers) -> dict[str, Any]:
    e, far = done.entry, done.entry.planned_distance
    when = instant_of(e, answers.plan, answers.time_zone)
    return {
        "shot": e.shot,
        "shot_in_plan": line.planned is not None or any(s.shot.name == e.shot for s in answers.shots),
        "time": None if when is None else when.isoformat(),
        "body": e.body,
        "lens": e.lens,
        "converter": e.converter,
        "tube": e.tube,
        "close_up_lens": e.close_up_lens,
        "focal_mm": None if e.focal is None else float(e.focal) * 1000.0,
        "f_number": None if e.f_number is None else float(e.f_number),
        "shutter_s": None if e.shutter is None else float(e.shutter),
        "iso": e.iso,
        "distance_m": finite(e.distance),
        "planned_distance_m": None if far is None else finite_ends((far.low, far.high)),
        "sharp": e.sharp,
        "why": e.why,
        "support": e.support,
        "panned": e.panned,
        "picture": e.picture,
        "note": e.note,
        "differences": list(done.differences),
    }
