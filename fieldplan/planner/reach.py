"""Any three of size, distance, share and focal length give the fourth; and tables of what fills at which distance."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.marks import share_text
from fieldplan.notation.quantity import FOOT
from fieldplan.optics.framing import distance_for, focus_at, needed_focal_m, optic
from fieldplan.planner.answers import Answer, NeededDistance, NeededFocal, NeededSize, Wanted
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.tables import DistanceTable

_STEPS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0)


def _rates(width: float, height: float, wanted: Wanted) -> tuple[float, float, float] | None:
    """Fill per unit of magnification for the (smallest, middle, largest) subject in a frame as held."""
    if wanted.height is None and wanted.width is None:
        return None
    tall, wide = wanted.height or (0.0, 0.0), wanted.width or (0.0, 0.0)
    low, high = (max(tall[i] / height, wide[i] / width) for i in (0, 1))
    middle = max(sum(tall) / 2 / height, sum(wide) / 2 / width)
    return low, middle, high


def _sides(frame_w: float, frame_h: float, hold: str) -> tuple[float, float]:
    long, short = max(frame_w, frame_h), min(frame_w, frame_h)
    return (long, short) if hold == "level" else (short, long)


def _asked(wanted: Wanted) -> bool:
    return wanted.fill is not None or wanted.magnification is not None


def _aim(wanted: Wanted, rate: float) -> float:
    """The magnification wanted, where the subject takes ``rate`` of the frame at life size."""
    if wanted.magnification is not None:
        return wanted.magnification
    return sum(wanted.fill or (0.0, 0.0)) / 2.0 / rate


def hold_along(wanted: Wanted) -> str | None:
    """The hold that lays the frame's long side along the subject's, of those allowed; None where only one size is
    known, or only one hold allowed."""
    if len(wanted.holds) < 2 or wanted.height is None or wanted.width is None:
        return None
    return "upright" if sum(wanted.height) > sum(wanted.width) else "level"


def needed_focal(kit: Kit, wanted: Wanted) -> tuple[NeededFocal, ...]:
    """The focal length with which each body fills as wanted (thin lens), the middle share at the middle distance.

    Held along the subject's long side; where only one of its sizes is known, held so that the shorter one does.
    """
    if wanted.fill is None or wanted.distance is None or not math.isfinite(sum(wanted.distance)):
        return ()
    distance, fill = sum(wanted.distance) / 2, sum(wanted.fill) / 2
    along = hold_along(wanted)
    found: dict[tuple[str, float, float], NeededFocal] = {}
    for rig in kit.rigs:
        for hold in wanted.holds if along is None else (along,):
            rates = _rates(*_sides(rig.frame_w, rig.frame_h, hold), wanted)
            if rates is None:
                return ()
            focal = needed_focal_m(distance, fill / rates[1])
            key = (rig.body, rig.frame_w, rig.frame_h)
            if key not in found or focal < found[key].focal_m:
                low, high = (needed_focal_m(distance, fill / rates[i]) for i in (2, 0))
                found[key] = NeededFocal(rig.body, hold, focal, low, high)
    whole: dict[str, float] = {}
    for rig in kit.rigs:
        whole[rig.body] = max(rig.frame_w, whole.get(rig.body, 0.0))
    return tuple(v for (body, width, _), v in found.items() if width == whole[body])


def needed_focal_text(needed: Sequence[NeededFocal], wanted: Wanted | None, units: str) -> str:
    """ "468 mm on small one, level; 720 mm on large one, level (for 50 % at 70 m)"; empty where none is needed."""
    if not needed or wanted is None or wanted.fill is None or wanted.distance is None:
        return ""
    told = "; ".join(f"{focal_text(n.focal_m)} on {n.body}, {n.hold}" for n in needed)
    return f"{told} (for {share_text(sum(wanted.fill) / 2)} at {length_text(sum(wanted.distance) / 2, units)})"


def needed_distance(kit: Kit, wanted: Wanted, answers: tuple[Answer, ...]) -> tuple[NeededDistance, ...]:
    """Where each rig, at its own setting, fills the frame as wanted; the range follows from the subject's sizes."""
    if not _asked(wanted):
        return ()
    rigs = {rig.label: rig for rig in kit.rigs}
    aims: dict[tuple[float, float, str], tuple[float, ...]] = {}  # many rigs share a frame
    lines = []
    for answer in answers:
        rig = rigs[answer.label]
        if answer.focal_m is None:
            continue
        frame = rig.frame_w, rig.frame_h, answer.hold
        if frame not in aims:
            rates = _rates(*_sides(*frame), wanted)
            if rates is None:
                return ()
            aims[frame] = tuple(_aim(wanted, rate) for rate in rates)
        o = rig.fixed or optic(rig.law, answer.focal_m / rig.factor, rig.factor, rig.tube_m, rig.power_d)
        ways = [distance_for(o, aim) for aim in aims[frame]]
        if ways[1] is not None:
            lines.append(NeededDistance(answer.label, answer.hold, ways[1], ways[0] or o.nearest_m, ways[2] or ways[1]))
    return tuple(lines)


