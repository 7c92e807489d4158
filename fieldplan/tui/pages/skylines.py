"""Rows and the picture of the Moon & sun page: the hits, the figures of an instant, where to stand, the view."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from zoneinfo import ZoneInfo

from fieldplan.notation.display import bearing_text, focal_text, length_text, whole_length
from fieldplan.notation.marks import share_text, stops_text
from fieldplan.notation.position import write_position
from fieldplan.notation.signed import signed, unsigned_zero
from fieldplan.pictures import Disc, Landmark, Picture, Row, draw_skyview
from fieldplan.pictures.cells import text_cells
from fieldplan.planner.lineups import LineUp
from fieldplan.planner.sidestep import error_m, stays
from fieldplan.planner.sifting import DRAWBACKS, drawbacks, held_by
from fieldplan.planner.sights import Sight
from fieldplan.planner.skybook import whole_minute
from fieldplan.planner.skymoments import DiscAt, SkyFrame, Stand
from fieldplan.planner.skyview import SkyView
from fieldplan.planner.standerror import fine_clock
from fieldplan.sky.sightline import magnetic_bearing_deg
from fieldplan.sky.skyline import Skyline
from fieldplan.sky.station import Place
from fieldplan.sky.walking import Walk
from fieldplan.tui.rows import crop, crop_row, left, safe, wrap, wrapped

LIST_WIDE = 40  # of the hits: when, miss, share lit, the sun's altitude, and a mark for one with drawbacks
_WORST = ("new", "ground", "by day", "thin", "dim")
_MARKS = {"ground": "*", "dim": "~"}  # hidden is another matter than dim; "!" for the rest
_BESIDE = {"land": "land", "landmark": "landmark", "open ground": "ground"}
WORDS_WIDE = 8  # more, for the drawback in a word
PLACED = {"centred": "centred", "resting": "resting on top", "left": "at the left side", "right": "at the right side"}


def clock(ut_s: float, zone: ZoneInfo, pattern: str = "%H:%M") -> str:
    """A moment on the site's clock, to the nearest minute."""
    return dt.datetime.fromtimestamp(whole_minute(ut_s), tz=zone).strftime(pattern)


def head_rows(sight: Sight, body: str, placed: str, variation_deg: float | None, units: str, width: int) -> list[Row]:
    """Body, landmark and viewpoint; the line of sight between them."""
    top = sight.seen.top
    magnetic = ""
    if variation_deg is not None:
        magnetic = f" (magnetic {bearing_text(magnetic_bearing_deg(top.bearing_deg, variation_deg))})"
    hidden = ", hidden by the Earth's curve" if top.hidden else ", below eye level" if top.below_eye else ""
    told = (
        f"bearing {bearing_text(top.bearing_deg)}{magnetic}, {length_text(top.distance_m, units)} off, top "
        f"{unsigned_zero(top.apparent_altitude_deg, 2)} deg high{hidden}"
    )
    names = f" with {safe(sight.landmark)}, from {safe(sight.viewpoint)}"
    return [
        crop_row(((f"{body.capitalize()} {PLACED[placed]}", "title"), (names, "title")), width),
        ((crop(told, width), ""),),
    ]


def list_wide(width: int) -> int:
    """Cells that the list of hits takes: on wide screens with the first drawback in a word."""
    return LIST_WIDE + (WORDS_WIDE if width >= 100 else 0)


