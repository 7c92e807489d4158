"""Any three of size, distance, share and focal length give the fourth; and tables of what fills at which distance."""

from __future__ import annotations

import math

from fieldplan.notation.quantity import FOOT
from fieldplan.optics.framing import distance_for, focus_at, needed_focal_m, optic
from fieldplan.planner.answers import Answer, DistanceTable, NeededDistance, NeededFocal, NeededSize, Wanted
from fieldplan.planner.rigs import Kit, Rig

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


def needed_focal(kit: Kit, wanted: Wanted) -> tuple[NeededFocal, ...]:
    """The focal length with which each body fills as wanted (thin lens), held so that the shorter one does."""
    if wanted.fill is None or wanted.distance is None or not math.isfinite(sum(wanted.distance)):
        return ()
    distance, fill = sum(wanted.distance) / 2, sum(wanted.fill) / 2
    found: dict[tuple[str, float, float], NeededFocal] = {}
    for rig in kit.rigs:
        for hold in wanted.holds:
            rates = _rates(*_sides(rig.frame_w, rig.frame_h, hold), wanted)
            if rates is None:
                return ()
            focal = needed_focal_m(distance, fill / rates[1])
            key = (rig.body, rig.frame_w, rig.frame_h)
            if key not in found or focal < found[key].focal_m:
                low, high = (needed_focal_m(distance, fill / rates[i]) for i in (2, 0))
                found[key] = NeededFocal(rig.body, hold, focal, low, high)
    whole = {rig.body: max(r.frame_w for r in kit.rigs if r.body == rig.body) for rig in kit.rigs}
    return tuple(v for (body, width, _), v in found.items() if width == whole[body])


def needed_distance(kit: Kit, wanted: Wanted, answers: tuple[Answer, ...]) -> tuple[NeededDistance, ...]:
    """Where each rig, at its own setting, fills the frame as wanted; the range follows from the subject's sizes."""
    if wanted.fill is None:
        return ()
    rigs = {rig.label: rig for rig in kit.rigs}
    fill = sum(wanted.fill) / 2
    lines = []
    for answer in answers:
        rig = rigs[answer.label]
        if answer.focal_m is None:
            continue
        rates = _rates(*_sides(rig.frame_w, rig.frame_h, answer.hold), wanted)
        if rates is None:
            return ()
        o = rig.fixed or optic(rig.law, answer.focal_m / rig.factor, rig.factor, rig.tube_m, rig.power_d)
        ways = [distance_for(o, fill / rate) for rate in rates]
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
