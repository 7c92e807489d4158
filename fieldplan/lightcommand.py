"""``fieldplan light``: the sky and the light of one day at one place, as text or JSON."""

from __future__ import annotations

import argparse
import json
import sys
from zoneinfo import ZoneInfo

from fieldplan.card.jsonparts import finite
from fieldplan.files.catalogue import load_catalogue
from fieldplan.files.findplace import find_place
from fieldplan.files.whereabouts import whereabouts
from fieldplan.model.plan import SKIES
from fieldplan.notation.display import bearing_text, lux_text
from fieldplan.notation.numbers import shown
from fieldplan.notation.position import write_position
from fieldplan.notation.quantity import HEIGHT, read_value
from fieldplan.notation.signed import signed
from fieldplan.notation.words import read_choice, read_date
from fieldplan.optionnamed import given, named
from fieldplan.planner.daylight import DayLight, day_light, event_words, on_clock
from fieldplan.planner.scene import Conditions
from fieldplan.planner.skybook import SkyBook, SkyDay
from fieldplan.sky.positions import Place

_LOW_DEG, _HIGH_DEG = -12.0, 6.0  # altitudes of the sun between which light changes fast


def run_light(options: argparse.Namespace) -> int:
    """Print the day; 2 where a word of the command cannot be read."""
    try:
        with named("--at"):
            position = find_place(options.at)
        with named("--on"):
            date = read_date(options.on)
        with named("--sky"):
            sky = read_choice(options.sky, SKIES, "a sky")
        written = given("--elevation", options.elevation, lambda text: float(read_value(text, HEIGHT)))
        with named("--zone"):
            zone = zone_of_position(options.zone, position.latitude_deg, position.longitude_deg)
    except ValueError as wrong:
        print(f"fieldplan light: {wrong}", file=sys.stderr)
        return 2
    for warning in whereabouts(position, options.zone, date).warnings:
        print(f"fieldplan light: note: {warning}", file=sys.stderr)
    elevation = written if written is not None else position.height_m or 0.0
    place = Place(position.latitude_deg, position.longitude_deg, elevation)
    day = SkyBook(place, (), ZoneInfo(zone)).day(date)
    found = day_light(day, Conditions(sky, "level ground", None, 0.0), load_catalogue(None, "bands").bands)
    sys.stdout.write(as_json(found, zone, sky) if options.kind == "json" else as_text(found, zone, sky))
    return 0


def zone_of_position(given: str | None, latitude_deg: float, longitude_deg: float) -> str:
    """The zone as given, else from the position. Raises ValueError for a name that is none."""
    if given is None:
        from fieldplan.sky.zones import zone_at

        return zone_at(latitude_deg, longitude_deg)
    try:
        ZoneInfo(given)
    except (KeyError, ValueError, OSError):
        example = "write for example Europe/Amsterdam or Etc/GMT-3"
        raise ValueError(f"{shown(given)} is not a time zone; {example}") from None
    return given


def as_json(found: DayLight, zone: str, sky: str) -> str:
    """The format fieldplan-light/1."""
    day = found.day
    table = [
        {
            "time": on_clock(day, row.state.ut_s).isoformat(),
            "sun_altitude_deg": row.state.sun_altitude_deg,
            "sun_azimuth_deg": row.state.sun_azimuth_deg,
            "moon_altitude_deg": row.state.moon_altitude_deg,
            "moon_azimuth_deg": row.state.moon_azimuth_deg,
            "illuminance_lux": row.lux,
            "ev100": finite(row.ev100),
            "ev100_low": finite(row.low),
            "ev100_high": finite(row.high),
        }
        for row in found.rows
    ]
    events = [
        {"name": e.name, "time": on_clock(day, e.ut_s).isoformat(), "azimuth_deg": e.azimuth_deg} for e in found.events
    ]
    place = day.place
    data = {
        "format": "fieldplan-light/1",
        "date": day.date.isoformat(),
        "time_zone": zone,
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": place.elevation_m,
        "sky": sky,
        "moon_lit_fraction": found.phase.lit_fraction,
        "moon_phase": found.phase.name,
        "sentences": list(found.sentences),
        "events": events,
        "table": table,
    }
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def as_text(found: DayLight, zone: str, sky: str) -> str:
    """Events, moon, and the light on open, level ground: every half hour, every ten minutes while the sun is low."""
    day, place = found.day, found.day.place
    where = write_position(place.latitude_deg, place.longitude_deg, "decimal")
    also = write_position(place.latitude_deg, place.longitude_deg, "degrees minutes")
    offsets = list(dict.fromkeys(_offset(day, t) for t in (day.start_s, max(day.end_s - 1.0, day.start_s))))
    lines = [f"{day.date:%A} {day.date}  {where}  ({also})", f"{zone}, {' to '.join(offsets)}; sky: {sky}", ""]
    for event in found.events:
        clock = f"{day.minute(event.ut_s):%H:%M}"
        lines.append(f"{clock}  {event_words(event.name):<20} bearing {bearing_text(event.azimuth_deg)}")
    lines += [f"       {sentence}" for sentence in found.sentences]
    lit = round(found.phase.lit_fraction * 100)
    coming = "; ".join(f"{q.name} {day.local(q.ut_s):%d %b %H:%M}" for q in found.quarters[-4:][:2])
    lines += [f"       moon: {found.phase.name}, {lit} % lit, {found.phase.distance_m / 1e6:.0f} 000 km; {coming}", "",
              "altitudes in degrees, true: of the centre, without refraction",
              "time   sun alt bearing   moon alt bearing      lux     EV at ISO 100 (range)"]  # fmt: skip
    for place_in_day, row in enumerate(found.rows):
        s = row.state
        if place_in_day % 3 and not _LOW_DEG <= s.sun_altitude_deg <= _HIGH_DEG:
            continue
        lines.append(
            f"{on_clock(day, s.ut_s):%H:%M}  {signed(s.sun_altitude_deg):>7}   {bearing_text(s.sun_azimuth_deg)}      "
            f"{signed(s.moon_altitude_deg):>7}   {bearing_text(s.moon_azimuth_deg)}    {lux_text(row.lux):>8}   "
            f"{row.ev100:5.1f} ({row.low:.1f} to {row.high:.1f})"
        )
    lines.append("Light on open, level ground; a side lit by a low sun has up to 3 stops more, a shaded one less.")
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _offset(day: SkyDay, ut_s: float) -> str:
    text = on_clock(day, ut_s).strftime("%z")
    return f"UTC{text[:3]}:{text[3:5]}"
