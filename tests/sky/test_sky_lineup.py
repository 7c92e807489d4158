"""Line-ups: that the search leaves nothing out, the ways to place a disc, odd sites, and the reasons for none."""

import datetime as dt
import itertools
import math
import random

import pytest

from fieldplan.sky import passes
from fieldplan.sky.aims import (
    CENTRED,
    RESTING,
    Correction,
    Placing,
    Target,
    airless_altitude_deg,
    left_of,
    right_of,
    wanted,
)
from fieldplan.sky.bodyrange import DISTANCE_M, highest_declination_deg, reach
from fieldplan.sky.geocentric import Almanac, Body
from fieldplan.sky.geodesic import destination
from fieldplan.sky.lineup import Hit, lineup
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sightline import sightline
from fieldplan.sky.station import Place, Station

DAY_S = 86400.0
YEAR_S = 365.25 * DAY_S
HERE = Place(52.3, 5.0, 4.0)
START_S = dt.datetime(2027, 1, 1, tzinfo=dt.UTC).timestamp()
NINETEEN_YEARS_S = 19.0 * YEAR_S


def random_case(rng: random.Random) -> tuple[Body, Place, Target]:
    """A direction that the body passes at some time, from anywhere on the globe, poles included."""
    while True:
        body: Body = rng.choice(["moon", "sun"])
        latitude = rng.choice([rng.uniform(-90.0, 90.0), 90.0, -90.0, 0.0])
        place = Place(latitude, rng.uniform(-180.0, 180.0), rng.uniform(0.0, 3000.0))
        seen = Station(place).direction(body, START_S + rng.uniform(0.0, YEAR_S))
        if seen.altitude_deg > -0.3:
            apparent = apparent_altitude_deg(seen.altitude_deg)
            return body, place, Target(seen.azimuth_deg, apparent)


def offset_deg(body: Body, place: Place, ut_s: float, aim: Target) -> float:
    seen = Station(place).direction(body, ut_s)
    one, other = math.radians(apparent_altitude_deg(seen.altitude_deg)), math.radians(aim.apparent_altitude_deg)
    around = math.radians(seen.azimuth_deg - aim.bearing_deg)
    half = math.sin((one - other) / 2.0) ** 2 + math.cos(one) * math.cos(other) * math.sin(around / 2.0) ** 2
    return math.degrees(2.0 * math.asin(math.sqrt(half)))


