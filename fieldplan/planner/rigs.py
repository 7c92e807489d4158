"""Every body + lens (+ converter, tube, close-up lens) that the profile allows, prepared once for many assessments."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.model.gear import Body, Item, Lens, Profile, Support
from fieldplan.optics import formats
from fieldplan.optics.framing import LensLaw, Optic, optic

_SETTINGS = 8  # steps of a zoom with a tube or close-up lens on it


class Rig(NamedTuple):
    """One combination, with what does not change from shot to shot. Lengths in metres."""

    label: str
    body: str
    lens: str
    converter: str | None
    tube: str | None
    close_up_lens: str | None
    law: LensLaw
    factor: float
    tube_m: float
    power_d: float
    fixed: Optic | None
    prepared: tuple[Optic, ...]
    f_short: float
    f_long: float
    f_smallest: float
    pupil_ratio: float
    stabilisation: float
    frame_w: float
    frame_h: float
    pixel_m: float
    print_circle: float
    crop: float
    lowest_iso: float
    iso_ceiling: float
    fastest_s: float
    longest_s: float
    weight_kg: float | None


class Kit(NamedTuple):
    """A profile made ready: its rigs, its supports by name, the photographer's shake factor."""

    profile: Profile
    rigs: tuple[Rig, ...]
    supports: dict[str, Support]
    shake: float


def recorded_frame(body: Body, lens: Lens) -> tuple[float, float] | None:
    """Sides of the frame that the body records with this lens [m]; None where the lens covers none of its formats.

    A lens fits while the frame's diagonal is at most 1.03 times the diagonal that it covers.
    """
    sizes = [(body.sensor.width, body.sensor.height)]
    crops = [(f.width, f.height) for f in body.cropped_formats]
    sizes += sorted(crops, key=lambda s: -formats.diagonal_m(*s))
    if lens.covers is None:
        return sizes[0]
    reach = formats.diagonal_m(lens.covers.width, lens.covers.height) * formats.COVERAGE_SLACK
    return next((s for s in sizes if formats.diagonal_m(*s) <= reach), None)


def _weight(items: list[Item]) -> float | None:
    weights = [item.weight for item in items]
    return None if any(w is None for w in weights) else sum(float(w) for w in weights if w is not None)


def _rig(body: Body, lens: Lens, frame: tuple[float, float], extra: dict[str, Item]) -> Rig:
    converter, tube, close_up = extra.get("converter"), extra.get("tube"), extra.get("close_up_lens")
    law = LensLaw(
        lens.focal.low,
        lens.focal.high,
        None if lens.closest_focus is None else float(lens.closest_focus),
        None if lens.largest_magnification is None else float(lens.largest_magnification),
    )
    factor = float(getattr(converter, "factor", 1.0))
    tube_m = float(getattr(tube, "length", 0.0))
    power = float(getattr(close_up, "power", 0.0))
    parts: list[Item] = [body, lens, *extra.values()]
    return Rig(
        label=" + ".join(part.name for part in parts),
        body=body.name,
        lens=lens.name,
        converter=converter.name if converter else None,
        tube=tube.name if tube else None,
        close_up_lens=close_up.name if close_up else None,
        law=law,
        factor=factor,
        tube_m=tube_m,
        power_d=power,
        fixed=optic(law, law.long_m, factor, tube_m, power) if law.short_m == law.long_m else None,
        prepared=_prepared(law, factor, tube_m, power),
        f_short=lens.f_number.low,
        f_long=lens.f_number.high,
        f_smallest=float(lens.smallest_f_number),
        pupil_ratio=float(lens.pupil_ratio),
        stabilisation=max(body.stabilisation, lens.stabilisation),
        frame_w=frame[0],
        frame_h=frame[1],
        pixel_m=body.sensor.width / body.pixels.width,
        print_circle=formats.print_circle_m(*frame),
        crop=formats.crop_factor(*frame),
        lowest_iso=body.lowest_iso,
        iso_ceiling=body.iso_ceiling,
        fastest_s=float(body.fastest_shutter),
        longest_s=float(body.longest_shutter),
        weight_kg=_weight(parts),
    )


def _prepared(law: LensLaw, factor: float, tube_m: float, power_d: float) -> tuple[Optic, ...]:
    """A zoom behind a tube or close-up lens at settings through its range, for when none draws as large as wanted."""
    if law.short_m == law.long_m or not (tube_m or power_d):
        return ()
    ratio = law.long_m / law.short_m
    steps = [law.short_m * ratio ** (i / _SETTINGS) for i in range(_SETTINGS)] + [law.long_m]
    return tuple(optic(law, setting, factor, tube_m, power_d) for setting in steps)


def prepare(profile: Profile, candidates: bool = False) -> Kit:
    """All rigs and supports of a profile. candidates: also what is not owned (whatever is marked owned = false)."""

    def held(item: Item) -> bool:
        return item.owned or candidates

    rigs = []
    for body in filter(held, profile.bodies):
        mounts = {body.mount, *body.also_takes}
        for lens in filter(held, profile.lenses):
            frame = recorded_frame(body, lens)
            if lens.mount not in mounts or frame is None:
                continue
            converters = [
                c for c in profile.converters if held(c) and c.name in lens.converters and c.mount == lens.mount
            ]
            tubes = [t for t in profile.tubes if held(t) and t.mount == lens.mount]
            close_ups = [c for c in profile.close_up_lenses if held(c)]
            for converter in [None, *converters]:
                for tube in [None, *tubes]:
                    for close_up in [None, *close_ups]:
                        chosen = {"close_up_lens": close_up, "tube": tube, "converter": converter}
                        rigs.append(_rig(body, lens, frame, {k: v for k, v in chosen.items() if v is not None}))
    return Kit(profile, tuple(rigs), {s.name: s for s in profile.supports if held(s)}, profile.photographer.shake)
