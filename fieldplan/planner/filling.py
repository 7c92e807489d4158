"""Whether a subject fills the frame as wanted, from where it does, and what would mend it."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.optics.framing import INFINITY, Optic, distance_for, focus_at, needed_focal_m
from fieldplan.planner.answers import Wanted
from fieldplan.planner.shortfalls import Shortfall

FILL_SLACK = 0.005  # a share this near to the wanted range is within it


class View(NamedTuple):
    """How the frame is held: sides as held [m], and fill per unit of magnification, with the axis that fills first.

    least_rate, most_rate: the same for the smallest and the largest that the subject may be.
    """

    width: float
    height: float
    fill_rate: float
    axis: str | None
    extent_m: float
    least_rate: float = 0.0
    most_rate: float = 0.0


def aimed(wanted: Wanted, view: View) -> Wanted:
    """The wish with the share of this frame that a magnification asked for comes to."""
    if wanted.magnification is None or not view.fill_rate:
        return wanted
    share = wanted.magnification * view.fill_rate
    return wanted._replace(fill=(share, share))


def filling(o: Optic, wanted: tuple[float, float], rate: float) -> tuple[float | None, float | None]:
    """Nearest and farthest distance from the sensor plane at which the optic fills as wanted [m]; None if nowhere."""
    far, near = distance_for(o, wanted[0] / rate), distance_for(o, wanted[1] / rate)
    if far is None and o.farthest_m < INFINITY:  # a tube or close-up lens may draw larger than that at its farthest
        farthest = focus_at(o, o.farthest_m)
        if farthest is not None and wanted[0] < farthest.magnification * rate <= wanted[1]:
            far = o.farthest_m
    if far is None:
        return None, None
    return (o.nearest_m if near is None else near), far


def fill_shortfalls(
    wanted: Wanted, view: View, o: Optic, distance: float, fill: float, ends: tuple[float | None, float | None],
    span: tuple[float | None, float | None], units: str,
) -> list[Shortfall]:  # fmt: skip
    low, high = wanted.fill or (0.0, 1.0)
    slack = FILL_SLACK if wanted.magnification is None else FILL_SLACK * low  # of a small subject it is much
    judged = None if wanted.distance is None or wanted.distance[0] == wanted.distance[1] else distance
    goes_there = wanted.group != "sky"  # nobody steps nearer to the moon
    if fill < low - slack:
        m = low / view.fill_rate
        way = distance_for(o, m) if goes_there else None
        return [Shortfall("short", (fill, low, _cure_focal(o, distance, m, fill, low), way, judged), units)]
    if fill > high + slack:
        m = high / view.fill_rate
        back = distance_for(o, m) if goes_there else None
        all_in = distance_for(o, 1.0 / view.fill_rate) if fill > 1.0 and goes_there else None
        return [Shortfall("cut off", (fill, high, back, all_in, _cure_focal(o, distance, m, fill, high)), units)]
    if wanted.fill is None:
        return []
    near, far = ends
    if near is None or near > high + slack or far is None or far < low - slack:
        return [Shortfall("part of the range", (near, far, *span), units)]
    return []


def _cure_focal(o: Optic, distance: float, magnification: float, fill: float, aim: float) -> float | None:
    """Focal length that would fill as wanted [m]: a thin lens's, or that of a lens which shortens close up as this one
    does, where the thin lens's would say to go the wrong way."""
    focal = needed_focal_m(distance, magnification)
    if magnification > 1.0 or not math.isfinite(focal):  # past life size a longer lens draws no larger from there
        return None
    if (focal > o.focal_m) == (aim > fill):
        return focal
    now = needed_focal_m(distance, magnification * fill / aim)
    return o.focal_m * focal / now
