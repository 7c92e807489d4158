"""What a picture file says of how the picture was taken; no file is opened here."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

FULL_DIAGONAL_M = 0.0432666  # of 36 x 24 mm, to which equivalent focal lengths refer (CIPA DCG-001, 35 mm film)


class LensRange(NamedTuple):
    """What a lens says of itself: shortest and longest focal length [m], widest f-number at either; None unknown."""

    short_m: float
    long_m: float
    f_short: float | None
    f_long: float | None


class Seen(NamedTuple):
    """One picture. Lengths in metres, times in seconds; None where the file does not say, or says what cannot be.

    taken: what the camera's clock showed, without a zone; offset_s: the clock's offset from UTC where it is recorded;
    equivalent_m: focal length on 36 x 24 mm as the camera gives it; sensor: sides from the focal-plane resolution;
    pixels: sides; distance_m: to the subject, infinity where the camera says so.
    """

    name: str
    taken: dt.datetime | None = None
    offset_s: int | None = None
    body: str | None = None
    lens: str | None = None
    focal_m: float | None = None
    equivalent_m: float | None = None
    f_number: float | None = None
    shutter_s: float | None = None
    iso: float | None = None
    sensor: tuple[float, float] | None = None
    pixels: tuple[int, int] | None = None
    distance_m: float | None = None
    lens_range: LensRange | None = None

    @property
    def says_anything(self) -> bool:
        """Whether anything of the exposure is known."""
        return any(part is not None for part in (self.focal_m, self.f_number, self.shutter_s, self.iso))


def instant_of(seen: Seen, zone: ZoneInfo | None, correction_s: float = 0.0) -> dt.datetime | None:
    """When a picture was taken, on the clock of the zone.

    correction_s: to be added to the camera's clock. Without an offset in the file the clock is taken for that of the
    zone; without a zone the time stays as the camera gives it.
    """
    if seen.taken is None:
        return None
    if seen.offset_s is not None:
        exact = seen.taken.replace(tzinfo=dt.timezone(dt.timedelta(seconds=seen.offset_s)))
        there = exact.astimezone(zone) if zone is not None else exact.replace(tzinfo=None)
    else:
        with_correction = _later(seen.taken, correction_s)  # on the clock face: the true time may be in another offset
        if with_correction is None or zone is None:
            return with_correction
        return on_the_clock(with_correction, zone)
    moved = there.astimezone(dt.UTC) if there.tzinfo is not None else there
    try:
        moved += dt.timedelta(seconds=correction_s)
    except OverflowError:
        return None
    return moved.astimezone(zone) if there.tzinfo is not None else moved


def _later(clock: dt.datetime, seconds: float) -> dt.datetime | None:
    try:
        return clock + dt.timedelta(seconds=seconds)
    except OverflowError:
        return None


def on_the_clock(clock: dt.datetime, zone: ZoneInfo) -> dt.datetime | None:
    """A clock face in a zone; one that the clocks skip as the clock then shows it. None at the end of the calendar."""
    try:
        return clock.replace(tzinfo=zone).astimezone(dt.UTC).astimezone(zone)
    except OverflowError:
        return None


def diagonal_m(sides: tuple[float, float]) -> float:
    """Diagonal of a frame [m]."""
    return float((sides[0] ** 2 + sides[1] ** 2) ** 0.5)


def equivalent_m(seen: Seen, sensor: tuple[float, float] | None = None) -> float | None:
    """Focal length that sees as much on 36 x 24 mm, by the diagonal [m].

    sensor: sides as the profile gives them; else those of the file, where the camera does not contradict them; else
    what the camera says is taken over.
    """
    found = sensor_of(seen)
    sides = sensor or (None if found is None else found[0])
    if sides is not None and seen.focal_m is not None:
        return seen.focal_m * FULL_DIAGONAL_M / diagonal_m(sides)
    return seen.equivalent_m


def sensor_of(seen: Seen) -> tuple[tuple[float, float], str] | None:
    """Sides of the sensor [m] and where they come from; None where the file gives no way to know.

    The focal-plane resolution is believed unless the camera's own equivalent focal length contradicts it by more than
    a tenth, as it does when a program has made the picture smaller and left the resolution as it was.
    """
    by_tag = None
    if seen.focal_m is not None and seen.equivalent_m is not None:
        diagonal = FULL_DIAGONAL_M * seen.focal_m / seen.equivalent_m
        width, height = seen.pixels or (3, 2)
        ratio = max(width, height) / min(width, height)
        if 1.0 <= ratio <= 2.5 and 0.002 <= diagonal <= 0.12:
            short = diagonal / (1.0 + ratio * ratio) ** 0.5
            by_tag = (short * ratio, short)
    if seen.sensor is not None and (by_tag is None or 0.9 <= diagonal_m(seen.sensor) / diagonal_m(by_tag) <= 1.0 / 0.9):
        return seen.sensor, "focal-plane resolution"
    return None if by_tag is None else (by_tag, "equivalent focal length, to a few %")
