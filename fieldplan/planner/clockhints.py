"""A camera whose clock stands an hour or more off: found by the pictures that would belong to shots if it did not."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fieldplan.model.plan import Plan
from fieldplan.planner.matching import match_pictures
from fieldplan.planner.seen import Seen

LEAST = 5  # pictures of one body below which nothing is said
_HOURS = (1, -1, 2, -2, 3, -3, *(sign * n for n in range(4, 13) for sign in (1, -1)))
_MOST = 400  # of one body are tried, spread over all of them
_FEW, _MANY = 0.5, 0.8  # shares that belong to a shot as the clock stands, and as it would have to stand


class ClockHint(NamedTuple):
    """A body, how many of its pictures belong to a shot now, and how many if its clock were so many hours off."""

    body: str
    pictures: int
    now: int
    then: int
    hours: int

    @property
    def line(self) -> str:
        """In words, with what to try."""
        way = "behind" if self.hours > 0 else "ahead"
        return (f"{self.now} of {self.pictures} pictures of {self.body} belong to a shot, {self.then} if its clock is "
                f'{abs(self.hours)} h {way}: try --of "{self.body}" --{way} {abs(self.hours)}:00')  # fmt: skip


def clock_hints(
    pictures: Sequence[Seen], plan: Plan, time_zone: str | None, margin_s: float, correction_s: float = 0.0
) -> tuple[ClockHint, ...]:
    """For every body with a clock that seems to be whole hours off, the least such shift."""
    by_body: dict[str, list[Seen]] = {}
    for seen in pictures:
        if seen.body is not None and seen.taken is not None:
            by_body.setdefault(seen.body, []).append(seen)

    def belonging(group: Sequence[Seen], hours: int) -> int:
        matched = match_pictures(group, plan, time_zone, margin_s, correction_s + hours * 3600.0)
        return sum(match.shot is not None or bool(match.rivals) for match in matched.matches)

    hints = []
    for body, group in sorted(by_body.items()):
        if len(group) < LEAST:
            continue
        some = group[:: -(-len(group) // _MOST)]
        if belonging(some, 0) >= _FEW * len(some):
            continue
        hours = next((h for h in _HOURS if belonging(some, h) >= _MANY * len(some)), None)
        if hours is not None:
            hints.append(ClockHint(body, len(group), belonging(group, 0), belonging(group, hours), hours))
    return tuple(hints)
