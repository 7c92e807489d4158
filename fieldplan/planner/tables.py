"""The tables of a plan's answers: what is carried, share over distance, ISO over time, the light by the clock."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple


class KitLine(NamedTuple):
    """One thing to carry: kind, name, weight [kg] or None; whether it is owned, and what renting it costs a trip."""

    kind: str
    name: str
    weight_kg: float | None
    owned: bool = True
    rent: float | None = None


class DistanceTable(NamedTuple):
    """Fill of every packed body and lens over distances [m]: rows of (label, focal length [m], fills or None)."""

    shot: str
    hold: str
    distances_m: tuple[float, ...]
    rows: tuple[tuple[str, float, tuple[float | None, ...]], ...]


class ExposureTable(NamedTuple):
    """ISO over shutter times [s] for the light at hand and one f-number."""

    shot: str
    f_number: float
    effective_f_number: float
    rows: tuple[tuple[float, float], ...]
    iso_ceiling: float


class LadderRow(NamedTuple):
    """The light at one time on the site's clock: EV 100 with its bounds, and the ISO for each shutter of the ladder.

    instead_s: where a shutter is over a stop too slow even at the lowest ISO, the one to take at that ISO [s].
    """

    when: dt.datetime
    ev100: float
    ev100_low: float
    ev100_high: float
    isos: tuple[float, ...]
    instead_s: tuple[float | None, ...] = ()


class Ladder(NamedTuple):
    """The light round a shot by the clock, for where no laptop is opened: ISO at the chosen f-number, two shutters [s].

    The ISO is the next third up. lowest_iso and iso_ceiling are those of the body; what lies beyond them is for the
    reader to see.
    """

    shot: str
    f_number: float
    effective_f_number: float
    shutters_s: tuple[float, ...]
    rows: tuple[LadderRow, ...]
    lowest_iso: float | None
    iso_ceiling: float
