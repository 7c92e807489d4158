"""Bands of light by the sun's altitude. The twilights are fixed; other bands are somebody's own words."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

from fieldplan.sky.crossings import crossings


class Band(NamedTuple):
    """A name for the light while the sun's true altitude is at least low_deg and below high_deg."""

    name: str
    low_deg: float
    high_deg: float


class BandSpan(NamedTuple):
    """One unbroken stay of the sun within a band."""

    name: str
    start_s: float
    end_s: float


# US Naval Observatory, Rise, Set, and Twilight Definitions; the sun's edge passes the horizon at -50'.
TWILIGHT_BANDS: tuple[Band, ...] = (
    Band("night", -91.0, -18.0),
    Band("astronomical twilight", -18.0, -12.0),
    Band("nautical twilight", -12.0, -6.0),
    Band("civil twilight", -6.0, -50.0 / 60.0),
    Band("day", -50.0 / 60.0, 91.0),
)


def bands_at(sun_altitude_deg: float, bands: Sequence[Band] = TWILIGHT_BANDS) -> list[str]:
    """The names of all bands that hold at this altitude, in the order given; a person's own bands may overlap."""
    return [band.name for band in bands if band.low_deg <= sun_altitude_deg < band.high_deg]


def band_spans(
    sun_altitude: Callable[[float], float], bands: Sequence[Band], start_s: float, end_s: float
) -> list[BandSpan]:
    """When each band holds within [start_s, end_s), in order of time.

    sun_altitude gives the true altitude in degrees at an instant and is asked up to ten minutes outside the span.
    """
    if end_s <= start_s:
        return []
    edges = {edge for band in bands for edge in (band.low_deg, band.high_deg)}
    turns = {ut_s for edge in edges for ut_s, _ in crossings(sun_altitude, edge, start_s, end_s)}
    instants = [start_s, *sorted(turns - {start_s}), end_s]
    pieces = list(pairwise(instants))
    spans: list[BandSpan] = []
    for band in bands:
        open_from: float | None = None
        for begin, finish in pieces:
            within = band.low_deg <= sun_altitude((begin + finish) / 2.0) < band.high_deg
            if within and open_from is None:
                open_from = begin
            elif not within and open_from is not None:
                spans.append(BandSpan(band.name, open_from, begin))
                open_from = None
        if open_from is not None:
            spans.append(BandSpan(band.name, open_from, end_s))
    return sorted(spans, key=lambda span: span.start_s)
