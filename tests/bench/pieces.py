"""What is measured inside one process: answers by the number of rigs, a day of light, line-ups; each with its floor."""

from __future__ import annotations

import datetime as dt
import statistics
import time
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import NamedTuple

from fieldplan.files.reading import read_text
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.opening import setting_of
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import prepare
from fieldplan.planner.skybook import book_for

from . import bench_lineup
from .latency import PLAN, profile_text

MINUTES = 1440


class Row(NamedTuple):
    """One line of the table: what was measured, ours and the floor in the unit, the ratio wanted at most (0: none)."""

    what: str
    unit: str
    ours: float
    floor: float
    floor_is: str
    wanted: float = 0.0

    @property
    def ratio(self) -> float:
        """How many times the floor."""
        return self.ours / self.floor if self.floor else float("nan")


def side_by_side(ours: Callable[[], object], floor: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Medians [s] of both, taken in turns, so that what else the machine does falls on both."""
    taken: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        for work, into in zip((ours, floor), taken, strict=True):
            began = time.perf_counter()
            work()
            into.append(time.perf_counter() - began)
    return statistics.median(taken[0]), statistics.median(taken[1])


def growth(rounds: int, counts: tuple[int, ...] = (10, 60, 720, 10_000)) -> Iterator[Row]:
    """Seconds for all answers of one shot, by the number of rigs; the floor: so many times what a rig takes at 720."""
    plan = read_text(PLAN, Path("bench-plan.toml"), Plan)
    setting = setting_of(plan.site)
    each: dict[int, float] = {}
    for count in counts:
        profile = read_text(profile_text(count), Path("bench.toml"), Profile)
        kit = prepare(profile)
        work = partial(assess_shot, plan, plan.shots[0], kit, setting)
        found = len(work().rigs)
        taken = [_seconds(work) for _ in range(max(3, rounds if count < 5000 else 3))]
        each[count] = statistics.median(taken)
        what = f"answers to one shot, {found} answers"
        if count <= 720:
            yield Row(what, "ms", each[count] * 1e3, 0.0, "")
        else:
            yield Row(what, "ms", each[count] * 1e3, each[720] * 1e3 / 720 * count, "720 in proportion", 1.5)


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def light_day(rounds: int) -> Row:
    """A day of sun, moon and light at one-minute steps, beside as many bare places of sun and moon from the library."""
    import ephem

    from fieldplan.planner.daylight import row_at
    from fieldplan.planner.scene import Conditions
    from fieldplan.sky.positions import interpolated

    plan = read_text(PLAN, Path("bench-plan.toml"), Plan)
    zone, given = "Europe/Berlin", Conditions("clear", "level ground", None, 0.0)
    date = dt.date(2027, 3, 14)

    def ours() -> None:
        interpolated.cache_clear()  # a day of which nothing is known yet
        book = book_for(plan.site, zone)
        assert book is not None
        day = book.day(date)
        for minute in range(MINUTES):
            row_at(day, day.start_s + 60.0 * minute, given)

    def floor() -> None:
        observer = ephem.Observer()
        observer.lat, observer.lon, observer.pressure = "53.43", "12.75", 0
        sun, moon = ephem.Sun(), ephem.Moon()
        start = ephem.Date(dt.datetime(2027, 3, 13, 23))
        for minute in range(MINUTES):
            observer.date = start + minute / 1440.0
            sun.compute(observer)
            moon.compute(observer)
            _ = sun.alt, sun.az, moon.alt, moon.az  # reckoned when asked for

    both = side_by_side(ours, floor, rounds)
    return Row("a day of light, minute by minute", "ms", both[0] * 1e3, both[1] * 1e3, "1440 places of sun and moon")


def lineups(rounds: int, with_scan: bool) -> Iterator[Row]:
    """A search over 1 and 10 years, beside the ephemeris calls that it needs, and beside a scan with skyfield."""
    almanac = bench_lineup.Almanac()
    for years, most in ((1, rounds), (10, min(rounds, 3))):
        needed = bench_lineup.positions_needed("moon", years)
        both = side_by_side(
            partial(bench_lineup.search, "moon", years),
            partial(bench_lineup.many_positions, almanac, "moon", needed),
            most,
        )
        yield Row(
            f"line-ups of the moon, {years} years", "ms", both[0] * 1e3, both[1] * 1e3, f"{needed} ephemeris calls"
        )
    if with_scan:
        days = 30.0
        scan_s = _seconds(partial(bench_lineup.skyfield_scan, days)) * 365.25 / days
        ours_s = bench_lineup.best_s(partial(bench_lineup.search, "moon", 1), 3)
        yield Row("line-ups of the moon, 1 year", "ms", ours_s * 1e3, scan_s * 1e3, "skyfield every two minutes")


def toml_parse(rounds: int) -> Row:
    """Reading the profile of 720 rigs, beside the standard library's bare reading of TOML."""
    text = profile_text(720)
    both = side_by_side(lambda: read_text(text, Path("bench.toml"), Profile), lambda: tomllib.loads(text), rounds)
    return Row("reading a profile of 720 rigs", "ms", both[0] * 1e3, both[1] * 1e3, "tomllib alone")


def bags(rounds: int) -> Row:
    """The lightest bag and the best within the limit of a full kit, proven, the assessing of everything included.

    12 lenses, 4 bodies, 3 converters, 12 pictures; the floor is the assessing alone.
    """
    import random

    from fieldplan.planner.bags import best_within, lightest_bag
    from fieldplan.planner.packing import packing

    from ..planner.trips import profile, some_kit, some_pictures, trip

    rng = random.Random(0)
    kit = prepare(profile(**some_kit(rng, 4, 12, 3, 2), photographer={"bag_limit": 6}))
    pictures = some_pictures(rng, 12, 2)

    def ours() -> None:
        table = packing(trip(kit, *pictures), kit)
        lightest_bag(table)
        best_within(table, table.owned)

    both = side_by_side(ours, lambda: trip(kit, *pictures), rounds)
    return Row("bags of a full kit, 12 pictures", "ms", both[0] * 1e3, both[1] * 1e3, "its answers alone")
