"""Positions and events against skyfield with JPL's DE421 (general reference library; instants built with ts.ut1)."""

import bisect
import itertools
import math
import random
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from fieldplan.sky.events import day_events
from fieldplan.sky.positions import Body, Place, direction

from ..de421 import load_de421

DAY_S = 86400.0
UNIX_EPOCH_JD = 2440587.5
YEAR_1950_S = -631_152_000.0
YEAR_2050_S = 2_524_608_000.0
GRAZING_DEG = 0.03  # extreme altitudes this near the limit may fall on either side
MOON_RADIUS_KM = 1737.4

TWILIGHTS = {"civil": -6.0, "nautical": -12.0, "astronomical": -18.0}
SUN_LIMITS = {("sunrise", "sunset"): -50 / 60} | {(f"{n}_dawn", f"{n}_dusk"): h for n, h in TWILIGHTS.items()}
MOON_LIMITS = {("moonrise", "moonset"): -34 / 60}


class Reference:
    """Altitudes and directions from DE421, and the stock event searches of the reference library."""

    def __init__(self) -> None:
        self.ts, self.bodies = load_de421()

    def time(self, ut_s: Any) -> Any:
        return self.ts.ut1_jd(np.asarray(ut_s) / DAY_S + UNIX_EPOCH_JD)

    def observer(self, place: Place) -> Any:
        from skyfield.api import wgs84

        return self.bodies["earth"] + wgs84.latlon(*place)

    def horizontal(self, body: Body, place: Place, time: Any) -> tuple[Any, Any, Any]:
        """Azimuth, altitude in degrees and distance in km."""
        altitude, azimuth, distance = self.observer(place).at(time).observe(self.bodies[body]).apparent().altaz()
        return azimuth.degrees, altitude.degrees, distance.km

    def edge(self, body: Body, place: Place, time: Any) -> Any:
        """The altitude that the rise and set of the body go by: the sun's centre, the moon's upper limb."""
        _, altitude, distance_km = self.horizontal(body, place, time)
        return altitude if body == "sun" else altitude + np.degrees(np.arcsin(MOON_RADIUS_KM / distance_km))


@pytest.fixture(scope="module")
def reference() -> Iterator[Reference]:
    made = Reference()
    yield made


def ut_seconds(time: Any) -> list[float]:
    return [float(s) for s in (time.ut1 - UNIX_EPOCH_JD) * DAY_S]


def random_sites(seed: int, count: int) -> list[tuple[Place, float]]:
    """Sites over the whole globe and instants from 1950 to 2050; every third beyond 66 deg, others on the date line."""
    rng = random.Random(seed)
    sites = []
    for k in range(count):
        latitude = (
            math.copysign(rng.uniform(66.0, 90.0), rng.random() - 0.5) if k % 3 == 0 else rng.uniform(-66.0, 66.0)
        )
        longitude = rng.choice([-180.0, 180.0, 179.99, -179.99]) if k % 7 == 1 else rng.uniform(-180.0, 180.0)
        place = Place(latitude, longitude, rng.choice([0.0, 0.0, 3000.0]))
        sites.append((place, float(round(rng.uniform(YEAR_1950_S, YEAR_2050_S)))))
    return sites


CORNERS = [
    (Place(90.0, 0.0), 1_750_000_000.0),
    (Place(-90.0, 0.0), 1_760_000_000.0),
    (Place(89.97, 45.0, 0.0), 1_800_000_000.0),
    (Place(0.0, 180.0, 3000.0), 2_400_000_000.0),
]


@pytest.mark.parametrize(("body", "within_deg"), [("sun", 0.001), ("moon", 0.001)])
def test_positions_on_random_sites_from_1950_to_2050(reference: Reference, body: Body, within_deg: float) -> None:
    for place, ut_s in CORNERS + random_sites(11, 250):
        azimuth, altitude, distance_km = reference.horizontal(body, place, reference.time(ut_s))
        ours = direction(body, ut_s, place)
        around = (ours.azimuth_deg - azimuth + 180.0) % 360.0 - 180.0
        apart = math.hypot(ours.altitude_deg - altitude, around * math.cos(math.radians(altitude)))
        assert apart < within_deg, (place, ut_s)
        # The reference lets the body move while its light travels, which shifts the moon's distance by up to 40 km.
        assert ours.distance_m / 1000.0 == pytest.approx(distance_km, rel=1.5e-4)


