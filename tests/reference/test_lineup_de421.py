"""Line-ups against a brute-force scan with skyfield and JPL's DE421 (general reference library), instants in UT1."""

import random
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from fieldplan.sky.aims import Target
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import destination
from fieldplan.sky.lineup import lineup
from fieldplan.sky.sightline import curvature_drop_m, sightline
from fieldplan.sky.standing import Ground
from fieldplan.sky.station import Place
from fieldplan.sky.viewpoints import line_at, spots_at

from ..de421 import load_de421

DAY_S = 86400.0
UNIX_EPOCH_JD = 2440587.5
YEAR_1975_S, YEAR_2050_S = 157_766_400.0, 2_524_608_000.0
SPAN_S = 25.0 * DAY_S
STEP_S = 600.0
DOUBTFUL_DEG = 0.003  # a miss this near to the limit may fall on either side
LATE_S = 1.0
OFF_DEG = 4.0 / 3600.0


class Scan:
    """Apparent directions and distances by brute force."""

    def __init__(self) -> None:
        self.ts, self.bodies = load_de421()

    def seen(self, body: Body, place: Place, ut_s: Any) -> tuple[Any, Any]:
        """Azimuth and apparent altitude: Saemundsson (Meeus, Astronomical Algorithms, 16.4), held below -1 deg."""
        from skyfield.api import wgs84

        time = self.ts.ut1_jd(np.asarray(ut_s) / DAY_S + UNIX_EPOCH_JD)
        observer = self.bodies["earth"] + wgs84.latlon(*place)
        altitude, azimuth, _ = observer.at(time).observe(self.bodies[body]).apparent().altaz()
        held = np.maximum(altitude.degrees, -1.0)
        lift = 1.02 / 60.0 / np.tan(np.radians(held + 10.3 / (held + 5.11)))
        return azimuth.degrees, altitude.degrees + np.maximum(lift, 0.0)

    def apart(self, body: Body, place: Place, ut_s: Any, target: Target) -> Any:
        """The angle between the disc's centre and the target, degrees."""
        there, here = unit(*self.seen(body, place, ut_s)), unit(*target).reshape(3, 1)
        return np.degrees(2.0 * np.arcsin(np.linalg.norm(there - here, axis=0) / 2.0))

    def minima(self, body: Body, place: Place, target: Target, start_s: float, below_deg: float) -> list[Any]:
        """Every instant of least distance and the distance, from a scan and a closer scan around each low point."""
        ut_s = np.arange(start_s - STEP_S, start_s + SPAN_S + 1.5 * STEP_S, STEP_S)
        apart = self.apart(body, place, ut_s, target)
        low = (apart[1:-1] <= apart[:-2]) & (apart[1:-1] < apart[2:]) & (apart[1:-1] < below_deg + 3.0)
        found = []
        for index in np.nonzero(low)[0] + 1:
            near_s = ut_s[index]
            for width_s in (STEP_S, 20.0):
                fine_s = np.linspace(near_s - width_s, near_s + width_s, 121)
                fine = self.apart(body, place, fine_s, target)
                near_s = fine_s[int(np.argmin(fine))]
            found.append((float(near_s), float(fine.min())))
        return found


def unit(azimuth_deg: Any, altitude_deg: Any) -> Any:
    azimuth, altitude = np.radians(azimuth_deg), np.radians(altitude_deg)
    level = np.cos(altitude)
    return np.array([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)])


@pytest.fixture(scope="module")
def scan() -> Iterator[Scan]:
    made = Scan()
    yield made


def geometry(scan: Scan, rng: random.Random, body: Body) -> tuple[Place, Target, float]:
    """A viewpoint, a landmark 1 to 40 km off whose top the body comes near within the span, and the span's start."""
    while True:
        eye = Place(rng.uniform(-78.0, 85.0), rng.uniform(-180.0, 180.0), rng.uniform(0.0, 2000.0))
        start_s = rng.uniform(YEAR_1975_S, YEAR_2050_S)
        azimuth, altitude = scan.seen(body, eye, [rng.uniform(start_s, start_s + SPAN_S)])
        bearing_deg = float(azimuth[0]) + rng.uniform(-0.7, 0.7)
        altitude_deg = float(altitude[0]) + rng.uniform(-0.4, 0.4)
        if 0.2 <= altitude_deg <= 60.0:
            break
    away_m = rng.uniform(1_000.0, 40_000.0)
    top_m = eye.elevation_m + away_m * np.tan(np.radians(altitude_deg)) + curvature_drop_m(away_m)
    line = sightline(eye, destination(eye, bearing_deg, away_m)._replace(elevation_m=float(top_m)))
    return eye, line.target, start_s


