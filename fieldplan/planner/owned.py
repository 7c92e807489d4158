"""Which of the profile's gear a name in a picture file means: by its own name, or by one that it is known as."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from fieldplan.model.gear import Body, Item, Lens, Profile
from fieldplan.model.taken import LogEntry
from fieldplan.planner.seen import Seen, diagonal_m, sensor_of

_SAME_SIZE = 0.03  # sides of a sensor as files and handbooks give them
_SAME_FOCAL = 0.02


def plain(name: str) -> str:
    """A name as it is compared: without letter case and blanks."""
    return "".join(name.casefold().split())


def names_of(item: Item) -> tuple[str, ...]:
    """Its own name, and those it is known as in files."""
    return (item.name, *getattr(item, "known_as", ()))


def owned_name(name: str | None, items: Iterable[Item]) -> str | None:
    """The profile's name for what a file or an entry of the log names; the name itself where it holds no such thing."""
    if name is None:
        return None
    return next((item.name for item in items if plain(name) in map(plain, names_of(item))), name)


def as_owned(entry: LogEntry, profile: Profile) -> LogEntry:
    """The entry with body and lens as the profile calls them."""
    body, lens = owned_name(entry.body, profile.bodies), owned_name(entry.lens, profile.lenses)
    if (body, lens) == (entry.body, entry.lens):
        return entry
    return entry.model_copy(update={"body": body, "lens": lens})


class SameThing(NamedTuple):
    """A name in files that may be something that the profile holds; why: what they have in common."""

    kind: str
    name: str
    held: str
    why: str

    @property
    def line(self) -> str:
        """In words, with what to write."""
        return f'"{self.name}" may be {self.held} ({self.why}): there, write known_as = ["{self.name}"]'


def same_things(pictures: Sequence[Seen], profile: Profile | None) -> tuple[SameThing, ...]:
    """Names in files that the profile does not hold, but whose sensor or focal lengths are those of something held."""
    if profile is None:
        return ()
    found: dict[tuple[str, str], SameThing] = {}
    for seen in pictures:
        for kind, name, items in (("body", seen.body, profile.bodies), ("lens", seen.lens, profile.lenses)):
            if name is None or (kind, name) in found or any(plain(name) in map(plain, names_of(i)) for i in items):
                continue
            for item in items:
                why = _common(seen, item)
                if why:
                    found[kind, name] = SameThing(kind, name, item.name, why)
                    break
    return tuple(found[key] for key in sorted(found))


def _common(seen: Seen, item: Item) -> str:
    if isinstance(item, Body):
        if seen.pixels is not None and sorted(seen.pixels) == sorted((item.pixels.width, item.pixels.height)):
            return "as many pixels"
        sensor = sensor_of(seen)
        own = diagonal_m((item.sensor.width, item.sensor.height))
        if sensor is not None and seen.pixels is None and abs(diagonal_m(sensor[0]) / own - 1.0) < _SAME_SIZE:
            return "a sensor of that size"
    if isinstance(item, Lens) and seen.lens_range is not None:
        ends = ((seen.lens_range.short_m, item.focal.low), (seen.lens_range.long_m, item.focal.high))
        if all(abs(a / b - 1.0) < _SAME_FOCAL for a, b in ends):
            return "the same focal lengths"
    return ""
