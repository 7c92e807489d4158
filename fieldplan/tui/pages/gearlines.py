"""Lines of the Gear page: what the profile holds, kind by kind, with key figures, and what reaches what."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from fieldplan.model.forms import text_of
from fieldplan.model.gear import LISTS, Item, Profile
from fieldplan.model.schema import KeyPath
from fieldplan.notation.display import focal_text
from fieldplan.notation.numbers import trimmed
from fieldplan.pictures.cells import Row
from fieldplan.planner.rigs import Rig
from fieldplan.tui.rows import crop, safe

KINDS = {key: key.replace("close_up", "close-up").replace("_", " ") for key in LISTS}
MOUNTED = ("body", "lens", "converter", "tube")
# A record of each kind that can stand by itself: sizes as common as any, to be changed at once.
FRESH: dict[str, dict[str, Any]] = {
    "body": {"sensor": "36x24 mm", "pixels": "6000x4000"},
    "lens": {"focal": "50 mm", "f_number": "2"},
    "converter": {"factor": "1.4"},
    "tube": {"length": "25 mm"},
    "close_up_lens": {"power": "2"},
    "flash": {"guide_number": "24 m"},
}


class Place(NamedTuple):
    """A line of the list: the profile (kind ""), a record, or a kind without any (at None)."""

    kind: str
    at: int | None

    @property
    def path(self) -> KeyPath | None:
        """Where it lies in the profile; None where there is nothing to edit."""
        return () if not self.kind else None if self.at is None else (self.kind, self.at)


def places(profile: Profile) -> list[Place]:
    """The lines of the list, kind by kind."""
    found = [Place("", None)]
    for kind, (attribute, _) in LISTS.items():
        count = len(getattr(profile, attribute))
        found += [Place(kind, index) for index in range(count)] or [Place(kind, None)]
    return found


def figures(profile: Profile, place: Place, add: str) -> str:
    """The key figures of a record, as they were typed. add: the key that adds one."""
    if not place.kind:
        shake = trimmed(profile.photographer.shake, 2)
        return f"units {profile.units}, shake factor {shake}"
    item = item_at(profile, place)
    if item is None:
        return f"none; {add} adds one"

    def typed(key: str) -> str:
        return safe(text_of(item, key))

    parts = []
    match place.kind:
        case "body":
            parts = [typed("sensor"), f"{typed('pixels')} pixels"]
        case "lens":
            covers = typed("covers")
            parts = [f"{typed('focal')} f/{typed('f_number').removeprefix('f/')}", f"covers {covers}" if covers else ""]
        case "converter":
            parts = [f"factor {typed('factor').removesuffix('x')}"]
        case "tube":
            parts = [typed("length")]
        case "close_up_lens":
            parts = [f"{typed('power')} dioptres"]
        case "flash":
            parts = [f"guide number {typed('guide_number')}"]
        case "support":
            parts = [f"shake factor {typed('shake') or '0'}"]
        case "extra":
            parts = [f"for {typed('for')}" if typed("for") else ""]
    if place.kind in MOUNTED:
        parts.append(f"mount {typed('mount')}")
    return ", ".join(part for part in parts if part)


def item_at(profile: Profile, place: Place) -> Item | None:
    """The record of a line."""
    if not place.kind or place.at is None:
        return None
    held: Sequence[Item] = getattr(profile, LISTS[place.kind][0])
    return held[place.at] if place.at < len(held) else None


def reach_rows(rigs: Sequence[Rig], width: int, most: int) -> list[Row]:
    """A row for each of so many bodies at most."""
    by_body: dict[str, list[Rig]] = {}
    for rig in rigs:
        by_body.setdefault(rig.body, []).append(rig)
    rows = [reach_row(body, held, width) for body, held in list(by_body.items())[:most]]
    if len(by_body) > most:
        rows[-1] = ((crop(f"and {len(by_body) - most + 1} more bodies", width), "dim"),)
    return rows or [(("no lens here fits a body: check mounts and what the lenses cover", "warn"),)]


def reach_row(body: str, rigs: Sequence[Rig], width: int) -> Row:
    """Shortest and longest focal length on a body, and what the longest is made of."""
    longest = max(rigs, key=lambda rig: rig.law.long_m * rig.factor)
    shortest = min(rigs, key=lambda rig: rig.law.short_m * rig.factor)
    near, far = shortest.law.short_m * shortest.factor, longest.law.long_m * longest.factor
    made_of = " + ".join(safe(part) for part in (longest.lens, longest.converter) if part)
    text = f"{focal_text(near)} to {focal_text(far)} ({made_of})"
    if abs(longest.crop - 1.0) > 0.02:
        text += f", as wide as {focal_text(far * longest.crop)} on 36x24"
    return (("reach ", "label"), (crop(f"{safe(body)}: {text}", width - 6), ""))
