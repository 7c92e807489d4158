"""Every body + lens (+ converter, tube, close-up lens) that the profile allows, prepared once for many assessments."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.model.gear import Profile, Support
from fieldplan.optics import formats
from fieldplan.optics.framing import LensLaw, Optic, optic
from fieldplan.planner.combining import Combination, combined, law_of, settings_of

_MOST_TUBES = 1  # stacked tubes are for the list of close-up combinations


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


def _rig(c: Combination) -> Rig:
    body, lens, frame, law = c.body, c.lens, c.frame, law_of(c.lens)
    return Rig(
        label=c.label,
        body=body.name,
        lens=lens.name,
        converter=c.converter.name if c.converter else None,
        tube=c.tubes[0].name if c.tubes else None,
        close_up_lens=c.close_up_lens.name if c.close_up_lens else None,
        law=law,
        factor=c.factor,
        tube_m=c.tube_m,
        power_d=c.power_d,
        fixed=optic(law, law.long_m, c.factor, c.tube_m, c.power_d) if law.short_m == law.long_m else None,
        prepared=_prepared(law, c.factor, c.tube_m, c.power_d),
        f_short=lens.f_number.low,
        f_long=lens.f_number.high,
        f_smallest=float(lens.smallest_f_number),
        pupil_ratio=float(lens.pupil_ratio),
        stabilisation=max(body.stabilisation, lens.stabilisation),
        frame_w=frame[0],
        frame_h=frame[1],
        pixel_m=c.pixel_m,
        print_circle=c.print_circle_m,
        crop=formats.crop_factor(*frame),
        lowest_iso=body.lowest_iso,
        iso_ceiling=body.iso_ceiling,
        fastest_s=float(body.fastest_shutter),
        longest_s=float(body.longest_shutter),
        weight_kg=c.weight_kg,
    )


def _prepared(law: LensLaw, factor: float, tube_m: float, power_d: float) -> tuple[Optic, ...]:
    """A zoom behind a tube or close-up lens at settings through its range, for when none draws as large as wanted."""
    if law.short_m == law.long_m or not (tube_m or power_d):
        return ()
    return tuple(optic(law, setting, factor, tube_m, power_d) for setting in settings_of(law))


def prepare(profile: Profile, candidates: bool = False) -> Kit:
    """All rigs and supports of a profile. candidates: also what is not owned (whatever is marked owned = false)."""
    rigs = tuple(_rig(c) for c in combined(profile, _MOST_TUBES, candidates))
    supports = {s.name: s for s in profile.supports if s.owned or candidates}
    return Kit(profile, rigs, supports, profile.photographer.shake)