def needed_size(wanted: Wanted, answers: tuple[Answer, ...]) -> tuple[NeededSize, ...]:
    """How large a subject is that takes the share at the distance, along the frame's width and height."""
    if wanted.fill is None:
        return ()
    low, high = wanted.fill
    return tuple(
        NeededSize(
            a.label,
            a.hold,
            low * a.field_width_m,
            high * a.field_width_m,
            low * a.field_height_m,
            high * a.field_height_m,
        )
        for a in answers
        if a.field_width_m is not None and a.field_height_m is not None and math.isfinite(a.field_width_m)
    )


def _columns(distance: tuple[float, float], unit_m: float) -> tuple[float, ...]:
    """Seven distances from a third of the near end to about three times the far end, on round figures of the unit."""
    low, high = distance[0] / 2.5 / unit_m, distance[1] * 2.5 / unit_m
    wanted = [low * (high / low) ** (i / 6) for i in range(7)]
    return tuple(sorted({_round(w) * unit_m for w in wanted}))


def _round(distance: float) -> float:
    size = 10.0 ** math.floor(math.log10(distance))
    return float(f"{min((s * size for s in _STEPS), key=lambda s: abs(math.log(s / distance))):.6g}")


def distance_table(
    kit: Kit, wanted: Wanted, answers: tuple[Answer, ...], shot: str, units: str = "metric"
) -> DistanceTable | None:
    """Fill of every packed body and lens, at its longest setting, over distances round the shot's own."""
    distance = wanted.distance
    if distance is None and answers and answers[0].distance_m is not None:
        distance = (answers[0].distance_m, answers[0].distance_m)
    if distance is None or not math.isfinite(distance[1]) or wanted.group == "sky":
        return None
    hold = answers[0].hold if answers else wanted.holds[0]
    columns = _columns(distance, FOOT if units == "imperial" else 1.0)
    rows = []
    for rig in kit.rigs:
        row = _table_row(rig, wanted, hold, columns)
        if row is None:
            return None
        rows.append(row)
    rows.sort(key=lambda row: -max((f for f in row[2] if f is not None), default=0.0))
    return DistanceTable(shot, hold, columns, tuple(rows))


def _table_row(
    rig: Rig, wanted: Wanted, hold: str, columns: tuple[float, ...]
) -> tuple[str, float, tuple[float | None, ...]] | None:
    rates = _rates(*_sides(rig.frame_w, rig.frame_h, hold), wanted)
    if rates is None:
        return None
    o = rig.fixed or optic(rig.law, rig.law.long_m, rig.factor, rig.tube_m, rig.power_d)
    focused = (focus_at(o, distance) for distance in columns)
    return rig.label, o.focal_m, tuple(None if f is None else f.magnification * rates[1] for f in focused)