@pytest.mark.parametrize("place", [Place(0.3, 36.9, 1800.0), Place(-41.3, 174.8), Place(60.2, -149.4, 20.0)])
def test_a_year_of_events(reference: Reference, place: Place) -> None:
    from skyfield import almanac

    start, end = reference.ts.ut1(2027, 1, 1), reference.ts.ut1(2028, 1, 1)
    start_s, end_s = ut_seconds(reference.ts.ut1([2027, 2028], 1, 1))
    ours: dict[str, list[float]] = {}
    edges = np.arange(start_s, end_s + 1.0, DAY_S)
    for begin, finish in itertools.pairwise(edges):
        for event in day_events(place, float(begin), float(finish)):
            ours.setdefault(event.name, []).append(event.ut_s)
    observer = reference.observer(place)
    expected: dict[str, list[float]] = {}
    for body in ("sun", "moon"):
        target = reference.bodies[body]
        expected[f"{body}_transit"] = ut_seconds(almanac.find_transits(observer, target, start, end))
        for (up, down), limit in (SUN_LIMITS if body == "sun" else MOON_LIMITS).items():
            horizon = None if body == "moon" else limit
            for name, find in ((up, almanac.find_risings), (down, almanac.find_settings)):
                times, real = find(observer, target, start, end, horizon_degrees=horizon)
                expected[name] = [t for t, there in zip(ut_seconds(times), real, strict=True) if there]
    for name, instants in expected.items():
        assert len(ours.get(name, [])) == len(instants), name
        late = np.abs(np.array(ours.get(name, [])) - np.array(instants))
        if instants:
            assert np.percentile(late, 95) < 1.0, name
            assert late.max() < 3.0, name


def passes(times: Any, values: Any, limit: float) -> list[tuple[float, float, bool]]:
    """Brackets of the sampled curve's passes through the limit, with True where it rises."""
    over = values >= limit
    turns = np.nonzero(over[1:] != over[:-1])[0]
    return [(float(times[k]), float(times[k + 1]), bool(over[k + 1])) for k in turns]


def near_turns(times: Any, values: Any, limit: float) -> list[float]:
    """Instants where the sampled curve turns, or the span ends, so near the limit that a pass there is in doubt."""
    inner = (np.diff(values)[1:] * np.diff(values)[:-1] <= 0) & (np.abs(values[1:-1] - limit) < GRAZING_DEG)
    ends = [k for k in (0, len(values) - 1) if abs(values[k] - limit) < 0.001]
    return [float(times[k]) for k in [*(np.nonzero(inner)[0] + 1), *ends]]


@pytest.mark.parametrize("body", ["sun", "moon"])
def test_no_event_is_missed_or_invented_on_random_days(reference: Reference, body: Body) -> None:
    compared = 0
    for place, start_s in random_sites(23 if body == "sun" else 29, 30):
        times = np.arange(start_s, start_s + DAY_S + 1.0, 300.0)
        values = reference.edge(body, place, reference.time(times))
        ours = day_events(place, start_s, start_s + DAY_S)
        for names, limit in (SUN_LIMITS if body == "sun" else MOON_LIMITS).items():
            found = sorted((e.ut_s, e.name == names[0]) for e in ours if e.name in names)
            doubtful = near_turns(times, values, limit)
            for ut_s, rising in found:
                at = reference.edge(body, place, reference.time([ut_s - 0.5, ut_s + 0.5]))
                assert at.mean() == pytest.approx(limit, abs=0.001), (place, ut_s)
                assert (at[1] > at[0]) == rising or any(abs(ut_s - t) < 3600.0 for t in doubtful)
                compared += 1
            for low, high, rising in passes(times, values, limit):
                index = bisect.bisect_left([t for t, _ in found], low - 60.0)
                near = found[index] if index < len(found) else (math.inf, False)
                assert (near[0] <= high + 60.0 and near[1] == rising) or doubtful, (place, low)
            if not doubtful:
                assert len(found) == len(passes(times, values, limit)), (place, names)
    assert compared > 30


def test_rise_and_set_within_seconds_on_random_days(reference: Reference) -> None:
    """The reference's altitude at our instant, divided by its rate, is the error in seconds."""
    late: dict[Body, list[float]] = {"sun": [], "moon": []}
    for place, start_s in random_sites(41, 80):
        events = day_events(place, start_s, start_s + DAY_S)
        for body, limits in (("sun", SUN_LIMITS), ("moon", MOON_LIMITS)):
            wanted = {name: limit for names, limit in limits.items() for name in names}
            instants = [(e.ut_s, wanted[e.name]) for e in events if e.name in wanted]
            if not instants:
                continue
            ut_s, limit = np.array(instants).T
            around = reference.time(np.concatenate([ut_s - 30.0, ut_s + 30.0]))
            before, after = np.split(reference.edge(body, place, around), 2)
            rate_per_min = np.abs(after - before)
            seconds = np.abs((before + after) / 2.0 - limit) / rate_per_min * 60.0
            late[body] += list(seconds[rate_per_min >= 0.05])
            assert all(seconds[(rate_per_min < 0.05) & (rate_per_min > 0.002)] < 60.0)
    assert len(late["sun"]) > 350
    assert len(late["moon"]) > 80
    assert np.percentile(late["sun"], 95) < 0.5
    assert max(late["sun"]) < 1.0
    assert max(late["moon"]) < 1.0
