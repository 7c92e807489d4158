"""One picture on two bodies: what frames alike, what is gained on the subject, and what it weighs and costs.

Two questions that are often taken for one. Same picture: the frame is filled again, by another focal length; then the
larger format may collect more light. Same lens, same place: no format collects more light on the subject, and only
the pixel pitch tells how many pixels it gets. Equivalents go by diagonal.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.model.gear import Body, Lens
from fieldplan.optics import formats
from fieldplan.optics.depth import blur_disc_m, depth
from fieldplan.planner.answers import Answer
from fieldplan.planner.format_words import plain_answers
from fieldplan.planner.ranking import order
from fieldplan.planner.rigs import Kit, recorded_frame
from fieldplan.planner.trip import TripShot


class Frame(NamedTuple):
    """A body's recorded frame [m], its diagonal's ratio to 36 x 24 mm, pixel pitch [m], weight [kg], price."""

    body: str
    width_m: float
    height_m: float
    crop: float
    pixel_m: float
    weight_kg: float | None
    price: float | None
    owned: bool

    @property
    def area_m2(self) -> float:
        return self.width_m * self.height_m

    @property
    def diagonal_m(self) -> float:
        return math.hypot(self.width_m, self.height_m)


class Picture(NamedTuple):
    """One body's side of a picture: settings, framing, depth, blur. Lengths in metres.

    fill, pixels: share and pixels along the axis that fills first. field: width and height of what is in the frame.
    blur: of the background's disc at the sensor; blur_share: the same as a share of the frame's diagonal, which is
    what is seen in a print.
    """

    focal_m: float
    f_number: float
    iso: float | None
    shutter_s: float | None
    magnification: float
    fill: float | None
    pixels: float | None
    field_m: tuple[float, float]
    depth_m: float
    blur_m: float
    blur_share: float


class SamePicture(NamedTuple):
    """The frame filled again: equivalents by diagonal, so that framing, depth and background blur are alike.

    light_stops: light over the whole frame of the second body against the first at the matched settings (0 but for
    the shape of the frames); same_f_stops: the same where both use one f-number, time and ISO: by area, log2 of the
    ratio. lenses: those in the profile that reach the equivalent focal length and f-number on the second body.
    """

    first: Picture
    second: Picture
    light_stops: float
    same_f_stops: float
    lenses: tuple[str, ...]
    nearest_lenses: tuple[str, ...]


class SameLens(NamedTuple):
    """One lens at one setting from one place on both bodies. pixel_ratio: along a side, second over first.

    light_stops: light gained on the subject by changing the body; always 0, and told because it is often doubted.
    """

    lens: str
    first: Picture
    second: Picture
    pixel_ratio: float
    light_stops: float


class FormatsCompared(NamedTuple):
    """Two bodies for one picture. best_first, best_second: the best answers that the profile itself has on each.

    ratio: first diagonal over the second; lines: the answers in sentences.
    """

    shot: str
    first: Frame
    second: Frame
    ratio: float
    same_picture: SamePicture
    same_lens: SameLens | None
    no_same_lens: str | None
    best_first: Answer
    best_second: Answer | None
    second_lowest_iso: float | None = None
    lines: tuple[str, ...] = ()


def frame_of(body: Body, lens: Lens | None = None) -> Frame:
    """What a body records, with a lens that may cover less; its whole sensor where none is given."""
    sides = (body.sensor.width, body.sensor.height) if lens is None else recorded_frame(body, lens)
    width, height = sides or (body.sensor.width, body.sensor.height)
    weight = None if body.weight is None else float(body.weight)
    pitch = body.sensor.width / body.pixels.width
    crop = formats.crop_factor(width, height)
    return Frame(body.name, width, height, crop, pitch, weight, body.price, body.owned)


def _picture(
    frame: Frame, distance_m: float, magnification: float, focal_m: float, f_number: float, iso: float | None,
    shutter_s: float | None, rate: tuple[float, float], hold: str, background_m: float, circle_m: float,
) -> Picture:  # fmt: skip
    """A picture of a thin lens that draws at a magnification from a distance (sensor plane).

    rate: height and width of the subject [m]. f_number: that of the pupil.
    """
    acting = distance_m * magnification / (1.0 + magnification) ** 2
    object_m = acting * (1.0 + 1.0 / magnification)
    long, short = max(frame.width_m, frame.height_m), min(frame.width_m, frame.height_m)
    across, up = (long, short) if hold == "level" else (short, long)
    shares = (magnification * rate[0] / up, magnification * rate[1] / across)
    extent = rate[0] if shares[0] >= shares[1] else rate[1]
    near, far, _ = depth(acting, f_number, circle_m, object_m)
    blur = blur_disc_m(acting, f_number, object_m, object_m + background_m)
    return Picture(
        focal_m, f_number, iso, shutter_s, magnification, max(shares) or None,
        magnification * extent / frame.pixel_m if extent else None, (across / magnification, up / magnification),
        far - near, blur, blur / frame.diagonal_m,
    )  # fmt: skip


def compare_formats(
    shot: TripShot, kit: Kit, first: str, second: str, lens: str | None = None
) -> FormatsCompared | None:
    """One picture on two bodies of the profile; candidates take part where the kit was made with them.

    lens: the one on the first body, else that of the best answer there. None where the first body has no answer, or
    the distance is infinite. Raises ValueError for a body that is not in the profile.
    """
    bodies = {body.name: body for body in kit.profile.bodies}
    for name in (first, second):
        if name not in bodies:
            raise ValueError(f'"{name}" is not a body of the profile')
    answer = _best(shot, first, lens)
    wanted = shot.found.wanted
    if answer is None or wanted is None or not answer.magnification or answer.distance_m is None:
        return None
    if not math.isfinite(answer.distance_m) or answer.focal_m is None or answer.f_number is None:
        return None
    lenses = {item.name: item for item in kit.profile.lenses}
    a = frame_of(bodies[first], lenses[answer.lens])
    b = frame_of(bodies[second])
    rate = (sum(wanted.height or (0.0, 0.0)) / 2.0, sum(wanted.width or (0.0, 0.0)) / 2.0)
    circle = answer.circle_m or formats.print_circle_m(a.width_m, a.height_m)
    share = circle / a.diagonal_m

    def side(frame: Frame, m: float, focal: float, n: float, iso: float | None) -> Picture:
        assert answer is not None and answer.distance_m is not None and wanted is not None
        return _picture(frame, answer.distance_m, m, focal, n, iso, answer.shutter_s, rate, answer.hold,
                        wanted.background_m, share * frame.diagonal_m)  # fmt: skip

    ratio = a.diagonal_m / b.diagonal_m
    here = side(a, answer.magnification, answer.focal_m, answer.f_number, answer.iso)
    match = formats.matched(answer.focal_m, answer.f_number, answer.iso or 100.0, ratio)
    iso = None if answer.iso is None else match.iso
    there = side(b, answer.magnification / ratio, match.focal_m, match.f_number, iso)
    area_stops = formats.noise_stops(b.area_m2, a.area_m2)
    blind = {a.label for a in shot.found.rigs if any(s.kind == "cannot focus" for s in a.shortfalls)}
    doing, nearest = _lenses_for(kit, bodies[second], match.focal_m, match.f_number, blind)
    same = SamePicture(here, there, area_stops + 2.0 * math.log2(ratio), area_stops, doing, nearest)
    fitted = _same_lens(shot, answer, lenses[answer.lens], bodies[second])
    same_lens: SameLens | None = None
    why: str | None = None
    if isinstance(fitted, Frame):
        cut = side(fitted, answer.magnification, answer.focal_m, answer.f_number, answer.iso)
        same_lens = SameLens(answer.lens, here, cut, a.pixel_m / fitted.pixel_m, 0.0)
    else:
        why = fitted
    compared = FormatsCompared(
        shot.name, a, b, ratio, same, same_lens, why, answer, _best(shot, second, None), bodies[second].lowest_iso
    )
    return compared._replace(lines=plain_answers(compared, shot.plan.units))


def _best(shot: TripShot, body: str, lens: str | None) -> Answer | None:
    there = [
        a for a in shot.found.rigs if a.body == body and (lens is None or a.lens == lens) and a.verdict != "cannot"
    ]
    return min(there, key=order, default=None)


def _same_lens(shot: TripShot, answer: Answer, lens: Lens, body: Body) -> Frame | str:
    """The second body's frame with the first one's lens, or why that cannot be."""
    if lens.mount not in {body.mount, *body.also_takes}:
        return f"{lens.name} does not fit {body.name} (mount {lens.mount})"
    if recorded_frame(body, lens) is None:
        return f"{lens.name} covers too little for {body.name}"
    return frame_of(body, lens)


def _lenses_for(
    kit: Kit, body: Body, focal_m: float, f_number: float, blind: set[str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(body + lens labels that reach a focal length and f-number; those that reach the focal length only).

    blind: labels of those that cannot focus at the distance. A printed focal length counts to 3 %, an f-number to 6 %.
    """
    whole = frame_of(body)
    both: list[str] = []
    only: list[str] = []
    for rig in kit.rigs:
        if rig.body != body.name or rig.tube is not None or rig.close_up_lens is not None:
            continue
        if rig.label in blind or rig.frame_w < whole.width_m * (1.0 - 1e-9):
            continue
        low, high = rig.law.short_m * rig.factor, rig.law.long_m * rig.factor
        if not low * 0.97 <= focal_m <= high * 1.03:
            continue
        widest = max(rig.f_short, rig.f_long) * rig.factor
        (both if widest <= f_number * 1.06 else only).append(rig.label)
    return tuple(both), tuple(only)
