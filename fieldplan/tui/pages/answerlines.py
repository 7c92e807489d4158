"""The ranked answers as lines of a table, and one of them in full."""

from __future__ import annotations

import math

from fieldplan.notation.display import focal_text, length_text, size_text, span_text, weight_text
from fieldplan.notation.marks import f_mark, iso_mark, share_text, time_mark
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer
from fieldplan.tui.rows import left, right, safe, wrapped

_COLUMNS = (("held", 5), ("mm", 4), ("fill", 5), ("pixels", 6), ("f", 6), ("time", 7), ("ISO", 6), ("depth", 7))
_FIGURES = sum(w for _, w in _COLUMNS) + len(_COLUMNS)
_VERDICT = {"works": " ", "short": "-", "cannot": "x"}


def head(width: int) -> Row:
    """The head of the table."""
    cells = "".join(" " + (left if i == 0 else right)(name, wide) for i, (name, wide) in enumerate(_COLUMNS))
    return ((left("  body + lens", width - _FIGURES) + cells, "label"),)


def line(a: Answer, width: int, chosen: bool, units: str) -> Row:
    """One answer: what and how held, then its figures; "-" before it: short of something, "x": cannot."""
    mark = ">" if chosen else " "
    what = left(f"{mark}{_VERDICT[a.verdict]}{safe(a.label)}", width - _FIGURES)
    role = "picked answer" if chosen else "best" if a.verdict == "works" else ""
    if a.focal_m is None:
        return ((what, role), (left(" " + (a.shortfalls[0].text if a.shortfalls else ""), _FIGURES), role))
    depth = "" if a.depth_m is None else "inf" if math.isinf(a.depth_m) else length_text(a.depth_m, units)
    figures = (
        a.hold[:5] if a.hold == "level" else "up",
        f"{a.focal_m * 1000:.0f}",
        "" if a.fill is None else share_text(a.fill),
        "" if a.pixels_on_subject is None else size_text(a.pixels_on_subject),
        "" if a.f_number is None else f_mark(a.f_number),
        "" if a.shutter_s is None else time_mark(a.shutter_s),
        "?" if a.iso is None else iso_mark(a.iso),
        depth,
    )
    cells = "".join(" " + (left if i == 0 else right)(t, w) for i, (t, (_, w)) in enumerate(zip(figures, _COLUMNS, strict=True)))
    return ((what, role), (cells, role))


def shortfall_text(a: Answer) -> str:
    """What stands in the way of an answer, with its cures; empty when nothing does."""
    return "; ".join(s.text + (f" ({s.cure})" if s.cure else "") for s in a.shortfalls)


def _time(seconds: float | None) -> str:
    return "no limit" if seconds is None or math.isinf(seconds) else time_mark(seconds)


def in_full(a: Answer, width: int, units: str) -> list[Row]:
    """Every figure of one answer, each with its circle, range or reason."""
    rows: list[Row] = wrapped(f"{safe(a.label)}, {a.hold}" + (f", {safe(a.support)}" if a.support else ", hand-held"), width, "title")

    def say(label: str, text: str) -> None:
        rows.extend(_labelled(label, text, width))

    if a.focal_m is None or a.magnification is None or a.circle_m is None or a.near_m is None or a.far_m is None:
        say("cannot", shortfall_text(a))
        return rows
    acting = "" if a.acting_focal_m is None or abs(a.acting_focal_m / a.focal_m - 1) < 0.005 else (
        f", acts as {focal_text(a.acting_focal_m)} here (by its closest focus: a model)")
    say("lens", f"{focal_text(a.focal_m)}{acting}; magnification {_magnification(a.magnification)}")
    field = f"field {length_text(a.field_width_m, units)} x {length_text(a.field_height_m, units)}"
    if a.fill is not None and a.pixels_on_subject is not None:
        say("frame", f"{share_text(a.fill)} of its {a.fill_axis}, {size_text(a.pixels_on_subject)} pixels; {field}")
    else:
        say("frame", field)
    if a.fills_from_m is not None and a.fills_to_m is not None:
        say("fills", f"as wanted {span_text(a.fills_from_m, a.fills_to_m, units)} from the sensor")
    iso = "ISO ?" if a.iso is None else f"ISO {iso_mark(a.iso)}"
    if a.iso_low is not None and a.iso_high is not None and a.iso_low != a.iso_high:
        iso += f" ({iso_mark(a.iso_low)}-{iso_mark(a.iso_high)} by the light)"
    ceiling = "" if a.iso_ceiling is None else f", ceiling {iso_mark(a.iso_ceiling)}"
    say("set", f"{f_mark(a.f_number or 1)} (acts as f/{a.effective_f_number:.3g}), {time_mark(a.shutter_s or 1)}, {iso}{ceiling}")
    blur = "" if a.shake_blur_px is None else f"; shake blur {a.shake_blur_px:.1f} pixels"
    rule = "" if a.rule_of_thumb_s is None else f" (rule of thumb {time_mark(a.rule_of_thumb_s)})"
    say("time", f"shake allows {_time(a.shake_limit_s)}{rule}, motion {_time(a.motion_limit_s)}{blur}")
    hyper = f"; hyperfocal {length_text(a.hyperfocal_m, units)}"
    say("depth", f"{span_text(a.near_m, a.far_m, units)} ({length_text(a.depth_m, units)}), circle {a.circle_m * 1000:.3f} mm{hyper}")
    if a.background_blur_m is not None:
        smear = "" if a.background_smear_m is None or math.isinf(a.background_smear_m) else (
            f", smears {length_text(a.background_smear_m, units)} of it")
        say("behind", f"blur disc {a.background_blur_m * 1000:.2f} mm{smear}; Airy disc {(a.airy_m or 0) * 1e6:.1f} um")
    if a.shortfalls:
        say("in the way", shortfall_text(a))
    say("weight", weight_text(a.weight_kg, units))
    return rows


def _magnification(m: float) -> str:
    if m <= 0.0:
        return "0"
    return f"{m:.2f} ({m:.2g}:1)" if m >= 1.0 else f"{m:.3g} (1:{1 / m:.3g})"


def _labelled(label: str, text: str, width: int) -> list[Row]:
    lines = wrapped(text, width - 11)
    first = lines[0] if lines else ()
    return [((left(label, 11), "label"), *first), *(((" " * 11, ""), *rest) for rest in lines[1:])]
