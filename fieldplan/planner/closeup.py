"""Close-ups: which combination draws how large, from how near the lens, with what light lost, depth and diffraction."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.notation.display import circle_text, figures, length_text
from fieldplan.notation.marks import f_mark, stops_text
from fieldplan.notation.scales import scale_text
from fieldplan.optics.closeup import airy_at_m, end_blur_m, sharpest_f_number
from fieldplan.optics.depth import depth, f_number_for_depth
from fieldplan.optics.exposure import MARK_SLACK, f_number_third_down
from fieldplan.optics.framing import Optic
from fieldplan.optics.zoom import widest_f_number
from fieldplan.planner.answers import Wanted
from fieldplan.planner.closeparts import HOOD, LENS, SENSOR, BestStop, Room
from fieldplan.planner.closesetups import Setup, drawn_at
from fieldplan.planner.leave import leave_to_go
from fieldplan.planner.limits import circle_wanted, set_third
from fieldplan.planner.trip import TripShot

_TWICE = 2.0
_DEEP_ENOUGH = 0.95  # share of the wanted depth from which nothing is said


class CloseUp(NamedTuple):
    """One combination at one magnification. Lengths in metres; f_number is the marked one (the converter's included).

    f_number_factor: pupil's over marked f-number, under 1 with a close-up lens. wanted_depth_m: None where none is.
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
    depth_m: float
    circle_m: float
    airy_m: float
    room: Room
    best_stop: BestStop | None
    wanted_depth_m: float | None = None

    @property
    def label(self) -> str:
        return self.setup.label

    @property
    def light_lost_stops(self) -> float:
        """Light lost against the f-number that stands on the lens [stops]: twice log2 of effective over marked."""
        return 2.0 * math.log2(self.effective_f_number / self.f_number)

    @property
    def smallest_f_number(self) -> float:
        """Marked, the converter's included; printed ones stand for the third nearest to them."""
        return float(self.setup.lens.smallest_f_number) * self.setup.factor * MARK_SLACK

    @property
    def sharp_f_number(self) -> float:
        """The smallest stop, a third, at which the Airy disc is no wider than the circle, as far as the lens goes."""
        whole = self.f_number * self.circle_m / self.airy_m
        return max(self.widest_f_number, min(f_number_third_down(whole), self.smallest_f_number))

    def stopped(self, f_number: float) -> CloseUp:
        """The same at another marked f-number."""
        times, acting = f_number / self.f_number, self.acting_focal_m
        near, far, _ = depth(acting, f_number * self.f_number_factor, self.circle_m,
                             acting * (1.0 + 1.0 / self.magnification))  # fmt: skip
        return self._replace(f_number=f_number, effective_f_number=self.effective_f_number * times,
                             depth_m=far - near, airy_m=self.airy_m * times)  # fmt: skip

    @property
    def depth_text(self) -> str:
        """The depth; where it falls short, of what was wanted."""
        told = length_text(self.depth_m, self.room.units)
        wanted = self.wanted_depth_m
        if wanted is None or self.depth_m >= wanted * _DEEP_ENOUGH:
            return told
        return f"{told} of the {length_text(wanted, self.room.units)} wanted"

    @property
    def text(self) -> str:
        """One line: scale, light, depth, room."""
        lost = f", {stops_text(self.light_lost_stops)} lost" if self.light_lost_stops >= 0.05 else ""
        airy = self.airy_m / self.setup.pixel_m
        acts = f"{f_mark(self.f_number)} acts as f/{figures(self.effective_f_number)}{lost}"
        deep = f"depth {self.depth_text} ({circle_text(self.circle_m)}), Airy disc {airy:.1f} pixels"
        return f"{scale_text(self.magnification)}, {acts}, {deep}; {self.room.text}"


def wanted_magnifications(setup: Setup, wanted: Wanted) -> tuple[tuple[float, str], ...]:
    """(magnification that fills as wanted, way of holding), the largest first; empty without a size or a share.

    A magnification asked for by itself comes before a share.
    """
    if wanted.magnification is not None:
        return tuple((wanted.magnification, hold) for hold in wanted.holds)
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


ORDER = "room enough, owned, the depth in one frame (sharp, else at all), least put on, most room, lightest"


class Missed(NamedTuple):
    """A combination that does not draw as large, or as small, as wanted: what it draws at most, or at least."""

    setup: Setup
    wanted: float
    nearest: float

    @property
    def stops_short(self) -> float:
        """How far off, as the absolute logarithm of the ratio."""
        return abs(math.log(self.wanted / self.nearest))

    @property
    def text(self) -> str:
        end, way = ("most", "larger") if self.nearest < self.wanted else ("least", "smaller")
        times = max(self.wanted / self.nearest, self.nearest / self.wanted)
        much = f"{figures((times - 1.0) * 100.0)} %" if times < _TWICE else f"{figures(times)} times"
        return f"{scale_text(self.nearest)} at {end}; {scale_text(self.wanted)} would be {much} {way}"


def missed(shot: TripShot, combinations: Sequence[Setup]) -> tuple[Missed, ...]:
    """Combinations that draw at no wanted magnification, those that miss by least first."""
    wanted = shot.found.wanted
    found = []
    for setup in combinations:
        aims = () if wanted is None else wanted_magnifications(setup, wanted)
        low, high = setup.magnifications
        if not aims or high <= 0.0 or any(drawn_at(setup, m) is not None for m, _ in aims):
            continue
        tried = [Missed(setup, m, high if m > high else max(low, 1e-9)) for m, _ in aims if not low <= m <= high]
        if tried:
            found.append(min(tried, key=lambda miss: miss.stops_short))
    return tuple(sorted(found, key=lambda miss: (round(miss.stops_short, 6), not miss.setup.owned,
                                                 len(miss.setup.parts), miss.setup.label)))  # fmt: skip


def close_ups(
    shot: TripShot, combinations: Sequence[Setup], magnification: float | None = None, f_number: float | None = None
) -> tuple[CloseUp, ...]:
    """Each combination that draws as large as wanted, best first: see ``ORDER``.

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
            found.append(close_up_of(shot, setup, o, (distance, m), hold, f_number))
    return tuple(sorted(found, key=_order))


def _order(c: CloseUp) -> tuple[bool, bool, bool, bool, int, float, float, str]:
    weight = c.setup.weight_kg
    return (not c.room.enough, not c.setup.owned, c.best_stop is not None and not c.best_stop.holds,
            c.best_stop is not None and c.best_stop.needed is None, len(c.setup.parts),
            -round(c.room.working_m, 3),
            math.inf if weight is None else weight, c.label)  # fmt: skip


def close_up_of(
    shot: TripShot, setup: Setup, o: Optic, drawn: tuple[float, float], hold: str, chosen: float | None
) -> CloseUp:
    """One combination at one setting. drawn: distance from the sensor plane [m] and the magnification there.

    chosen: marked f-number; left out: the third that gives the wanted depth, else the widest. The shot is one that
    could be looked up.
    """
    wanted = shot.found.wanted
    assert wanted is not None
    distance, m = drawn
    lens = setup.lens
    acting = distance * m / (1.0 + m) ** 2
    object_m = acting * (1.0 + 1.0 / m)
    bare_m = m / setup.factor if setup.converter is not None and (o.tube_m or o.power_d) else m
    share = 1.0 - distance * bare_m / (1.0 + bare_m) ** 2 * setup.power_d
    widest = setup.factor * widest_f_number(
        lens.focal.low, lens.focal.high, lens.f_number.low, lens.f_number.high, o.focal_m / setup.factor
    )
    smallest = float(lens.smallest_f_number) * setup.factor
    circle = circle_wanted(wanted, setup.print_circle_m, setup.pixel_m)
    pupil_ratio = float(lens.pupil_ratio)
    best = None
    if wanted.depth_m is not None and math.isfinite(wanted.depth_m):
        needed = f_number_for_depth(acting, circle, object_m, wanted.depth_m) / share
        best = _best_stop(wanted.depth_m, needed, m, share, pupil_ratio, circle, (widest, smallest), shot.plan.units)
    n = chosen if chosen is not None else best.needed if best is not None and best.needed is not None else widest
    near, far, _ = depth(acting, n * share, circle, object_m)
    light = 1.0 + m / pupil_ratio
    return CloseUp(
        setup, hold, m, o.focal_m, acting, n, widest, share, n * share * light, far - near,
        circle, airy_at_m(n * share, m, pupil_ratio), _room(shot, wanted, setup, distance), best, wanted.depth_m,
    )  # fmt: skip


def _best_stop(
    depth_m: float, needed: float, m: float, share: float, pupil_ratio: float, circle: float,
    ends: tuple[float, float], units: str,
) -> BestStop:  # fmt: skip
    widest, smallest = ends
    third = set_third(needed, widest)
    within = third <= smallest * MARK_SLACK
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
    uncounted = [f"the depth of the mount ({'0.8-2 in' if shot.plan.units == 'imperial' else '2-5 cm'})"]
    if setup.converter is not None:
        uncounted.append("the converter's length")
    return Room(distance, room, HOOD if hood else LENS, planned, leave, shot.plan.units, tuple(uncounted))
