"""Rows and the picture of the Moon & sun page: the hits, the figures of an instant, where to stand, the view."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from zoneinfo import ZoneInfo

from fieldplan.notation.display import bearing_text, ev_text, focal_text, length_text
from fieldplan.notation.marks import share_text, stops_text
from fieldplan.notation.position import write_position
from fieldplan.pictures import Disc, Landmark, Picture, Row, draw_skyview
from fieldplan.planner.lineups import LineUp
from fieldplan.planner.sifting import one_exposure
from fieldplan.planner.sights import Sight
from fieldplan.planner.skymoments import DiscAt, SkyFrame, Stand, drift_m_per_min
from fieldplan.sky.aims import AS_RECKONED, Correction
from fieldplan.sky.sightline import magnetic_bearing_deg
from fieldplan.sky.station import Place
from fieldplan.sky.walking import Walk
from fieldplan.tui.rows import crop, crop_row, left, safe, wrapped

LIST_WIDE = 38
PLACED = {"centred": "centred", "resting": "resting on top", "left": "at the left side", "right": "at the right side"}
_LOW_DEG = 2.0  # below it a moon may be too dim to see
_FOOT_SHARE = 0.2  # of the frame's height, below the landmark's foot
_UNKNOWN_WIDTH = 0.25  # of its height, where a landmark's width is not known


def clock(ut_s: float, zone: ZoneInfo, pattern: str = "%H:%M") -> str:
    """A moment on the site's clock."""
    return dt.datetime.fromtimestamp(round(ut_s), tz=zone).strftime(pattern)


def head_rows(sight: Sight, body: str, placed: str, variation_deg: float | None, units: str, width: int) -> list[Row]:
    """Body, landmark and viewpoint; the line of sight between them."""
    top = sight.seen.top
    magnetic = ""
    if variation_deg is not None:
        magnetic = f" (magnetic {bearing_text(magnetic_bearing_deg(top.bearing_deg, variation_deg))})"
    hidden = ", hidden by the Earth's curve" if top.hidden else ", below eye level" if top.below_eye else ""
    told = (
        f"bearing {bearing_text(top.bearing_deg)}{magnetic}, {length_text(top.distance_m, units)} off, top "
        f"{top.apparent_altitude_deg:.2f} deg high{hidden}"
    )
    names = f" with {safe(sight.landmark)}, from {safe(sight.viewpoint)}"
    return [
        crop_row(((f"{body.capitalize()} {PLACED[placed]}", "title"), (names, "title")), width),
        ((crop(told, width), ""),),
    ]