def test_passes_left_out_hold_no_hit(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = random.Random(4)
    cases = [(*random_case(rng), rng.choice([0.2, 1.0, 4.0, 15.0])) for _ in range(12)]
    quick = [list(lineup(b, p, t, START_S, START_S + 3.0 * YEAR_S, w)) for b, p, t, w in cases]
    monkeypatch.setattr(passes, "FASTEST_DEG_PER_DAY", {"moon": math.inf, "sun": math.inf})  # look at every pass
    for (body, place, target, within_deg), hits in zip(cases, quick, strict=True):
        every = list(lineup(body, place, target, START_S, START_S + 3.0 * YEAR_S, within_deg))
        assert [hit.ut_s for hit in hits] == pytest.approx([hit.ut_s for hit in every], abs=0.1)
        assert [hit.miss_deg for hit in hits] == pytest.approx([hit.miss_deg for hit in every], abs=1e-4)
        assert hits


@pytest.mark.parametrize(("body", "step_s"), [("moon", 2.93 * DAY_S), ("sun", 9.1 * DAY_S)])
def test_bounds_that_the_search_relies_on_hold_for_two_centuries(body: Body, step_s: float) -> None:
    """How far from the equator, on how steep a circle and how fast the body moves, against its positions."""
    almanac = Almanac()
    first_s, last_s = (dt.datetime(year, 1, 1, tzinfo=dt.UTC).timestamp() for year in (1900, 2100))
    for n in range(int((last_s - first_s) / step_s)):
        ut_s = first_s + n * step_s
        bound_deg = highest_declination_deg(body, ut_s, ut_s)
        here, soon = almanac.place(body, ut_s), almanac.place(body, ut_s + 7200.0)
        (x, y, z), (x2, y2, z2) = here.unit_vector(), soon.unit_vector()
        pole = (y * z2 - z * y2, z * x2 - x * z2, x * y2 - y * x2)
        moved = math.hypot(*pole)
        assert abs(math.degrees(here.declination)) < bound_deg
        assert math.degrees(math.acos(pole[2] / moved)) < bound_deg
        assert 12.0 * math.degrees(math.asin(moved)) < passes.FASTEST_DEG_PER_DAY[body]
        assert DISTANCE_M[body][0] < here.distance_m < DISTANCE_M[body][1]


def test_adjoining_spans_share_no_hit_and_lose_none() -> None:
    rng = random.Random(6)
    for _ in range(10):
        body, place, target = random_case(rng)
        end_s = START_S + YEAR_S
        whole = [hit.ut_s for hit in lineup(body, place, target, START_S, end_s, 1.5)]
        cuts = sorted([START_S, end_s, *(rng.uniform(START_S, end_s) for _ in range(6)), *whole[:2]])
        pieces = [
            hit.ut_s
            for begin, finish in itertools.pairwise(cuts)
            for hit in lineup(body, place, target, begin, finish, 1.5)
        ]
        # A cut in the very instant of a hit may move it by the closeness of the search, over the cut or before it.
        assert len(whole) - 2 <= len(pieces) <= len(whole) + 2
        for ut_s in pieces:
            assert min(abs(ut_s - one) for one in whole) < 0.1
        for ut_s in whole[2:]:
            assert min(abs(ut_s - one) for one in pieces) < 0.1


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_hits_are_what_they_say(body: Body) -> None:
    line = sightline(HERE, destination(HERE, 118.0, 2500.0)._replace(elevation_m=130.0))
    hits = list(lineup(body, HERE, line.target, START_S, START_S + 2.0 * YEAR_S, 0.8))
    assert len(hits) > 8
    station = Station(HERE)
    for hit in hits:
        seen = station.direction(body, hit.ut_s)
        assert hit.azimuth_deg == pytest.approx(seen.azimuth_deg, abs=1e-4)
        assert hit.apparent_altitude_deg == pytest.approx(apparent_altitude_deg(seen.altitude_deg), abs=1e-4)
        assert hit.disc_deg == pytest.approx(2.0 * seen.semidiameter_deg, rel=1e-4)
        assert hit.miss_deg == pytest.approx(offset_deg(body, HERE, hit.ut_s, line.target), abs=1e-4)
        assert hit.miss_discs == hit.miss_deg / hit.disc_deg
        assert math.hypot(hit.across_deg, hit.up_deg) == pytest.approx(hit.miss_deg, abs=1e-4)
        for aside_s in (-20.0, 20.0):
            assert offset_deg(body, HERE, hit.ut_s + aside_s, line.target) > hit.miss_deg
        for edge_s in (hit.start_s, hit.end_s):
            assert offset_deg(body, HERE, edge_s, line.target) == pytest.approx(0.8, abs=5e-4)
        assert hit.drift_across_deg_per_min > 0.0  # seen from the north a disc in the south-east moves right
        assert hit.drift_up_deg_per_min > 0.0  # and up
        # The sky turns by 0.2507 deg a minute along the equator; the moon lags by 4 % and both by the declination.
        assert 0.2 < hit.drift_deg_per_min < 0.2507
        assert not hit.disc_below_level


def test_the_size_of_the_moon_at_its_hits() -> None:
    hits = list(lineup("moon", HERE, Target(180.0, 38.0), START_S, START_S + NINETEEN_YEARS_S, 3.0))
    sizes = [60.0 * hit.disc_deg for hit in hits]
    # Meeus, Astronomical Algorithms, ch. 50: 356375 to 406720 km; with a radius of 1737.4 km that is 29.37' to 33.52'
    # from the Earth's centre, and up to 34.13' from the ground.
    assert 29.37 < min(sizes) < 30.0
    assert 33.5 < max(sizes) < 34.13


@pytest.mark.parametrize("altitude_deg", [0.3, 5.0, 40.0])
def test_resting_and_touching(altitude_deg: float) -> None:
    target = Target(130.0, altitude_deg)
    half_width_deg = 0.2
    station = Station(HERE)
    for placing in (RESTING, right_of(half_width_deg), left_of(half_width_deg), Placing(up_deg=1.0)):
        hits = list(lineup("moon", HERE, target, START_S, START_S + 4.0 * YEAR_S, 0.2, placing))
        assert hits
        for hit in hits:
            seen = station.direction("moon", hit.ut_s)
            radius_deg = seen.semidiameter_deg
            around = math.remainder(hit.azimuth_deg - target.bearing_deg, 360.0)
            level = math.cos(math.radians(altitude_deg))
            sideways = math.degrees(math.asin(math.sin(math.radians(radius_deg)) / level))
            across, up = hit.across_deg, hit.up_deg
            if placing == RESTING:
                lower_edge = apparent_altitude_deg(seen.altitude_deg - radius_deg)
                assert lower_edge == pytest.approx(altitude_deg + up, abs=0.06 * abs(up) + 0.002)
                assert around == pytest.approx(across / level, abs=0.005)
            elif placing.across_deg:
                side = math.copysign(1.0, placing.across_deg)
                touching = around - side * (half_width_deg + sideways)
                assert touching == pytest.approx(across / level, abs=0.005)
            else:
                assert hit.apparent_altitude_deg == pytest.approx(altitude_deg + 1.0 + up, abs=0.002)


def test_where_a_disc_is_wanted() -> None:
    target = Target(359.9, 10.0)
    assert wanted(target, CENTRED, 0.26) == target
    assert wanted(target, right_of(0.3), 0.26).bearing_deg == pytest.approx(0.2 + 0.264, abs=1e-3)
    for placing in (right_of(), left_of(1.0)):
        with pytest.raises(ValueError, match="mean nothing"):
            wanted(Target(10.0, 86.0), placing, 0.26)
    corrected = Correction(0.5, -0.2).applied(Target(0.2, 60.0))
    assert corrected.bearing_deg == pytest.approx(359.2)  # half a degree on the sky is one of bearing at 60 degrees
    assert corrected.apparent_altitude_deg == pytest.approx(60.2)


@pytest.mark.parametrize("apparent_deg", [-3.0, -0.5, 0.0, 0.2, 3.0, 45.0, 89.9, 90.0])
def test_refraction_is_undone_exactly(apparent_deg: float) -> None:
    assert apparent_altitude_deg(airless_altitude_deg(apparent_deg)) == pytest.approx(apparent_deg, abs=1e-9)


def test_a_direction_that_is_never_reached_has_a_reason() -> None:
    end_s = START_S + YEAR_S
    north = Target(0.0, 30.0)
    # By hand: due north at 30 degrees from 52.3 N the declination is 90 - (52.3 - 30) = 67.7; the moon's parallax of
    # about 0.95 deg x cos 30 lets it stand so much further north.
    parallaxes: dict[Body, float] = {"moon": 0.8, "sun": 0.0}
    for body, parallax_deg in parallaxes.items():
        verdict = reach(body, HERE, north, START_S, end_s, 0.5)
        assert not verdict.reached and verdict.never
        assert verdict.declination_deg == pytest.approx(67.7 + parallax_deg, abs=0.06)
        assert "never" in verdict.reason
        assert "north" in verdict.reason
        assert list(lineup(body, HERE, north, START_S, START_S + NINETEEN_YEARS_S, 0.5)) == []
    south = reach("sun", HERE, Target(180.0, 3.0), START_S, end_s, 0.5)
    assert "south" in south.reason
    assert "23.4" in south.reason
    reached = reach("moon", HERE, Target(180.0, 30.0), START_S, end_s)
    assert reached.reached and not reached.never
    assert reached.reason == ""


def test_the_moon_comes_back_to_a_far_declination_after_years() -> None:
    # Major standstill in 2024-2025, minor in 2034 (declination 18.1 to 18.6), next major 2043 (published by many
    # observatories; the years from memory). Due south from 52.3 N, a declination of -27 is at 10.7 degrees.
    low = Target(180.0, 10.9)
    at_minor_s = dt.datetime(2033, 6, 1, tzinfo=dt.UTC).timestamp()
    verdict = reach("moon", HERE, low, at_minor_s, at_minor_s + 2.0 * YEAR_S, 0.25)
    assert not verdict.reached
    assert "not stand there in this span" in verdict.reason
    year = verdict.again_year
    assert year is not None and not verdict.never
    assert 2038 <= year <= 2042
    assert list(lineup("moon", HERE, low, at_minor_s, at_minor_s + 2.0 * YEAR_S, 0.25)) == []
    hits = list(lineup("moon", HERE, low, at_minor_s, at_minor_s + 12.0 * YEAR_S, 0.25))
    assert hits
    assert all(hit.ut_s > dt.datetime(year - 1, 1, 1, tzinfo=dt.UTC).timestamp() for hit in hits)


@pytest.mark.parametrize("latitude_deg", [90.0, -90.0, 89.99, -78.0])
def test_polar_sites(latitude_deg: float) -> None:
    place = Place(latitude_deg, 30.0, 10.0)
    target = Target(77.0, 12.0)
    hits: list[Hit] = list(lineup("moon", place, target, START_S, START_S + YEAR_S, 1.0))
    # From the pole the moon circles level and passes 12 degrees up twice a month, within a degree for some days.
    assert len(hits) > 6
    for hit in hits:
        assert hit.miss_deg == pytest.approx(offset_deg("moon", place, hit.ut_s, target), abs=1e-4)
        assert hit.miss_deg <= 1.0


def test_landmarks_below_the_eye() -> None:
    hits = list(lineup("sun", HERE, Target(240.0, -1.5), START_S, START_S + YEAR_S, 0.3))
    assert hits
    for hit in hits:
        assert hit.disc_below_level  # the disc has set behind any level horizon
        assert hit.miss_deg == pytest.approx(offset_deg("sun", HERE, hit.ut_s, Target(240.0, -1.5)), abs=1e-4)


def test_a_search_tells_how_far_it_is_and_can_be_stopped() -> None:
    target = Target(110.0, 3.0)
    end_s = START_S + 10.0 * YEAR_S
    told: list[float] = []

    def go_on(share: float) -> bool:
        told.append(share)
        return True

    hits = list(lineup("moon", HERE, target, START_S, end_s, 0.5, on_progress=go_on))
    assert len(told) > 30
    assert told == sorted(told)
    assert 0.0 <= told[0] < 0.1
    assert 0.9 < told[-1] <= 1.0
    stopped = list(lineup("moon", HERE, target, START_S, end_s, 0.5, on_progress=lambda share: share < 0.5))
    assert stopped == hits[: len(stopped)]
    assert 0 < len(stopped) < 0.7 * len(hits)
    assert next(lineup("moon", HERE, target, START_S, end_s, 0.5)) == hits[0]


@pytest.mark.parametrize(
    ("target", "end_s", "within_deg", "words"),
    [
        (Target(0.0, 10.0), START_S - 1.0, 0.5, "no span"),
        (Target(0.0, 10.0), math.nan, 0.5, "no span"),
        (Target(0.0, 10.0), START_S + 1.0, 0.0, "within"),
        (Target(0.0, 10.0), START_S + 1.0, 16.0, "within"),
        (Target(0.0, 10.0), START_S + 1.0, math.nan, "within"),
        (Target(math.inf, 10.0), START_S + 1.0, 0.5, "bearing"),
        (Target(0.0, 91.0), START_S + 1.0, 0.5, "altitude"),
        (Target(0.0, math.nan), START_S + 1.0, 0.5, "altitude"),
    ],
)
def test_what_cannot_be_searched_is_refused_at_once(
    target: Target, end_s: float, within_deg: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        lineup("moon", HERE, target, START_S, end_s, within_deg)
    with pytest.raises(ValueError, match="latitude"):
        lineup("moon", Place(95.0, 0.0), Target(0.0, 10.0), START_S, START_S + 1.0, 0.5)


def test_an_empty_span_and_the_zenith() -> None:
    assert list(lineup("sun", HERE, Target(180.0, 20.0), START_S, START_S, 1.0)) == []
    equator = Place(0.0, 10.0)
    overhead = list(lineup("sun", equator, Target(0.0, 90.0), START_S, START_S + YEAR_S, 0.5))
    days = [dt.datetime.fromtimestamp(hit.ut_s, dt.UTC) for hit in overhead]
    assert {(day.month) for day in days} == {3, 9}  # at the equinoxes
    assert list(lineup("sun", HERE, Target(0.0, 90.0), START_S, START_S + YEAR_S, 0.5)) == []
