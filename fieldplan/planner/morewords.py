"""More on one answer, in sections of (label, text): formats, converter, close-up, sweep, both ends."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.notation.display import figures, length_text
from fieldplan.notation.marks import f_mark, stops_text
from fieldplan.planner.answers import Answer
from fieldplan.planner.closesetups import Setup, setups
from fieldplan.planner.closeup import CloseUp, close_ups, scale_text
from fieldplan.planner.converting import converter_or_crop
from fieldplan.planner.formats_compared import compare_formats
from fieldplan.planner.rigs import Kit
from fieldplan.planner.shotmore import ShotMore, more_on
from fieldplan.planner.stacking import NO
from fieldplan.planner.trip import TripShot

Line = tuple[str, str]
_SETUPS_TOLD = 8


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
    found += _converters(shot, kit, answer)
    found += _formats(shot, kit, answer)
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
        ("depth", f"{length_text(close.depth_m, close.room.units)}; Airy disc {figures(close.airy_m * 1e6)} um "
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
    """Every combination that draws as large, best first: what it draws, and how it does at this scale."""
    assert answer.magnification is not None
    wanted = shot.found.wanted
    sized = wanted is not None and wanted.fill is not None and (wanted.height or wanted.width)
    found = close_ups(shot, setups(kit.profile, candidates=True), None if sized else answer.magnification)
    lines: list[Line] = []
    for close in found[:_SETUPS_TOLD]:
        named = close.label + ("" if close.setup.owned else " (not owned)")
        lines.append(("", f"{named} [{_reach(close)}]: {close.text}"))
    if len(found) > _SETUPS_TOLD:
        lines.append(("", f"and {len(found) - _SETUPS_TOLD} more"))
    return Section("combinations that draw it as large, best first", tuple(lines))


def _converters(shot: TripShot, kit: Kit, answer: Answer) -> list[Section]:
    """Each converter that fits the answer's lens, against cropping."""
    named = dict.fromkeys(
        rig.converter for rig in kit.rigs if rig.body == answer.body and rig.lens == answer.lens and rig.converter
    )
    found = []
    for name in named:
        compared = None if name is None else converter_or_crop(shot, kit, answer.body, answer.lens, name)
        if compared is not None:
            found.append(Section(f"{name} or cropping, {answer.lens} at its longest on {answer.body}",
                                 tuple(("", text) for text in compared.lines)))  # fmt: skip
    return found


def _formats(shot: TripShot, kit: Kit, answer: Answer) -> list[Section]:
    """The picture on each other body of the profile."""
    found = []
    for body in kit.profile.bodies:
        if body.name == answer.body:
            continue
        compared = compare_formats(shot, kit, answer.body, body.name, answer.lens)
        if compared is not None:
            what = "" if body.owned else " (not owned)"
            found.append(Section(f"the same picture on {body.name}{what}", tuple(("", t) for t in compared.lines)))
    return found


def brief_lines(more: ShotMore) -> tuple[Line, ...]:
    """What of it belongs on a card: close-up, stack, what closes a gap, both ends, sweep."""
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
