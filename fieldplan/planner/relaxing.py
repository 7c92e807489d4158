"""The smallest change to a wish with which something owned takes the picture.

Changes are measured in doublings (stops of light, of size, of depth), so that unlike ones can be set side by side:
common practice, not a law of nature. A support that is owned costs nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from fieldplan.notation.display import length_text, span_text
from fieldplan.notation.marks import iso_mark, share_text, stops_text, time_mark
from fieldplan.planner.answers import Answer, Light, Wanted
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.shortfalls import Shortfall
from fieldplan.planner.trip import TripShot

_HALVINGS = 9
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


def smallest_change(shot: TripShot, wanted: Wanted | None, owned: Sequence[Answer], kit: Kit) -> Change | None:
    """The change that gives up least, over everything owned; each is tried out before it is told.

    wanted: the shot's wish with what is owned; owned: its answers.
    """
    if wanted is None:
        return None
    rigs = {rig.label: rig for rig in kit.rigs}
    found = [
        change
        for answer in owned
        if answer.verdict == "short"
        for change in _changes(shot, wanted, answer, rigs[answer.label], kit)
    ]
    return min(found, key=lambda c: (round(c.stops, 6), len(c.what), c.rig, c.hold), default=None)


def _changes(shot: TripShot, wanted: Wanted, answer: Answer, rig: Rig, kit: Kit) -> Iterator[Change]:
    light, units = shot.found.light, shot.plan.units
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

        def works(tried: _Eased, hold: str = now.hold) -> bool:
            there = assess_rig(rig, tried.wanted, hold, _brighter(light, tried.light), units)
            return there.verdict == "works"

        if works(eased):
            least = _least_depth_given_up(eased, now, works)
            yield Change(rig.label, now.hold, ((what,) if what else ()) + least.what, least.stops)


def _least_depth_given_up(eased: _Eased, answer: Answer, works: Callable[[_Eased], bool]) -> _Eased:
    """The same with no more depth given up than must be: a shortfall tells the depth at the widest stop, and between
    that and the wanted one lies what stopping down as far as the light allows still gives."""
    short = next((s for s in answer.shortfalls if s.kind in ("depth", "limits")), None)
    if short is None:
        return eased
    low, high = 0.0, 1.0  # share of what was given up that is asked for after all
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if works(_deeper(eased, short, middle)):
            low = middle
        else:
            high = middle
    return _deeper(eased, short, low)


def _deeper(eased: _Eased, short: Shortfall, share: float) -> _Eased:
    """What is eased, with this share of the depth that was given up asked for again. Depths by doublings."""
    if not share:
        return eased
    wanted = eased.wanted
    if short.kind == "depth":
        had, whole = wanted.depth_m, short.numbers[1]
        assert had is not None and whole is not None
        depth = had * (whole / had) ** share
        text, lost = _depth_text(depth, whole, short.units), math.log2(whole / depth)
        before = _depth_text(had / _EASE, whole, short.units), math.log2(whole / (had / _EASE))
        changed = wanted._replace(depth_m=depth)
    else:
        start, end = (math.inf if n is None else n for n in short.numbers[2:4])
        first, last = wanted.sharp_from_m, math.inf if wanted.sharp_to_m is None else wanted.sharp_to_m
        assert first is not None
        near = 1.0 / (1.0 / first + share * (1.0 / start - 1.0 / first))
        far_1 = 1.0 / last + share * (1.0 / end - 1.0 / last)
        far = 1.0 / far_1 if far_1 > 1e-12 else math.inf
        text, lost = _limits_change(near, far, start, end, short.units)
        before = _limits_change(first, last, start, end, short.units)
        changed = wanted._replace(sharp_from_m=near, sharp_to_m=far)
    what = tuple(text if said == before[0] else said for said in eased.what)
    return _Eased(changed, eased.light, what, eased.stops - before[1] + lost)


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
    if not have or not min(have):  # at infinity it takes no share at all
        return None
    if s.kind == "part of the range" and (answer.fill_near is None or answer.fill_far is None):
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
    text = _depth_text(have, wanted, s.units)
    changed = eased.wanted._replace(depth_m=have * _EASE)
    return _Eased(changed, eased.light, (*eased.what, text), eased.stops + math.log2(wanted / have))


def _limits(eased: _Eased, s: Shortfall, answer: Answer) -> _Eased | None:
    near, far, start, end = (s.numbers[i] for i in range(4))
    if near is None or far is None or start is None or end is None:
        return None
    first, last = max(near / _EASE, start), min(far * _EASE, end)
    if 1.0 / first - 1.0 / last <= 0.0:
        return None
    text, lost = _limits_change(first, last, start, end, s.units)
    changed = eased.wanted._replace(sharp_from_m=first, sharp_to_m=last)
    return _Eased(changed, eased.light, (*eased.what, text), eased.stops + lost)


def _depth_text(depth: float, wanted: float, units: str) -> str:
    return f"a depth of {length_text(depth, units)} instead of {length_text(wanted, units)}"


def _limits_change(first: float, last: float, start: float, end: float, units: str) -> tuple[str, float]:
    """In words, and in doublings: depth in 1/distance goes with the f-number."""
    text = f"sharp from {span_text(first, last, units)} instead of {span_text(start, end, units)}"
    return text, math.log2((1.0 / start - 1.0 / end) / (1.0 / first - 1.0 / last))


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
