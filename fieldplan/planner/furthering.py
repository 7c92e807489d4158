"""What each further item buys beside a bag: pictures gained by name, or a better answer to one that it has."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import size_text, weight_text
from fieldplan.notation.marks import iso_mark, stops_text
from fieldplan.planner.answers import Answer
from fieldplan.planner.bagsearch import bits
from fieldplan.planner.packing import Packing, Want, ways_within
from fieldplan.planner.ranking import order

_LEAST_STOPS = 0.3  # a third of a stop of ISO, the least that is told
_LEAST_PIXELS = 1.1  # a tenth more pixels


class Further(NamedTuple):
    """One more item, or several that go together: kilograms, pictures gained, and what becomes better."""

    items: tuple[str, ...]
    weight_kg: float
    gains: tuple[str, ...]
    better: tuple[str, ...]
    units: str

    @property
    def text(self) -> str:
        """ "1.4x, 0.2 kg: buys heron in flight"."""
        what = []
        if self.gains:
            what.append(f"buys {', '.join(self.gains)}")
        what += self.better
        said = "; ".join(what) if what else "buys nothing for these pictures"
        return f"{' + '.join(self.items)}, {weight_text(self.weight_kg, self.units)}: {said}"


def further_items(packing: Packing, packed: int, allowed: int) -> tuple[Further, ...]:
    """Every allowed item not packed, and the lightest set of several for each picture that no single one buys.

    Those that buy a picture come first, lightest first.
    """
    additions = {1 << i for i in bits(allowed & ~packed)}
    for want in packing.wants:
        if want.done_by(packed) is None:
            more = [way & ~packed for way in ways_within(want, allowed)]
            if more:
                additions.add(min(more, key=lambda items: (_weight(packing, items), items)))
    tried = {items: _further(packing, packed, items) for items in sorted(additions)}
    several = [items for items, f in tried.items() if items.bit_count() > 1 and f.gains]

    def idle(items: int, further: Further) -> bool:
        """Buys nothing by itself, but is part of several that do."""
        return not further.gains and not further.better and any(items & more for more in several)

    found = [f for items, f in tried.items() if not idle(items, f)]
    return tuple(sorted(found, key=lambda f: (not f.gains, not f.better, f.weight_kg, f.items)))


def _weight(packing: Packing, items: int) -> float:
    return sum(packing.things[i].weight_kg for i in bits(items))


def _further(packing: Packing, packed: int, items: int) -> Further:
    names = tuple(packing.things[i].name for i in bits(items))
    gains = tuple(w.shot for w in packing.wants if w.done_by(packed) is None and w.done_by(packed | items) is not None)
    better = tuple(text for want in packing.wants if (text := _better(want, packed, items)) is not None)
    return Further(names, _weight(packing, items), gains, better, packing.units)


def _better(want: Want, packed: int, items: int) -> str | None:
    """What a picture that the bag takes already gains by more items."""
    before, after = want.done_by(packed), want.done_by(packed | items)
    if before is None or after is None or not order(after) < order(before):
        return None
    stops, pixels = iso_stops(before, after), pixel_ratio(before, after)
    told = []
    if stops is not None and stops >= _LEAST_STOPS and before.iso is not None and after.iso is not None:
        told.append(f"ISO {iso_mark(after.iso)} instead of {iso_mark(before.iso)} ({stops_text(stops)})")
    if pixels is not None and pixels >= _LEAST_PIXELS and after.pixels_on_subject is not None:
        told.append(f"{size_text(after.pixels_on_subject)} pixels on the subject instead of "
                    f"{size_text(before.pixels_on_subject or 0.0)}")  # fmt: skip
    return f"{want.shot}: {', '.join(told)}" if told else None


def iso_stops(before: Answer, after: Answer) -> float | None:
    """Stops of ISO saved by the second answer."""
    return None if not before.iso or not after.iso else math.log2(before.iso / after.iso)


def pixel_ratio(before: Answer, after: Answer) -> float | None:
    """Pixels on the subject of the second answer over those of the first, along one side."""
    if not before.pixels_on_subject or not after.pixels_on_subject:
        return None
    return after.pixels_on_subject / before.pixels_on_subject
