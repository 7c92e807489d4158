"""What the card says of one shot, as lines of (label, text)."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from fieldplan.card import wording as w
from fieldplan.notation.display import bearing_text, ev_text, length_text, span_text
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.fitting import best_spans, out_of_time
from fieldplan.planner.reach import needed_focal_text
from fieldplan.planner.scene import describe
from fieldplan.planner.workday import works_by_day

OTHERS_SHOWN = 3
Line = tuple[str, str]


def _told(lines: list[Line]) -> tuple[Line, ...]:
    return tuple(line for line in lines if line[1])


def before_lines(s: ShotAnswers, units: str) -> tuple[Line, ...]:
    """What the picture is to be, and in which light."""
    aim = "" if s.shot.aim is None else f"{bearing_text(s.shot.aim)} from true north"
    if aim and s.shot.aim_altitude:
        aim += f", {abs(s.shot.aim_altitude):g} deg {'up' if s.shot.aim_altitude > 0 else 'down'}"
    return _told([
        *(("NO", why) for why in s.cannot_be), ("when", w.when_text(s)), ("from", s.shot.viewpoint or ""),
        ("subject", w.subject_text(s.wanted, units)),
        ("wanted", w.wanted_text(s.wanted, units)), ("aim", aim),
        ("light", _light(s)), ("sun", w.sky_text(s.light)),
    ])  # fmt: skip


def _light(s: ShotAnswers) -> str:
    """The light that the settings are for; of a stretch, at which moment."""
    if s.light is None:
        return "not known"
    between = s.shot.start is not None and s.when is not None and s.light.source != "given"
    return describe(s.light) + (f"; at {s.when:%H:%M}, midway" if between else "")


def answer_lines(s: ShotAnswers, units: str, supports: frozenset[str]) -> tuple[Line, ...]:
    """The best body and lens with its settings, or why there is none."""
    if s.problem is not None:
        return (("no answer", s.problem),)
    best = s.best
    if best is None:
        return (("no answer", s.why_first),)
    return _told([
        ("best", f"{best.label}, {w.hold_text(best, supports)}"), ("set", w.settings_text(best, s.shot.subject)),
        ("frame", w.frame_text(best, units)),
    ])  # fmt: skip


def after_lines(
    s: ShotAnswers, units: str, time_zone: str | None = None, clock: dt.tzinfo | None = None
) -> tuple[Line, ...]:
    """Depth, blur, where to stand, why it is first, what stands in the way, what comes next, notes.

    time_zone: of the site, for the clock times of a shot without one of its own; clock: where its name is left out.
    """
    lines: list[Line] = []
    best = s.best
    if best is not None:
        lines += [("fills", w.stand_text(best, units)), *_found(s, best, units), ("depth", w.depth_text(best, units)),
                  ("behind", w.background_text(best, units)), ("shutter", w.shutter_text(best)),
                  ("why first", s.why_first)]  # fmt: skip
        lines += [("in the way", x.text + (f"; {x.cure}" if x.cure else "")) for x in best.shortfalls]
    lines += [("needed", _needed(s, units))]
    lines += [("next", w.other_text(a, s.shot.subject)) for a in _others(s)]
    lines += _times(s, best, ZoneInfo(time_zone) if time_zone else own_clock(s, clock))
    lines += [("note", note) for note in (s.shot.note, *s.notes) if note]
    return _told(lines)


def _others(s: ShotAnswers) -> list[Answer]:
    """The next answers that use other gear, each at its better hold."""
    seen: dict[str, Answer] = {}
    for other in s.rigs:
        if s.best is None or other.label != s.best.label:
            seen.setdefault(other.label, other)
    return list(seen.values())[:OTHERS_SHOWN]


def _needed(s: ShotAnswers, units: str) -> str:
    """The focal length that would fill the frame, where the first answer falls short of that."""
    if s.best is not None and not any(x.kind == "short" for x in s.best.shortfalls):
        return ""
    return needed_focal_text(s.needed_focal, s.wanted, units)


def _found(s: ShotAnswers, best: Answer, units: str) -> list[Line]:
    """What the shot left out and the planner found."""
    if s.missing == "distance":
        at = next((n for n in s.needed_distance if (n.rig, n.hold) == (best.label, best.hold)), None)
        if at is not None:
            spread = "" if at.low_m == at.high_m else f" ({span_text(at.low_m, at.high_m, units)} by its size)"
            return [("stand at", f"{length_text(at.distance_m, units)}{spread}")]
    if s.missing == "size":
        size = next((n for n in s.needed_size if (n.rig, n.hold) == (best.label, best.hold)), None)
        if size is not None:
            wide = span_text(size.width_low_m, size.width_high_m, units)
            tall = span_text(size.height_low_m, size.height_high_m, units)
            return [("size", f"{wide} along the frame's width, {tall} along its height")]
    return []


def own_clock(s: ShotAnswers, clock: dt.tzinfo | None) -> dt.tzinfo | None:
    """The clock of a shot's own moment; clock: of the plan, where it has none."""
    return clock if s.when is None or s.when.tzinfo is None else s.when.tzinfo


def _times(s: ShotAnswers, best: Answer | None, zone: dt.tzinfo | None) -> list[Line]:
    """The light at both ends of the stretch, when the best answer works, and what giving one thing up buys."""
    if best is None:
        return []
    spans = best_spans(s)
    lines = [(f"at {end.when:%H:%M}", f"{ev_text(end.light.ev100)}: {w.exposure_text(end.answer)}") for end in s.ends]
    lines += [("works", w.work_text(span, zone)) for span in spans]
    outside = out_of_time(s, spans)
    if outside is not None:
        lines.append(("take care", outside))
    if not spans and s.light is not None and s.light.source != "given" and works_by_day(s.shot):
        lines.append(("works", "at no time of this day"))
    lines.append(("give up", "; ".join(f"{g.what} +{g.minutes:.0f} min" for g in s.gains)))
    return lines
