"""Which body, lens, converter, tubes and close-up lens go together: the one rule for every list of combinations."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from fieldplan.model.gear import Body, CloseUpLens, Converter, Item, Lens, Profile, Tube
from fieldplan.optics import formats
from fieldplan.optics.framing import LensLaw

_STEPS = 8  # steps of a zoom that is looked at through its range


@dataclass(frozen=True, slots=True)
class Combination:
    """Things that are put together. frame: sides that the body records with this lens [m]."""

    body: Body
    lens: Lens
    frame: tuple[float, float]
    converter: Converter | None = None
    tubes: tuple[Tube, ...] = ()
    close_up_lens: CloseUpLens | None = None

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
        return sum((float(tube.length) for tube in self.tubes), 0.0)

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


def combined(profile: Profile, most_tubes: int, candidates: bool = False) -> Iterator[Combination]:
    """Every combination that mounts, coverage and the lenses' lists of converters allow.

    most_tubes: how many may be stacked. candidates: also what is not owned (whatever is marked owned = false).
    """

    def held(item: Item) -> bool:
        return item.owned or candidates

    close_ups = (None, *filter(held, profile.close_up_lenses))
    for body in filter(held, profile.bodies):
        for lens in filter(held, profile.lenses):
            frame = recorded_frame(body, lens)
            if frame is None or not mounts(body, lens):
                continue
            converters = [c for c in profile.converters
                          if held(c) and c.name in lens.converters and c.mount == lens.mount]  # fmt: skip
            tubes = [tube for tube in profile.tubes if held(tube) and tube.mount == lens.mount]
            stacks = [stack for count in range(most_tubes + 1) for stack in combinations(tubes, count)]
            for converter in (None, *converters):
                for stack in stacks:
                    for close_up in close_ups:
                        yield Combination(body, lens, frame, converter, stack, close_up)


def mounts(body: Body, lens: Lens) -> bool:
    """Whether the lens goes onto the body."""
    return lens.mount in {body.mount, *body.also_takes}


def recorded_frame(body: Body, lens: Lens) -> tuple[float, float] | None:
    """Sides of the frame that the body records with this lens [m]; None where the lens covers none of its formats.

    A lens fits while the frame's diagonal is at most 1.03 times the diagonal that it covers.
    """
    sizes = [(body.sensor.width, body.sensor.height)]
    crops = [(f.width, f.height) for f in body.cropped_formats]
    sizes += sorted(crops, key=lambda s: -formats.diagonal_m(*s))
    if lens.covers is None:
        return sizes[0]
    reach = formats.diagonal_m(lens.covers.width, lens.covers.height) * formats.COVERAGE_SLACK
    return next((s for s in sizes if formats.diagonal_m(*s) <= reach), None)


def law_of(lens: Lens) -> LensLaw:
    """How the lens focuses, as far as the profile gives it."""
    closest, largest = lens.closest_focus, lens.largest_magnification
    return LensLaw(lens.focal.low, lens.focal.high, None if closest is None else float(closest),
                   None if largest is None else float(largest))  # fmt: skip


def settings_of(law: LensLaw) -> list[float]:
    """Focal lengths through the range of a lens, the shortest first; of a prime its one."""
    if law.short_m == law.long_m:
        return [law.long_m]
    ratio = law.long_m / law.short_m
    return [law.short_m * ratio ** (i / _STEPS) for i in range(_STEPS)] + [law.long_m]
