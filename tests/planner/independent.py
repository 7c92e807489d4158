"""A second computation of one lens on one body, slow and plain, from the textbook forms. Millimetres throughout.

Nothing here comes from the package. Sources of the forms: thin lens and magnification, OpenStax University Physics 3,
ch. 2; depth and hyperfocal distance, Wikipedia, "Hyperfocal distance" and "Depth of field"; effective f-number,
Wikipedia, "F-number"; hand-held limit, ISO 19093 cl. 3.1 with ISO 20954-1 cl. 3.5. Between infinity and closest focus
the focal length is taken to run straight with magnification (a model).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

INF = math.inf
HAND_RAD_S = 0.063
AIRY = 2.43934  # twice the first zero of the Bessel function J1, 3.8317, over pi
GREEN_MM = 0.55e-3
UNITS_MM = {"um": 1e-3, "mm": 1.0, "cm": 10.0, "m": 1000.0, "km": 1e6, "ft": 304.8, "in": 25.4}


def ends(text: Any, bare_mm: float) -> tuple[float, float]:
    """(low, high) in mm of "25-31 m", "1.2 m", "infinity" or a bare number."""
    if not isinstance(text, str):
        return text * bare_mm, text * bare_mm
    if text == "infinity":
        return INF, INF
    number, _, unit = text.partition(" ")
    size = UNITS_MM[unit] if unit else bare_mm
    parts = [float(part) * size for part in number.split("-")]
    return parts[0], parts[-1]


def sides(text: str) -> tuple[float, float]:
    """Both sides of "36x24 mm" or "6000x4000"."""
    width, height = text.split(" ")[0].split("x")
    return float(width), float(height)


class Bare(NamedTuple):
    """A lens at one setting: focal length at infinity and at its closest focus, and the magnification there."""

    far_focal: float
    near_focal: float
    largest: float

    def focal(self, own: float) -> float:
        return self.far_focal - (self.far_focal - self.near_focal) * own / self.largest


class Gear(NamedTuple):
    """Lens as printed, and what is screwed to it."""

    short: float
    long: float
    closest: float | None
    largest: float | None
    factor: float
    tube: float
    power: float  # per mm

    @property
    def plain(self) -> bool:
        return not self.tube and not self.power


def far_root(focal: float, distance: float) -> float | None:
    """Magnification of a thin lens at a distance from the sensor plane, the smaller of the two."""
    if distance < 4.0 * focal * (1 - 1e-12):
        return None
    return bisected(lambda m: focal * (2.0 + m + 1.0 / m) - distance, 1e-12, 1.0)


def bisected(value: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that falls through zero between two points is zero, halving geometrically."""
    for _ in range(200):
        middle = math.sqrt(low * high) if low > 0 else (low + high) / 2.0
        if value(middle) > 0.0:
            low = middle
        else:
            high = middle
    return high


def bare(gear: Gear, setting: float) -> Bare:
    """The lens by itself."""
    d0, m0 = gear.closest, gear.largest
    if d0 is None:
        return Bare(setting, setting, 1.0)
    if m0 is None:
        m = far_root(setting, d0)
        return Bare(setting, d0 / 4.0, 1.0) if m is None else Bare(setting, setting, m)
    f0 = d0 * m0 / (1.0 + m0) ** 2
    if setting == gear.long:
        return Bare(setting, f0, m0)
    f0 *= setting / gear.long
    m = far_root(f0, d0)
    assert m is not None
    return Bare(setting, f0, m)


def converted(gear: Gear, lens: Bare) -> Bare:
    """Lens with its converter as one: k times the focal length and magnification at the same closest focus."""
    k = gear.factor
    if k == 1.0:
        return lens
    if gear.closest is None:
        return Bare(k * lens.far_focal, k * lens.near_focal, 1.0)
    m = k * lens.largest
    return Bare(k * lens.far_focal, gear.closest * m / (1.0 + m) ** 2, m)


class Drawn(NamedTuple):
    """Acting focal length, magnification, distance from the sensor plane, acting over marked f-number."""

    focal: float
    m: float
    distance: float
    share: float


def drawn(gear: Gear, lens: Bare, own: float) -> Drawn:
    """What lens, tube, close-up lens and converter draw when the lens by itself is set to magnification ``own``."""
    f = lens.focal(own)
    image = f * (1.0 + own) + gear.tube
    share = 1.0 / (1.0 + f * gear.power)
    f = f * share
    m = image / f - 1.0
    if m <= 0.0:
        return Drawn(f, 0.0, INF, share)
    distance = f * (2.0 + m + 1.0 / m)
    if gear.factor != 1.0 and not gear.plain:
        m *= gear.factor
        f = distance * m / (1.0 + m) ** 2
    return Drawn(f, m, distance, share)


