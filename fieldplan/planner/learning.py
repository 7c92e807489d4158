"""What the logs of plans say of a photographer's own figures, with how sure; and the changes to a profile they offer.

Shake: the factor at which half of the hand-held pictures are sharp at the limit of ISO 19093 and ISO 20954-1, by the
model of ``thresholds``. Following: likewise for the share of a subject's motion followed. ISO: which ISO nine of ten
kept pictures stay under, and where noise made half be given up. Distance: the geometric mean of done over planned.
Light: readings against the estimate. How these are made of entries is common practice, no standard.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.model.schema import KeyPath
from fieldplan.notation.marks import iso_mark, share_text
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.signed import signed
from fieldplan.optics.exposure import iso_third_nearest
from fieldplan.planner.attempts import Attempt, Metering
from fieldplan.planner.intervals import LEAST, mean_of, quantile_of
from fieldplan.planner.thresholds import Threshold, fit_threshold

_KEPT_SHARE = 0.9
_SAME = 0.05  # a figure this near to the profile's is no change
_MANY_SHARP = 0.8


class Change(NamedTuple):
    """One change to a profile: where, the text to write there, the line as it will stand, and what stands there now."""

    path: KeyPath
    text: str
    line: str
    now: str


class Lesson(NamedTuple):
    """One thing learned, or why not. value, low and high: the figure and its 95 % interval, None where too few.

    name: to choose it by; counts: what it rests on, in words; plan_line: what shots may say, where no profile does;
    evidence: how many were good at which distance from the limit, a line each.
    """

    name: str
    said: str
    counts: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    change: Change | None = None
    plan_line: str = ""
    evidence: tuple[str, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether anything is said."""
        return self.value is not None


def lessons(tried: Sequence[Attempt], metered: Sequence[Metering], profile: Profile) -> tuple[Lesson, ...]:
    """Everything that can be learned; profile: the one to offer changes to."""
    return (
        shake_lesson(tried, profile),
        following_lesson(tried),
        distance_lesson(tried),
        *_iso_lessons(tried, profile),
        *_light_lessons(metered),
    )


def shake_lesson(tried: Iterable[Attempt], profile: Profile) -> Lesson:
    """The photographer's own shake factor, hand-held."""
    points = [(a.shake_doublings, a.still) for a in tried if a.shake_doublings is not None and a.still is not None]
    found = fit_threshold(points)
    counts = f"{found.yes} sharp, {found.no} shaken, hand-held"
    evidence = _evidence(points, "the limit of shake factor 1")
    if not isinstance(found, Threshold):
        return Lesson("shake", found.why, counts, evidence=evidence)
    factor, low, high = (2.0**-at for at in (found.at, found.high, found.low))
    safe = found.at - found.with_share(_MANY_SHARP)
    said = (f"own shake factor {_two(factor)} (95 %: {_two(low)} to {_two(high)}): with it half are sharp at the "
            f"limit, four of five {trimmed(safe, 1)} stops faster")  # fmt: skip
    now = profile.photographer.shake
    said += _against(now, low, high, _two)
    text = _two(factor)
    change = Change(("photographer", "shake"), text, f"[photographer]\nshake = {text}", _two(now))
    differs = abs(float(text) / now - 1.0) >= _SAME if now > 0.0 else True
    return Lesson("shake", said, counts, factor, low, high, change if differs else None, evidence=evidence)


def following_lesson(tried: Iterable[Attempt]) -> Lesson:
    """The share of a subject's motion that the photographer follows, at the speeds that the plans give."""
    points = [
        (a.motion_doublings, a.followed) for a in tried if a.motion_doublings is not None and a.followed is not None
    ]
    found = fit_threshold(points, -3.0, 13.0)
    counts = f"{found.yes} sharp, {found.no} smeared, followed"
    evidence = _evidence(points, "the limit with nothing followed")
    if not isinstance(found, Threshold):
        return Lesson("followed", found.why, counts, evidence=evidence)
    share, low, high = (max(1.0 - 2.0**-at, 0.0) for at in (found.at, found.low, found.high))
    said = f"you follow {_share(share)} of a subject's motion (95 %: {_share(low)} to {_share(high)}), if the plans'"
    line = f"panned = {trimmed(share, 3)}"
    return Lesson("followed", f"{said} speeds are right", counts, share, low, high, None, line, evidence)


def _evidence(points: Iterable[tuple[float, bool]], limit: str) -> tuple[str, ...]:
    """ "1 stop longer than the limit: 3 of 9 sharp", by whole stops, the fastest shutters first."""
    groups: dict[int, list[bool]] = {}
    for stops, ok in points:
        groups.setdefault(math.floor(stops + 0.5), []).append(ok)
    lines = []
    for stop, oks in sorted(groups.items()):
        way = "longer" if stop > 0 else "shorter"
        where = f"at {limit}" if stop == 0 else f"{abs(stop)} stop{'s' if abs(stop) != 1 else ''} {way} than {limit}"
        lines.append(f"{where}: {sum(oks)} of {len(oks)} sharp")
    return tuple(lines)


