"""Rows of the view of a folder of pictures: progress, bars one over the other, offered gear, what was skipped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fieldplan.card.used import Section
from fieldplan.pictures.bars import Bar, draw_bars
from fieldplan.pictures.cells import Row
from fieldplan.planner.offered import Offer, toml_of
from fieldplan.tui.rows import BLANK, crop, safe

ABOUT = (
    "Point at a folder: every picture in it, and in the folders in it, is counted by focal length, f-number, shutter "
    "and ISO. Gear that the profile does not hold is offered as entries. Nothing is written to pictures, and nothing "
    "leaves this machine."
)
_BROKEN_SHOWN = 12


def progress_rows(reading: tuple[int, int], width: int) -> list[Row]:
    """How far the reading has come."""
    done, of = reading
    told = f"{done} of {of} files" if of else "looking through the folders"
    return [BLANK, *draw_bars([Bar("reading", done, told)], width, longest=float(of or 1))]


def stacked(sections: Iterable[Section]) -> list[Row]:
    """Bars under their titles."""
    rows: list[Row] = []
    for section in sections:
        rows += [BLANK, ((section.title, "title"),), *section.rows]
    return rows


def offered_rows(offered: Sequence[Offer], add: str, width: int) -> list[Row]:
    """Entries to complete, what is still blank standing out. add: the key that adds them."""
    if not offered:
        return []
    rows: list[Row] = [BLANK, ((f"gear that the profile does not hold: {add} adds it, to be completed", "title"),)]
    for offer in offered:
        rows += [((crop(safe(line), width), "warn" if '""' in line else ""),) for line in toml_of(offer).splitlines()]
        rows.append(BLANK)
    return rows


def broken_rows(broken: Sequence[tuple[str, str]], width: int) -> list[Row]:
    """Files that were skipped, and why."""
    if not broken:
        return []
    rows: list[Row] = [BLANK, (("skipped", "title"),)]
    rows += [((crop(safe(f"{name}: {why}"), width), "warn"),) for name, why in broken[:_BROKEN_SHOWN]]
    if len(broken) > _BROKEN_SHOWN:
        rows.append(((f"and {len(broken) - _BROKEN_SHOWN} more", "dim"),))
    return rows
