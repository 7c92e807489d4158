"""The smallest change to a wish with which something owned takes the picture.

Changes are measured in doublings (stops of light, of size, of depth), so that unlike ones can be set side by side:
common practice, not a law of nature. A support that is owned costs nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fieldplan.notation.display import length_text, span_text
from fieldplan.notation.marks import iso_mark, share_text, stops_text, time_mark
from fieldplan.planner.answers import Answer, Light, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.shortfalls import Shortfall
from fieldplan.planner.trip import TripShot

_EASE = 0.999  # what is given up is given up by a hair more, so that rounding does not ask for it again


class Change(NamedTuple):
    """What to give up, in words, and how much of it in doublings; with which body and lens it then works."""

    rig: str
    hold: str
    what: tuple[str, ...]
    stops: float

    @property
    def text(self) -> str:
        return f"{' and '.join(self.what)}, with {self.rig}"


class _Eased(NamedTuple):
    """A wish with something given up, and stops of light added to what there is."""

    wanted: Wanted
    light: float
    what: tuple[str, ...]
    stops: float


def smallest_change(shot: TripShot, owned: Sequence[Answer], kit: Kit) -> Change | None:
    """The change that gives up least, over everything owned; each is tried out before it is told."""
    if shot.found.wanted is None:
        return None
    rigs = {rig.label: rig for rig in kit.rigs}
    found = [
        change
        for answer in owned
        if answer.verdict == "short"
        for change in _changes(shot, answer, rigs[answer.label], kit)
    ]
    return min(found, key=lambda c: (round(c.stops, 6), len(c.what), c.rig, c.hold), default=None)


def _changes(shot: TripShot, answer: Answer, rig: Rig, kit: Kit) -> Iterator[Change]:
    wanted, light, units = shot.found.wanted, shot.found.light, shot.plan.units
    assert wanted is not None
    steady: list[tuple[str | None, Wanted, Answer]] = [(None, wanted, answer)]
    for name, support in kit.supports.items():
        owned = next((s.owned for s in kit.profile.supports if s.name == name), False)
        if owned and kit.shake * support.shake < wanted.shake_factor:
            firm = wanted._replace(shake_factor=kit.shake * support.shake, support=name)
            steady.append((f"on the {name}", firm, assess_rig(rig, firm, answer.hold, light, units)))
    for what, base, now in steady:
        eased = _eased(base, now)
        if eased is None:
            continue
        after = assess_rig(rig, eased.wanted, now.hold, _brighter(light, eased.light), units)
        if after.verdict == "works":
            yield Change(rig.label, now.hold, ((what,) if what else ()) + eased.what, eased.stops)


def _brighter(light: Light | None, stops: float) -> Light | None:
    if light is None or not stops:
        return light
    return light._replace(
        ev100=light.ev100 + stops, ev100_low=light.ev100_low + stops, ev100_high=light.ev100_high + stops
    )


def _eased(wanted: Wanted, answer: Answer) -> _Eased | None:
    """Give up just what every shortfall of an answer asks for; None where that makes no sense."""
    eased = _Eased(wanted, 0.0, (), 0.0)
    for shortfall in answer.shortfalls:
        ease = _EASE_BY_KIND.get(shortfall.kind)
        after = None if ease is None else ease(eased, shortfall, answer)
        if after is None:
            return None
        eased = after
    return eased


def _share(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    low, high = eased.wanted.fill or (0.0, 1.0)
    have = [f for f in (answer.fill, answer.fill_near, answer.fill_far) if f is not None]
    if not have or (s.kind == "part of the range" and (answer.fill_near is None or answer.fill_far is None)):
        return None
    least, most = min(have) * _EASE, max(have) / _EASE
    if s.kind != "short" and most > 1.0 >= high:
        return None  # a subject that does not fit into the frame at all is another picture
    after = (min(low, least), max(high, most))
    parts, stops = [], 0.0
    if after[0] < low:
        parts.append(f"{share_text(after[0])} of the frame instead of {share_text(low)}")
        stops += math.log2(low / after[0])
    if after[1] > high:
        parts.append(f"{share_text(after[1])} of the frame instead of {share_text(high)} at most")
        stops += math.log2(after[1] / high)
    return _Eased(eased.wanted._replace(fill=after), eased.light, (*eased.what, *parts), eased.stops + stops)


def _depth(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    have, wanted = s.numbers[0], s.numbers[1]
    if not have or not wanted or not math.isfinite(wanted):
        return None
    text = f"a depth of {length_text(have, s.units)} instead of {length_text(wanted, s.units)}"
    changed = eased.wanted._replace(depth_m=have * _EASE)
    return _Eased(changed, eased.light, (*eased.what, text), eased.stops + math.log2(wanted / have))


def _limits(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    near, far, start, end = (s.numbers[i] for i in range(4))
    if near is None or far is None or start is None or end is None:
        return None
    first, last = max(near / _EASE, start), min(far * _EASE, end)
    text = f"sharp from {span_text(first, last, s.units)} instead of {span_text(start, end, s.units)}"
    left = 1.0 / first - 1.0 / last
    if left <= 0.0:
        return None
    lost = math.log2((1.0 / start - 1.0 / end) / left)  # depth in 1/distance goes with the f-number
    changed = eased.wanted._replace(sharp_from_m=first, sharp_to_m=last)
    return _Eased(changed, eased.light, (*eased.what, text), eased.stops + lost)


def _iso(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    iso, over = s.numbers[0], s.numbers[2]
    if iso is None or over is None:
        return None
    text = f"{stops_text(over)} more light (a wider lens, a later hour) or ISO {iso_mark(iso)}"
    return eased._replace(light=eased.light + over + 0.01, what=(*eased.what, text), stops=eased.stops + over)


def _shutter(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    wanted, fastest = s.numbers[0], s.numbers[1]
    if wanted is None or fastest is None or not eased.wanted.speed_m_s:
        return None
    ratio = fastest / wanted
    text = f"{time_mark(fastest)} instead of {time_mark(wanted)}, with {ratio:.1f} times the blur"
    slower = eased.wanted._replace(speed_m_s=eased.wanted.speed_m_s / ratio * _EASE)
    return _Eased(slower, eased.light, (*eased.what, text), eased.stops + math.log2(ratio))


def _bright(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    over = s.numbers[0]
    if over is None:
        return None
    text = f"a grey filter of {stops_text(over)}"
    return eased._replace(light=eased.light - over - 0.01, what=(*eased.what, text), stops=eased.stops + over)


_EASE_BY_KIND = {
    "short": _share,
    "cut off": _share,
    "part of the range": _share,
    "depth": _depth,
    "limits": _limits,
    "iso": _iso,
    "shutter": _shutter,
    "too bright": _bright,
}
