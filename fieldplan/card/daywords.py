"""The events of one day in words: sun, ground line, twilights, moon."""

from __future__ import annotations

from collections.abc import Iterable

from fieldplan.notation.display import bearing_text
from fieldplan.notation.marks import share_text
from fieldplan.planner.daylight import DayLight

TWILIGHTS = (("a", "astronomical"), ("n", "nautical"), ("c", "civil"))
Line = tuple[str, str]


def times_of(found: DayLight, name: str, bearing: bool = False) -> str:
    """The moments of an event: "06:26 (092)"; more than one with "and"; "" when it does not happen."""
    events = [event for event in (*found.events, *found.ground_events) if event.name == name]
    texts = [f"{found.day.minute(e.ut_s):%H:%M}" + (f" ({bearing_text(e.azimuth_deg)})" if bearing else "")
             for e in events]  # fmt: skip
    return " and ".join(texts)


def named(found: DayLight, names: Iterable[tuple[str, str]], bearing: bool = False) -> str:
    """ "rise 06:26 (092), set 18:10 (267)": the events of that name, each after its word."""
    pairs = [(word, times_of(found, name, bearing)) for word, name in names]
    return ", ".join(f"{word} {times}" for word, times in pairs if times)


def sun_text(found: DayLight) -> str:
    """Rise, highest, set, and when the sun is over the site's own ground line."""
    rise, highest = named(found, (("rise", "sunrise"),), True), named(found, (("highest", "sun_transit"),))
    down = named(found, (("set", "sunset"),), True)
    names = [event.name for event in found.ground_events if event.name.startswith("sun")]
    if names == ["sun_clears_ground", "sun_leaves_ground"]:
        ground = f"{times_of(found, names[0])}-{times_of(found, names[1])}"
    else:
        ground = named(found, (("clears", "sun_clears_ground"), ("leaves", "sun_leaves_ground")))
    return ", ".join(part for part in (rise, highest, down) if part) + (f"; ground line {ground}" if ground else "")


def moon_text(found: DayLight) -> str:
    """Rise, highest, set, how much is lit, the phase."""
    times = named(found, (("rise", "moonrise"), ("highest", "moon_transit"), ("set", "moonset")))
    lit = f"{share_text(found.phase.lit_fraction)} lit, {found.phase.name}"
    return "; ".join(part for part in (times, lit) if part)


def day_lines(found: DayLight) -> tuple[Line, ...]:
    """Sun, twilights, moon, and what does not happen, as lines of (label, text)."""
    twilights = [(name, times_of(found, f"{name}_dawn"), times_of(found, f"{name}_dusk")) for _, name in TWILIGHTS]
    told = [f"{name} {dawn or 'none'} and {dusk or 'none'}" for name, dawn, dusk in reversed(twilights) if dawn or dusk]
    lines = (("sun", sun_text(found)), ("twilight", ", ".join(told)), ("moon", moon_text(found)),
             ("today", "; ".join(found.sentences)))  # fmt: skip
    return tuple(line for line in lines if line[1])
