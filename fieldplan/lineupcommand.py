"""``fieldplan lineup``: when the moon or the sun stands at the top of a landmark, for scripts."""

from __future__ import annotations

import argparse
import datetime as dt
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from zoneinfo import ZoneInfo

from fieldplan.lineupforms import Shown, as_gpx, as_json, as_text
from fieldplan.lineupplaces import between
from fieldplan.model.catalogue import LightBand
from fieldplan.notation.numbers import obeyed_by_none, read_number, shown
from fieldplan.notation.skywords import read_hours, read_lit
from fieldplan.notation.words import read_choice, read_date
from fieldplan.optionnamed import given, named
from fieldplan.planner.hitspots import hit_spots
from fieldplan.planner.lineups import SUN_CAUTION, LineUps, find_lineups, search_span
from fieldplan.planner.sifting import Sieve, band_range, ordered, sifted, weekdays_of
from fieldplan.sky.geocentric import Body
from fieldplan.stopping import STOPPED, stoppable

_YEAR = dt.timedelta(days=365)


def run_lineup(options: argparse.Namespace) -> int:
    """Print the hits; 1 when there is none, 2 when a word of the command cannot be read, 130 when it was stopped."""
    try:
        with named("--body"):
            body: Body = "moon" if read_choice(options.body, ("moon", "sun"), "a body of the sky") == "moon" else "sun"
        place = between(options, _note)
        with named("--place"):
            placing = place.placing(options.place)
        with named("--within"):
            within_deg = read_number(options.within.removesuffix("deg"))
        span = _span(options, place.date, place.zone)
        sieve, by, limit = _sieve(options, body), options.sort, given("--limit", options.limit, _limit)
        with named("--sort"):
            ordered((), by)
        with _searching() as going:
            found = find_lineups(body, place.eye, place.top, *span, within_deg, going, placing, place.sky,
                                 units=place.units)  # fmt: skip
    except (ValueError, LookupError) as wrong:
        print(f"fieldplan lineup: {wrong}", file=sys.stderr)
        return 2
    if body == "sun":
        print(SUN_CAUTION, file=sys.stderr)
    kept = ordered(sifted(found.found, sieve, place.zone, place.skyline), by)[:limit]
    shown = Shown(place, body, options.place, found, kept)
    spots = hit_spots(body, place.eye, place.top, kept, place.aimed(options.place))
    if options.kind == "json":
        sys.stdout.write(as_json(shown, spots))
    elif options.kind != "gpx":
        sys.stdout.write(as_text(shown, spots))
    elif kept:
        for one in spots:
            if one.spot is None:
                print(f"fieldplan lineup: no spot for {shown.clock(one.ut_s):%Y-%m-%d %H:%M}: {one.reason}",
                      file=sys.stderr)  # fmt: skip
        sys.stdout.write(as_gpx(shown, spots))
    return _ended(found, bool(kept))


def _note(text: str) -> None:
    print(f"fieldplan lineup: note: {obeyed_by_none(text)}", file=sys.stderr)


def _ended(found: LineUps, kept: bool) -> int:
    if found.stopped:
        print("fieldplan lineup: stopped; what was found until then is told", file=sys.stderr)
        return STOPPED
    if kept:
        return 0
    why = found.reason or f"{len(found.found)} passes were found, and none is as asked for; ask for less"
    print(f"fieldplan lineup: {why}", file=sys.stderr)
    return 1


@contextmanager
def _searching() -> Iterator[Callable[[float], bool]]:
    """What a search tells its progress to: shown on stderr where that is a terminal; Ctrl+C ends the search only."""
    shown = ""
    with stoppable() as asked_to_stop:

        def going(share: float) -> bool:
            nonlocal shown
            told = f"searching: {share * 100.0:3.0f} %, Ctrl+C stops"
            if told != shown and sys.stderr.isatty():
                print(f"\r{told}", end="", file=sys.stderr, flush=True)
                shown = told
            return not asked_to_stop()

        try:
            yield going
        finally:
            if shown:
                print(f"\r{' ' * len(shown)}\r", end="", file=sys.stderr, flush=True)


def _span(options: argparse.Namespace, date: dt.date | None, zone: ZoneInfo) -> tuple[float, float]:
    start, end = given("--start", options.start, read_date) or date, given("--end", options.end, read_date)
    if start is None:
        raise ValueError("say from when on: --start 2027-03-14")
    if end is None and options.plan is None:
        raise ValueError("say until when: --end 2027-04-14")
    return search_span(start, start + _YEAR if end is None else end, zone)


def _sieve(options: argparse.Namespace, body: Body) -> Sieve:
    if options.lit is not None and body == "sun":
        raise ValueError("--lit is for the moon; the sun is always lit")
    if options.light is not None and options.sun_altitude is not None:
        raise ValueError("give either --light or --sun-altitude, not both")
    altitudes = None
    if options.sun_altitude is not None:
        with named("--sun-altitude"):
            low, high = (read_number(word) for word in options.sun_altitude)
        altitudes = min(low, high), max(low, high)
    elif options.light is not None:
        with named("--light"):
            altitudes = band_range(_bands(options), options.light)
    return Sieve(
        lit=given("--lit", options.lit, read_lit),
        sun_altitude_deg=altitudes,
        hours=given("--hours", options.hours, read_hours),
        weekdays=given("--weekdays", options.weekdays, weekdays_of) or frozenset(),
        clear=options.clear,
    )


def _bands(options: argparse.Namespace) -> tuple[LightBand, ...]:
    from fieldplan.files.catalogue import load_catalogue
    from fieldplan.files.places import profiles_folder

    return load_catalogue(profiles_folder(options.profiles)).bands


def _limit(text: str) -> int:
    if not re.fullmatch(r"\s*\d{1,9}\s*", text) or int(text) < 1:
        raise ValueError(f"{shown(text)} is no number of hits; write for example --limit 10")
    return int(text)
