"""What to do when the chosen line-up fails: another viewpoint or spot, or a later day, ranked, with reasons."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.plan import Site
from fieldplan.planner.lineups import LineUp
from fieldplan.planner.sifting import DIM_DEG, Sieve, against, drawbacks
from fieldplan.planner.sights import Sight, aimed_for, find_sight_lineups, sight_of, viewpoint_names
from fieldplan.sky.aims import AS_RECKONED, Correction
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.sightline import landmark_sight
from fieldplan.sky.standing import Ground
from fieldplan.sky.station import Place
from fieldplan.sky.viewpoints import spots_at
from fieldplan.sky.walking import walks_on

FAILED = ("clouded", "missed", "blocked")
OWN_SPOT = "a new spot"
_AHEAD_S = 366.0 * 86400.0
_SAME_S = 12.0 * 3600.0  # a pass within half a day is one of the same night
_CLOSE_DISCS = 0.5  # misses are compared in steps of this
_TIER_DAYS = (2, 8, 45)  # dates on: after tonight the next evenings; within the week; within weeks; then the rest
_SMALL_M = 300.0  # a walk that is made while the disc moves
_DAYS_ON = 4.0  # on which a spot of its own is looked for
_WIDE_DEG = 15.0
_PACE_M_PER_S = 1.1  # over a field with a tripod; common practice
_FARTHEST_WALK_M = 1200.0
_WALK_SHARE = 0.65  # of the distance to the landmark: a longer walk makes another picture
_AS_FAR = 1.25  # times nearer or farther: a look corrects degrees, and what was wrong may have been metres
_LATER_S = (900.0, 1800.0, 2700.0)  # after a pass that was missed


class Fallback(NamedTuple):
    """A choice in place of the one that failed. reason: in favour, in words; but: what speaks against it.

    walk_m, walk_deg: from the viewpoint that failed, over the ground and from true north; 0 where it is the same.
    low: a moon that may be too dim to see. poor: what makes it poor beside the one that failed, in the words of
    sifting.drawbacks.
    """

    sight: Sight
    up: LineUp
    walk_m: float
    walk_deg: float
    reason: str
    but: tuple[str, ...]
    low: bool
    poor: tuple[str, ...] = ()


class Failed(NamedTuple):
    """What failed, and what was asked for: the site, the line of sight, the pass, and why ("clouded": nothing of that
    night is left; "missed": only what comes later; "blocked": nothing from that viewpoint).

    correction: what one look along this line of sight corrects; it holds for the spots round its viewpoint too, and
    not for the other viewpoints of the site."""

    site: Site
    sight: Sight
    up: LineUp
    why: str
    body: Body
    placed: str
    within_deg: float
    sieve: Sieve
    zone: ZoneInfo
    correction: Correction = AS_RECKONED

    def correction_at(self, viewpoint: str) -> Correction:
        """The correction where it holds."""
        return self.correction if viewpoint in (self.sight.viewpoint, OWN_SPOT) else AS_RECKONED

    def days_on(self, ut_s: float) -> int:
        """By how many dates of the local calendar an instant comes after the pass that failed."""
        then, first = (dt.datetime.fromtimestamp(s, tz=self.zone).date() for s in (ut_s, self.up.hit.ut_s))
        return (then - first).days


def fallbacks(failed: Failed, most: int = 8) -> tuple[Fallback, ...]:
    """The choices of the year ahead, as somebody would take them who stands there: a small walk the same night, then
    what else the night has, the next evenings, the week, the weeks after, and last the rest of the year. In each of
    these such as pass what was asked for, then the soonest and the closest. One with a drawback that the one that
    failed had not (new, thin, by day, dim, behind the ground) comes after all that have none in the next weeks.
    Raises ValueError for a reason that is none.
    """
    if failed.why not in FAILED:
        raise ValueError(f'"{failed.why}" is no way to fail; known: {", ".join(FAILED)}')
    first_s = failed.up.hit.ut_s
    start_s = {"clouded": first_s + _SAME_S, "missed": first_s + 60.0, "blocked": first_s - _SAME_S}[failed.why]
    found = []
    for name in viewpoint_names(failed.site):
        if failed.why == "blocked" and name == failed.sight.viewpoint:
            continue
        try:
            sight = sight_of(failed.site, failed.sight.landmark, name)
            passes = find_sight_lineups(
                sight, failed.body, (start_s, first_s + _AHEAD_S), failed.within_deg, failed.placed, failed.site.sky,
                correction=failed.correction_at(name),
            )  # fmt: skip
        except ValueError:
            continue  # no line of sight from there
        found += [_described(failed, sight, up) for up in passes.found]
    found += _spots_on_later_days(failed)
    found += _spots_the_same_night(failed) if failed.why == "missed" else []
    return tuple(sorted(found, key=lambda one: _rank(failed, one))[:most])


def _spots_on_later_days(failed: Failed) -> list[Fallback]:
    """On each of the next days: the spot as far off the landmark, from which disc and top line up."""
    sight, first_s = failed.sight, failed.up.hit.ut_s
    ground = _ground(failed)
    span = first_s + _SAME_S, first_s + _SAME_S + _DAYS_ON * 86400.0
    near = find_sight_lineups(
        sight, failed.body, span, _WIDE_DEG, failed.placed, correction=failed.correction, also_down=True
    ).found
    found = []
    for up in near:
        for walk in walks_on(ground, sight.eye, up.hit.ut_s - 5400.0, up.hit.ut_s + 5400.0):
            found += _from_spot(failed, walk.place, walk.ut_s)
    return found


def _spots_the_same_night(failed: Failed) -> list[Fallback]:
    """The first spot that can be walked to before the disc is there."""
    sight, first_s = failed.sight, failed.up.hit.ut_s
    ground = _ground(failed)
    for later_s in _LATER_S:
        for spot in spots_at(ground, first_s + later_s).spots:
            if course(sight.eye, spot.place).distance_m <= later_s * _PACE_M_PER_S:
                return _from_spot(failed, spot.place, first_s + later_s)
    return []


def _ground(failed: Failed) -> Ground:
    sight = failed.sight
    aimed = aimed_for(sight, failed.placed)
    return Ground(failed.body, sight.top, sight.eye.elevation_m, aimed, failed.correction)


def _from_spot(failed: Failed, eye: Place, ut_s: float) -> list[Fallback]:
    """The pass seen from a spot of its own, where it is not too far to walk and not where one stands already."""
    sight, way = failed.sight, course(failed.sight.eye, eye)
    farthest_m = min(_FARTHEST_WALK_M, _WALK_SHARE * sight.seen.top.distance_m)
    if not 1.0 <= way.distance_m <= farthest_m:
        return []
    there = sight._replace(
        viewpoint=OWN_SPOT, eye=eye, seen=landmark_sight(eye, sight.foot, sight.height_m, sight.width_m),
        skyline=(),
        note="level ground taken, and nothing known of water: look at it, and at who owns it",
    )  # fmt: skip
    passes = find_sight_lineups(
        there, failed.body, (ut_s - 600.0, ut_s + 600.0), 0.5, failed.placed, failed.site.sky,
        correction=failed.correction,
    ).found  # fmt: skip
    return [_described(failed, there, up) for up in passes[:1]]


def _rank(failed: Failed, one: Fallback) -> tuple[float, ...]:
    days = abs(failed.days_on(one.up.hit.ut_s))
    same = abs(one.up.hit.ut_s - failed.up.hit.ut_s) < _SAME_S
    tier = 0.0 if same else 1.0 + sum(days > most for most in _TIER_DAYS)
    far = float(tier == 0.0 and one.walk_m > _SMALL_M)
    if one.poor:
        tier = max(tier, len(_TIER_DAYS) + 0.5)
    close = round(one.up.hit.miss_discs / _CLOSE_DISCS)
    return float(bool(one.but)), tier, far, float(len(one.poor) + len(one.but)), days, close, one.walk_m


def _described(failed: Failed, sight: Sight, up: LineUp) -> Fallback:
    other = sight.viewpoint != failed.sight.viewpoint
    way = course(failed.sight.eye, sight.eye) if other else None
    but = list(against(up, failed.sieve, failed.zone, sight.skyline))
    had = drawbacks(failed.up, failed.sight.skyline)
    poor = tuple(word for word in drawbacks(up, sight.skyline) if word not in had)
    low = failed.body == "moon" and up.hit.apparent_altitude_deg < DIM_DEG
    reason = _later(failed, up.hit.ut_s)
    reason += f", from {sight.viewpoint}" if other else ", from the same place"
    if failed.correction != failed.correction_at(sight.viewpoint):
        reason += " (without the look)"
    elif failed.correction != AS_RECKONED and not _as_far(failed.sight, sight):
        reason += " (look again there)"
    return Fallback(sight, up, way.distance_m if way else 0.0, way.bearing_deg if way else 0.0, reason, tuple(but), low,
                    poor)  # fmt: skip


def _as_far(one: Sight, other: Sight) -> bool:
    """Whether an error of metres at the landmark has about the same angle from both."""
    return 1.0 / _AS_FAR < one.seen.top.line_m / other.seen.top.line_m < _AS_FAR


def _later(failed: Failed, ut_s: float) -> str:
    """ "14 min later" in the same night or on the same date, "the next day", "27 days on"."""
    away_s, days = ut_s - failed.up.hit.ut_s, failed.days_on(ut_s)
    if abs(away_s) < _SAME_S or days == 0:
        minutes = round(abs(away_s) / 60.0)
        apart = f"{minutes} min" if minutes < 120 else f"{minutes / 60.0:.0f} h"
        return f"{apart} {'later' if away_s >= 0.0 else 'before'}"
    return "the next day" if days == 1 else f"{days} days on"
