"""Fallbacks after a look, put under DE421 with the landmark where it truly stands; and their order by the calendar."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import pytest
from geographiclib.geodesic import Geodesic
from skyfield.api import wgs84

from fieldplan.planner.fallbacks import OWN_SPOT, Failed, Fallback, fallbacks
from fieldplan.planner.lineups import LineUp, search_span
from fieldplan.planner.sifting import Sieve
from fieldplan.planner.sights import find_sight_lineups, sight_of
from fieldplan.sky.aims import AS_RECKONED, Correction
from fieldplan.sky.geocentric import Body
from fieldplan.sky.station import Place
from fieldplan.sky.walking import correction_from_sighting

from ..de421 import load_de421
from .test_fallbacks import SITE, ZONE

SIGHT = sight_of(SITE, "chapel")
SPAN = search_span(dt.date(2027, 3, 14), dt.date(2028, 3, 13), ZONE)
# The chapel truly stands 12 m further north than the plan says, and 3 m higher.
NORTH = Geodesic.WGS84.Direct(53.4296, 12.7711, 0.0, 12.0)
TRUE_TOP_M = 104.0


def true_discs(eye: Place, ut_s: float) -> tuple[float, float]:
    """How many discs right of the true top and above it the moon stands: DE421, Meeus 16.4, plain trigonometry.

    Curvature and the air near the ground come to 0.006 degrees over 1.4 km.
    """
    ts, planets = load_de421()
    when = dt.datetime.fromtimestamp(ut_s, tz=dt.UTC)
    instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second + when.microsecond / 1e6)
    spot = planets["earth"] + wgs84.latlon(eye.latitude_deg, eye.longitude_deg, elevation_m=eye.elevation_m)
    altitude, azimuth, distance = spot.at(instant).observe(planets["moon"]).apparent().altaz()
    h = altitude.degrees
    seen = h + 1.02 / 60.0 / math.tan(math.radians(h + 10.3 / (h + 5.11)))
    line = Geodesic.WGS84.Inverse(eye.latitude_deg, eye.longitude_deg, NORTH["lat2"], NORTH["lon2"])
    disc = 2.0 * math.degrees(math.asin(1737.4 / distance.km))
    right = math.remainder(azimuth.degrees - line["azi1"], 360.0) * math.cos(math.radians(h))
    top = math.degrees(math.atan2(TRUE_TOP_M - eye.elevation_m, line["s12"]))
    return right / disc, (seen - top) / disc


def looked_at() -> tuple[Correction, LineUp]:
    """What one look at the first pass corrects, and that pass as it is then reckoned."""
    first = find_sight_lineups(SIGHT, "moon", SPAN, 1.5).found[0]
    right, above = true_discs(SIGHT.eye, first.hit.ut_s)
    correction = correction_from_sighting("moon", SIGHT.eye, SIGHT.top, first.hit.ut_s, right, above)
    return correction, find_sight_lineups(SIGHT, "moon", SPAN, 1.5, correction=correction).found[0]


@pytest.mark.parametrize("why", ["clouded", "missed"])
def test_after_a_look_the_choices_are_where_the_moon_truly_is(why: str) -> None:
    correction, first = looked_at()
    assert math.hypot(*correction) > 0.4
    with_look = Failed(SITE, SIGHT, first, why, "moon", "centred", 1.5, Sieve(), ZONE, correction)
    near = [c for c in fallbacks(with_look, 50) if c.sight.viewpoint in ("hide", OWN_SPOT)]
    assert any(c.sight.viewpoint == OWN_SPOT for c in near) and any(c.sight.viewpoint == "hide" for c in near)
    for choice in near:
        # Metres at the landmark have another angle from much nearer, which one look cannot tell: then it is asked for.
        nearer = SIGHT.seen.top.line_m / choice.sight.seen.top.line_m > 1.25
        assert choice.reason.endswith("(look again there)") == nearer
        if nearer:
            continue
        truly = math.hypot(*true_discs(choice.sight.eye, choice.up.hit.ut_s))
        assert truly == pytest.approx(choice.up.hit.miss_discs, abs=0.25), choice.reason
        assert "without the look" not in choice.reason
        assert choice.sight.viewpoint != OWN_SPOT or truly < 0.15, "a spot of its own is made to line up"
    soon = min(c.up.hit.ut_s for c in near if c.sight.viewpoint == "hide")
    assert soon - first.hit.ut_s > 3600.0, "the pass that failed is not offered again a minute later"
    other = [c for c in fallbacks(with_look, 50) if c.sight.viewpoint == "east dam"]
    assert other and all(c.reason.endswith("(without the look)") for c in other)


def test_without_a_look_nothing_is_said_of_it() -> None:
    first = find_sight_lineups(SIGHT, "moon", SPAN, 1.5).found[0]
    failed = Failed(SITE, SIGHT, first, "clouded", "moon", "centred", 1.5, Sieve(), ZONE)
    assert failed.correction == AS_RECKONED and all("look" not in c.reason for c in fallbacks(failed, 50))


def date_of(up: LineUp, zone: ZoneInfo = ZONE) -> dt.date:
    return dt.datetime.fromtimestamp(up.hit.ut_s, tz=zone).date()


def choices_after(body: Body, up: LineUp, why: str, zone: ZoneInfo = ZONE) -> tuple[Fallback, ...]:
    return fallbacks(Failed(SITE, SIGHT, up, why, body, "centred", 1.5, Sieve(), zone), 50)


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_on_one_date_the_closest_comes_first_and_words_follow_the_calendar(body: Body) -> None:
    found = find_sight_lineups(SIGHT, body, SPAN, 1.5).found
    for up in found[:3]:
        choices = choices_after(body, up, "clouded")
        soon = [c for c in choices if not c.poor and 0 < (date_of(c.up) - date_of(up)).days <= 2]
        ranks = [((date_of(c.up) - date_of(up)).days, round(2.0 * c.up.hit.miss_discs)) for c in soon]
        assert ranks == sorted(ranks), "by date, then by steps of half a disc"
        for c in choices:
            days = (date_of(c.up) - date_of(up)).days
            assert c.reason.startswith("the next day") == (days == 1)
            assert days < 2 or c.reason.startswith(f"{days} days on")


def test_the_next_day_is_the_next_date_wherever_midnight_falls() -> None:
    """The same two passes, about a day apart, by two clocks: in one of them midnight falls twice between them."""
    up = find_sight_lineups(SIGHT, "moon", SPAN, 1.5).found[0]
    later = next(c for c in choices_after("moon", up, "clouded") if c.sight.viewpoint == "east dam")
    assert 86400.0 < later.up.hit.ut_s - up.hit.ut_s < 2.0 * 86400.0
    told = {}
    for hours in range(-11, 13):
        zone = ZoneInfo(f"Etc/GMT{-hours:+d}")
        same = next(c for c in choices_after("moon", up, "clouded", zone) if c.up.hit.ut_s == later.up.hit.ut_s)
        days = (date_of(same.up, zone) - date_of(up, zone)).days
        told[days] = same.reason
    assert told[1].startswith("the next day") and told[2].startswith("2 days on")
