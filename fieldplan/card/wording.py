"""How the card words what the planner found: one line for each matter, the same on every kind of paper."""

from __future__ import annotations

import datetime as dt
import math

from fieldplan.notation.display import bearing_text, focal_text, length_text, size_text, span_text, speed_text
from fieldplan.notation.marks import f_mark, faster_mark, iso_mark, iso_words, share_text, time_mark
from fieldplan.notation.quantity import FOOT, INCH
from fieldplan.notation.scales import scale_text
from fieldplan.notation.signed import unsigned_zero
from fieldplan.planner.answers import Answer, Light, ShotAnswers, Wanted, WorkSpan
from fieldplan.planner.moments import stretch
from fieldplan.planner.skybook import whole_minute
from fieldplan.planner.times import DAY_BEGINS, DAY_ENDS, is_sun

_SEEN_M = 1e-6  # a blur disc smaller than this on the sensor is none
_TELLING = 2.0 ** (1 / 6)  # an effective f-number a third of a stop from the marked one is worth telling


def offset_text(moment: dt.datetime) -> str:
    """ "UTC+01:00"; empty without a zone."""
    offset = moment.strftime("%z")
    return f"UTC{offset[:3]}:{offset[3:5]}" if offset else ""


def clock_text(s: ShotAnswers) -> str:
    """ "07:20" or "07:40-08:30"; empty where the shot has no time."""
    if s.shot.start is not None and s.shot.end is not None:
        return f"{s.shot.start:%H:%M}-{s.shot.end:%H:%M}"
    return "" if s.shot.time is None else f"{s.shot.time:%H:%M}"


def when_text(s: ShotAnswers) -> str:
    """ "Sunday 2027-03-14, 07:20, UTC+01:00"."""
    parts = [clock_text(s)]
    own = stretch(s)
    if own is not None:
        parts = [f"{own[0]:%A %Y-%m-%d}", clock_text(s), offset_text(own[0])]
    return ", ".join(part for part in parts if part)


def share_span(fill: tuple[float, float]) -> str:
    """ "50-75 %", "60 %"."""
    low, high = share_text(fill[0]), share_text(fill[1])
    return low if low == high else f"{low.removesuffix(' %')}-{high}"


def subject_text(w: Wanted | None, units: str) -> str:
    """Name, what it does, size, distance."""
    if w is None:
        return ""
    parts = [w.subject] if w.subject else []
    if w.activity:
        parts.append(w.activity)
    if w.speed_m_s and w.group != "sky":
        parts.append(_motion_text(w, units))
    if w.group != "sky":
        named = (("high", w.height), ("wide", w.width), ("front to back", w.front_to_back))
        parts += [f"{span_text(*ends, units)} {word}" for word, ends in named if ends]
    if w.distance is not None:
        parts.append(f"at {span_text(*w.distance, units)}")
    return ", ".join(parts)


def _motion_text(w: Wanted, units: str) -> str:
    way = {0.0: " oncoming", 90.0: " crossing"}.get(w.direction_deg, f" {w.direction_deg:g} deg from the axis")
    followed = f", {share_text(w.panned)} followed" if w.panned else ""
    return f"{speed_text(w.speed_m_s, units)}{way}{followed}"


def wanted_text(w: Wanted | None, units: str) -> str:
    """What the picture is to be: share of the frame, depth, focal length."""
    if w is None:
        return ""
    parts = []
    if w.fill is not None:
        parts.append(f"{share_span(w.fill)} of the frame" + (" (assumed)" if w.fill_assumed else ""))
    if w.magnification is not None:
        parts.append(f"magnification {scale_text(w.magnification)}")
    if w.focal_m is not None:
        parts.append(f"at {focal_text(w.focal_m)}")
    if w.f_number is not None:
        parts.append(f"fixed at {f_mark(w.f_number)}")
    if w.iso_ceiling is not None:
        parts.append(f"ISO up to {iso_mark(w.iso_ceiling)}")
    if w.depth_m is not None:
        parts.append(f"depth {length_text(w.depth_m, units)}")
    if w.sharp_from_m is not None:
        to = math.inf if w.sharp_to_m is None else w.sharp_to_m
        parts.append(f"sharp from {length_text(w.sharp_from_m, units)} to {length_text(to, units)}")
    return ", ".join(parts)


