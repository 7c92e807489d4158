"""Gear that picture files name and the profile does not hold, as entries of a profile to be completed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.model.tomltext import literal
from fieldplan.notation.marks import written_f
from fieldplan.notation.numbers import trimmed
from fieldplan.planner.owned import names_of, plain
from fieldplan.planner.seen import Seen, diagonal_m, sensor_of

_LEAST_M = 0.001  # focal lengths below it a profile does not take


class Offer(NamedTuple):
    """One entry. kind: "body" or "lens"; fields: (key, value as text or None, what is said beside it).

    A value of None is for the photographer to fill in.
    """

    kind: str
    name: str
    pictures: int
    fields: tuple[tuple[str, str | None, str], ...]

    @property
    def blanks(self) -> tuple[str, ...]:
        """Keys still to be filled in."""
        return tuple(key for key, value, _ in self.fields if value is None)


def offers(pictures: Sequence[Seen], profile: Profile | None) -> tuple[Offer, ...]:
    """Bodies, then lenses, that the profile does not hold by that name; the most used first."""
    held_bodies = {plain(name) for body in profile.bodies for name in names_of(body)} if profile is not None else set()
    held_lenses = {plain(name) for lens in profile.lenses for name in names_of(lens)} if profile is not None else set()
    bodies = _groups(pictures, "body", held_bodies)
    lenses = _groups(pictures, "lens", held_lenses)
    return (*(_body(name, group) for name, group in bodies), *(_lens(name, group) for name, group in lenses))


def toml_of(offer: Offer) -> str:
    """The entry as lines of a profile; a blank stands as "" with what to write beside it, and is refused as it is."""
    lines = [f"[[{offer.kind}]]", f"name = {literal(offer.name)}"]
    for key, value, said in offer.fields:
        lines.append(f"{key} = {literal(value or '')}" + (f"  # {said}" if said else ""))
    return "\n".join(lines) + "\n"


def _groups(pictures: Sequence[Seen], part: str, held: set[str]) -> list[tuple[str, list[Seen]]]:
    found: dict[str, list[Seen]] = {}
    for seen in pictures:
        name = getattr(seen, part)
        if name is not None and plain(name) not in held:
            found.setdefault(name, []).append(seen)
    return sorted(found.items(), key=lambda pair: (-len(pair[1]), pair[0]))


def _body(name: str, group: list[Seen]) -> Offer:
    pixels = max((seen.pixels for seen in group if seen.pixels is not None), key=lambda p: p[0] * p[1], default=None)
    found = [sensor for seen in group if (sensor := sensor_of(seen)) is not None]
    planes = [sides for sides, source in found if source.startswith("focal-plane")]
    sides = _middle(planes) or _middle([sides for sides, _ in found])
    source = next((source for held, source in found if held == sides), "")
    size = None if sides is None else f"{trimmed(sides[0] * 1000.0, 1)}x{trimmed(sides[1] * 1000.0, 1)} mm"
    wide = None if pixels is None else f"{max(pixels)}x{min(pixels)}"
    return Offer("body", name, len(group), (
        ("sensor", size, f"from the {source}; compare with the handbook" if size else 'to fill in, as "36x24 mm"'),
        ("pixels", wide, "of the largest picture" if wide else 'to fill in, as "6000x4000"'),
        ("mount", None, "to fill in: the same word on the body and on the lenses that fit it"),
    ))  # fmt: skip


def _middle(sizes: Iterable[tuple[float, float]]) -> tuple[float, float] | None:
    """The size with the middle diagonal, so that single odd files do not count."""
    ranked = sorted(sizes, key=diagonal_m)
    return ranked[len(ranked) // 2] if ranked else None


def _lens(name: str, group: list[Seen]) -> Offer:
    said = next((seen.lens_range for seen in group if seen.lens_range is not None), None)
    focals = [seen.focal_m for seen in group if seen.focal_m is not None and seen.focal_m >= _LEAST_M]
    apertures = [seen.f_number for seen in group if seen.f_number is not None]
    focal, focal_said = None, 'to fill in, as "150-600 mm"'
    widest, widest_said = None, 'to fill in, as "5-6.3"'
    if said is not None and said.short_m >= _LEAST_M:
        focal, focal_said = f"{_ends(said.short_m * 1000.0, said.long_m * 1000.0)} mm", "as the lens says"
    elif focals:
        focal, focal_said = f"{_ends(min(focals) * 1000.0, max(focals) * 1000.0)} mm", "as far as used; see the lens"
    if said is not None and said.f_short is not None:
        widest, widest_said = _widest(said.f_short, said.f_long or said.f_short)
    elif apertures:
        widest, widest_said = written_f(min(apertures)), "the widest used; see the lens"
    return Offer("lens", name, len(group), (
        ("focal", focal, focal_said),
        ("f_number", widest, widest_said),
        ("mount", None, "to fill in: the same word as on the body that it fits"),
    ))  # fmt: skip


def _widest(short: float, long: float) -> tuple[str, str]:
    """Widest f-numbers at both ends; a file in which the long end is the wider one gives them the wrong way round."""
    first, last = written_f(short), written_f(long)
    if short > long:
        return last, f"the lens says {first}-{last}: see the lens"
    return (first if first == last else f"{first}-{last}"), "as the lens says"


def _ends(low: float, high: float) -> str:
    first, last = trimmed(low, 2), trimmed(high, 2)
    return first if first == last else f"{first}-{last}"