def hit_rows(
    hits: Sequence[LineUp], chosen: int, zone: ZoneInfo, room: int, wide: int = LIST_WIDE, skyline: Skyline = ()
) -> list[Row]:
    """The hits around the chosen one: date and time, miss in discs, share lit, the sun's true altitude, drawbacks."""
    top = max(0, min(chosen - room // 2, len(hits) - (room - 1)))
    rows: list[Row] = [((left("  when           miss discs lit sun deg", wide), "label"),)]
    for index in range(top, min(top + room - 1, len(hits))):
        up = hits[index]
        lit = "" if up.lit_fraction is None else share_text(up.lit_fraction).replace(" ", "")
        mark = ">" if index == chosen else " "
        when = clock(up.hit.ut_s, zone, "%a %Y-%m-%d %H:%M")
        poor = [word for word in _WORST if word in drawbacks(up, skyline)]
        text = f"{mark} {when} {up.hit.miss_discs:4.1f} {lit:>4} {signed(up.sun_altitude_deg):>5}"
        if poor:
            text += f" {poor[0]}" if wide > LIST_WIDE else f" {_MARKS.get(poor[0], '!')}"
        rows.append(((left(text, wide), "picked" if index == chosen else "dim" if poor else ""),))
    return rows


def view_picture(view: SkyView, now: DiscAt, body: str, frame: SkyFrame, size: tuple[int, int]) -> Picture:
    """The landmark to scale in the frame of a lens, the disc and its way, and the ground line."""
    return draw_skyview(
        *size, field_w_deg=frame.width_deg, field_h_deg=frame.height_deg, centre_az_deg=view.centre[0],
        centre_alt_deg=view.centre[1], skyline=view.ground, path=view.path,
        landmark=Landmark(view.left_deg, view.right_deg, view.foot_deg, view.top_deg),
        discs=[Disc(*view.disc, now.disc_deg / 2.0, "", body)],
    )  # fmt: skip


def frame_text(frame: SkyFrame, width: int) -> str:
    """Which lens the picture is drawn for."""
    told = f"{focal_text(frame.focal_m)}: {safe(frame.label)}"
    return crop(told, width)


def figure_rows(
    sight: Sight, up: LineUp, now: DiscAt, zone: ZoneInfo, latitude: float | None, units: str, width: int,
    looked: bool = False, exact: Row = (),
) -> list[Row]:  # fmt: skip
    """The hit, what to do about its miss, and the disc at the instant shown.

    looked: a look corrects where it stands against the top. exact: of step_row.
    """
    hit, body = up.hit, "sun" if up.lit_fraction is None else "moon"
    best = (
        f"within reach {clock(hit.start_s, zone)}-{clock(hit.end_s, zone)}, best "
        f"{fine_clock(hit.ut_s, zone, up.error_s)}: misses by {hit.miss_discs:.1f} discs "
        f"({whole_length(up.miss_m, units)})"
    )
    side, level = "right" if now.top_right_deg >= 0 else "left", "above" if now.top_up_deg >= 0 else "below"
    place = (
        f"{body} {now.azimuth_deg:.1f} deg, seen {unsigned_zero(now.altitude_deg, 2)} high, {now.disc_deg:.2f} wide"
        f"{' as reckoned; by the look' if looked else ':'} {abs(now.top_right_discs):.1f} discs {side}, "
        f"{abs(now.top_up_discs):.1f} {level} top"
    )
    poor = [DRAWBACKS[word] for word in drawbacks(up, sight.skyline)]
    return [
        *(wrapped("! " + "; ".join(poor), width, "warn", 2) if poor else []),
        *wrapped(best, width, "", 2),
        *(_after(exact[:1], exact[1][0], width, exact[1][1]) if exact else []),
        *_after(((clock(now.ut_s, zone), "cursor"),), f" {place}", width),
        *light_rows(now, latitude, width),
    ]


def size_rows(sight: Sight, up: LineUp, now: DiscAt, units: str, width: int) -> list[Row]:
    """How fast the disc moves, the error, and how the landmark compares with the disc."""
    drift = length_text(up.drift_m_per_min, units)
    error = whole_length(error_m(up, sight.seen.top.line_m), units)
    told = (
        f"moves {up.hit.drift_deg_per_min:.2f} deg ({drift})/min; standard error {up.error_deg:.2f} deg ({error}); "
        f"landmark {now.landmark_discs:.1f} discs"
    )
    return wrapped(told, width, "", 2)


def _after(first: Row, text: str, width: int, role: str = "") -> list[Row]:
    """Text after the first parts of a row, going on below them where it is too long; nothing of it is cut off."""
    used = sum(text_cells(part) for part, _ in first)
    lines = wrap(text.strip(), max(width - used - 1, 10))
    rows: list[Row] = [(*first, (f" {lines[0]}" if lines else "", role))]
    return rows + [((f"{' ' * (used + 1)}{line}", role),) for line in lines[1:]]


def light_rows(now: DiscAt, latitude: float | None, width: int) -> list[Row]:
    """Sun and land; for the moon its disc, the gap, and whether one exposure holds both. Where the side of the
    landmark that is looked at is lit otherwise than open ground, the two are told apart."""
    light = now.light
    apart = light.lit != "level ground"
    told = f"sun {signed(light.sun_altitude_deg)} deg (true); open ground EV {ends_text(light.ev_land_range)}"
    if apart:
        told += f", {light.lit} landmark {ends_text(light.ev_face_range)}"
    if light.ev_disc is not None and light.lit_fraction is not None:
        told += f", disc {ends_text(light.ev_disc)}"
        if not apart and light.gap_stops is not None:
            least, most = light.gap_stops
            told += f", {share_text(light.lit_fraction)} lit: {signed(least)} to {signed(most)} stops"
        held = held_by(light, latitude)
        if held and latitude is not None:
            words = ", ".join(f"{_BESIDE[what]}: {word}" for what, word in held)
            told += f"; one frame of {stops_text(latitude)} holds disc and {words}"
    elif light.lit_fraction is not None:
        told += "; the sky hides the disc"
    return wrapped(told, width, "", 2)


def ends_text(ends: tuple[float, float]) -> str:
    """ "9.7-11.7", "-3.1 to -1.1"."""
    low, high = map(unsigned_zero, ends)
    return f"{low} to {high}" if low.startswith("-") else f"{low}-{high}"


def stand_rows(
    sight: Sight, stand: Stand, units: str, width: int, here: Place | None = None, sideways: bool = True
) -> list[Row]:
    """Where to go at the instant shown: sideways, and the spot, as a position to carry.

    here: where one stands, as typed; None at the viewpoint. sideways: False where a better walk is told already.
    """
    rows: list[Row] = []
    told_from = [] if here is None else [f"walks from {write_position(here.latitude_deg, here.longitude_deg)} as typed"]
    side = stand.sideways
    if side is not None and sideways:
        rest = f"; the disc is then {abs(side.above_deg):.2f} deg too {'high' if side.above_deg > 0 else 'low'}"
        rows += _after((("sideways", "label"),), f"{walk_text(side, units)}{rest}", width)
    if isinstance(stand.to_spot, str) or stand.spot is None:
        why = stand.to_spot if isinstance(stand.to_spot, str) else ""
        return [*rows, *_after((("spot    ", "label"),), why, width, "warn")]
    spot = stand.spot
    way = spot.sideways_m_per_min
    told = (
        f"{write_position(spot.place.latitude_deg, spot.place.longitude_deg)}: {walk_text(stand.to_spot, units)}; "
        f"{whole_length(spot.distance_m, units)} off; "
        f"then {length_text(abs(way), units)}/min to the {'right' if way > 0 else 'left'}, facing it; "
        f"within {length_text(spot.sideways_tolerance_m, units)}; on level ground"
    )
    rows += _after((("spot    ", "label"),), told, width)
    notes = [part for part in (*told_from, sight.note, *sight.assumed) if part]
    return [*rows, ((crop(safe("; ".join(notes)), width), "dim"),)] if notes else rows


def step_row(sight: Sight, up: LineUp, step: Walk | None, zone: ZoneInfo, units: str) -> Row:
    """What to do about a miss: stay where it is within the error, else the short walk and its own moment; or ()."""
    line_m = sight.seen.top.line_m
    if stays(up, line_m):
        miss, error = whole_length(up.miss_m, units), whole_length(error_m(up, line_m), units)
        told = f"the miss, {miss}, is within the standard error, {error}"
        return (("stay    ", "label"), (told, "best"))
    if step is None:
        return ()
    told = f"{walk_text(step, units)}: at {fine_clock(step.ut_s, zone, up.error_s)} it stands at its place"
    return (("sideways", "label"), (told, "best"))


def walk_text(walk: Walk, units: str) -> str:
    """ "walk 14 m towards 290"."""
    if walk.distance_m < 1.0:
        return "stay where you are"
    return f"walk {whole_length(walk.distance_m, units)} towards {bearing_text(walk.bearing_deg)}"
