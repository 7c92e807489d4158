"""Tables of figures for one shot: share over distance, ISO over shutter, the light by the clock."""

from __future__ import annotations

from fieldplan.card.tables import Table
from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import FAR_OVER, f_mark, iso_mark, time_mark
from fieldplan.notation.signed import unsigned_zero
from fieldplan.planner.exposing import within_ceiling
from fieldplan.planner.tables import DistanceTable, ExposureTable, Ladder

DARK, BRIGHT = "dark", "bright"
FAR_UNDER = 2.0  # an ISO so far under the lowest is of no use as a number
_UNDER = 0.96  # an ISO this far below the lowest is under it; nearer, it is the same printed mark
_MOST_SHARE = 9.995  # a share beyond this is only told as cut off


def _share_cell(fill: float | None) -> str:
    return "-" if fill is None else "cut" if fill > _MOST_SHARE else f"{fill * 100:.0f}"


def distance_table(t: DistanceTable, units: str) -> Table:
    """Shares of the frame over distances, a row for each body and lens that focuses at one of them."""
    rows = tuple((f"{label}, {focal_text(focal)}", *map(_share_cell, shares))
                 for label, focal, shares in t.rows if any(share is not None for share in shares))  # fmt: skip
    head = ("% of the frame at", *(length_text(d, units) for d in t.distances_m))
    note = "zooms at their longest; over 100: cut off; -: does not focus there"
    left_out = len(t.rows) - len(rows)
    if left_out:
        note += f"; {left_out} that {'focuses' if left_out == 1 else 'focus'} at none of these left out"
    if not rows:
        head, note = ("nothing focuses at these distances", *head[1:]), ""
    return Table(f"distance against share, held {t.hold}", "w" + "r" * len(t.distances_m), head, rows, note)


def _iso_cell(iso: float, lowest: float | None, ceiling: float) -> str:
    if iso > ceiling * FAR_OVER:
        return DARK
    if lowest is not None and iso < lowest / FAR_UNDER:
        return BRIGHT
    over = "" if within_ceiling(iso, ceiling) else "!"
    under = "*" if lowest is not None and iso < lowest * _UNDER else ""
    return f"{iso_mark(iso)}{over}{under}"


def _iso_notes(cells: tuple[str, ...], lowest: float | None, ceiling: float) -> str:
    notes = []
    if DARK in cells:
        notes.append(f"{DARK}: far over the ISO ceiling of {iso_mark(ceiling)}")
    if lowest is not None and BRIGHT in cells:
        notes.append(f"{BRIGHT}: too bright for that shutter at ISO {iso_mark(lowest)}")
    if any("!" in c for c in cells):
        notes.append(f"!: over the ISO ceiling of {iso_mark(ceiling)}")
    if lowest is not None and any("*" in c for c in cells):
        notes.append(f"*: under the lowest ISO of {iso_mark(lowest)}")
    return "; ".join(notes)


def exposure_table(e: ExposureTable, lowest: float | None) -> Table:
    """The ISO for each shutter at the f-number chosen."""
    cells = tuple(_iso_cell(iso, lowest, e.iso_ceiling) for _, iso in e.rows)
    head = (f"at {f_mark(e.f_number)}", *(time_mark(time) for time, _ in e.rows))
    notes = _iso_notes(cells, lowest, e.iso_ceiling)
    return Table("ISO against shutter", "l" + "r" * len(cells), head, (("ISO", *cells),), notes)


def ladder_table(ladder: Ladder) -> Table:
    """The light by the clock: EV 100, its range, and the ISO for each shutter."""
    lowest, ceiling = ladder.lowest_iso, ladder.iso_ceiling
    rows = tuple(
        (f"{row.when:%H:%M}", unsigned_zero(row.ev100),
         f"{unsigned_zero(row.ev100_low)} to {unsigned_zero(row.ev100_high)}",
         *(_iso_cell(iso, lowest, ceiling) if time is None else time_mark(time)
           for iso, time in zip(row.isos, row.instead_s, strict=True)))
        for row in ladder.rows
    )  # fmt: skip
    head = ("clock", "EV 100", "range", *(time_mark(time) for time in ladder.shutters_s))
    notes = _iso_notes(tuple(cell for row in rows for cell in row[3:]), lowest, ceiling)
    if lowest is not None and any(time is not None for row in ladder.rows for time in row.instead_s):
        notes = "; ".join(note for note in (f"a time: the shutter for ISO {iso_mark(lowest)}", notes) if note)
    title = f"light by the clock, and ISO at {f_mark(ladder.f_number)} for two shutters"
    return Table(title, "l" + "r" * (len(head) - 1), head, rows, notes)
