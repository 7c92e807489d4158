"""What ``fieldplan pictures`` says, as text and as JSON."""

from __future__ import annotations

import json
from typing import Any

from fieldplan.card.used import found_parts, used_sections
from fieldplan.files.folderpictures import Gathered
from fieldplan.files.problems import visible
from fieldplan.model.plan import Plan
from fieldplan.pictures.cells import Level, plain_rows
from fieldplan.pictures.wrapping import WIDTH, wrap
from fieldplan.planner.clockhints import ClockHint
from fieldplan.planner.matching import Match, Matched
from fieldplan.planner.offered import Offer, toml_of
from fieldplan.planner.owned import SameThing
from fieldplan.planner.tallies import Used

FORMAT = "fieldplan-pictures/1"
_SHOWN = 20  # of anything that may be long


def head_line(found: Gathered) -> str:
    """ "1234 pictures; 3 broken, 5 say nothing of the exposure, 12 other files"."""
    pictures, *rest = found_parts(found)
    return pictures + (f"; {', '.join(rest)}" if rest else "")


def as_text(
    found: Gathered, used: Used, offered: tuple[Offer, ...], matched: Matched | None, entries: list[dict[str, Any]],
    plan: Plan | None, level: Level = "braille", same: tuple[SameThing, ...] = (),
    hints: tuple[ClockHint, ...] = (),
) -> str:  # fmt: skip
    """Bars, then gear that the profile lacks, then the log."""
    lines = [head_line(found)]
    for section in used_sections(used, WIDTH, level):
        lines += ["", section.title, *plain_rows(section.rows)]
    if offered:
        lines += ["", "gear that the profile does not hold, as entries to complete", ""]
        lines += "\n".join(toml_of(offer) for offer in offered).rstrip("\n").split("\n")
    if same:
        lines += ["", "or is it something that the profile holds by another name?"]
        for thing in same:
            lines += ["  " + line for line in wrap(visible(thing.line), WIDTH - 2)]
    if matched is not None and plan is not None:
        lines += ["", *match_lines(matched, plan, entries)]
        for hint in hints:
            lines += ["", *wrap(visible(hint.line), WIDTH)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def match_lines(matched: Matched, plan: Plan, entries: list[dict[str, Any]]) -> list[str]:
    """Which pictures went to which shot, and which could not."""
    counts: dict[str, int] = {}
    for match in matched.matches:
        if match.shot is not None:
            counts[match.shot] = counts.get(match.shot, 0) + 1
    lines = [f"by time, within {matched.margin_s / 60.0:.0f} min of a shot of {visible(plan.title)}"]
    if matched.assumed:
        lines.append(
            f"{matched.assumed} pictures record no offset from UTC: the plan's clock is taken for the camera's"
        )
    lines += [f"  {visible(shot.name)}: {counts.get(shot.name, 0)}" for shot in plan.shots]
    lines += [f"  {visible(name)} has no time, and so no pictures" for name in matched.untimed]
    for match in matched.ambiguous[:_SHOWN]:
        lines.append(f"  {match.seen.name}, {_clock(match)}: could be {' or '.join(map(visible, match.rivals))}")
    if len(matched.ambiguous) > _SHOWN:
        lines.append(f"  and {len(matched.ambiguous) - _SHOWN} more that could be of several shots")
    if matched.unmatched:
        timeless = sum(match.instant is None for match in matched.unmatched)
        told = f", {timeless} of them without a time" if timeless else ""
        lines.append(f"  {len(matched.unmatched)} belong to no shot{told}")
    lines.append(f"new entries of the log: {len(entries)}; --write adds them to the plan")
    for entry in entries[:_SHOWN]:
        lines.append("  " + entry_line(entry))
    if len(entries) > _SHOWN:
        lines.append(f"  and {len(entries) - _SHOWN} more")
    return lines


def entry_line(entry: dict[str, Any]) -> str:
    """ "07:24:31 heron: Body A, Lens A, 500 mm, f/6.3, 1/640, ISO 1600 (0012.jpg)"."""
    said = [entry.get("body"), entry.get("lens"), entry.get("focal"), f"f/{entry['f_number']}" if "f_number" in entry
            else None, entry.get("shutter"), f"ISO {entry['iso']:.0f}" if "iso" in entry else None,
            entry.get("note")]  # fmt: skip
    told = ", ".join(visible(part) for part in said if part)
    return f"{entry['time']} {visible(entry['shot'])}: {told} ({visible(entry['picture'])})"


def _clock(match: Match) -> str:
    return "no time" if match.instant is None else f"{match.instant:%H:%M:%S}"


def as_json(
    found: Gathered, used: Used, offered: tuple[Offer, ...], matched: Matched | None, entries: list[dict[str, Any]],
    same: tuple[SameThing, ...] = (),
) -> str:  # fmt: skip
    """The format fieldplan-pictures/1; units as in the titles, null where not known."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "pictures": len(found.pictures),
        "broken": [{"name": name, "why": why} for name, why in found.broken],
        "without_exposure": found.silent,
        "other_files": found.others,
        "stopped": found.stopped,
        "histograms": [
            {
                "of": key,
                "unknown": one.unknown,
                "bins": [{"from": b.low, "to": b.high, "label": b.label, "pictures": b.pictures} for b in one.bins],
            }
            for key, one in zip(
                ("focal_mm", "equivalent_mm", "f_number", "shutter_s", "iso"), used.tallies, strict=True
            )
        ],
        "by_body": dict(used.bodies),
        "by_lens": dict(used.lenses),
        "by_body_and_lens": [{"body": b, "lens": lens, "pictures": n} for b, lens, n in used.pairs],
        "offered": [
            {"kind": o.kind, "name": o.name, "pictures": o.pictures, "to_fill_in": list(o.blanks), "toml": toml_of(o)}
            for o in offered
        ],
    }
    data["may_be"] = [{"kind": s.kind, "name": s.name, "held_as": s.held, "why": s.why} for s in same]
    if matched is not None:
        data["matched"] = {
            "margin_s": matched.margin_s,
            "offset_assumed": matched.assumed,
            "shots_without_time": list(matched.untimed),
            "pictures": [
                {
                    "name": m.seen.name,
                    "time": None if m.instant is None else m.instant.isoformat(),
                    "shot": m.shot,
                    "could_be": list(m.rivals),
                }
                for m in matched.matches
            ],
            "new_entries": [{k: v if isinstance(v, (str, float)) else v.isoformat() for k, v in e.items()}
                            for e in entries],
        }  # fmt: skip
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