def sky_text(light: Light | None) -> str:
    """Where sun and moon stand; empty where that is not known."""
    if light is None or light.sun_altitude_deg is None or light.sun_azimuth_deg is None:
        return ""
    text = f"true altitude {unsigned_zero(light.sun_altitude_deg)} deg, bearing {bearing_text(light.sun_azimuth_deg)}"
    if light.moon_altitude_deg is not None and light.moon_azimuth_deg is not None:
        moon = unsigned_zero(light.moon_altitude_deg)
        text += f"; moon {moon} deg, bearing {bearing_text(light.moon_azimuth_deg)}"
        if light.moon_lit_fraction is not None:
            text += f", {share_text(light.moon_lit_fraction)} lit"
    return text


def hold_text(a: Answer, supports: frozenset[str]) -> str:
    """ "level, on the tripod", "upright, hand-held". A support that the profile does not hold counts for nothing."""
    return f"{a.hold}, {f'on {a.support}' if a.support in supports else 'hand-held'}"


def exposure_text(a: Answer) -> str:
    """ "f/5.6, 1/500, ISO 800 (400 to 1600)"; the effective f-number where it differs."""
    if a.f_number is None:
        return ""
    stop = f_mark(a.f_number)
    if a.effective_f_number is not None and a.effective_f_number > a.f_number * _TELLING:
        stop += f" (effective {f_mark(a.effective_f_number)})"
    iso = "ISO ?" if a.iso is None else f"ISO {iso_words(a.iso, a.iso_ceiling)}"
    if a.iso is not None and a.iso_low is not None and a.iso_high is not None and a.iso_low != a.iso_high:
        low, high = (iso_words(end, a.iso_ceiling) for end in (a.iso_low, a.iso_high))
        iso += "" if low == high else f" ({low} to {high})"
    time = "time by the light" if a.shutter_s is None else time_mark(a.shutter_s)
    return f"{stop}, {time}, {iso}"


def settings_text(a: Answer, subject: object = None) -> str:
    """ "464 mm, f/6, 1/320, ISO 320"; for the sun no exposure, which only a meter behind the filter tells."""
    taken = exposure_text(a)
    if is_sun(subject) and a.f_number is not None:
        taken = f"{f_mark(a.f_number)}, time and ISO: meter through the filter"
    parts = ["" if a.focal_m is None else focal_text(a.focal_m), taken]
    return ", ".join(part for part in parts if part)


def limits_text(near_m: float, far_m: float, units: str) -> str:
    """ "27.1 m to 29.0 m", "33.41 cm to 33.58 cm": decimals enough to tell a tenth of the depth."""
    steps = ((FOOT, "ft"), (INCH, "in")) if units == "imperial" else ((1.0, "m"), (0.01, "cm"), (0.001, "mm"))
    size, unit = next((step for step in steps if near_m >= step[0]), steps[-1])
    tenth = (far_m - near_m) / size / 10.0
    places = min(max(0, math.ceil(-math.log10(tenth))), 6) if tenth > 0.0 else 3
    return f"{near_m / size:.{places}f} {unit} to {far_m / size:.{places}f} {unit}"


def depth_text(a: Answer, units: str) -> str:
    """Depth, its limits, where the focus lies when that is not the subject's distance, and the circle they hold for."""
    if a.near_m is None or a.far_m is None or a.circle_m is None or a.focus_m is None or a.depth_m is None:
        return ""
    if math.isinf(a.far_m):
        near, hyperfocal = length_text(a.near_m, units), length_text(a.hyperfocal_m, units)
        text = f"from {near} to infinity, hyperfocal distance {hyperfocal}"
    else:
        text = f"{length_text(a.depth_m, units)} ({limits_text(a.near_m, a.far_m, units)})"
    if a.distance_m is None or not math.isclose(a.focus_m, a.distance_m, rel_tol=1e-6):
        text += f", focus at {length_text(a.focus_m, units)}"
    soft = f"; soft by diffraction, Airy disc {a.airy_m * 1000:.3f} mm" if a.soft and a.airy_m is not None else ""
    return f"{text}; circle {a.circle_m * 1000:.3f} mm{soft}"


