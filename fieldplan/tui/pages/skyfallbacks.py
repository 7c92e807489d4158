"""Rows of the choices in place of a hit that failed."""

from __future__ import annotations

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from fieldplan.notation.display import way_text, whole_length
from fieldplan.notation.signed import signed, unsigned_zero
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
_Keys = tuple[str, str]
HEAD = "  when                discs sun deg why, and from where"
_NARROW = 80  # on narrower screens the marked choice is told again in full


def fallback_rows(
    why: str, choices: Sequence[Fallback], marked: int, zone: ZoneInfo, units: str, width: int, room: int, keys: _Keys
) -> list[Row]:
    """The choices, the best first, the marked one in full below; exactly room rows. keys: that take it and go on."""
    head = f"{_WORDS[why]}, the best first; {keys[0]} takes the marked one, {keys[1]} goes on"
    rows: list[Row] = [((crop(head, width), "label"),)]
    if not choices:
        none = "Nothing in the year ahead, from no viewpoint of the site, and no spot within a walk on the next days."
        return (rows + wrapped(none, width, "warn") + [()] * room)[:room]
    marked = min(marked, len(choices) - 1)
    full = full_text(choices[marked], units)
    told = f"{_when(choices[marked], zone)}: {_why(choices[marked], units)}; {full}"
    narrow = text_cells(told) > 2 * width and width < _NARROW
    more = wrapped(told if narrow else full, width, "dim", 2, 4 if narrow else 3)
    high = room - 2 - len(more)
    if high > 0:
        rows.append(((left(HEAD, width), "label"),))
    top = max(0, min(marked - high // 2, len(choices) - high))
    for index in range(top, min(top + high, len(choices))):
        mark = "> " if index == marked else "  "
        line = left(f"{mark}{choice_text(choices[index], zone, units)}", width)
        rows.append(((line, "picked" if index == marked else ""),))
    rows += [()] * (room - len(rows) - len(more))
    return rows + more


def choice_text(choice: Fallback, zone: ZoneInfo, units: str) -> str:
    """ "Mon 2027-03-22 19:10  0.0   -7.4  the next day, from a new spot, 266 m to 007", under HEAD."""
    up = choice.up
    when, why = _when(choice, zone), _why(choice, units)
    return f"{when}{up.hit.miss_discs:5.1f} {signed(up.sun_altitude_deg):>6}  {why}"


def _when(choice: Fallback, zone: ZoneInfo) -> str:
    return clock(choice.up.hit.ut_s, zone, "%a %Y-%m-%d %H:%M")


def _why(choice: Fallback, units: str) -> str:
    """ "! thin: 5 days on, from the same place, 266 m to 007"."""
    walk = "" if choice.walk_m < 1.0 else f", {way_text(choice.walk_m, choice.walk_deg, units)}"
    against = (*choice.poor, *choice.but)
    but = f"! {', '.join(against)}: " if against else ""
    return f"{but}{safe(choice.reason)}{walk}"


def full_text(choice: Fallback, units: str) -> str:
    """What the line of the marked choice has no room for."""
    up = choice.up
    miss = f"misses by {up.hit.miss_discs:.1f} discs ({whole_length(up.miss_m, units)})"
    told = [miss if up.hit.miss_discs >= _EXACT_DISCS else "lines up"]
    told.append(f"sun {signed(up.sun_altitude_deg)} deg (true)")
    told.append(f"disc {unsigned_zero(up.hit.apparent_altitude_deg)} deg high as seen")
    if up.lit_fraction is not None:
        told.append(f"{up.lit_fraction * 100.0:.0f} % lit")
    if up.gap_stops is not None:
        told.append(f"{signed(up.gap_stops[0], 0)} to {signed(up.gap_stops[1], 0)} stops over open ground")
    told += [DRAWBACKS[word] for word in choice.poor]
    if choice.low and "dim" not in choice.poor:
        told.append(DRAWBACKS["dim"])
    told += [safe(part) for part in (choice.sight.note, *choice.sight.assumed) if part]
    return "; ".join(told)
