"""Says a position back in two notations, and warns where it looks like a slip of the pen."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fieldplan.model.plan import Site
from fieldplan.notation.latlon import Position
from fieldplan.notation.position import write_position
from fieldplan.sky.zones import zone_at

COARSE_M = 1000.0  # half the worth of the last digit; a position good to less than this is not one to stand on
_SEASONS = (dt.date(2026, 1, 15), dt.date(2026, 7, 15))  # where no date is given: winter and summer of today's rules
_AT_SEA = "Etc/"  # zones of the open sea follow the longitude, and a coast keeps the clock of its land
_SEA_SLACK_H = 1.0


class Whereabouts(NamedTuple):
    """A position said back: decimal degrees, degrees and minutes, the zone there (None: not known), and warnings."""

    decimal: str
    degrees_minutes: str
    zone: str | None
    warnings: tuple[str, ...]

    @property
    def echo(self) -> str:
        """ "52.30120, 4.97110 (52 18.072 N 4 58.266 E), Europe/Amsterdam"."""
        return f"{self.decimal} ({self.degrees_minutes}), {self.zone or 'zone not known'}"


def whereabouts(position: Position, time_zone: str | None = None, date: dt.date | None = None) -> Whereabouts:
    """The position in two notations, with its likely slips.

    time_zone: the one written for the place, if any; date: the day on which the clocks are compared.
    """
    zone = _zone(position.latitude_deg, position.longitude_deg)
    warnings = [text for text in (_coarse(position), _elsewhere(position, zone, time_zone, date)) if text]
    decimal = write_position(position.latitude_deg, position.longitude_deg, "decimal")
    minutes = write_position(position.latitude_deg, position.longitude_deg, "degrees minutes")
    return Whereabouts(decimal, minutes, zone, tuple(warnings))


def site_doubts(site: Site, date: dt.date | None = None) -> tuple[str, ...]:
    """What looks like a slip in the positions of a site, its landmarks and viewpoints, each after what it is of."""
    spots = [] if site.position is None else [("site", site.position)]
    spots += [(f'landmark "{mark.name}"', mark.position) for mark in site.landmarks]
    spots += [(f'viewpoint "{view.name}"', view.position) for view in site.viewpoints]
    return tuple(
        f"{what}: {warning}" for what, spot in spots for warning in whereabouts(spot, site.time_zone, date).warnings
    )


def short_degrees(latitude_deg: float, longitude_deg: float) -> str:
    """ "52.3 N 4.9 W": as somebody would say it, to at most four decimals."""
    north, east = (f"{abs(angle):.4f}".rstrip("0").rstrip(".") for angle in (latitude_deg, longitude_deg))
    return f"{north} {'S' if latitude_deg < 0 else 'N'} {east} {'W' if longitude_deg < 0 else 'E'}"


def _zone(latitude_deg: float, longitude_deg: float) -> str | None:
    try:
        return zone_at(latitude_deg, longitude_deg)
    except (LookupError, ValueError):
        return None


def _coarse(position: Position) -> str | None:
    if position.resolution_m <= COARSE_M:
        return None
    typed = getattr(position, "typed", None)
    read = short_degrees(position.latitude_deg, position.longitude_deg)
    said = f'"{typed}" reads as {read}, which' if typed else f"{read}"
    return f"{said} is good to {position.resolution_m / 1000:.0f} km only; write more decimals, with a point"


def _offsets_h(zone: str, date: dt.date | None) -> tuple[float, ...] | None:
    """Hours ahead of universal time at noon; None for a name that is no zone."""
    try:
        clock = ZoneInfo(zone)
    except (KeyError, ValueError, OSError):
        return None
    days = _SEASONS if date is None else (date,)
    gaps = (dt.datetime.combine(day, dt.time(12), clock).utcoffset() for day in days)
    return tuple(gap.total_seconds() / 3600.0 for gap in gaps if gap is not None)


def _same_clock(zone: str, written: str, date: dt.date | None) -> bool:
    """Whether two zones show the same time; at sea, and on an unknown name, the benefit of the doubt."""
    here, there = _offsets_h(zone, date), _offsets_h(written, date)
    if here is None or there is None:
        return True
    slack = _SEA_SLACK_H if zone.startswith(_AT_SEA) else 0.0
    return all(abs(a - b) <= slack for a, b in zip(here, there, strict=True))


def _elsewhere(position: Position, zone: str | None, written: str | None, date: dt.date | None) -> str | None:
    """The warning where the clock written is not the clock of the position, with what may have been meant."""
    if zone is None or written is None or zone == written:
        return None
    exact, alike = _meant(position, written, date)
    if _same_clock(zone, written, date) and not (zone.startswith(_AT_SEA) and exact):
        return None
    meant = exact or alike
    guess = f'; did you mean "{meant}"?' if meant else ""
    return (
        f"{short_degrees(position.latitude_deg, position.longitude_deg)} lies in {zone} "
        f"({_utc(zone, date)}), but the time zone written is {written} ({_utc(written, date)}){guess}"
    )


def _utc(zone: str, date: dt.date | None) -> str:
    offsets = _offsets_h(zone, date) or ()
    words = dict.fromkeys(f"UTC{'-' if h < 0 else '+'}{int(abs(h)):02d}:{round(abs(h) % 1 * 60):02d}" for h in offsets)
    return " or ".join(words)


def _meant(position: Position, written: str, date: dt.date | None) -> tuple[str | None, str | None]:
    """A sign left out or a swapped pair that lies in the zone written, and one where the same time is kept.

    At sea every longitude has its clock, so that there only the commonest slip, a west left out, is guessed at.
    """
    lat, lon = position.latitude_deg, position.longitude_deg
    tried = [(lat, -lon), (-lat, lon), (-lat, -lon)]
    if abs(lon) <= 90.0:
        tried += [(lon, lat), (lon, -lat), (-lon, lat), (-lon, -lat)]
    zones = [(pair, _zone(*pair)) for pair in tried if pair != (lat, lon)]
    same = [pair for pair, zone in zones if zone == written]
    alike = [pair for pair, zone in zones if zone and not zone.startswith(_AT_SEA) and _same_clock(zone, written, date)]
    afloat = [
        pair for pair, zone in zones[:1] if zone and zone.startswith(_AT_SEA) and _same_clock(zone, written, date)
    ]
    return _first(same), _first([*alike, *afloat])


def _first(pairs: list[tuple[float, float]]) -> str | None:
    return short_degrees(*pairs[0]) if pairs else None
