"""How long the search for line-ups takes, beside the almanac's own share and a brute-force scan with skyfield.

Run by hand: python tests/bench/bench_lineup.py
"""

import time
import warnings
from collections.abc import Callable
from functools import partial
from unittest import mock

import numpy as np

from fieldplan.sky.aims import Target
from fieldplan.sky.geocentric import Almanac, Body, Equatorial
from fieldplan.sky.lineup import Hit, lineup
from fieldplan.sky.station import Place

HERE = Place(52.3, 5.0, 4.0)
TARGET = Target(110.0, 3.0)
WITHIN_DEG = 0.5
START_S = 1_798_761_600.0  # 2027-01-01
YEAR_S = 365.25 * 86400.0
UNIX_EPOCH_JD = 2440587.5


class CountingAlmanac(Almanac):
    """Counts how many positions are asked for."""

    looks = 0

    def place(self, body: Body, ut_s: float) -> Equatorial:
        CountingAlmanac.looks += 1
        return super().place(body, ut_s)


def best_s(work: Callable[[], object], rounds: int) -> float:
    taken = []
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return min(taken)


def many_positions(almanac: Almanac, body: Body, count: int) -> None:
    for n in range(count):
        almanac.place(body, START_S + 7e4 * n)


def search(body: Body, years: float) -> list[Hit]:
    return list(lineup(body, HERE, TARGET, START_S, START_S + years * YEAR_S, WITHIN_DEG))


def positions_needed(body: Body, years: float) -> int:
    """How many positions one search asks for."""
    CountingAlmanac.looks = 0
    with mock.patch("fieldplan.sky.lineup.Almanac", CountingAlmanac):
        search(body, years)
    return CountingAlmanac.looks


def skyfield_scan(days: float) -> int:
    """Brute force: the moon every two minutes over some days; the number of low points within reach."""
    import skyfield_data
    from skyfield.api import Loader, wgs84

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        load = Loader(skyfield_data.get_skyfield_data_path(), verbose=False)
        ts, bodies = load.timescale(builtin=True), load("de421.bsp")
    ut_s = np.arange(START_S, START_S + days * 86400.0, 120.0)
    observer = bodies["earth"] + wgs84.latlon(*HERE)
    time_ = ts.ut1_jd(ut_s / 86400.0 + UNIX_EPOCH_JD)
    altitude, azimuth, _ = observer.at(time_).observe(bodies["moon"]).apparent().altaz()
    bodies.close()
    held = np.maximum(altitude.degrees, -1.0)
    seen = altitude.degrees + 1.02 / 60.0 / np.tan(np.radians(held + 10.3 / (held + 5.11)))
    around = (azimuth.degrees - TARGET.bearing_deg + 180.0) % 360.0 - 180.0
    apart = np.hypot(seen - TARGET.apparent_altitude_deg, around * np.cos(np.radians(TARGET.apparent_altitude_deg)))
    low = (apart[1:-1] <= apart[:-2]) & (apart[1:-1] < apart[2:]) & (apart[1:-1] < WITHIN_DEG)
    return int(low.sum())


def main() -> None:
    almanac = Almanac()
    bodies: tuple[Body, ...] = ("moon", "sun")
    for body in bodies:
        one_s = best_s(partial(many_positions, almanac, body, 2000), 5) / 2000.0
        print(f"{body}: one position {1e6 * one_s:.1f} us")
        for years, rounds in ((1, 9), (10, 5)):
            taken_s = best_s(partial(search, body, years), rounds)
            needed = positions_needed(body, years)
            print(
                f"  {years:2d} years: {len(search(body, years)):3d} hits in {1e3 * taken_s:6.1f} ms; "
                f"{needed} positions alone take {1e3 * needed * one_s:6.1f} ms: factor {taken_s / (needed * one_s):.2f}"
            )
    days = 60.0
    scan_s = best_s(partial(skyfield_scan, days), 1)
    a_year_s = scan_s * 365.25 / days
    print(f"skyfield, moon every two minutes: {scan_s:.2f} s for {days:.0f} days, {a_year_s:.0f} s a year")


if __name__ == "__main__":
    main()
