"""What another bag would gain: picture by picture, in stops of light and in pixels on the subject."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.planner.answers import Answer
from fieldplan.planner.bagaim import light_on_subject
from fieldplan.planner.bags import Bag, Side
from fieldplan.planner.furthering import pixel_ratio
from fieldplan.planner.packing import Packing, Want
from fieldplan.planner.ranking import order

LEAST_STOPS = 0.3  # a third of a stop, the least that is told
LEAST_PIXELS = 0.05  # a twentieth more or fewer pixels along the subject
_NO_LESS = 0.05  # stops: less is as good as the same


class PictureGain(NamedTuple):
    """One picture in two bags. answer, base: what each makes of it with most light on it, None where it cannot.

    light_stops: more light on the subject, whatever the format; pixels: times as many along a side. None where either
    bag cannot, or the light is not known. part: "nearly" or "partly" where the bag has it so, and not wholly.
    """

    shot: str
    must: bool
    answer: Answer | None
    base: Answer | None
    light_stops: float | None
    pixels: float | None
    part: str = ""

    @property
    def word(self) -> str:
        """ "gained", "lost", "nearly", "partly", "neither", "same" or "changed"."""
        if self.answer is None:
            return self.part or ("neither" if self.base is None else "lost")
        if self.base is None:
            return "gained"
        stops, pixels = abs(self.light_stops or 0.0), abs((self.pixels or 1.0) - 1.0)
        return "changed" if stops >= LEAST_STOPS or pixels >= LEAST_PIXELS else "same"


class Choice(NamedTuple):
    """One bag to choose: whole and within the limit, and what it makes of each picture against the first choice."""

    side: Side
    pictures: tuple[PictureGain, ...]

    @property
    def name(self) -> str:
        return self.side.name

    @property
    def bag(self) -> Bag:
        """What can be carried: the best of it within the limit where the whole is over it; else the whole."""
        return self.side.within or self.side.whole

    @property
    def whole(self) -> bool:
        """Whether that is everything."""
        return self.bag.items == self.side.whole.items

    def named(self, word: str) -> tuple[str, ...]:
        """Names of the pictures of which a word is true."""
        return tuple(p.shot for p in self.pictures if p.word == word)

    @property
    def most_stops(self) -> PictureGain | None:
        """The picture that gains the most light on the subject; None where none gains a third of a stop."""
        found = [p for p in self.pictures if (p.light_stops or 0.0) >= LEAST_STOPS]
        return max(found, key=lambda p: p.light_stops or 0.0, default=None)

    @property
    def most_pixels(self) -> PictureGain | None:
        """The picture that gains the most pixels; None where none gains a twentieth."""
        found = [p for p in self.pictures if (p.pixels or 1.0) - 1.0 >= LEAST_PIXELS]
        return max(found, key=lambda p: p.pixels or 1.0, default=None)


def light_stops(before: Answer, after: Answer) -> float | None:
    """Stops more light on the subject with the second answer; None where either is not known."""
    had, has = light_on_subject(before), light_on_subject(after)
    return None if had is None or has is None else has - had


def most_light(want: Want, items: int) -> Answer | None:
    """The answer of a bag that lays most light on the subject, to a third of a stop; of these the first in order.

    A larger format that is filled again collects more light at one ISO: the lowest ISO alone would not show it.
    """
    ways = [way.answer for way in want.ways if way.items & items == way.items]
    return min(ways, key=lambda a: (-round(3.0 * (light_on_subject(a) or 0.0)), order(a)), default=None)


def _better(want: Want, items: int, base: Answer) -> Answer | None:
    """What a bag makes of a picture, against an answer of another bag.

    The one with most light on it; where that is no third of a stop more, the one with most pixels at no less light;
    where that is no twentieth more, the same answer again if the bag holds it.
    """
    best = most_light(want, items)
    held = [way.answer for way in want.ways if way.items & items == way.items]
    if best is None or not any(answer is base for answer in held):
        return best
    if (light_stops(base, best) or 0.0) >= LEAST_STOPS:
        return best
    as_bright = [a for a in held if (stops := light_stops(base, a)) is None or stops > -_NO_LESS]
    most = max(as_bright, key=lambda a: pixel_ratio(base, a) or 1.0, default=base)
    return most if (pixel_ratio(base, most) or 1.0) >= 1.0 + LEAST_PIXELS else base


def choices_of(packing: Packing, sides: Sequence[Side]) -> tuple[Choice, ...]:
    """Each bag against the first one, both as they can be carried."""
    first: Bag | None = None
    found = []
    for side in sides:
        bag = side.within or side.whole
        first = first or bag
        gains = []
        for want in packing.wants:
            before = most_light(want, first.items)
            after = most_light(want, bag.items) if before is None else _better(want, bag.items, before)
            stops = light_stops(before, after) if before is not None and after is not None else None
            ratio = pixel_ratio(before, after) if before is not None and after is not None else None
            gains.append(PictureGain(want.shot, want.must, after, before, stops, ratio, want.part_by(bag.items)))
        found.append(Choice(side, tuple(gains)))
    return tuple(found)
