"""``fieldplan lineup``: when the moon or the sun stands at the top of a landmark, for scripts."""

from __future__ import annotations

import argparse
import datetime as dt
import json
import sys
from typing import Any
from zoneinfo import ZoneInfo

from fieldplan.lightcommand import zone_of_position
from fieldplan.notation.numbers import read_number
from fieldplan.notation.position import read_position
from fieldplan.notation.quantity import HEIGHT, read_value
from fieldplan.notation.words import read_choice, read_date
from fieldplan.planner.lineups import SUN_CAUTION, LineUp, LineUps, find_lineups, search_span
from fieldplan.sky.positions import Place


def run_lineup(options: argparse.Namespace) -> int:
    """Print the hits; 1 when there is none, 2 when a word of the command cannot be read."""
    try:
        start, end = read_date(options.start), read_date(options.end)
        viewpoint = _place(options.viewpoint, options.from_level)
        top = _place(options.to, options.to_level)
        body = read_choice(options.body, ("moon", "sun"), "a body of the sky")
        zone = ZoneInfo(zone_of_position(options.zone, viewpoint.latitude_deg, viewpoint.longitude_deg))
        span = search_span(start, end, zone)
        found = find_lineups(body, viewpoint, top, *span, read_number(options.within.removesuffix("deg")))
    except (ValueError, LookupError) as wrong:
        print(f"fieldplan lineup: {wrong}", file=sys.stderr)
        return 2
    if body == "sun":
        print(SUN_CAUTION, file=sys.stderr)
    sys.stdout.write(as_json(found, zone) if options.kind == "json" else as_text(found, zone, body))
    if not found.found:
        print(f"fieldplan lineup: {found.reason}", file=sys.stderr)
        return 1
    return 0


def _place(text: str, level: str) -> Place:
    position = read_position(text)
    return Place(position.latitude_deg, position.longitude_deg, float(read_value(level, HEIGHT)))


def _clock(ut_s: float, zone: ZoneInfo) -> dt.datetime:
    return dt.datetime.fromtimestamp(round(ut_s), tz=zone)


def _hit_json(line_up: LineUp, zone: ZoneInfo) -> dict[str, Any]:
    hit = line_up.hit
    low, high = line_up.ev_disc or (None, None)
    return {
        "time": _clock(hit.ut_s, zone).isoformat(),
        "miss_deg": hit.miss_deg,
        "miss_discs": hit.miss_discs,
        "miss_m": line_up.miss_m,
        "azimuth_deg": hit.azimuth_deg,
        "apparent_altitude_deg": hit.apparent_altitude_deg,
        "disc_deg": hit.disc_deg,
        "lit_fraction": line_up.lit_fraction,
        "sun_altitude_deg": line_up.sun_altitude_deg,
        "ev_land": line_up.ev_land,
        "ev_disc_low": low,
        "ev_disc_high": high,
        "drift_m_per_min": line_up.drift_m_per_min,
        "error_deg": line_up.error_deg,
        "start": _clock(hit.start_s, zone).isoformat(),
        "end": _clock(hit.end_s, zone).isoformat(),
        "below_eye_level": hit.disc_below_level,
    }


def as_json(found: LineUps, zone: ZoneInfo) -> str:
    """The format fieldplan-lineup/1."""
    line = found.line
    data = {
        "format": "fieldplan-lineup/1",
        "time_zone": str(zone),
        "target": {
            "bearing_deg": line.bearing_deg,
            "apparent_altitude_deg": line.apparent_altitude_deg,
            "distance_m": line.distance_m,
            "hidden": line.hidden,
        },
        "hits": [_hit_json(hit, zone) for hit in found.found],
        "reason": found.reason or None,
    }
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def as_text(found: LineUps, zone: ZoneInfo, body: str) -> str:
    """One line a hit."""
    line = found.line
    lines = [
        f"top of the landmark: bearing {line.bearing_deg:.1f}, {line.distance_m:.0f} m away, "
        f"apparent altitude {line.apparent_altitude_deg:.2f} deg"
        + (", hidden by the Earth's curve" if line.hidden else ""),
        f"times in {zone}; centre of the {body} against the top; land on open ground under a clear sky",
        "",
    ]
    for up in found.found:
        hit = up.hit
        lit = "" if up.lit_fraction is None else f", {up.lit_fraction * 100:.0f} % lit"
        disc = "" if up.ev_disc is None else f", disc EV {up.ev_disc[0]:.1f} to {up.ev_disc[1]:.1f}"
        miss = f"misses by {hit.miss_discs:.1f} discs ({up.miss_m:.0f} m)"
        light = f"sun {up.sun_altitude_deg:+.1f} deg, land EV {up.ev_land:.1f}{disc}"
        below = "; below eye level" if hit.disc_below_level else ""
        when = f"{_clock(hit.ut_s, zone):%a %Y-%m-%d %H:%M}"
        lines.append(f"{when}  {miss}{lit}; {light}; moves {up.drift_m_per_min:.1f} m a minute{below}")
    if found.found:
        lines.append(
            f"error of each: {found.found[0].error_deg:.2f} deg (positions to 5 m, heights to 2 m, refraction)"
        )
    return "\n".join(lines) + "\n"
