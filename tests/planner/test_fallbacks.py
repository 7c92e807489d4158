"""What else to do when a line-up fails: a ranked list, checked against the rules it is meant to follow."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import pytest
from geographiclib.geodesic import Geodesic
from skyfield.api import wgs84

from fieldplan.model.plan import Site
from fieldplan.planner.fallbacks import FAILED, OWN_SPOT, Failed, fallbacks
from fieldplan.planner.lineups import search_span
from fieldplan.planner.sifting import Sieve
from fieldplan.planner.sights import find_sight_lineups, sight_of

from ..de421 import load_de421

ZONE = ZoneInfo("Europe/Berlin")
# An invented site.
SITE = Site.model_validate(
    {
        "name": "hide",
        "position": "53.4300, 12.7500",
        "elevation": "62 m",
        "landmark": [{"name": "chapel", "position": "53.4296, 12.7711", "foot": "70 m", "height": "31 m"}],
        "viewpoint": [
            {"name": "east dam", "position": "53.4318, 12.7541", "elevation": "64 m"},
            {"name": "at its foot", "position": "53.4296, 12.7711", "elevation": "70 m"},
        ],
    }
)


def failed(why: str, sieve: Sieve = Sieve()) -> Failed:  # noqa: B008
    sight = sight_of(SITE, "chapel")
    span = search_span(dt.date(2027, 3, 14), dt.date(2028, 3, 13), ZONE)
    first = find_sight_lineups(sight, "moon", span, 1.5).found[0]
    return Failed(SITE, sight, first, why, "moon", "centred", 1.5, sieve, ZONE)


@pytest.mark.parametrize("why", FAILED)
def test_only_what_can_still_be_taken_is_offered(why: str) -> None:
    given = failed(why)
    choices = fallbacks(given, 50)
    assert len(choices) > 5
    for choice in choices:
        away_h = (choice.up.hit.ut_s - given.up.hit.ut_s) / 3600.0
        assert away_h > {"clouded": 12.0, "missed": 0.0, "blocked": -12.0}[why]
        assert why != "blocked" or choice.sight.viewpoint != "hide"
        assert choice.sight.viewpoint in ("hide", "east dam", OWN_SPOT), "none from the foot of the landmark"
        walk = Geodesic.WGS84.Inverse(53.43, 12.75, choice.sight.eye.latitude_deg, choice.sight.eye.longitude_deg)
        assert choice.walk_m == pytest.approx(walk["s12"], abs=0.01)  # Karney's geodesic


def test_the_soonest_comes_first_among_those_that_pass() -> None:
    given = failed("clouded")
    choices = fallbacks(given, 50)
    good = [(c.up.hit.ut_s - given.up.hit.ut_s) / 86400.0 for c in choices if not c.poor]
    soon = [math.floor(day) for day in good if day < 40.0]
    assert soon == sorted(soon) and choices[0].reason == "the next day, from a new spot"
    first_poor = next(n for n, c in enumerate(choices) if c.poor)
    assert all((c.up.hit.ut_s - given.up.hit.ut_s) / 86400.0 > 40.0 for c in choices[first_poor:] if not c.poor)
    assert all(c.poor for c in choices if c.up.sun_altitude_deg > 6.0), "by day the moon is pale: marked"
    assert all(c.walk_m <= 1200.0 for c in choices), "no walk of miles"
    asked = fallbacks(failed("clouded", Sieve(sun_altitude_deg=(-6.0, 5.0))), 50)
    fails = [len(choice.but) for choice in asked]
    assert fails == sorted(fails) and fails[0] == 0 and fails[-1] > 0
    for choice in asked:
        assert (-6.0 <= choice.up.sun_altitude_deg <= 5.0) == (not any("sun at" in word for word in choice.but))


def test_a_new_spot_has_the_moon_behind_the_top() -> None:
    ts, planets = load_de421()
    new = [c for c in fallbacks(failed("missed"), 50) if c.sight.viewpoint == OWN_SPOT]
    assert len(new) >= 2 and min(c.up.hit.ut_s for c in new) - failed("missed").up.hit.ut_s < 3600.0
    for choice in new:
        eye = choice.sight.eye
        spot = planets["earth"] + wgs84.latlon(eye.latitude_deg, eye.longitude_deg, elevation_m=eye.elevation_m)
        when = dt.datetime.fromtimestamp(choice.up.hit.ut_s, tz=dt.UTC)
        instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second + when.microsecond / 1e6)
        altitude, azimuth, _ = spot.at(instant).observe(planets["moon"]).apparent().altaz()
        lift = 1.02 / 60.0 / math.tan(math.radians(altitude.degrees + 10.3 / (altitude.degrees + 5.11)))  # Meeus 16.4
        line = Geodesic.WGS84.Inverse(eye.latitude_deg, eye.longitude_deg, 53.4296, 12.7711)
        assert azimuth.degrees == pytest.approx(line["azi1"] % 360.0, abs=0.01)
        height = math.degrees(math.atan2(101.0 - eye.elevation_m, line["s12"]))
        assert altitude.degrees + lift == pytest.approx(height, abs=0.02)  # curvature and air: 0.01 deg at 1.4 km


def test_a_missed_one_can_be_walked_to_in_time() -> None:
    given = failed("missed")
    same = [c for c in fallbacks(given, 50) if c.up.hit.ut_s - given.up.hit.ut_s < 43200.0]
    assert same and all(c.walk_m <= 1.1 * (c.up.hit.ut_s - given.up.hit.ut_s) + 1.0 for c in same)


def test_an_unknown_reason_is_refused() -> None:
    with pytest.raises(ValueError, match="clouded, missed, blocked"):
        fallbacks(failed("rained off"))


def test_the_module_takes_no_time_of_its_own() -> None:
    """The instant is an argument: the same question has the same answer."""
    assert fallbacks(failed("missed")) == fallbacks(failed("missed"))