@pytest.mark.parametrize(("body", "seed"), [("moon", 101), ("sun", 202)])
def test_no_hit_is_missed_and_none_invented(scan: Scan, body: Body, seed: int) -> None:
    rng = random.Random(seed)
    compared = 0
    for _ in range(22):
        eye, target, start_s = geometry(scan, rng, body)
        within_deg = rng.choice([0.1, 0.3, 0.5, 1.0, 3.0])
        hits = list(lineup(body, eye, target, start_s, start_s + SPAN_S, within_deg))
        expected = scan.minima(body, eye, target, start_s, within_deg)
        for best_s, miss_deg in expected:
            near = [hit for hit in hits if abs(hit.ut_s - best_s) < 1800.0]
            if not near:
                inside = start_s + 60.0 < best_s < start_s + SPAN_S - 60.0
                assert miss_deg > within_deg - DOUBTFUL_DEG or not inside, (eye, target, best_s)
                continue
            (hit,) = near
            assert hit.ut_s == pytest.approx(best_s, abs=LATE_S)
            assert hit.miss_deg == pytest.approx(miss_deg, abs=OFF_DEG)
            edges = scan.apart(body, eye, [hit.start_s, hit.end_s], target)
            assert edges == pytest.approx(within_deg, abs=OFF_DEG)
            assert hit.start_s <= hit.ut_s <= hit.end_s
            azimuth, altitude = scan.seen(body, eye, [hit.ut_s, hit.ut_s + 60.0])
            assert hit.azimuth_deg == pytest.approx(azimuth[0], abs=0.005 / np.cos(np.radians(altitude[0])))
            assert hit.apparent_altitude_deg == pytest.approx(altitude[0], abs=0.005)
            moved = np.linalg.norm(unit(azimuth[1], altitude[1]) - unit(azimuth[0], altitude[0]))
            assert hit.drift_deg_per_min == pytest.approx(np.degrees(moved), rel=0.01)
            compared += 1
        for hit in hits:
            near_misses = [miss_deg for best_s, miss_deg in expected if abs(hit.ut_s - best_s) < 1800.0]
            assert near_misses, (eye, target, hit)
            assert near_misses[0] < within_deg + DOUBTFUL_DEG
    assert compared > 25


def test_spots_have_the_disc_on_the_top(scan: Scan) -> None:
    """From every spot that is found, skyfield shows the body where the sightline shows the top, within 0.005 deg."""
    rng = random.Random(303)
    found = 0
    for _ in range(120):
        body: Body = rng.choice(["moon", "sun"])
        top = Place(rng.uniform(-78.0, 85.0), rng.uniform(-180.0, 180.0), rng.uniform(15.0, 2500.0))
        ut_s = rng.uniform(YEAR_1975_S, YEAR_2050_S)
        ground = Ground(body, top, eye=rng.uniform(0.0, 12.0))
        places = [spot.place for spot in spots_at(ground, ut_s).spots]
        if places:
            for point in line_at(ground, ut_s, [1_000.0, 8_000.0, 40_000.0]):
                if point.eye_needed_m is not None:
                    places += [point.place._replace(elevation_m=point.eye_needed_m)]
        for place in places:
            line = sightline(place, top)
            azimuth, altitude = scan.seen(body, place, [ut_s])
            around_deg = (line.bearing_deg - azimuth[0] + 180.0) % 360.0 - 180.0
            assert abs(around_deg) * np.cos(np.radians(altitude[0])) < 0.005
            assert line.apparent_altitude_deg == pytest.approx(altitude[0], abs=0.005)
            found += 1
    assert found > 100
