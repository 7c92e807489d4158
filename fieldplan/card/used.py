"""What was used, in rows of text with bars: the same for the screen and for the command line."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.files.folderpictures import Gathered
from fieldplan.pictures.bars import Bar, draw_bars
from fieldplan.pictures.cells import Level, Picture, clean
from fieldplan.planner.tallies import Tally, Used


class Section(NamedTuple):
    """A title and its rows."""

    title: str
    rows: Picture


def found_parts(found: Gathered) -> list[str]:
    """ "1234 pictures", "3 broken", "5 say nothing of the exposure", "12 other files"; whether it was stopped."""
    parts = [f"{len(found.pictures)} pictures"]
    parts += [f"{len(found.broken)} broken"] if found.broken else []
    parts += [f"{found.silent} say nothing of the exposure"] if found.silent else []
    parts += [f"{found.others} other files"] if found.others else []
    return parts + ([f"stopped before the end, of {found.files} files"] if found.stopped else [])


def used_sections(used: Used, width: int, level: Level = "braille") -> tuple[Section, ...]:
    """The histograms, then pictures by body, by lens, and by both where that says more; rows of at most ``width``."""
    found = [tally_section(tally, width, level) for tally in used.tallies]
    found.append(_counted("by body", used.bodies, used.pictures, width, level))
    found.append(_counted("by lens", used.lenses, used.pictures, width, level))
    if len(used.bodies) > 1 and len(used.lenses) > 1:
        pairs = tuple((f"{body} + {lens}", count) for body, lens, count in used.pairs)
        found.append(_counted("by body and lens", pairs, used.pictures, width, level))
    return tuple(section for section in found if section.rows)


def tally_section(tally: Tally, width: int, level: Level = "braille") -> Section:
    """One histogram; its title says how many pictures do not tell."""
    title = tally.title + (f" ({tally.unknown} do not say)" if tally.unknown else "")
    bars = [Bar(one.label, one.pictures, _note(one.pictures, tally.known)) for one in tally.bins]
    return Section(title, draw_bars(bars, width, level))


def _note(pictures: int, of: int) -> str:
    return f"{pictures:d} ({share(pictures, of)})" if pictures else "0"


def share(part: int, of: int) -> str:
    """ "31 %", "0.4 %"; of at least one."""
    percent = 100.0 * part / of
    return f"{percent:.0f} %" if percent >= 1.95 or part == of else f"{percent:.1f} %"


def _counted(
    title: str, counts: tuple[tuple[str, int], ...], of: int, width: int, level: Level
) -> Section:  # fmt: skip
    return Section(title, draw_bars([Bar(clean(name), n, _note(n, of)) for name, n in counts], width, level))
