"""When no lens is wide enough: a sweep of frames, in rows where one is not tall enough, near things told."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import focal_text, length_text
from fieldplan.notation.signed import signed
from fieldplan.optics.framing import focus_at, optic
from fieldplan.optics.hands import angle_deg
from fieldplan.optics.sweep import Row, frame_angles_deg, parallax_distance_m, sweep_rows
from fieldplan.planner.answers import Wanted
from fieldplan.planner.assess import circle_for
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.trip import TripShot

OVERLAP = 0.3  # share of a frame that neighbours have in common, common practice: a quarter to a third
OFFSET_M = 0.1  # from a tripod's screw to the lens's entrance pupil, where nobody has lined them up; common practice
MOST_FRAMES = 9  # of a sweep that one would still take by hand before the light changes; a choice
_WHOLE = 1000.0  # settings a metre: whole millimetres
_HALVINGS = 24  # of the focal length, to the last that takes no more


class Sweep(NamedTuple):
    """Frames for a field that one lens setting does not hold. Angles in degrees, lengths in metres.

    width_deg, low_deg, high_deg: what is to be held; frame_deg: one frame, across and up as held. pixels: width and
    height of the whole along its middle, overlaps counted once. clear_m: things nearer than this shift against the
    far ground by more than the circle, turned on an axis OFFSET_M from the entrance pupil.
    """

    body: str
    lens: str
    hold: str
    focal_m: float
    width_deg: float
    low_deg: float
    high_deg: float
    frame_deg: tuple[float, float]
    overlap: float
    rows: tuple[Row, ...]
    pixels: tuple[float, float]
    clear_m: float
    nearest_m: float | None
    units: str
    owned: bool = True

    @property
    def label(self) -> str:
        return f"{self.body} + {self.lens}"

    @property
    def frames(self) -> int:
        return sum(row.frames for row in self.rows)

    @property
    def lines(self) -> tuple[str, ...]:
        """The sweep in words, the caution for close things, and how to set the camera."""
        wide = f"{self.width_deg:.0f} x {self.high_deg - self.low_deg:.0f} deg"
        named = self.label + ("" if self.owned else " (not owned)")
        what = f"{named} at {focal_text(self.focal_m)}, held {self.hold}"
        if self.frames == 1:
            return (f"{what}: one frame holds {wide}",)
        one = f"{self.rows[0].frames} frames" if len(self.rows) == 1 else (
            f"{self.frames} frames in {len(self.rows)} rows ("
            + ", ".join(f"{row.frames} at {signed(row.altitude_deg, 0)} deg" for row in self.rows) + ")")  # fmt: skip
        turn = max(row.turn_deg for row in self.rows)
        step = f", turning {turn:.0f} deg each time" if len(self.rows) == 1 and turn else ""
        told = [f"{what}: {one} for {wide}{step}, {self.overlap * 100:.0f} % overlap at least; "
                f"about {self.pixels[0] * self.pixels[1] / 1e6:.0f} megapixels"]  # fmt: skip
        told.append(self._close())
        told.append("Level the tripod; exposure, focus and white balance by hand; quickly where clouds or water move.")
        return tuple(told)

    def _close(self) -> str:
        clear = length_text(self.clear_m, self.units)
        offset = length_text(OFFSET_M, self.units)
        near = self.nearest_m is not None and self.nearest_m < self.clear_m
        told = (
            f"Near things shift against far ones between frames: turned {offset} off the lens's entrance pupil, "
            f"what is nearer than {clear} will not join"
        )
        told += " (that is so here)" if near else ""
        return f"{told}. Turn about the point from which near and far keep their places, or keep the foreground far."


def sweep(
    rig: Rig, wanted: Wanted, hold: str, field_deg: tuple[float, float, float], units: str,
    setting_m: float | None = None, overlap: float = OVERLAP, distance_m: float = math.inf,
    nearest_m: float | None = None,
) -> Sweep | None:  # fmt: skip
    """A sweep that holds a field (width, from altitude, to altitude) [deg] with a rig at its short end, or as set.

    setting_m: of the lens, before the converter; distance_m: where it is focused. None where the rig cannot focus
    there. Raises ValueError for a field or an overlap that is none.
    """
    width, low, high = field_deg
    if not 0.0 < width <= 360.0 or not -90.0 <= low <= high <= 90.0:
        raise ValueError("a field is up to 360 deg wide, from -90 to 90 deg of altitude")
    if not 0.0 <= overlap < 1.0:
        raise ValueError("the overlap of frames is a share from 0 to less than 1")
    o = optic(rig.law, setting_m or rig.law.short_m, rig.factor, rig.tube_m, rig.power_d)
    focus = focus_at(o, distance_m)
    if focus is None:
        return None
    long, short = max(rig.frame_w, rig.frame_h), min(rig.frame_w, rig.frame_h)
    sides = (long, short) if hold == "level" else (short, long)
    frame = frame_angles_deg(*sides, focus.image_m)
    rows = sweep_rows(width, low, high, frame, overlap)
    if rows is None:
        return None
    per_deg = math.radians(1.0) * focus.image_m / rig.pixel_m
    turn = max(row.turn_deg for row in rows)
    clear = parallax_distance_m(OFFSET_M, turn, focus.image_m, circle_for(rig, wanted))
    return Sweep(rig.body, rig.lens, hold, o.focal_m, width, low, high, frame, overlap, rows,
                 (width * per_deg, (high - low) * per_deg), clear, nearest_m, units)  # fmt: skip


def field_wanted(wanted: Wanted, altitude_deg: float = 0.0) -> tuple[float, float, float] | None:
    """The field that a shot asks for: width, from and to altitude [deg], round an aim; None where it has no size.

    The subject takes the wanted share (its middle, at most all) of the width or the height, whichever it fills first.
    """
    if wanted.distance is None or not math.isfinite(wanted.distance[0]):
        return None
    distance = sum(wanted.distance) / 2.0
    tall, wide = (sum(size or (0.0, 0.0)) / 2.0 for size in (wanted.height, wanted.width))
    share = 1.0 if wanted.fill is None else min(1.0, sum(wanted.fill) / 2.0)
    if not tall and not wide:
        return None
    across, up = (angle_deg(size / share, distance) for size in (wide, tall))
    high = min(altitude_deg + up / 2.0, 90.0)
    return max(across, 1e-3), max(altitude_deg - up / 2.0, -90.0), high


def sweeps_for(shot: TripShot, kit: Kit, overlap: float = OVERLAP) -> tuple[Sweep, ...]:
    """A sweep with each body and lens that cannot hold the shot's field in one frame, best first.

    Each lens at the longest setting that takes one row of at most MOST_FRAMES frames, held upright or level, for that
    gives the most pixels; where none does, at its short end. First what is owned and carried, then one row, few enough
    frames, held upright (common practice), the most pixels (to a tenth), the fewest frames. Empty where something owned
    holds it in one frame, or where the shot has neither size nor distance. Converters, tubes and close-up lenses stay
    off.
    """
    wanted = shot.found.wanted
    field = None if wanted is None else field_wanted(wanted, shot.found.shot.aim_altitude)
    if wanted is None or wanted.distance is None or field is None:
        return ()
    labels = {a.label for a in shot.found.rigs}
    owned = {item.name for item in (*kit.profile.bodies, *kit.profile.lenses) if item.owned}
    found = []
    for rig in kit.rigs:
        if rig.label not in labels or rig.converter or rig.tube or rig.close_up_lens:
            continue
        for hold in ("level", "upright"):
            made = _longest(rig, wanted, hold, field, shot.plan.units, overlap)
            if made is not None:
                found.append(made._replace(owned={rig.body, rig.lens} <= owned))
    if any(s.frames == 1 and s.owned for s in found):
        return ()
    carried = set(shot.plan.carry)

    def best_first(s: Sweep) -> tuple[bool, bool, bool, bool, bool, int, int, str]:
        at_home = bool(carried) and not carried >= {s.body, s.lens}
        pixels = round(math.log(s.pixels[0] * s.pixels[1]) / math.log(1.1))
        sideways = s.hold != "upright"  # upright leaves room for what joining cuts away above and below
        return not s.owned, at_home, len(s.rows) > 1, s.frames > MOST_FRAMES, sideways, -pixels, s.frames, s.label

    return tuple(sorted(found, key=best_first))


def _longest(
    rig: Rig, wanted: Wanted, hold: str, field: tuple[float, float, float], units: str, overlap: float
) -> Sweep | None:
    """The sweep at the longest setting that takes one row of at most MOST_FRAMES frames, else at the short end."""
    assert wanted.distance is not None

    def at(setting: float) -> Sweep | None:
        return sweep(rig, wanted, hold, field, units, setting, overlap, sum(distance) / 2.0, wanted.sharp_from_m)

    def easy(made: Sweep | None) -> bool:
        return made is not None and len(made.rows) == 1 and made.frames <= MOST_FRAMES

    distance, short, long = wanted.distance, rig.law.short_m, rig.law.long_m
    if wanted.focal_m is not None:
        return at(min(max(wanted.focal_m, short), long))
    widest = at(short)
    if short == long or not easy(widest) or (widest is not None and widest.frames == 1):
        return widest
    if easy(at(long)):
        return at(long)
    for _ in range(_HALVINGS):
        middle = math.sqrt(short * long)
        short, long = (middle, long) if easy(at(middle)) else (short, middle)
    return at(max(rig.law.short_m, math.floor(short * _WHOLE) / _WHOLE))
