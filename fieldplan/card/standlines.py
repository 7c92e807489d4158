"""Where to stand for moon or sun behind a landmark, on the card: lines, and tables by the clock."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from fieldplan.card.shotlines import Line
from fieldplan.card.tables import Table
from fieldplan.notation.display import bearing_text, focal_text, length_text, size_text, way_text, whole_length
from fieldplan.notation.marks import f_mark, faster_mark, iso_mark, nearest_mark, share_text
from fieldplan.notation.position import write_position
from fieldplan.notation.signed import signed, unsigned_zero
from fieldplan.planner.skybook import minute_from, minute_of, minute_until
from fieldplan.planner.standanswers import LinePlace, StandLadder, StandRow
from fieldplan.planner.standerror import told_at

FRAMES_SHOWN = 6


def stand_lines(stand: StandLadder, units: str) -> tuple[Line, ...]:
    """When the disc is likely to be seen, from how far it looks as high as the landmark, what was taken for granted."""
    if stand.problem:
        return (("stand", stand.problem),)
    lines = [("visible", visible_text(stand))]
    if stand.equal_m is not None:
        half = "" if stand.half_m is None else f", the disc half as high from {length_text(stand.half_m, units)}"
        equal = length_text(stand.equal_m, units)
        lines.append(("equal", f"disc and landmark look equally high from {equal} off{half}"))
    lines += [("land", told) for told in _face(stand)]
    lines += [("stand", f"{span}: {why}") for span, why in _reasons(stand.rows)]
    soft = [_clock(stand, row) for row in stand.rows if row.both_sharp is False]
    if soft:
        told = soft[0] if len(soft) == 1 else f"{len(soft)} of {len(stand.rows)} moments, such as {soft[0]}"
        lines.append(("sharp", f"landmark and disc are not both sharp from the spots of {told}: too near for the depth "
                               "that is set"))  # fmt: skip
    return (*lines, *(("stand", note) for note in stand.notes))


def visible_text(stand: StandLadder) -> str:
    """ "likely visible from 19:14 to 05:39 (the whole disc over the ground line, and 2 deg high)"."""
    why = "over the ground line, and 2 deg high" if stand.body == "moon" else "over the ground line"
    if stand.covered:
        return stand.covered
    if not stand.visible:
        return f"the {stand.body} is not likely to be visible in the twelve hours after this ({why})"
    first = "" if stand.visible_from is None else f" from {minute_from(stand.visible_from):%H:%M}"
    last = "" if stand.visible_until is None else f" to {minute_until(stand.visible_until):%H:%M}"
    span = f"{first}{last}" or " for twelve hours before and after"
    return f"{stand.body} likely visible{span} (the whole disc {why}, from {stand.viewpoint})"


def _face(stand: StandLadder) -> list[str]:
    """How the landmark itself is lit, where that is not as open ground."""
    sides = [row for row in stand.rows if row.lit != "level ground" and row.ev_face is not None]
    if not sides or stand.body == "sun":
        return []
    ends = dict.fromkeys((sides[0], sides[-1]))
    told = "; ".join(f"{row.lit} at {_clock(stand, row)}, EV {_range(row.ev_face)}" for row in ends)
    return [f"EV land and stops are for open ground; the side of {stand.landmark} that is looked at is {told}"]


def _reasons(rows: tuple[StandRow, ...]) -> list[tuple[str, str]]:
    """Why there is no spot, with the stretch of the clock for which that holds."""
    told = []
    for why, group in groupby(rows, key=lambda row: row.reason):
        if why:
            run = list(group)
            first, last = (f"{minute_of(row.when):%H:%M}" for row in (run[0], run[-1]))
            told.append((first if first == last else f"{first} to {last}", why.rstrip(".")))
    return told


def stand_tables(stand: StandLadder, units: str) -> tuple[Table, ...]:
    """Spots by the clock; their light and tolerances; the line at the shot's moment; disc and landmark in frames."""
    rows = [row for row in stand.rows if row.distance_m is not None]
    tables = [_spots(stand, rows, units), _light(stand, rows, units)] if rows else []
    tables += [_line(stand, units)] if stand.line else []
    return (*tables, _frames(stand)) if stand.frames else tuple(tables)


def _walk(metres: float | None, bearing_deg: float | None, units: str) -> str:
    if metres is None or bearing_deg is None:
        return "-"
    return "stay" if metres < 1.0 else way_text(metres, bearing_deg, units)


def _where(row: StandRow | LinePlace) -> str:
    if row.latitude_deg is None or row.longitude_deg is None:
        return "-"
    return write_position(row.latitude_deg, row.longitude_deg)