def whole(gear: Gear, setting: float) -> Bare:
    """The lens whose own magnification is stepped: with its converter where nothing stands between them."""
    lens = bare(gear, setting)
    return converted(gear, lens) if gear.plain else lens


STEPS = 400


def focused(gear: Gear, setting: float, distance: float) -> Drawn | None:
    """The first way, coming in from infinity, to focus on a distance; None where it cannot."""
    lens = whole(gear, setting)
    if distance == INF:
        focal = setting * gear.factor
        return Drawn(focal, 0.0, INF, 1.0) if gear.plain else None
    if gear.plain:
        nearest = gear.closest if gear.closest is not None else 4.0 * lens.far_focal
        if distance < nearest * (1.0 - 1e-9):
            return None
    return _first(gear, lens, lambda d: d.distance, distance)


def drawn_at(gear: Gear, setting: float) -> Drawn:
    """What it draws with the lens itself set to infinity."""
    return drawn(gear, whole(gear, setting), 0.0)


def filling(gear: Gear, setting: float, m: float) -> float | None:
    """Distance at which the whole draws at magnification m; None where it never does."""
    found = _first(gear, whole(gear, setting), lambda d: d.m, m)
    return None if found is None else found.distance


def nearest(gear: Gear, setting: float) -> float:
    """The nearest distance that it focuses."""
    if gear.plain:
        return gear.closest if gear.closest is not None else 4.0 * setting * gear.factor
    lens = whole(gear, setting)
    return min(drawn(gear, lens, lens.largest * i / 20000).distance for i in range(20001))


def _first(gear: Gear, lens: Bare, what: Callable[[Drawn], float], wanted: float) -> Drawn | None:
    """The least own magnification at which a quantity passes a value, by steps and halving."""
    low = lens.largest * 1e-9
    rising = what(drawn(gear, lens, low)) < wanted
    points = [low * (lens.largest / low) ** (i / STEPS) for i in range(STEPS + 1)]
    for high in points[1:]:
        value = what(drawn(gear, lens, high))
        if (value < wanted) != rising or (high == points[-1] and math.isclose(value, wanted, rel_tol=1e-9)):
            break
        low = high
    else:
        return None
    for _ in range(100):
        middle = (low + high) / 2.0
        if (what(drawn(gear, lens, middle)) < wanted) == rising:
            low = middle
        else:
            high = middle
    return drawn(gear, lens, high)


def zoomed(gear: Gear, distance: float, m: float) -> float:
    """Setting of a zoom that draws at m from a distance, by halving; the nearest end where none does."""
    if gear.short == gear.long or distance == INF:
        return gear.long
    k = 1.0 if gear.plain else gear.factor
    # from one place one focal length draws both m and 1/m: past life size only for a lens that goes there
    m = min(m / k, max(1.0, whole(gear, gear.long).largest)) if gear.plain else m / k
    focal = distance * m / (1.0 + m) ** 2  # that the optic before the converter must have
    image = focal * (1.0 + m) - gear.tube
    focal = focal / (1.0 - focal * gear.power)
    own = image / focal - 1.0

    def short_of(setting: float) -> float:
        return focal - whole(gear, setting).focal(own)

    if short_of(gear.long) >= 0.0:
        return gear.long
    return gear.short if short_of(gear.short) <= 0.0 else bisected(short_of, gear.short, gear.long)


def depth_limits(f: float, n: float, c: float, u: float) -> tuple[float, float, float]:
    """Near and far limit and hyperfocal distance, from the lens."""
    h0 = f * f / (n * c)
    if u == INF:
        return h0, INF, h0 + f
    near = u * h0 / (h0 + u - f)
    return near, INF if u - f >= h0 else u * h0 / (h0 - (u - f)), h0 + f


def blur(f: float, n: float, u: float, x: float) -> float:
    """Blur disc at the sensor of a point at x, focused at u, both from the lens."""
    if x == INF:
        return 0.0 if u == INF else f * f / (n * (u - f))
    return f * f * abs(x - u) / (n * (u - f) * x)


def evenly(gear: Gear, setting: float, near: float, far: float) -> Drawn | None:
    """Focused so that what lies near and what lies far, both from the sensor plane, is equally unsharp, by halving."""
    low, high = near, min(far, 1e12)
    for _ in range(60):
        d = focused(gear, setting, math.sqrt(low * high))
        if d is None and math.sqrt(low * high) > nearest(gear, setting):  # farther than it focuses
            high = math.sqrt(low * high)
            continue
        if d is None:
            low = math.sqrt(low * high)
            continue
        u, v = d.focal * (1.0 + 1.0 / d.m), d.focal * (1.0 + d.m)
        if blur(d.focal, 1.0, u, max(near - v, d.focal * 1e-3)) > blur(d.focal, 1.0, u, far - v):
            high = math.sqrt(low * high)
        else:
            low = math.sqrt(low * high)
    return focused(gear, setting, high) or focused(gear, setting, low)