def distance_lesson(tried: Iterable[Attempt]) -> Lesson:
    """By how much distances were misjudged in the plans."""
    logs = [math.log(a.distance_ratio) for a in tried if a.distance_ratio is not None]
    found = mean_of(logs)
    counts = f"{len(logs)} distances that were not logged just as planned"
    if found is None:
        return Lesson("distance", f"too few: wants {LEAST}", counts)
    ratio, low, high, scatter = (math.exp(v) for v in (found.value, found.low, found.high, found.spread))
    way = "farther" if ratio > 1.0 else "nearer"
    said = (f"subjects stood {abs(ratio - 1.0) * 100:.0f} % {way} than planned (done over planned {_two(ratio)}, "
            f"95 %: {_two(low)} to {_two(high)}); single ones scatter by a factor of {_two(scatter)}")  # fmt: skip
    return Lesson("distance", said, counts, ratio, low, high)


def _iso_lessons(tried: Sequence[Attempt], profile: Profile) -> list[Lesson]:
    named = dict.fromkeys(a.body for a in tried if a.body and (a.kept_iso or a.refused_iso))
    return [_iso_lesson(body, [a for a in tried if a.body == body], profile) for body in named if body]


def _iso_lesson(body: str, tried: Sequence[Attempt], profile: Profile) -> Lesson:
    """Which ISO is accepted on one body: where noise was ever a reason, half are given up; else what was kept."""
    kept = [a.kept_iso for a in tried if a.kept_iso is not None]
    refused = [a.refused_iso for a in tried if a.refused_iso is not None]
    counts = f"{len(kept)} kept, {len(refused)} given up for noise"
    name = f"iso:{body}"
    points = [(math.log2(i / 100.0), True) for i in kept] + [(math.log2(i / 100.0), False) for i in refused]
    limit = fit_threshold(points, -2.0, 16.0)
    if isinstance(limit, Threshold):
        iso, low, high = (100.0 * 2.0**at for at in (limit.at, limit.low, limit.high))
        said = (
            f"{body}: noise makes you give up half at ISO {iso_mark(iso)} (95 %: {iso_mark(low)} to {iso_mark(high)})"
        )
        return Lesson(name, said, counts, iso, low, high, _ceiling(body, iso, profile, lambda new, now: new != now))
    found = quantile_of(kept, _KEPT_SHARE)
    if found is None:
        return Lesson(name, f"{body}: too few: wants 10 kept pictures", counts)
    ends = [("open" if end is None else iso_mark(end)) for end in (found.low, found.high)]
    said = f"{body}: nine of ten kept pictures stay at or under ISO {iso_mark(found.value)} (95 %: {' to '.join(ends)})"
    change = _ceiling(body, found.low or 0.0, profile, lambda new, now: new > now)
    return Lesson(name, said, counts, found.value, found.low, found.high, change)


def _ceiling(body: str, iso: float, profile: Profile, wanted: Callable[[float, float], bool]) -> Change | None:
    """The ISO ceiling of a body at the mark nearest to this ISO, where that is a change that is wanted."""
    at = next((i for i, held in enumerate(profile.bodies) if held.name == body), None)
    if at is None or iso <= 0.0:
        return None
    text, now = iso_mark(iso_third_nearest(iso)), profile.bodies[at].iso_ceiling
    if not wanted(float(text), now):
        return None
    line = f'[[body]]  # "{body}"\niso_ceiling = {text}'
    return Change(("body", at, "iso_ceiling"), text, line, iso_mark(now))


def _light_lessons(metered: Sequence[Metering]) -> list[Lesson]:
    groups: dict[tuple[str, str], list[float]] = {}
    for one in metered:
        groups.setdefault((one.sky, one.lit), []).append(one.stops)
    return [_light_lesson(sky, lit, stops) for (sky, lit), stops in groups.items()]


def _light_lesson(sky: str, lit: str, stops: list[float]) -> Lesson:
    """How much lighter it was than the estimate under one sky, for subjects lit one way."""
    found = mean_of(stops)
    name, counts = f"light:{sky}, {lit}", f"{len(stops)} meter readings"
    if found is None:
        return Lesson(name, f"{sky}, {lit}: too few: wants {LEAST}", counts)
    ends = f"{signed(found.low)} to {signed(found.high)}"
    said = (f"{sky}, {lit}: {signed(found.value)} stops against the estimate (95 %: {ends}); "
            f"single readings scatter by {found.spread:.1f}")  # fmt: skip
    matters = found.low > 0.0 or found.high < 0.0
    line = f"light_offset = {trimmed(found.value, 1)}" if matters else ""
    return Lesson(name, said, counts, found.value, found.low, found.high, None, line)


def _against(now: float, low: float, high: float, write: Callable[[float], str]) -> str:
    where = "lies within" if low <= now <= high else "lies outside"
    return f"; the profile's {write(now)} {where}"


def _two(value: float) -> str:
    """Two figures."""
    return f"{float(f'{value:.2g}'):g}"


def _share(share: float) -> str:
    return share_text(share) if share < 0.99 else f"{share * 100.0:.1f} %"