def background_text(a: Answer, units: str) -> str:
    """The blur disc of the background."""
    if not a.background_blur_m or a.background_blur_m < _SEEN_M:
        return ""
    text = f"blur disc {length_text(a.background_blur_m, 'metric')} on the sensor"
    if a.background_smear_m is not None and math.isfinite(a.background_smear_m):
        text += f", {length_text(a.background_smear_m, units)} wide at the background"
    return text


def limit_text(limit_s: float) -> str:
    """ "1/200 or faster": the slowest mark that a limit allows."""
    return f"{faster_mark(limit_s)} or faster"


def shutter_text(a: Answer) -> str:
    """Blur by shake in pixels, the rule of thumb beside it, and what shake and motion want."""
    if a.shutter_s is None:
        return ""
    shake = "no shake counted" if a.shake_blur_px is None else f"shake blurs {a.shake_blur_px:.1f} pixels"
    parts = [f"{time_mark(a.shutter_s)}: {shake}"]
    if a.rule_of_thumb_s is not None:
        parts[0] += f" (hand-held rule of thumb {faster_mark(a.rule_of_thumb_s)})"
    for word, limit in (("shake", a.shake_limit_s), ("motion", a.motion_limit_s)):
        if limit is not None and math.isfinite(limit):
            parts.append(f"{word} wants {limit_text(limit)}")
    return "; ".join(parts)


def frame_text(a: Answer, units: str) -> str:
    """Share of the frame and pixels; without a size, the field."""
    if a.fill is None or a.pixels_on_subject is None:
        if a.field_width_m is None or not math.isfinite(a.field_width_m):
            return ""
        field = f"{length_text(a.field_width_m, units)} x {length_text(a.field_height_m, units)}"
        return f"field of view {field} at {length_text(a.distance_m, units)}"
    return f"{share_text(a.fill)} of the frame's {a.fill_axis}, {size_text(a.pixels_on_subject)} pixels on subject"


def stand_text(a: Answer, units: str) -> str:
    """From where to where it fills as wanted."""
    if a.fills_from_m is None or a.fills_to_m is None:
        return ""
    span = span_text(a.fills_from_m, a.fills_to_m, units)
    return f"as wanted {'at' if a.fills_from_m == a.fills_to_m else 'over'} {span}"


def other_text(a: Answer, subject: object = None) -> str:
    """One line on an answer that is not the best."""
    wrong = f"; {a.shortfalls[0].text}" if a.shortfalls else ""
    if a.verdict == "cannot":
        return f"{a.label}{wrong}"
    share = f", {share_text(a.fill)}" if a.fill is not None else ""
    return f"{a.label}, {a.hold}: {settings_text(a, subject)}{share}{wrong}"


def work_text(span: WorkSpan, zone: dt.tzinfo | None) -> str:
    """ "06:14-06:26 (light below EV 7.7) to 18:05-18:14 (light below EV 7.7)": each end as a range."""

    def clock(ut_s: float) -> str:
        return f"{dt.datetime.fromtimestamp(whole_minute(ut_s), tz=zone or dt.UTC):%H:%M}"

    def end(early: float, late: float, reason: str) -> str:
        when = clock(early) if clock(early) == clock(late) else f"{clock(early)}-{clock(late)}"
        return when if reason in (DAY_BEGINS, DAY_ENDS) else f"{when} ({reason})"

    whole = (span.start_reason, span.end_reason) == (DAY_BEGINS, DAY_ENDS)
    if whole and span.sure and (span.start_late_s, span.end_early_s) == (span.start_s, span.end_s):
        return "all day" if clock(span.start_s) == "00:00" else "from noon to noon"
    start = end(span.start_early_s, span.start_late_s, span.start_reason)
    if span.start_s == span.end_s:
        return f"perhaps {clock(span.start_early_s)}-{clock(span.end_late_s)}, in the best of the light"
    text = f"{start} to {end(span.end_early_s, span.end_late_s, span.end_reason)}"
    unsure = ", ".join(f"{clock(first)}-{clock(last)}" for first, last in span.gaps)
    return (text if span.sure else f"perhaps {text}") + (f"; not sure at {unsure}" if unsure else "")
