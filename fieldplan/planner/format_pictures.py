"""One picture as one body and then another takes it: framing, depth, blur and light, near and far.

Matched close up as well as far off [algebra of the thin lens]: from one place D the format C times smaller draws m/C,
for which a lens acts as D (m/C) / (1 + m/C)^2; depth and light agree at N (1 + m) / (C (1 + m/C)), for the depth is
2 N c (1 + m)/m^2 and the light goes by N (1 + m). Far off these are f/C and N/C.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.model.gear import Body, Lens
from fieldplan.optics import formats
from fieldplan.optics.depth import blur_disc_m, depth
from fieldplan.optics.framing import thin_lens_magnification
from fieldplan.planner.answers import Answer, Wanted
from fieldplan.planner.combining import recorded_frame


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

    acting_m: focal length at the subject's distance. f_number: marked. fill, pixels: share and pixels along the axis
    that fills first. blur: of the background's disc at the sensor;
    blur_share: the same as a share of the frame's diagonal, which is what is seen in a print.
    """

    focal_m: float
    acting_m: float
    f_number: float
    effective_f_number: float
    iso: float | None
    shutter_s: float | None
    magnification: float
    fill: float | None
    pixels: float | None
    depth_m: float
    blur_m: float
    blur_share: float


def frame_of(body: Body, lens: Lens | None = None) -> Frame:
    """What a body records, with a lens that may cover less; its whole sensor where none is given."""
    sides = (body.sensor.width, body.sensor.height) if lens is None else recorded_frame(body, lens)
    width, height = sides or (body.sensor.width, body.sensor.height)
    weight = None if body.weight is None else float(body.weight)
    pitch = body.sensor.width / body.pixels.width
    crop = formats.crop_factor(width, height)
    return Frame(body.name, width, height, crop, pitch, weight, body.price, body.owned)


class Taken(NamedTuple):
    """The picture as the first body takes it. Distances from the sensor plane [m].

    n: marked f-number; pupil_n: that of the pupil; focus_m: where the focus lies, and m_focus the magnification there.
    """

    answer: Answer
    wanted: Wanted
    frame: Frame
    distance: float
    m: float
    acting: float
    n: float
    pupil_n: float
    effective: float
    focus_m: float
    acting_focus: float
    m_focus: float
    circle: float


def taken(answer: Answer, wanted: Wanted, frame: Frame, pupil_ratio: float) -> Taken | None:
    """The answer's picture; None where it has no magnification, or lies at infinity."""
    m, distance, n, effective = answer.magnification, answer.distance_m, answer.f_number, answer.effective_f_number
    if not m or distance is None or not math.isfinite(distance) or not n or not effective:
        return None
    focus = distance if answer.focus_m is None else answer.focus_m
    acting = distance * m / (1.0 + m) ** 2
    acting_focus = answer.acting_focal_m or acting
    return Taken(
        answer, wanted, frame, distance, m, acting, n, effective / (1.0 + m / pupil_ratio), effective, focus,
        acting_focus, m if focus == distance else thin_lens_magnification(acting_focus, focus) or 0.0,
        answer.circle_m or formats.print_circle_m(frame.width_m, frame.height_m),
    )  # fmt: skip


class Seen(NamedTuple):
    """Focal length at the focus, magnification there, f-number of the pupil: what depth and blur obey."""

    acting: float
    m: float
    pupil_n: float


def picture_on(
    t: Taken, frame: Frame, m: float, seen: Seen, focal_m: float, stop: tuple[float, float], iso: float | None
) -> Picture:
    """The picture on a frame. m: magnification of the subject; stop: marked and effective f-number."""
    tall, wide = (sum(size or (0.0, 0.0)) / 2.0 for size in (t.wanted.height, t.wanted.width))
    long, short = max(frame.width_m, frame.height_m), min(frame.width_m, frame.height_m)
    across, up = (long, short) if t.answer.hold == "level" else (short, long)
    shares = (m * tall / up, m * wide / across)
    extent = tall if shares[0] >= shares[1] else wide
    acting = t.distance * m / (1.0 + m) ** 2
    object_m = math.inf if not seen.m else seen.acting * (1.0 + 1.0 / seen.m)
    near, far, _ = depth(seen.acting, seen.pupil_n, t.circle * frame.diagonal_m / t.frame.diagonal_m, object_m)
    behind = t.distance + t.wanted.background_m - seen.acting * (1.0 + seen.m)
    blur = blur_disc_m(seen.acting, seen.pupil_n, object_m, behind)
    return Picture(
        focal_m, acting, *stop, iso, t.answer.shutter_s, m, max(shares) or None,
        m * extent / frame.pixel_m if extent else None, far - near, blur, blur / frame.diagonal_m,
    )  # fmt: skip


def matched(t: Taken, frame: Frame, ratio: float) -> Picture:
    """The picture on a frame ``ratio`` times smaller, by a bare lens that shortens close up as the first one does."""
    m = t.m / ratio
    acting = t.distance * m / (1.0 + m) ** 2
    acting_focus = t.acting_focus * acting / t.acting
    m_focus = m if t.focus_m == t.distance else thin_lens_magnification(acting_focus, t.focus_m) or 0.0
    n = t.pupil_n * (1.0 + t.m_focus) / (ratio * (1.0 + m_focus))
    effective = n * (1.0 + m)
    bare = t.answer.tube is None and t.answer.close_up_lens is None
    focal = acting * (t.answer.focal_m or t.acting) / t.acting if bare else acting
    iso = None if t.answer.iso is None else t.answer.iso * (effective / t.effective) ** 2
    return picture_on(t, frame, m, Seen(acting_focus, m_focus, n), focal, (n, effective), iso)
