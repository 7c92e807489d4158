"""What the curve of a day tells beside its light: the moon's part of it, and the ISO that an answer wants then."""

from __future__ import annotations

import math

from fieldplan.planner.answers import Answer, Light
from fieldplan.planner.kit import exposure_table
from fieldplan.planner.rigs import Rig
from fieldplan.planner.scene import Conditions, estimate
from fieldplan.planner.skybook import SkyState

_SET_DEG = -0.8  # centre of a disc that has just set
_NO_SUN_DEG = -90.0
_MARK = 0.05  # a figure this near to a limit is at it: marks are rounded
_TOLD = 2  # shutters: the slowest that does, and two stops faster
_APART = 2  # stops


def is_down(altitude_deg: float) -> bool:
    """Whether a disc whose centre stands so high has set."""
    return altitude_deg <= _SET_DEG


def moon_ev100(state: SkyState, given: Conditions) -> float:
    """EV 100 that the moon and the night sky would give without the sun; no number while the moon is down."""
    if is_down(state.moon_altitude_deg):
        return math.nan
    return estimate(state._replace(sun_altitude_deg=_NO_SUN_DEG), given).ev100


def isos_then(best: Answer, rig: Rig, light: Light) -> tuple[tuple[float, float], ...]:
    """Shutter [s] and ISO at the answer's f-number: at its shutter or the next that works, and two stops faster.

    Nothing where it is brighter than the body's lowest ISO wants.
    """
    if best.shutter_s is None:
        return ()
    table = exposure_table(best._replace(iso=best.iso or rig.lowest_iso), light, "", rig.fastest_s)
    least, slowest = rig.lowest_iso * (1.0 - _MARK), best.shutter_s * (1.0 + _MARK)
    rows = () if table is None else tuple(row for row in table.rows if row[0] <= slowest and row[1] >= least)
    return rows[: _TOLD * _APART : _APART]
