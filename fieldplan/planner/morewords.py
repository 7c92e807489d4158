"""More on one answer, in sections of (label, text): formats, converter, close-up, sweep, both ends."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.notation.display import figures
from fieldplan.notation.marks import f_mark, stops_text
from fieldplan.notation.scales import scale_text
from fieldplan.planner.answers import Answer
from fieldplan.planner.closesetups import Setup, setups
from fieldplan.planner.closeup import ORDER, CloseUp, close_ups, missed
from fieldplan.planner.rigs import Kit
from fieldplan.planner.shotmore import ShotMore, more_on
from fieldplan.planner.stacking import NO
from fieldplan.planner.trip import TripShot

Line = tuple[str, str]
_SETUPS_TOLD = 8
_MISSED_TOLD = 3


class Section(NamedTuple):
    """A heading and what stands under it."""

    title: str
    lines: tuple[Line, ...]


def sections(shot: TripShot, kit: Kit, answer: Answer) -> tuple[Section, ...]:
    """Everything that matters for one picture and one answer.

    kit: as the shot was assessed with; made with ``candidates=True`` it compares with what is not owned as well.
    """
    more = more_on(shot, kit, answer)
    found: list[Section] = []
    if more.close_up is not None:
        found.append(Section("close up", close_lines(more)))
        found.append(_setups(shot, kit, answer))
    if more.ends is not None:
        found.append(Section("both ends sharp", tuple(("", text) for text in more.ends.lines)))
    if more.sweep is not None:
        found.append(Section("no lens is wide enough: a sweep", tuple(("", text) for text in more.sweep.lines)))
    found += _converters(more, kit)
    found += _formats(more)
    return tuple(section for section in found if section.lines)


def close_lines(more: ShotMore) -> tuple[Line, ...]:
    """Scale, light, depth, room; the best f-number; aslant, sway, stack, flash."""
    close = more.close_up
    if close is None:
        return ()
    lost = close.light_lost_stops
    lines: list[Line] = [
        ("scale", f"{scale_text(close.magnification)}, {range_text(close.setup)}"),
        ("light", f"{f_mark(close.f_number)} acts as f/{figures(close.effective_f_number)}"
                  + (f", {stops_text(lost)} lost to the scale" if lost >= 0.05 else "")),
        ("depth", f"{close.depth_text}; Airy disc {figures(close.airy_m * 1e6)} um "
                  f"({close.airy_m / close.setup.pixel_m:.1f} pixels), circle {figures(close.circle_m * 1e6)} um"),
        ("room", close.room.text),
    ]  # fmt: skip
    if close.best_stop is not None:
        lines.append(("stop", close.best_stop.text))
    if more.inclined is not None:
        lines.append(("aslant", more.inclined.text))
    if more.swaying is not None:
        lines.append(("sway", more.swaying.text))
    if more.stack is not None:
        lines.append(("stack", more.stack.text))
    for flash in more.flashes:
        lines += [("flash" if i == 0 else "", text) for i, text in enumerate(flash.lines)]
    return tuple(lines)


def range_text(setup: Setup) -> str:
    """ "this combination draws 1:8 to 1.2:1"."""
    low, high = setup.magnifications
    start = "infinity" if low < 1e-6 else scale_text(low)
    return f"this combination draws from {start} to {scale_text(high)}" if high > 0.0 else "its range is not known"


def _reach(close: CloseUp) -> str:
    low, high = close.setup.magnifications
    return f"{'infinity' if low < 1e-6 else scale_text(low)} to {scale_text(high)}"


def _setups(shot: TripShot, kit: Kit, answer: Answer) -> Section:
    """Every combination that draws as large, best first, then those that miss, by how much; and what the order is."""
    assert answer.magnification is not None
    wanted = shot.found.wanted
    sized = wanted is not None and (wanted.fill is not None or wanted.magnification is not None) and (
        wanted.height or wanted.width)  # fmt: skip
    fitted = setups(kit.profile, candidates=True)
    found = close_ups(shot, fitted, None if sized else answer.magnification)
    near = missed(shot, fitted) if sized else ()
    lines: list[Line] = []
    for close in found[:_SETUPS_TOLD]:
        lines.append(("", f"{_named(close.setup)} [{_reach(close)}]: {close.text}"))
    if len(found) > _SETUPS_TOLD:
        lines.append(("", f"and {len(found) - _SETUPS_TOLD} more"))
    for miss in near[: max(_MISSED_TOLD, _SETUPS_TOLD - len(found))]:
        lines.append(("", f"{_named(miss.setup)} does not: {miss.text}"))
    if lines:
        lines.insert(0, ("", f"first what draws it as large, in the order of {ORDER}; then what misses by least"))
    aim = answer.magnification if wanted is None or wanted.magnification is None else wanted.magnification
    return Section(f"combinations for {scale_text(aim)}" if wanted is not None and wanted.magnification else
                   "combinations that draw it as large", tuple(lines))  # fmt: skip


def _named(setup: Setup) -> str:
    return setup.label + ("" if setup.owned else " (not owned)")


def _converters(more: ShotMore, kit: Kit) -> list[Section]:
    """Each converter that fits the answer's lens, against cropping."""
    zooms = {lens.name for lens in kit.profile.lenses if lens.focal.low != lens.focal.high}
    return [
        Section(f"{c.converted.converter} or cropping, {c.bare.lens}{' at its longest' * (c.bare.lens in zooms)} on "
                f"{c.bare.body}", tuple(("", text) for text in c.lines))
        for c in more.converters
    ]  # fmt: skip


def _formats(more: ShotMore) -> list[Section]:
    """The picture on each other body of the profile."""
    return [
        Section(f"the same picture on {c.second.body}{'' if c.second.owned else ' (not owned)'}",
                tuple(("", text) for text in c.lines))
        for c in more.formats
    ]  # fmt: skip


def brief_lines(more: ShotMore) -> tuple[Line, ...]:
    """What of it belongs on a card: close-up, stack, flash, the converter used, what closes a gap, both ends, sweep."""
    lines: list[Line] = []
    close = more.close_up
    if close is not None:
        lines.append(("close up", close.text))
        if close.best_stop is not None:
            lines.append(("stop", close.best_stop.text))
        elif more.inclined is not None and more.inclined.held_deg < more.inclined.angle_deg:
            lines.append(("aslant", more.inclined.text))
        if more.swaying is not None:
            lines.append(("sway", more.swaying.text))
        if more.stack is not None and (more.stack.frames > 1 or more.stack.word == NO):
            lines.append(("stack", more.stack.text))
        lines += [("flash" if i == 0 else "", flash.brief) for i, flash in enumerate(more.flashes)]
    lines += [("converter", c.brief) for c in more.converters if c.converted.label == more.label]
    if more.gap is not None and more.gap.tube is not None:
        lines.append(("scale", more.gap.tube.text))
    if more.gap is not None and more.gap.approach is not None:
        lines.append(("stand", more.gap.approach.text))
    if more.gap is not None and more.gap.change is not None:
        lines.append(("or take", more.gap.change.text))
    if more.ends is not None:
        lines.append(("both ends", "; ".join(more.ends.lines)))
    if more.sweep is not None:
        lines.append(("sweep", more.sweep.lines[0]))
        lines += [("", text) for text in more.sweep.lines[1:2]]
    return tuple(lines)
