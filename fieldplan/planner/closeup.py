"""Close-ups: which combination draws how large, from how near the lens, with what light lost, depth and diffraction."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.notation.display import figures, length_text
from fieldplan.notation.marks import f_mark, stops_text
from fieldplan.optics.closeup import airy_at_m, end_blur_m, sharpest_f_number
from fieldplan.optics.depth import depth, f_number_for_depth
from fieldplan.optics.exposure import f_number_third_up
from fieldplan.optics.framing import Optic
from fieldplan.optics.zoom import widest_f_number
from fieldplan.planner.answers import Wanted
from fieldplan.planner.closesetups import Setup, drawn_at
from fieldplan.planner.leave import Leave, leave_to_go
from fieldplan.planner.trip import TripShot

HOOD, LENS, SENSOR = "the front of the hood", "the front of the lens", "the sensor plane"
_MARK_SLACK = 1.03  # a printed smallest f-number stands for the third nearest to it


class Room(NamedTuple):
    """The room before the lens. working_m is measured from ``measured_from``; at most that, see ``text``.

    planned_m: the nearest that the shot says the subject lets one come, from the sensor plane; None where it does not.
    """

    distance_m: float
    working_m: float
    measured_from: str
    planned_m: float | None
    leave: Leave | None
    units: str
    uncounted: tuple[str, ...]

    @property
    def enough(self) -> bool:
        """Whether there is room at all, and the subject is not nearer than the shot says it allows."""
        near = self.planned_m is not None and self.distance_m < self.planned_m * (1.0 - 1e-9)
        return self.working_m > 0.0 and not near

    @property
    def text(self) -> str:
        room = length_text(max(self.working_m, 0.0), self.units)
        told = f"{room} from {self.measured_from}"
        if self.working_m <= 0.0:
            told = f"no room: the subject would lie behind {self.measured_from}"
        if self.uncounted:
            told += f" at most: {' and '.join(self.uncounted)} not counted"
        if self.planned_m is not None and not self.enough and self.working_m > 0.0:
            told += (
                f"; nearer than planned: {length_text(self.distance_m, self.units)} from the sensor plane, the subject "
                f"is planned at {length_text(self.planned_m, self.units)}"
            )
        return told + (f"; {self.leave.text}" if self.leave is not None and self.leave.text else "")


class BestStop(NamedTuple):
    """The f-number for a wanted depth. needed: marked, thirds, by the circle; None past the smallest of the lens.

    sharpest: at which blur at the ends and Airy disc are least together (marked, exact, kept within the lens), with
    the blur disc at the ends and the Airy disc there [m]. A rule of thumb: the two do not truly add by squares.
    """

    wanted_m: float
    needed: float | None
    needed_airy_m: float | None
    sharpest: float
    end_blur_m: float
    airy_m: float
    circle_m: float
    units: str

    @property
    def holds(self) -> bool:
        """Whether one frame holds the depth to the circle, diffraction included."""
        return math.hypot(self.end_blur_m, self.airy_m) <= self.circle_m * math.sqrt(2.0)

    @property
    def text(self) -> str:
        deep = length_text(self.wanted_m, self.units)
        circle = self.circle_m * 1e6
        if self.needed is None:
            return f"{deep} deep is more than this lens gives at its smallest stop: square up, or several frames"
        airy = (self.needed_airy_m or 0.0) * 1e6
        told = (
            f"{deep} deep takes {f_mark(self.needed)}; Airy disc there {figures(airy)} um, circle {figures(circle)} um"
        )
        if airy > circle:
            best = f"sharpest at about {f_mark(self.sharpest)}, or several frames"
            return f"{told}: softer all over than the circle allows; {best}"
        return told


class CloseUp(NamedTuple):
    """One combination at one magnification. Lengths in metres; f_number is the marked one (the converter's included).

    f_number_factor: pupil's over marked f-number, under 1 with a close-up lens. light_lost_stops: by magnification.
    """

    setup: Setup
    hold: str
    magnification: float
    focal_m: float
    acting_focal_m: float
    f_number: float
    widest_f_number: float
    f_number_factor: float
    effective_f_number: float
    light_lost_stops: float
    depth_m: float
    circle_m: float
    airy_m: float
    room: Room
    best_stop: BestStop | None

    @property
    def label(self) -> str:
        return self.setup.label

    @property
    def pupil_f_number(self) -> float:
        """The f-number that depth and blur obey."""
        return self.f_number * self.f_number_factor

    @property
    def text(self) -> str:
        """One line: scale, light, depth, room."""
        lost = f", {stops_text(self.light_lost_stops)} lost" if self.light_lost_stops >= 0.05 else ""
        airy = self.airy_m / self.setup.pixel_m
        acts = f"{f_mark(self.f_number)} acts as f/{figures(self.effective_f_number)}{lost}"
        deep = f"depth {length_text(self.depth_m, self.room.units)}, Airy disc {airy:.1f} pixels"
        return f"{scale_text(self.magnification)}, {acts}, {deep}; {self.room.text}"


def scale_text(magnification: float) -> str:
    """ "1.5:1" from life size on, "1:4" below."""
    return f"{figures(magnification)}:1" if magnification >= 1.0 else f"1:{figures(1.0 / magnification)}"


def wanted_magnifications(setup: Setup, wanted: Wanted) -> tuple[tuple[float, str], ...]:
    """(magnification that fills as wanted, way of holding), the largest first; empty without a size or a share."""
    if wanted.fill is None or (wanted.height is None and wanted.width is None):
        return ()
    long, short = max(setup.frame), min(setup.frame)
    fill = sum(wanted.fill) / 2.0
    tall, wide = sum(wanted.height or (0.0, 0.0)) / 2.0, sum(wanted.width or (0.0, 0.0)) / 2.0
    found = []
    for hold in wanted.holds:
        across, up = (long, short) if hold == "level" else (short, long)
        found.append((fill / max(tall / up, wide / across), hold))
    return tuple(sorted(found, reverse=True))


def close_ups(
    shot: TripShot, combinations: Sequence[Setup], magnification: float | None = None, f_number: float | None = None
) -> tuple[CloseUp, ...]:
    """Each combination that draws as large as wanted, best first: room enough, the wanted depth in one frame,
    least put on, most room, least weight.

    magnification: instead of what the shot's share asks for. f_number: marked; left out: the third that gives the
    wanted depth, else the widest.
    """
    wanted = shot.found.wanted
    if wanted is None:
        return ()
    found = []
    for setup in combinations:
        aims = ((magnification, wanted.holds[0]),) if magnification else wanted_magnifications(setup, wanted)
        drawn = next(((m, hold, d) for m, hold in aims if (d := drawn_at(setup, m)) is not None), None)
        if drawn is not None:
            m, hold, (o, distance) = drawn
            found.append(_close_up(shot, wanted, setup, o, distance, m, hold, f_number))
    return tuple(sorted(found, key=_order))


def _order(c: CloseUp) -> tuple[bool, bool, int, float, float, str]:
    weight = c.setup.weight_kg
    return (not c.room.enough, c.best_stop is not None and not c.best_stop.holds, len(c.setup.parts),
            -round(c.room.working_m, 3),
            math.inf if weight is None else weight, c.label)  # fmt: skip


def _close_up(
    shot: TripShot, wanted: Wanted, setup: Setup, o: Optic, distance: float, m: float, hold: str, chosen: float | None
) -> CloseUp:
    lens = setup.lens
    acting = distance * m / (1.0 + m) ** 2
    object_m = acting * (1.0 + 1.0 / m)
    bare_m = m / setup.factor if setup.converter is not None and (o.tube_m or o.power_d) else m
    share = 1.0 - distance * bare_m / (1.0 + bare_m) ** 2 * setup.power_d
    widest = setup.factor * widest_f_number(
        lens.focal.low, lens.focal.high, lens.f_number.low, lens.f_number.high, o.focal_m / setup.factor
    )
    smallest = float(lens.smallest_f_number) * setup.factor
    circle = _circle(setup, wanted)
    pupil_ratio = float(lens.pupil_ratio)
    best = None
    if wanted.depth_m is not None and math.isfinite(wanted.depth_m):
        needed = f_number_for_depth(acting, circle, object_m, wanted.depth_m) / share
        best = _best_stop(wanted.depth_m, needed, m, share, pupil_ratio, circle, (widest, smallest), shot.plan.units)
    n = chosen if chosen is not None else best.needed if best is not None and best.needed is not None else widest
    near, far, _ = depth(acting, n * share, circle, object_m)
    light = 1.0 + m / pupil_ratio
    return CloseUp(
        setup, hold, m, o.focal_m, acting, n, widest, share, n * share * light, 2.0 * math.log2(light), far - near,
        circle, airy_at_m(n * share, m, pupil_ratio), _room(shot, wanted, setup, distance), best,
    )  # fmt: skip


def _circle(setup: Setup, wanted: Wanted) -> float:
    if wanted.circle_rule == "pixel":
        return 2.0 * setup.pixel_m
    return setup.print_circle_m if wanted.circle_m is None else wanted.circle_m


def _best_stop(
    depth_m: float, needed: float, m: float, share: float, pupil_ratio: float, circle: float,
    ends: tuple[float, float], units: str,
) -> BestStop:  # fmt: skip
    widest, smallest = ends
    third = f_number_third_up(needed) if needed > widest else widest
    within = third <= smallest * _MARK_SLACK
    sharpest = min(max(sharpest_f_number(depth_m, m, pupil_ratio) / share, widest), smallest)
    return BestStop(
        depth_m, third if within else None, airy_at_m(third * share, m, pupil_ratio) if within else None, sharpest,
        end_blur_m(depth_m, sharpest * share, m), airy_at_m(sharpest * share, m, pupil_ratio), circle, units,
    )  # fmt: skip


def _room(shot: TripShot, wanted: Wanted, setup: Setup, distance: float) -> Room:
    """Distance from the sensor plane less lens, tubes and hood, as far as the profile gives them."""
    lens = setup.lens
    planned = None if wanted.distance is None or shot.found.shot.distance is None else wanted.distance[0]
    date = shot.found.when.date() if shot.found.when is not None else shot.found.shot.date or shot.plan.date
    leave = leave_to_go(wanted, distance, shot.setting.countries, date, shot.setting.catalogue, shot.plan.units)
    if lens.length is None:
        return Room(distance, distance, SENSOR, planned, leave, shot.plan.units, ())
    hood = 0.0 if lens.hood is None else float(lens.hood)
    room = distance - float(lens.length) - setup.tube_m - hood
    uncounted = ["the depth of the mount (2-5 cm)"]
    if setup.converter is not None:
        uncounted.append("the converter's length")
    return Room(distance, room, HOOD if hood else LENS, planned, leave, shot.plan.units, tuple(uncounted))
