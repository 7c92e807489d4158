"""One answer in full: every number with its circle, its range or its reason."""

from __future__ import annotations

import math

from fieldplan.card import wording
from fieldplan.notation.display import focal_text, length_text, size_text, weight_text
from fieldplan.notation.marks import f_mark, faster_mark, iso_mark, iso_words, share_text, time_mark
from fieldplan.notation.scales import scale_text
from fieldplan.pictures.cells import Row
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.scene import describe
from fieldplan.tui.pages.answerrows import in_the_way
from fieldplan.tui.rows import left, safe, wrap

_OF_USE = 20.0  # times the focus distance: farther off, the hyperfocal distance says nothing here
_LABEL = 11
_CIRCLES = {"print": "print, frame diagonal / 1500", "pixel": "2 pixels", "given": "given"}
Fact = tuple[str, str]


def _distance(s: ShotAnswers, a: Answer, units: str) -> str:
    if a.distance_m is None:
        return ""
    return length_text(a.distance_m, units) + (", found: where it fills as wanted" if s.missing == "distance" else "")


def _focal(a: Answer) -> str:
    if a.focal_m is None:
        return ""
    acting = "" if a.acting_focal_m is None or math.isclose(a.acting_focal_m, a.focal_m, rel_tol=0.01) else (
        f", acts like {focal_text(a.acting_focal_m)} so close")  # fmt: skip
    size = f"; magnification {a.magnification:.3g}" if a.magnification is not None else ""
    note = " (1:1 at closest focus assumed)" if a.magnification_assumed else ""
    return f"{focal_text(a.focal_m)}{acting}{size}{note}"


def _fill(s: ShotAnswers, a: Answer) -> str:
    if a.fill is None:
        return ""
    text = f"{share_text(a.fill)} of the frame's {a.fill_axis}"
    if a.fill_near is not None and a.fill_far is not None and a.fill_near != a.fill_far:
        text += f"; {share_text(a.fill_near)} near to {share_text(a.fill_far)} far"
    if a.fill_low is not None and a.fill_high is not None and a.fill_low != a.fill_high:
        text += f"; {share_text(a.fill_low)} to {share_text(a.fill_high)} by its size"
    if s.wanted is not None and s.wanted.fill is not None:
        text += f"; wanted {wording.share_span(s.wanted.fill)}" + (" (assumed)" if s.wanted.fill_assumed else "")
    if s.wanted is not None and s.wanted.magnification is not None and a.magnification:
        text += f"; drawn {scale_text(a.magnification)}, wanted {scale_text(s.wanted.magnification)}"
    return text


def _pixels(a: Answer, units: str) -> str:
    parts = [] if a.pixels_on_subject is None else [f"{size_text(a.pixels_on_subject)} on the subject"]
    if a.pixel_m is not None:
        parts.append(f"pitch {a.pixel_m * 1e6:.2g} um")
    if a.field_width_m is not None and a.field_height_m is not None and math.isfinite(a.field_width_m):
        parts.append(f"field {length_text(a.field_width_m, units)} x {length_text(a.field_height_m, units)}")
    if a.frame_width_m is not None and a.frame_height_m is not None:
        parts.append(f"frame {a.frame_width_m * 1000:.3g} x {a.frame_height_m * 1000:.3g} mm")
    return "; ".join(parts)


def _stop(a: Answer) -> str:
    if a.f_number is None:
        return ""
    text = f_mark(a.f_number)
    if a.effective_f_number is not None:
        text += f", effective {f_mark(a.effective_f_number)}"
    soft = ", wider than the circle: soft by diffraction" if a.soft else ""
    return text + (f"; Airy disc {a.airy_m * 1e6:.2g} um{soft}" if a.airy_m is not None else "")


def _circle(s: ShotAnswers, a: Answer) -> str:
    if a.circle_m is None or s.wanted is None:
        return ""
    return f"circle {a.circle_m * 1000:.2g} mm ({_CIRCLES.get(s.wanted.circle_rule, s.wanted.circle_rule)})"