def hit_rows(hits: Sequence[LineUp], chosen: int, zone: ZoneInfo, room: int) -> list[Row]:
    """The hits around the chosen one: date and time, miss in discs, share lit, the sun's altitude."""
    top = max(0, min(chosen - room // 2, len(hits) - (room - 1)))
    rows: list[Row] = [((left("  when                 miss  lit   sun", LIST_WIDE), "label"),)]
    for index in range(top, min(top + room - 1, len(hits))):
        up = hits[index]
        lit = "" if up.lit_fraction is None else share_text(up.lit_fraction).replace(" ", "")
        mark = ">" if index == chosen else " "
        when = clock(up.hit.ut_s, zone, "%a %Y-%m-%d %H:%M")
        text = f"{mark} {when} {up.hit.miss_discs:4.1f} {lit:>4} {up.sun_altitude_deg:+5.1f}"
        rows.append(((left(text, LIST_WIDE), "picked" if index == chosen else ""),))
    return rows


def view_picture(
    sight: Sight,
    now: DiscAt,
    body: str,
    path: Sequence[tuple[float, float]],
    frame: SkyFrame,
    size: tuple[int, int],
    correction: Correction = AS_RECKONED,
) -> Picture:
    """The landmark to scale in the frame of a lens, the disc and its way, and the ground line.

    correction: what one sighting corrects; the disc and its way are drawn where they then stand.
    """
    across = correction.across_deg / math.cos(math.radians(now.altitude_deg))
    path = [(azimuth + across, altitude + correction.up_deg) for azimuth, altitude in path]
    foot, top = sight.seen.foot.apparent_altitude_deg, sight.seen.top.apparent_altitude_deg
    wide = sight.seen.width_deg or _UNKNOWN_WIDTH * sight.seen.height_deg
    bearing = sight.seen.top.bearing_deg
    return draw_skyview(
        *size, field_w_deg=frame.width_deg, field_h_deg=frame.height_deg, centre_az_deg=bearing,
        centre_alt_deg=foot + (0.5 - _FOOT_SHARE) * frame.height_deg, skyline=_around(sight.skyline),
        landmark=Landmark(bearing - wide / 2.0, bearing + wide / 2.0, foot, top),
        discs=[Disc(now.azimuth_deg + across, now.altitude_deg + correction.up_deg, now.disc_deg / 2.0, "", body)],
        path=path,
    )  # fmt: skip


def _around(skyline: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The ground line closed round the horizon."""
    points = sorted(skyline)
    return [*points, (points[0][0] + 360.0, points[0][1])] if len(points) > 1 else []


def frame_text(frame: SkyFrame, width: int) -> str:
    """Which lens the picture is drawn for."""
    told = f"{focal_text(frame.focal_m)}: {safe(frame.label)}"
    return crop(told, width)


def figure_rows(
    sight: Sight, up: LineUp, now: DiscAt, zone: ZoneInfo, latitude: float | None, units: str, width: int
) -> list[Row]:
    """The hit, and the disc at the instant shown."""
    hit, body = up.hit, "sun" if up.lit_fraction is None else "moon"
    drift = length_text(drift_m_per_min(sight, hit.drift_deg_per_min), units)
    error = length_text(drift_m_per_min(sight, up.error_deg), units)
    best = (
        f"within reach {clock(hit.start_s, zone)}-{clock(hit.end_s, zone)}, best {clock(hit.ut_s, zone, '%H:%M:%S')}: "
        f"misses by {hit.miss_discs:.1f} discs ({length_text(up.miss_m, units)})"
    )
    side, level = "right" if now.top_right_deg >= 0 else "left", "above" if now.top_up_deg >= 0 else "below"
    across, up_discs = abs(now.top_right_deg) / now.disc_deg, abs(now.top_up_deg) / now.disc_deg
    place = (
        f"{body} {now.azimuth_deg:.1f} deg, {now.altitude_deg:.2f} high, {now.disc_deg:.2f} wide: {across:.1f} discs "
        f"{side}, {up_discs:.1f} {level} the top"
    )
    size = (
        f"moves {hit.drift_deg_per_min:.2f} deg ({drift}) a minute; error {up.error_deg:.2f} deg ({error}); "
        f"landmark {now.landmark_discs:.1f} discs"
    )
    rows: list[Row] = [
        ((crop(best, width), ""),),
        ((clock(now.ut_s, zone), "cursor"), (crop(f" {place}", width - 5), "")),
        ((crop(size, width), ""),),
    ]
    return rows + light_rows(now, body, latitude, width)


def light_rows(now: DiscAt, body: str, latitude: float | None, width: int) -> list[Row]:
    """Sun and land; for the moon its disc, the gap, and whether one exposure holds both."""
    light = now.light
    low, high = light.ev_land_range
    told = f"sun {light.sun_altitude_deg:+.1f} deg; land {ev_text(low)} to {high:.1f}"
    if light.ev_disc is not None and light.lit_fraction is not None:
        gap = light.ev_disc[0] - high, light.ev_disc[1] - low
        told += (
            f"; disc {ev_text(light.ev_disc[0])} to {light.ev_disc[1]:.1f}, {share_text(light.lit_fraction)} lit: "
            f"{gap[0]:+.1f} to {gap[1]:+.1f} stops"
        )
        held = one_exposure(gap, latitude)
        if held and latitude is not None:
            told += f"; one frame of {stops_text(latitude)} holds both: {held}"
        if now.altitude_deg < _LOW_DEG:
            told += "; may be too dim to see"
    return wrapped(told, width, "", 2, 2)


def stand_rows(sight: Sight, stand: Stand, units: str, width: int, here: Place | None = None) -> list[Row]:
    """Where to go: sideways at this distance, and the one spot where all agrees, as a position to carry.

    here: where one stands, as typed; None at the viewpoint.
    """
    rows: list[Row] = []
    told_from = [] if here is None else [f"walks from {write_position(here.latitude_deg, here.longitude_deg)} as typed"]
    side = stand.sideways
    if side is not None:
        rest = f"; the disc is then {abs(side.above_deg):.2f} deg too {'high' if side.above_deg > 0 else 'low'}"
        rows.append((("sideways ", "label"), (crop(f"{walk_text(side, units)}{rest}", width - 9), "")))
    if isinstance(stand.to_spot, str) or stand.spot is None:
        why = stand.to_spot if isinstance(stand.to_spot, str) else ""
        return [*rows, (("spot     ", "label"), (crop(why, width - 9), "warn"))]
    spot = stand.spot
    way = spot.sideways_m_per_min
    told = (
        f"{write_position(spot.place.latitude_deg, spot.place.longitude_deg)}: {walk_text(stand.to_spot, units)}; "
        f"{length_text(spot.distance_m, units)} off"
    )
    keep = (
        f"then {length_text(abs(way), units)}/min to the {'right' if way > 0 else 'left'}, facing it; "
        f"within {length_text(spot.sideways_tolerance_m, units)}; on level ground"
    )
    rows += [(("spot     ", "label"), (crop(told, width - 9), "")), (("", ""), (crop(f"         {keep}", width), ""))]
    notes = [part for part in (*told_from, sight.note, *sight.assumed) if part]
    return [*rows, ((crop(safe("; ".join(notes)), width), "dim"),)] if notes else rows


def walk_text(walk: Walk, units: str) -> str:
    """ "walk 14 m towards 290"."""
    if walk.distance_m < 1.0:
        return "stay where you are"
    return f"walk {length_text(round(walk.distance_m), units)} towards {bearing_text(walk.bearing_deg)}"
