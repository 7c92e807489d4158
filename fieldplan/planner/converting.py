"""The converter against cropping: pixels gained, stops lost, diffraction and shake told; no promise."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import length_text, size_text
from fieldplan.notation.marks import f_mark, iso_mark, stops_text, time_mark
from fieldplan.optics.formats import airy_disc_m
from fieldplan.planner.answers import Answer
from fieldplan.planner.assess import assess_rig
from fieldplan.planner.ranking import order
from fieldplan.planner.rigs import Kit, Rig
from fieldplan.planner.trip import TripShot

_SAME = 0.005  # a gain that differs from the factor by less is the factor


class ConverterOrCrop(NamedTuple):
    """One lens at its long end with a converter, and without it but cropped in the finished picture to the same field.

    pixel_ratio: pixels along the subject, with over without, from one place distance_m away; factor: the converter's,
    which that is far off; support: what it all stands on, None by hand; stops: light lost at the widest stop; airy_px:
    Airy disc in pixels (without, with); shake_s: longest time by shake [s], the same two. detail_ratio: what pixels
    and Airy disc together may show, with over without, at most.
    """

    shot: str
    bare: Answer
    converted: Answer
    pixel_ratio: float
    stops: float
    airy_px: tuple[float, float]
    shake_s: tuple[float, float]
    detail_ratio: float
    factor: float
    distance_m: float
    support: str | None
    units: str
    lines: tuple[str, ...]

    @property
    def brief(self) -> str:
        """One line: pixels gained, stops lost, detail at most."""
        return (
            f"against cropping: {_gain(self)}, {stops_text(self.stops)} lost, detail {self.detail_ratio:.2f} times as "
            "fine at most"
        )


def converter_or_crop(
    shot: TripShot, kit: Kit, body: str, lens: str, converter: str, distance_m: float | None = None
) -> ConverterOrCrop | None:
    """Compare at the lens's long end, wide open, from one place; None where either cannot focus there.

    distance_m: of that place, from the sensor plane; left out: the planned distance, else where the bare lens fills as
    wanted. The first of the ways of holding that the shot allows and that does better without the converter counts.
    """
    wanted = shot.found.wanted
    if wanted is None:
        return None
    rigs = {r.converter: r for r in kit.rigs
            if r.body == body and r.lens == lens and r.tube is None and r.close_up_lens is None}  # fmt: skip
    if None not in rigs or converter not in rigs:
        return None

    def at_long_end(rig: Rig, hold: str, away: float | None) -> Answer:
        span = wanted.distance if away is None else (away, away)
        long = wanted._replace(focal_m=rig.law.long_m * rig.factor, depth_m=None, sharp_from_m=None, sharp_to_m=None,
                               distance=span)  # fmt: skip
        return assess_rig(rig, long, hold, shot.found.light, shot.plan.units)

    bare = min((at_long_end(rigs[None], hold, distance_m) for hold in wanted.holds), key=order)
    if not bare.magnification or bare.distance_m is None:
        return None
    converted = at_long_end(rigs[converter], bare.hold, bare.distance_m)
    if not converted.magnification:
        return None
    support = bare.support if bare.support in kit.supports else None
    return _compared(shot, (bare, rigs[None]), (converted, rigs[converter]), support)


def converters_or_crop(shot: TripShot, kit: Kit, answer: Answer) -> tuple[ConverterOrCrop, ...]:
    """Each converter of the kit that fits the answer's lens on its body, against cropping, from the answer's place."""
    named = dict.fromkeys(
        rig.converter for rig in kit.rigs if rig.body == answer.body and rig.lens == answer.lens and rig.converter
    )
    found = (converter_or_crop(shot, kit, answer.body, answer.lens, name, answer.distance_m) for name in named if name)
    return tuple(compared for compared in found if compared is not None)


def _compared(
    shot: TripShot, bare: tuple[Answer, Rig], converted: tuple[Answer, Rig], support: str | None
) -> ConverterOrCrop:
    sides = [_wide_open(*side) for side in (bare, converted)]
    (n_a, m_a, pixel_a, shake_a), (n_b, m_b, pixel_b, shake_b) = sides
    airy_a, airy_b = airy_disc_m(n_a), airy_disc_m(n_b)
    detail = _finest(pixel_a, airy_a, m_a) / _finest(pixel_b, airy_b, m_b)
    found = ConverterOrCrop(
        shot.name, bare[0], converted[0], (m_b / pixel_b) / (m_a / pixel_a), 2.0 * math.log2(n_b / n_a),
        (airy_a / pixel_a, airy_b / pixel_b), (shake_a, shake_b), detail,
        converted[1].factor, bare[0].distance_m or math.inf, support, shot.plan.units, (),
    )  # fmt: skip
    return found._replace(lines=_lines(found))


def _wide_open(answer: Answer, rig: Rig) -> tuple[float, float, float, float]:
    """(effective f-number at the widest stop, magnification, pixel pitch [m], longest hand-held time [s])."""
    m = answer.magnification or 0.0
    shake = math.inf if answer.shake_limit_s is None else answer.shake_limit_s
    return rig.f_long * rig.factor * (1.0 + m / rig.pupil_ratio), m, rig.pixel_m, shake


def _finest(pixel_m: float, airy_m: float, magnification: float) -> float:
    """The finest on the subject that is drawn apart [m]: two pixels, or the Airy disc's radius (Rayleigh)."""
    return max(2.0 * pixel_m, airy_m / 2.0) / magnification


def _gain(c: ConverterOrCrop) -> str:
    """Pixels gained; near the closest focus, by which model, and what it is far off."""
    told = f"{c.pixel_ratio:.2f} times the pixels along the subject"
    if math.isclose(c.pixel_ratio, c.factor, rel_tol=_SAME):
        return told
    return (
        f"{told} at {length_text(c.distance_m, c.units)} by the model of a converter near closest focus "
        f"(far off {c.factor:.2f} times)"
    )


def _lines(c: ConverterOrCrop) -> tuple[str, ...]:
    said = [f"With {c.converted.converter} from the same place: {_gain(c)}, {stops_text(c.stops)} of light lost at the "
            "widest stop."]  # fmt: skip
    if c.bare.pixels_on_subject and c.converted.pixels_on_subject:
        said.append(f"Pixels on the subject: {size_text(c.bare.pixels_on_subject)} cropped, "
                    f"{size_text(c.converted.pixels_on_subject)} with it.")  # fmt: skip
    said.append(
        f"Diffraction: the Airy disc is {c.airy_px[0]:.1f} pixels wide without and {c.airy_px[1]:.1f} with it; "
        f"by that and the pixels alone, detail on the subject could be {c.detail_ratio:.2f} times as fine at most."
    )
    if math.isfinite(c.shake_s[0]):
        by = f"on the {c.support}" if c.support else "hand-held"
        said.append(
            f"Shake, {by}: {time_mark(c.shake_s[1])} instead of {time_mark(c.shake_s[0])} for the same blur in the "
            "frame; cropping enlarges the blur as much."
        )
    else:
        said.append("Shake: none on this support, as far as it holds.")
    if c.bare.iso and c.converted.iso:
        said.append(f"ISO {iso_mark(c.converted.iso)} at {f_mark(c.converted.f_number or 1.0)} instead of "
                    f"{iso_mark(c.bare.iso)} at {f_mark(c.bare.f_number or 1.0)}.")  # fmt: skip
    said.append(
        "No promise: the converter's own faults, focus and the air are not reckoned. Try both on a still subject."
    )
    return tuple(said)