def _depth(s: ShotAnswers, a: Answer, units: str) -> str:
    if a.near_m is None:
        return ""
    far = math.inf if a.far_m is None else a.far_m
    endless = f"{length_text(a.near_m, units)} to infinity"
    limits = endless if math.isinf(far) else wording.limits_text(a.near_m, far, units)
    text = f"{length_text(a.depth_m, units)}: {limits} from the sensor plane; {_circle(s, a)}"
    if s.wanted is not None and s.wanted.depth_m is not None:
        text += f"; wanted {length_text(s.wanted.depth_m, units)}"
    return text


def _hyperfocal(a: Answer, units: str) -> str:
    """Where it is of use: with the focus not far short of it. A lens that breathes has a longer one farther off."""
    if a.hyperfocal_m is None or a.distance_m is None or a.distance_m * _OF_USE < a.hyperfocal_m:
        return ""
    return f"{length_text(a.hyperfocal_m, units)}, by the focal length that acts at this focus"


def _behind(s: ShotAnswers, a: Answer, units: str) -> str:
    if a.background_blur_m is None or s.wanted is None:
        return ""
    where = "infinity" if math.isinf(s.wanted.background_m) else f"{length_text(s.wanted.background_m, units)} behind"
    text = f"{where}: blur disc {length_text(a.background_blur_m, 'metric')} on the sensor"
    if a.background_smear_m is not None and math.isfinite(a.background_smear_m):
        text += f", {length_text(a.background_smear_m, units)} wide there"
    return text


def _limit(limit_s: float | None) -> str:
    return "sets no limit" if limit_s is None or not math.isfinite(limit_s) else f"wants {wording.limit_text(limit_s)}"


def _shutter(a: Answer) -> str:
    if a.shutter_s is None:
        return ""
    parts = [f"{time_mark(a.shutter_s)}: shake {_limit(a.shake_limit_s)}, motion {_limit(a.motion_limit_s)}"]
    if a.shake_blur_px is not None:
        parts.append(f"shake blurs {a.shake_blur_px:.1f} px")
    if a.rule_of_thumb_s is not None:
        parts.append(f"hand-held rule of thumb {faster_mark(a.rule_of_thumb_s)}")
    return "; ".join(parts)


def _iso(a: Answer) -> str:
    if a.iso is None:
        return "not known without light"
    text = iso_words(a.iso, a.iso_ceiling)
    if a.iso_low is not None and a.iso_high is not None and a.iso_low != a.iso_high:
        low, high = (iso_words(end, a.iso_ceiling) for end in (a.iso_low, a.iso_high))
        text += "" if low == high else f" ({low} to {high} as the light may be)"
    return text + (f"; ceiling {iso_mark(a.iso_ceiling)}" if a.iso_ceiling is not None else "")


def facts(s: ShotAnswers, a: Answer, units: str) -> list[Fact]:
    """All that is known of an answer, as (label, text)."""
    stand = wording.stand_text(a, units)
    on = f" on {safe(a.support)}" if a.support else ""
    all_facts = [
        ("held", f"{a.hold}{on}; {weight_text(a.weight_kg, units)}"), ("focal", _focal(a)),
        ("distance", _distance(s, a, units)),
        ("fill", _fill(s, a)), ("stand", stand), ("pixels", _pixels(a, units)), ("f-number", _stop(a)),
        ("depth", _depth(s, a, units)),
        ("hyperfocal", _hyperfocal(a, units)),
        ("behind", _behind(s, a, units)), ("shutter", _shutter(a)), ("ISO", _iso(a)),
        ("light", describe(s.light) if s.light is not None else ""), ("in the way", in_the_way(a)),
    ]  # fmt: skip
    return [(label, text) for label, text in all_facts if text]


def fact_rows(found: list[Fact], width: int) -> list[Row]:
    """Labels at the left, texts wrapped beside them."""
    rows: list[Row] = []
    for label, text in found:
        for y, line in enumerate(wrap(safe(text), width - _LABEL)):
            rows.append(
                ((left(label if y == 0 else "", _LABEL), "label"), (line, "warn" if label == "in the way" else ""))
            )
    return rows
