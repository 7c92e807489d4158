"""Every combination of body, lens, converter, tubes and close-up lens, and the magnifications that each can draw."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from fieldplan.model.gear import Body, CloseUpLens, Converter, Item, Lens, Profile, Tube
from fieldplan.optics import formats
from fieldplan.optics.framing import INFINITY, LensLaw, Optic, distance_for, largest_magnification, optic
from fieldplan.planner.rigs import recorded_frame

_SETTINGS = 8  # steps of a zoom
MOST_TUBES = 2  # stacked


class Setup(NamedTuple):
    """One combination. optics: at its settings, the longest first. Lengths in metres.

    magnifications: the smallest, at the farthest that it focuses (0: to infinity), and the largest.
    """

    body: Body
    lens: Lens
    converter: Converter | None
    tubes: tuple[Tube, ...]
    close_up_lens: CloseUpLens | None
    frame: tuple[float, float]
    optics: tuple[Optic, ...]
    magnifications: tuple[float, float]

    @property
    def parts(self) -> tuple[Item, ...]:
        """Body, lens, and what is put on, as far as there is any."""
        more: tuple[Item | None, ...] = (self.close_up_lens, *self.tubes, self.converter)
        return (self.body, self.lens, *(item for item in more if item is not None))

    @property
    def label(self) -> str:
        return " + ".join(item.name for item in self.parts)

    @property
    def factor(self) -> float:
        return 1.0 if self.converter is None else float(self.converter.factor)

    @property
    def tube_m(self) -> float:
        return sum(float(tube.length) for tube in self.tubes)

    @property
    def power_d(self) -> float:
        return 0.0 if self.close_up_lens is None else float(self.close_up_lens.power)

    @property
    def weight_kg(self) -> float | None:
        """Of all parts [kg]; None where one is not known."""
        weights = [None if item.weight is None else float(item.weight) for item in self.parts]
        return None if any(w is None for w in weights) else sum(w for w in weights if w is not None)

    @property
    def owned(self) -> bool:
        return all(item.owned for item in self.parts)

    @property
    def pixel_m(self) -> float:
        return float(self.body.sensor.width) / float(self.body.pixels.width)

    @property
    def print_circle_m(self) -> float:
        return formats.print_circle_m(*self.frame)


def setups(profile: Profile, candidates: bool = False) -> tuple[Setup, ...]:
    """Every combination that mounts, coverage and the lenses' lists of converters allow; at most two tubes stacked.

    candidates: also what is not owned.
    """
    return tuple(_setups(profile, candidates))


def _setups(profile: Profile, candidates: bool) -> Iterator[Setup]:
    def held(item: Item) -> bool:
        return item.owned or candidates

    for body in filter(held, profile.bodies):
        for lens in filter(held, profile.lenses):
            frame = recorded_frame(body, lens)
            if lens.mount not in {body.mount, *body.also_takes} or frame is None:
                continue
            converters = [c for c in profile.converters
                          if held(c) and c.name in lens.converters and c.mount == lens.mount]  # fmt: skip
            tubes = [tube for tube in profile.tubes if held(tube) and tube.mount == lens.mount]
            stacks = [stack for count in range(MOST_TUBES + 1) for stack in combinations(tubes, count)]
            for converter in (None, *converters):
                for stack in stacks:
                    for close_up in (None, *filter(held, profile.close_up_lenses)):
                        yield _setup(body, lens, converter, stack, close_up, frame)


def _setup(
    body: Body, lens: Lens, converter: Converter | None, tubes: tuple[Tube, ...], close_up: CloseUpLens | None,
    frame: tuple[float, float],
) -> Setup:  # fmt: skip
    law = LensLaw(
        lens.focal.low,
        lens.focal.high,
        None if lens.closest_focus is None else float(lens.closest_focus),
        None if lens.largest_magnification is None else float(lens.largest_magnification),
    )
    bare = Setup(body, lens, converter, tubes, close_up, frame, (), (0.0, 0.0))
    optics = tuple(optic(law, setting, bare.factor, bare.tube_m, bare.power_d) for setting in _settings(law))
    usable = tuple(o for o in optics if o.nearest_m < INFINITY)
    low = min((_smallest(o) for o in usable), default=0.0)
    high = max((_largest(law, o) for o in usable), default=0.0)
    return bare._replace(optics=usable, magnifications=(low, high))


def _settings(law: LensLaw) -> list[float]:
    """Focal lengths of the lens, the longest first."""
    if law.short_m == law.long_m:
        return [law.long_m]
    ratio = law.long_m / law.short_m
    return [law.long_m, *(law.short_m * ratio ** (i / _SETTINGS) for i in range(_SETTINGS - 1, -1, -1))]


def _smallest(o: Optic) -> float:
    """The smallest magnification: at one end of the lens's own focusing, 0 where that reaches infinity.

    f' = f/(1 + f q) behind an image distance f(1 + own) + tube draws (1 + own + tube/f)(1 + f q) - 1.
    """
    ends = []
    for own in (0.0, o.own_limit):
        f = o.focal_m / o.behind - o.slope_m * own
        ends.append(o.behind * ((1.0 + own + o.tube_m / f) * (1.0 + f * o.power_d) - 1.0))
    return max(0.0, min(ends))


def _largest(law: LensLaw, o: Optic) -> float:
    """The largest magnification; a bare lens whose maker names no closest focus is not counted past it."""
    if law.closest_m is None and not o.tube_m and not o.power_d:
        return 0.0
    return largest_magnification(o)


def drawn_at(setup: Setup, magnification: float) -> tuple[Optic, float] | None:
    """The longest setting that draws at a magnification, and the distance from the sensor plane [m]; None if none."""
    if magnification > setup.magnifications[1] * (1.0 + 1e-9):
        return None
    for o in setup.optics:
        distance = distance_for(o, magnification)
        if distance is not None:
            return o, distance
    return None
