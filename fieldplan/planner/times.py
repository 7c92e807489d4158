"""How long a shot works: the stretches of the day with enough light for a rig, and what giving one thing up buys."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left
from functools import lru_cache, partial
from operator import gt, le
from typing import Generic, NamedTuple, TypeVar

from fieldplan.model.plan import SkySubject
from fieldplan.notation.display import ev_text
from fieldplan.notation.marks import share_text
from fieldplan.planner.answers import Answer, Gain, Light, Wanted, WorkSpan
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.curves import Curve
from fieldplan.planner.rigs import Rig
from fieldplan.planner.scene import GROUND_SLACK_DEG
from fieldplan.planner.skybook import SkyState
from fieldplan.sky.refraction import apparent_altitude_deg

BAND_SLACK_DEG = 0.5
AIM_SLACK_DEG = 1.0  # an aim read from a map or a hand compass, common practice
_LOW_DEG = -2.0  # from here down no edge of the sun shows anywhere
_DISC_DEG = 0.27  # half the sun's disc
_STOP = 1.0
DAY_BEGINS, DAY_ENDS = "the day begins", "the day ends"
_Held = TypeVar("_Held")


class View(NamedTuple):
    """Where the lens looks, and how far from its axis the sun is in the frame [deg]; no aim, no sun in the frame.

    band: (name, lowest, highest altitude of the sun [deg]) of the light that the picture is for, if any.
    """

    aim_deg: float | None
    aim_altitude_deg: float
    half_angle_deg: float
    band: tuple[str, float, float] | None = None


def angle_between_deg(azimuth_a: float, altitude_a: float, azimuth_b: float, altitude_b: float) -> float:
    """Angle between two directions given by azimuth and altitude [deg]."""
    a, b = math.radians(altitude_a), math.radians(altitude_b)
    turn = math.radians(azimuth_a - azimuth_b)
    cosine = math.sin(a) * math.sin(b) + math.cos(a) * math.cos(b) * math.cos(turn)
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def sun_in_frame(state: SkyState, view: View, slack: float = 0.0) -> bool:
    """Whether the sun, up and clear of the ground, stands within the frame's half diagonal of the aim.

    slack: 1 for "it may be", -1 for "it surely is", given how well the aim and the ground line are known.
    """
    if view.aim_deg is None:
        return False
    off, over = _off_and_over(state, view.aim_deg, view.aim_altitude_deg)
    return off < view.half_angle_deg + slack * AIM_SLACK_DEG and over >= -slack * GROUND_SLACK_DEG


def _off_and_over(state: SkyState, aim_deg: float, aim_altitude_deg: float) -> tuple[float, float]:
    """How far the sun stands off the aim, and its upper edge over the ground line [deg]; not near while down."""
    if state.sun_altitude_deg < _LOW_DEG:
        return math.inf, -math.inf
    seen = apparent_altitude_deg(state.sun_altitude_deg)
    off = angle_between_deg(state.sun_azimuth_deg, seen, aim_deg, aim_altitude_deg)
    return off, min(seen + _DISC_DEG, state.over_ground_deg)


def shut_by(state: SkyState, view: View, slack: float = 0.0) -> str:
    """What rules a moment out whatever the light is: the sun in the frame, or another band of light; "" for nothing.

    slack: as of sun_in_frame; the angles of a band are a convention, good to half a degree.
    """
    if sun_in_frame(state, view, slack):
        return "sun in the frame"
    if view.band is not None:
        name, low, high = view.band
        if not low + slack * BAND_SLACK_DEG <= state.sun_altitude_deg <= high - slack * BAND_SLACK_DEG:
            return f"outside {name}"
    return ""


class _Same(Generic[_Held]):
    """A column of a curve as the key of a cache: the same object, not an equal one."""

    __slots__ = ("held",)

    def __init__(self, held: tuple[_Held, ...]) -> None:
        self.held = held

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.held is self.held

    def __hash__(self) -> int:
        return id(self.held)


@lru_cache(maxsize=8)
def _sun_off(
    states: _Same[SkyState], aim_deg: float, aim_altitude_deg: float
) -> tuple[tuple[tuple[float, float], ...], float]:
    """``_off_and_over`` for each state, the same for every rig; and the least that the sun stands off."""
    found = tuple(_off_and_over(state, aim_deg, aim_altitude_deg) for state in states.held)
    return found, min((apart for apart, _ in found), default=math.inf)


def _shut_through(states: tuple[SkyState, ...], view: View, slack: float) -> list[str]:
    """``shut_by`` for every state of a curve."""
    if view.band is not None or not isinstance(states, tuple):
        return [shut_by(state, view, slack) for state in states]
    if view.aim_deg is None:
        return [""] * len(states)
    near, over = view.half_angle_deg + slack * AIM_SLACK_DEG, -slack * GROUND_SLACK_DEG
    off, nearest = _sun_off(_Same(states), view.aim_deg, view.aim_altitude_deg)
    if near <= nearest:
        return [""] * len(states)
    return ["sun in the frame" if apart < near and top >= over else "" for apart, top in off]


def half_angle_deg(answer: Answer) -> float:
    """Half of the diagonal angle of view of an answer [deg]."""
    if answer.frame_width_m is None or answer.frame_height_m is None or answer.acting_focal_m is None:
        return 0.0
    half = math.hypot(answer.frame_width_m, answer.frame_height_m) / 2.0
    return math.degrees(math.atan(half / answer.acting_focal_m))


def _runs(
    values: tuple[float, ...], times: tuple[float, ...], limit: float, shut: list[str]
) -> list[tuple[float, float, int, int]]:
    """Stretches at or above the limit and not shut: start [s], end [s], and the samples within."""
    found = _over(values, limit)
    if any(shut):
        found = [part for first, last in found for part in _open(shut, first, last)]
    return [
        (_edge(values, times, limit, shut, first, -1), _edge(values, times, limit, shut, last, 1), first, last)
        for first, last in found
    ]


@lru_cache(maxsize=16)
def _turns(values: _Same[float]) -> tuple[int, ...]:
    """The samples at which a curve turns, the first and the last: from one to the next it only rises or only falls."""
    turns, rising = [0], None
    for i, (here, after) in enumerate(itertools.pairwise(values.held)):
        if after != here:
            if rising is not None and (after > here) != rising:
                turns.append(i)
            rising = after > here
    return (*turns, len(values.held) - 1)


def _over(values: tuple[float, ...], limit: float) -> list[tuple[int, int]]:
    """First and last sample of each stretch at or above the limit. Every rig of every shot asks for three."""
    over = values[0] >= limit
    changes = [0] if over else []
    for low, high in itertools.pairwise(_turns(_Same(values))):
        if (values[high] >= limit) != over:
            over = not over
            changes.append(bisect_left(values, True, low, high, key=partial(le if over else gt, limit)))
    if over:
        changes.append(len(values))
    return [(first, end - 1) for first, end in zip(changes[::2], changes[1::2], strict=True)]


def _open(shut: list[str], first: int, last: int) -> list[tuple[int, int]]:
    """The parts of a stretch of samples that nothing shuts."""
    parts = [list(part) for fine, part in itertools.groupby(range(first, last + 1), lambda i: not shut[i]) if fine]
    return [(part[0], part[-1]) for part in parts]


def _edge(
    values: tuple[float, ...], times: tuple[float, ...], limit: float, shut: list[str], index: int, way: int
) -> float:
    """The instant at which a stretch begins (way -1) or ends (way +1), straight between samples."""
    other = index + way
    if not 0 <= other < len(values):
        return times[index]
    if shut[other] or values[index] == values[other] or not math.isfinite(values[other]):
        return (times[index] + times[other]) / 2.0
    share = (values[index] - limit) / (values[index] - values[other])
    return times[index] + min(max(share, 0.0), 1.0) * (times[other] - times[index])


def _reason(curve: Curve, shut: list[str], limit: float, index: int, way: int) -> str:
    other = index + way
    if not 0 <= other < len(curve.times_s):
        return DAY_BEGINS if way < 0 else DAY_ENDS
    if shut[other]:
        return shut[other]
    if curve.states[index].sun_clear != curve.states[other].sun_clear:
        return "sun behind the ridge"
    if curve.lits and curve.lits[index] != curve.lits[other]:
        return f"{curve.lits[other]} {'until then' if way < 0 else 'from then on'}"
    return f"light below {ev_text(limit)}"


def work_spans(answer: Answer, curve: Curve, view: View) -> list[WorkSpan]:
    """When the rig of this answer can take the shot, over one day; each end as a range from the light's uncertainty.

    A stretch that only the upper end of the light allows has no length of its own: both its ends are the whole of it.
    """
    limit = answer.needs_ev100
    if limit is None or not curve.times_s:
        return []
    shut, may_be, surely_is = (_shut_through(curve.states, view, slack) for slack in (0.0, 1.0, -1.0))
    nominal = _runs(curve.ev100, curve.times_s, limit, shut)
    safe = _runs(curve.low, curve.times_s, limit, may_be)
    hopeful = _runs(curve.high, curve.times_s, limit, surely_is)
    spans = []
    for place, (start, end, first, last) in enumerate(nominal):
        wide = next((h for h in hopeful if h[0] <= start and h[1] >= end), (start, end, 0, 0))
        before = nominal[place - 1][1] if place else -math.inf
        after = nominal[place + 1][0] if place + 1 < len(nominal) else math.inf
        inner = [s for s in safe if s[0] < end and s[1] > start]
        late, early = (inner[0][0], inner[-1][1]) if inner else (end, start)
        spans.append(WorkSpan(
            answer.label, answer.hold, start, max(wide[0], before), late, _reason(curve, shut, limit, first, -1),
            end, early, min(wide[1], after), _reason(curve, shut, limit, last, 1), bool(inner),
            tuple((one[1], other[0]) for one, other in itertools.pairwise(inner)),
        ))  # fmt: skip
    for start, end, first, last in hopeful:
        if not any(start < other[1] and end > other[0] for other in nominal):
            middle = (start + end) / 2.0
            spans.append(WorkSpan(
                answer.label, answer.hold, middle, start, end, _reason(curve, surely_is, limit, first, -1),
                middle, start, end, _reason(curve, surely_is, limit, last, 1), False,
            ))  # fmt: skip
    return sorted(spans, key=lambda span: span.start_early_s)


def minutes_of(answer: Answer, curve: Curve, view: View) -> float:
    """Minutes of the day in which the rig of this answer can take the shot, at the angle of view that it has."""
    limit, view = answer.needs_ev100, view._replace(half_angle_deg=half_angle_deg(answer))
    if limit is None or not curve.times_s:
        return 0.0
    shut = _shut_through(curve.states, view, 0.0)
    return sum(end - start for start, end, _, _ in _runs(curve.ev100, curve.times_s, limit, shut)) / 60.0


def gains(
    answer: Answer, rig: Rig, wanted: Wanted, light: Light | None, curve: Curve, view: View, units: str,
    others: tuple[Answer, ...] = (),
) -> list[Gain]:  # fmt: skip
    """What giving one thing up buys, in minutes of the day, best first; only what changes anything.

    others: all answers to the shot, for the next wider lens.
    """
    if answer.needs_ev100 is None:
        return []
    before = minutes_of(answer, curve, view)
    tried: list[tuple[str, Answer]] = [
        ("one stop more ISO", answer._replace(needs_ev100=answer.needs_ev100 - _STOP)),
    ]

    def again(what: str, changed: Wanted) -> None:
        other = assess_rig(rig, changed, answer.hold, light, units)
        if other.needs_ev100 is not None:
            tried.append((what, other))

    if wanted.speed_m_s > 0.0:
        again("half the subject's speed", wanted._replace(speed_m_s=wanted.speed_m_s / 2.0))
    if wanted.fill is not None:
        again("two thirds of the frame share", wanted._replace(fill=(wanted.fill[0] * 2 / 3, wanted.fill[1] * 2 / 3)))
    if wanted.depth_m is not None or wanted.sharp_from_m is not None:
        again("no depth wanted", wanted._replace(depth_m=None, sharp_from_m=None, sharp_to_m=None))
    if wanted.shake_factor > 0.0:
        again("on a firm support", wanted._replace(shake_factor=0.0))
    wider = next_wider(answer, others)
    if wider is not None and wider.fill is not None:
        tried.append((f"{wider.lens}{_with(wider)} instead, {share_text(wider.fill)} of the frame", wider))
    found = [Gain(what, minutes_of(a, curve, view) - before, a.needs_ev100 or 0.0) for what, a in tried]
    return sorted((g for g in found if g.minutes >= 0.5), key=lambda g: -g.minutes)


def next_wider(answer: Answer, others: tuple[Answer, ...]) -> Answer | None:
    """The answer with other glass on the same body that draws the subject smaller, by as little as there is, at least
    half as large."""
    if not answer.fill:  # not known, or a subject at infinity
        return None
    here = (answer.lens, answer.converter)
    smaller = [a for a in others if a.body == answer.body and (a.lens, a.converter) != here and a.hold == answer.hold
               and a.fill is not None and 0.5 <= a.fill / answer.fill < 0.97 and a.needs_ev100 is not None]  # fmt: skip
    return max(smaller, key=lambda a: a.fill or 0.0, default=None)


def _with(answer: Answer) -> str:
    return f" + {answer.converter}" if answer.converter else ""


def is_sun(subject: object) -> bool:
    """Whether a shot's subject is the sun itself, which of course is in the frame."""
    return isinstance(subject, SkySubject) and subject.sky == "sun"
