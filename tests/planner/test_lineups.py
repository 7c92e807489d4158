"""Line-ups of a site's landmark: levels, placings, filters, order, and the sentences where a figure is missing."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import ephem
import pytest
from geographiclib.geodesic import Geodesic

from fieldplan.files.catalogue import load_catalogue
from fieldplan.model.plan import Site
from fieldplan.planner.lineups import LineUp, LineUps, search_span
from fieldplan.planner.sifting import Sieve, band_range, one_exposure, ordered, sifted, stands_clear, weekdays_of
from fieldplan.planner.sights import Lacking, find_sight_lineups, sight_of, viewpoint_names, what_lacks

ZONE = ZoneInfo("Europe/Berlin")
BARE = Site.model_validate({"name": "bare"})
SPAN = search_span(dt.date(2027, 1, 1), dt.date(2027, 12, 31), ZONE)
MARK: dict[str, object] = {
    "name": "mill",
    "position": "53.4296, 12.7711",
    "foot": "70 m",
    "height": "31 m",
    "width": "6 m",
}
VIEW: dict[str, object] = {
    "name": "dam",
    "position": "53.4318, 12.7541",
    "elevation": "64 m",
    "eye_height": "2 m",
    "note": "ask",
}


def site(mark: dict[str, object] = MARK, view: dict[str, object] = VIEW, **more: object) -> Site:
    words: dict[str, object] = {
        "name": "hide", "position": "53.43, 12.75", "elevation": "62 m", "landmark": [mark], "viewpoint": [view],
    }  # fmt: skip
    return Site.model_validate({**words, **more})


def found(body: str = "moon", within: float = 1.0, placed: str = "centred", sky: str = "clear") -> LineUps:
    return find_sight_lineups(sight_of(site(), "mill"), body, SPAN, within, placed, sky)


@pytest.fixture(scope="module")
def moons() -> tuple[LineUp, ...]:
    return found().found


def test_levels_and_distance_from_the_site_and_from_a_viewpoint() -> None:
    # Distances: geographiclib, Karney's geodesic on WGS 84.
    for name, eye_m, place in ((None, 63.6, (53.43, 12.75)), ("dam", 66.0, (53.4318, 12.7541))):
        sight = sight_of(site(), "mill", name)
        line = Geodesic.WGS84.Inverse(*place, 53.4296, 12.7711)
        assert sight.eye.elevation_m == pytest.approx(eye_m)
        assert sight.top.elevation_m == pytest.approx(101.0)
        assert sight.seen.top.distance_m == pytest.approx(line["s12"], abs=0.01)
        assert sight.seen.top.bearing_deg == pytest.approx(line["azi1"] % 360, abs=1e-3)
        assert sight.seen.top.straight_altitude_deg == pytest.approx(
            math.degrees(math.atan((101.0 - eye_m) / line["s12"] - line["s12"] / 2 / 6.39e6)), abs=0.001
        )
    assert sight_of(site(), "mill", "dam").note == "ask"
    assert viewpoint_names(site()) == ("hide", "dam")


@pytest.mark.parametrize(
    ("place", "landmark", "viewpoint", "said"),
    [
        (site({**MARK, "height": None}), "mill", None, 'has no height; write for example height = "31 m"'),
        (site(position=None), "mill", None, "has no position; write"),
        (site(), "mil", None, 'did you mean "mill"'),
        (site(), "mill", "damm", 'did you mean "dam"'),
        (site(), "tower of babel", None, "it has mill"),
    ],
)
def test_what_is_missing_is_said(place: Site, landmark: str, viewpoint: str | None, said: str) -> None:
    with pytest.raises(Lacking, match=said):
        sight_of(place, landmark, viewpoint)


def test_a_level_that_is_taken_for_want_of_better_is_told() -> None:
    sight = sight_of(site({**MARK, "foot": None}, {**VIEW, "elevation": None}), "mill", "dam")
    assert sight.foot.elevation_m == 62.0 and sight.eye.elevation_m == pytest.approx(64.0)
    assert len(sight.assumed) == 2 and all("62 m" in text for text in sight.assumed)


def test_a_site_without_landmark_or_position_says_what_to_add() -> None:
    assert "landmark" in what_lacks(BARE) and "position" in what_lacks(BARE)
    assert "[[site.landmark]]" in what_lacks(None)
    assert what_lacks(site()) == ""


def ephem_disc(body: str, ut_s: float) -> tuple[float, float, float]:
    """Azimuth, airless altitude and radius [deg] by PyEphem (XEphem's astronomy by E. C. Downey)."""
    there = ephem.Observer()
    there.lat, there.lon, there.elevation, there.pressure = "53.43", "12.75", 63.6, 0
    there.date = ephem.Date(dt.datetime.fromtimestamp(ut_s, dt.UTC).replace(tzinfo=None))
    disc = ephem.Moon(there) if body == "moon" else ephem.Sun(there)
    return math.degrees(disc.az), math.degrees(disc.alt), math.degrees(disc.radius)


@pytest.mark.parametrize("body", ["moon", "sun"])
@pytest.mark.parametrize(("placed", "across", "up"), [("centred", 0, 0), ("resting", 0, 1), ("left", -1, 0),
                                                      ("right", 1, 0)])  # fmt: skip
def test_each_placing_puts_the_disc_where_it_says(body: str, placed: str, across: float, up: float) -> None:
    # Reference: PyEphem's places, lifted by Saemundsson's refraction (Meeus, 16.4), at 1010 hPa and 10 degrees.
    ups = found(body, 0.4, placed).found
    top = sight_of(site(), "mill").seen.top
    half = math.degrees(3.0 / top.line_m)
    assert ups
    for one in ups:
        azimuth, altitude, radius = ephem_disc(body, one.hit.ut_s)
        seen = altitude + 1.02 / 60 / math.tan(math.radians(altitude + 10.3 / (altitude + 5.11)))
        right = azimuth - top.bearing_deg - across * (radius + half)
        above = seen - top.apparent_altitude_deg - up * radius
        # The air flattens a resting disc by some 0.02 deg.
        assert math.hypot(right, above) == pytest.approx(one.hit.miss_deg, abs=0.03) and one.hit.miss_deg <= 0.4


def test_filters_keep_what_they_say_and_nothing_else_is_lost(moons: tuple[LineUp, ...]) -> None:
    bright = sifted(moons, Sieve(lit=(0.9, 1.0)), ZONE)
    assert bright and all(up.lit_fraction is not None and up.lit_fraction >= 0.9 for up in bright)
    assert len(bright) + len(sifted(moons, Sieve(lit=(0.0, 0.8999999)), ZONE)) == len(moons)
    night = sifted(moons, Sieve(hours=(dt.time(22), dt.time(3))), ZONE)
    day = sifted(moons, Sieve(hours=(dt.time(3, 0, 1), dt.time(21, 59, 59))), ZONE)
    assert night and day and len(night) + len(day) == len(moons)
    weekend = sifted(moons, Sieve(weekdays=weekdays_of("Sat, sunday")), ZONE)
    assert weekend and all(dt.datetime.fromtimestamp(up.hit.ut_s, ZONE).isoweekday() in (6, 7) for up in weekend)
    twilight = sifted(moons, Sieve(sun_altitude_deg=band_range(load_catalogue(None).bands, "civil twilight")), ZONE)
    # Civil twilight: sun from 6 degrees below the horizon to -50' (US Naval Observatory).
    assert all(-6.0 <= up.sun_altitude_deg <= -0.8 for up in twilight)
    assert twilight == tuple(up for up in moons if -6.0 <= up.sun_altitude_deg <= -0.833)


def test_a_high_skyline_leaves_nothing_clear(moons: tuple[LineUp, ...]) -> None:
    assert sifted(moons, Sieve(clear=True), ZONE, ((0.0, 0.5),)) != ()
    assert sifted(moons, Sieve(clear=True), ZONE, ((0.0, 4.0),)) == ()
    assert stands_clear(moons[0], ())


def test_order_by_date_and_by_closeness(moons: tuple[LineUp, ...]) -> None:
    times, misses = [up.hit.ut_s for up in ordered(moons)], [up.hit.miss_deg for up in ordered(moons, "closeness")]
    assert times == sorted(times) and misses == sorted(misses) and misses != [up.hit.miss_deg for up in ordered(moons)]


@pytest.mark.parametrize("call", [lambda: ordered((), "size"), lambda: weekdays_of("Caturday"),
                                  lambda: band_range(load_catalogue(None).bands, "purple hour"),
                                  lambda: found(placed="inside")])  # fmt: skip
def test_words_that_are_not_known_are_explained(call: object) -> None:
    with pytest.raises(ValueError, match="is no"):
        call()  # type: ignore[operator]


def test_a_cloud_takes_its_stops_from_the_land_and_hides_the_disc(moons: tuple[LineUp, ...]) -> None:
    # ANSI PH2.7-1973: heavy overcast is EV 12 against EV 15 in the sun, three stops. USNO Circular 171: average cloud
    # and more stand in the way of direct rays; thin cloud halves the light of a moon that is still easily seen.
    sunlit = [i for i, up in enumerate(moons) if up.sun_altitude_deg > 5.0]
    dull = found(sky="heavy overcast").found
    assert sunlit
    for i in sunlit:
        assert moons[i].ev_land - dull[i].ev_land == pytest.approx(3.0, abs=0.01)
        assert dull[i].ev_disc is None and dull[i].gap_stops is None
    for clear, thin in zip(moons, found(sky="thin cloud").found, strict=True):
        assert clear.ev_disc is not None and thin.ev_disc is not None
        assert [a - b for a, b in zip(clear.ev_disc, thin.ev_disc, strict=True)] == pytest.approx([1.0, 1.0])


def test_the_sun_has_no_gap_and_the_moon_in_the_dark_has_a_wide_one(moons: tuple[LineUp, ...]) -> None:
    assert all(up.gap_stops is None for up in found("sun").found)
    gaps = [up.gap_stops for up in moons if up.sun_altitude_deg < -18.0]
    assert gaps and all(gap is not None and gap[1] > 8.0 for gap in gaps)


@pytest.mark.parametrize(
    ("gap", "latitude", "said"),
    [((1.0, 3.0), 8.0, "yes"), ((9.0, 11.0), 8.0, "no"), ((5.0, 7.0), 8.0, "perhaps"), ((-7.5, -6.5), 8.0, "no"),
     ((-9.0, 9.0), 8.0, "perhaps"), ((1.0, 2.0), None, ""), (None, 8.0, "")],
)  # fmt: skip
def test_one_exposure_holds_both_within_the_latitude(
    gap: tuple[float, float] | None, latitude: float | None, said: str
) -> None:
    assert one_exposure(gap, latitude) == said


def test_what_hinders_a_body_is_a_word_and_not_only_a_sentence() -> None:
    """The sun is never due north at 53 north; the moon is not so far south at its minor standstill of 2034."""
    span = search_span(dt.date(2027, 3, 1), dt.date(2027, 4, 1), ZONE)
    north = site({**MARK, "position": "53.4400, 12.7500", "foot": "62 m", "height": "31 m"})
    none = find_sight_lineups(sight_of(north, "mill"), "sun", span, 1.0)
    assert not none.found and none.hindrance == "never" and "never stands there" in none.reason
    low = site({**MARK, "foot": "10 m", "height": "1 m"})
    none = find_sight_lineups(sight_of(low, "mill"), "moon", span, 0.3)
    assert none.hindrance == "hidden" and "below eye level" in none.reason
    south = site({**MARK, "position": "53.4100, 12.7500", "foot": "62 m", "height": "340 m"})
    minor = search_span(dt.date(2033, 6, 1), dt.date(2034, 6, 1), ZONE)
    none = find_sight_lineups(sight_of(south, "mill"), "moon", minor, 0.5)
    assert none.hindrance == "span" and "in this span" in none.reason and "again from" not in none.reason
    assert found().found and found().hindrance == ""
