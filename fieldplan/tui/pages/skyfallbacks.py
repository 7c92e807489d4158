"""Rows of the choices in place of a hit that failed."""

from __future__ import annotations

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from fieldplan.notation.display import bearing_text, length_text
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.planner.fallbacks import Fallback
from fieldplan.planner.sifting import DRAWBACKS
from fieldplan.tui.pages.skylines import clock
from fieldplan.tui.rows import crop, left, safe, wrapped

_WORDS = {
    "clouded": "If it is clouded",
    "missed": "If it is missed",
    "blocked": "If the place is taken or the view blocked",
}
_EXACT_DISCS = 0.05
_NARROW = 80  # on narrower screens the marked choice is told again in full


def fallback_rows(
    why: str, choices: Sequence[Fallback], marked: int, zone: ZoneInfo, units: str, width: int, room: int
) -> list[Row]:
    """The choices, the best first, the marked one in full below; exactly room rows."""
    head = f"{_WORDS[why]}, the best first; Enter takes the marked one, z goes on"
    rows: list[Row] = [((crop(head, width), "label"),)]
    if not choices:
        none = "Nothing in the year ahead, from no viewpoint of the site, and no spot within a walk on the next days."
        return (rows + wrapped(none, width, "warn") + [()] * room)[:room]
    marked = min(marked, len(choices) - 1)
    told = f"{choice_text(choices[marked], zone, units)}; {full_text(choices[marked], units)}"
    narrow = text_cells(told) > 2 * width and width < _NARROW
    more = wrapped(told if narrow else full_text(choices[marked], units), width, "dim", 2, 4 if narrow else 3)
    high = room - 1 - len(more)
    top = max(0, min(marked - high // 2, len(choices) - high))
    for index in range(top, min(top + high, len(choices))):
        mark = "> " if index == marked else "  "
        line = left(f"{mark}{choice_text(choices[index], zone, units)}", width)
        rows.append(((line, "picked" if index == marked else ""),))
    rows += [()] * (room - len(rows) - len(more))
    return rows + more


def choice_text(choice: Fallback, zone: ZoneInfo, units: str) -> str:
    """ "Mon 2027-03-22 19:10  0.0 discs, sun -7.4: the next day, from a new spot, 266 m to 007"."""
    up = choice.up
    walk = "" if choice.walk_m < 1.0 else f", {length_text(round(choice.walk_m), units)} to {_bearing(choice)}"
    against = (*choice.poor, *choice.but)
    but = f"! {', '.join(against)}: " if against else ""
    when = clock(up.hit.ut_s, zone, "%a %Y-%m-%d %H:%M")
    return f"{when} {up.hit.miss_discs:3.1f} {up.sun_altitude_deg:+5.1f} {but}{safe(choice.reason)}{walk}"


def _bearing(choice: Fallback) -> str:
    return bearing_text(choice.walk_deg)


def full_text(choice: Fallback, units: str) -> str:
    """What the line of the marked choice has no room for."""
    up = choice.up
    miss = f"misses by {up.hit.miss_discs:.1f} discs ({length_text(up.miss_m, units)})"
    told = [miss if up.hit.miss_discs >= _EXACT_DISCS else "lines up exactly"]
    told.append(f"disc {up.hit.apparent_altitude_deg:.1f} deg high")
    if up.lit_fraction is not None:
        told.append(f"{up.lit_fraction * 100.0:.0f} % lit")
    if up.gap_stops is not None:
        told.append(f"{up.gap_stops[0]:+.0f} to {up.gap_stops[1]:+.0f} stops over open ground")
    told += [DRAWBACKS[word] for word in choice.poor]
    if choice.low and "dim" not in choice.poor:
        told.append(DRAWBACKS["dim"])
    told += [safe(part) for part in (choice.sight.note, *choice.sight.assumed) if part]
    return "; ".join(told)