def _spots(stand: StandLadder, rows: list[StandRow], units: str) -> Table:
    cells = tuple(
        (f"{_clock(stand, row)}{_mark(row)}", _where(row), _walk(row.walk_m, row.walk_deg, units),
         whole_length(row.distance_m or 0.0, units), unsigned_zero(row.altitude_deg, 2), bearing_text(row.azimuth_deg),
         _discs(row))
        for row in rows
    )  # fmt: skip
    title = f"where to stand: {stand.body} behind the top of {stand.landmark}, walks from {stand.viewpoint}"
    head = ("clock", "stand at", "walk", "off", "high", "bears", "discs")
    note = "high: the disc, degrees seen through the air; bears: from true north; discs: the landmark's height in them"
    if any(row.hidden for row in rows):
        note += "; *: partly or wholly hidden by the ground or the horizon"
    if any(_mark(row) == "~" for row in rows):
        note += "; ~: clear of the ground, but so low that it may be too dim to see"
    return Table(title, "lllrrrr", head, cells, note)


def _clock(stand: StandLadder, row: StandRow) -> str:
    """As finely as the error of the moment allows."""
    return f"{told_at(row.when, stand.told_step_s):%H:%M:%S}"


def _mark(row: StandRow) -> str:
    """Hidden is another matter than dim."""
    return "*" if row.hidden else "~" if row.dim else ""


def _discs(row: StandRow) -> str:
    return "-" if row.landmark_discs is None else f"{row.landmark_discs:.1f}"


def _range(ends: tuple[float, float] | None, write: Callable[[float, int], str] = unsigned_zero) -> str:
    return "-" if ends is None else " to ".join(write(end, 0) for end in ends)


def _light(stand: StandLadder, rows: list[StandRow], units: str) -> Table:
    cells = tuple(
        (_clock(stand, row), _range(row.ev_disc), _range(row.ev_land), _range(row.gap_stops, signed),
         _shutter(stand, row.disc_s), _shutter(stand, row.land_s), _drift(row.sideways_m_per_min, units),
         "-" if row.sideways_tolerance_m is None else length_text(row.sideways_tolerance_m, units))
        for row in rows
    )  # fmt: skip
    head = ("clock", "EV disc", "EV land", "stops", "disc", "land", "a minute", "within")
    note = "land: open ground; stops: by which the disc outshines that; a minute: to walk sideways"
    note += "; within: a quarter disc"
    if stand.body == "sun":
        note += "; no shutters: meter through the filter"
    elif stand.f_number is not None and stand.iso is not None:
        note += f"; shutters at {f_mark(stand.f_number)}, ISO {iso_mark(stand.iso)}"
        if any(_smears(stand, time_s) for row in rows for time_s in (row.disc_s, row.land_s)):
            note += f"; *: the disc smears, longer than {_limit(stand.smear_s)}"
    return Table(f"light there, and how fast the line moves: {stand.body}, {stand.landmark}", "lrrrrrrr", head, cells,
                 note)  # fmt: skip


def _smears(stand: StandLadder, time_s: float | None) -> bool:
    """Whether the mark told for a time is longer than the longest that is told."""
    if time_s is None or stand.smear_s is None or time_s <= stand.smear_s:
        return False
    return nearest_mark(time_s) != faster_mark(stand.smear_s)


def _shutter(stand: StandLadder, time_s: float | None) -> str:
    """A shutter, marked where it is too long for a sharp disc."""
    return "-" if time_s is None else nearest_mark(time_s) + ("*" if _smears(stand, time_s) else "")


def _limit(time_s: float | None) -> str:
    """The longest mark within a limit."""
    return "-" if time_s is None else faster_mark(time_s)


def _drift(m_per_min: float | None, units: str) -> str:
    if m_per_min is None:
        return "-"
    return f"{length_text(abs(m_per_min), units)} {'right' if m_per_min > 0 else 'left'}"


def _line(stand: StandLadder, units: str) -> Table:
    cells = tuple(
        (place.label, _where(place), _walk(place.walk_m, place.walk_deg, units),
         whole_length(place.distance_m, units), signed(place.above_deg, 2))
        for place in stand.line
    )  # fmt: skip
    head = ("where", "stand at", "walk", "off", "deg")
    note = "deg: how far the disc's centre then stands above the top (below: -) for an eye over level ground"
    return Table(f"on the line at the moment of the shot: {stand.landmark}", "wllrr", head, cells, note)


def _frames(stand: StandLadder) -> Table:
    """The first of the frames, in the order of the answers."""
    cells = tuple(
        (f"{one.label}, {focal_text(one.focal_m)}, {one.hold}", share_text(one.disc_share),
         "-" if one.disc_px is None else size_text(one.disc_px), share_text(one.landmark_share), _limit(one.smear_s),
         _limit(one.star_s), {True: "yes", False: "no", None: "-"}[one.both_sharp])
        for one in stand.frames[:FRAMES_SHOWN]
    )  # fmt: skip
    title = f"in the frame from {stand.viewpoint}: {stand.body} and {stand.landmark}, share of its height"
    head = ("body + lens", stand.body, "pixels", "landmark", "smears", "stars", "sharp")
    note = "smears, stars: longest shutter before the disc, a star draws out by a circle; sharp: both at once"
    return Table(title, "wrrrrrr", head, cells, note)
