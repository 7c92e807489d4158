"""How large a subject is drawn: thin lens, a real lens near its closest focus, converters, tubes, close-up lenses.

A lens is described by what its maker prints: focal length, closest focus D0 (from the sensor plane) and
largest magnification m0. Its focal length at D0 then is ``f0 = D0 m0 / (1 + m0)^2`` (thin-lens algebra:
D = f (2 + m + 1/m)); between infinity and D0 the focal length is taken to run linearly with magnification,
``f(m) = f - s m`` with ``s = (f - f0) / m0``. That line is a model, not a measurement.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from fieldplan.optics.searching import least, passed

INFINITY = math.inf
_ROUNDING = 1e-12  # 0.104 m over 0.026 m is a hair under 4: that is life size, not too near
_SLIVER = 1e-7  # of the own magnification, to see which way a function runs at its ends
_STEPS = 32  # of the own magnification, to find the branch before a root or a turning point is refined


class LensLaw(NamedTuple):
    """A bare lens as printed on it. Lengths in metres; ``None`` where the maker does not say."""

    short_m: float
    long_m: float
    closest_m: float | None = None
    largest_magnification: float | None = None


class Optic(NamedTuple):
    """A lens at one setting with everything screwed to it, ready to be focused.

    focal_m: focal length at infinity, converter included [m]; slope_m: loss of focal length per unit of the
    lens's own magnification [m]; own_limit: the largest magnification of the lens by itself; tube_m: extension
    [m]; power_d: close-up lens [dioptres]; nearest_m, farthest_m: distances from the sensor plane that it
    focuses [m]; turn: own magnification at which the distance is least; assumed_life_size: the maker gives no
    magnification and 1:1 was taken; behind: factor of a converter that sits behind a tube or under a close-up lens
    and so multiplies what they draw (slope_m and own_limit are then the bare lens's); distances: those at even
    steps of the own magnification [m], empty for a bare lens.
    """

    focal_m: float
    slope_m: float
    own_limit: float
    tube_m: float
    power_d: float
    nearest_m: float
    farthest_m: float
    turn: float
    assumed_life_size: bool
    behind: float = 1.0
    distances: tuple[float, ...] = ()


class Focus(NamedTuple):
    """A focused optic: acting focal length [m], magnification, image distance [m], object distance from the lens [m].

    f_number_factor: acting over marked f-number, f'/f = 1/(1 + f q) under a close-up lens, otherwise 1.
    """

    focal_m: float
    magnification: float
    image_m: float
    object_m: float
    f_number_factor: float = 1.0


def thin_lens_magnification(focal_m: float, distance_m: float) -> float | None:
    """Magnification of a thin lens for a subject ``distance_m`` from the sensor plane; ``None`` nearer than 4 f.

    Far root of D = f (2 + m + 1/m); 0 at infinity.
    """
    if distance_m == INFINITY:
        return 0.0
    b = distance_m / focal_m - 2.0
    if b < 2.0 - _ROUNDING:
        return None
    return 2.0 / (b + math.sqrt(max(0.0, b * b - 4.0)))


def image_distance_m(focal_m: float, object_m: float) -> float:
    """Thin lens: v = f u / (u - f) [m]. Raises ValueError where no real image forms (u <= f)."""
    if object_m == INFINITY:
        return focal_m
    if object_m <= focal_m:
        raise ValueError("no real image: the object lies within the focal length")
    return focal_m * object_m / (object_m - focal_m)


def angle_of_view_deg(extent_m: float, focal_m: float, magnification: float = 0.0) -> float:
    """Angle that a frame side of ``extent_m`` sees, focused at ``magnification`` [deg]."""
    return math.degrees(2.0 * math.atan(extent_m / (2.0 * focal_m * (1.0 + magnification))))


def _line(law: LensLaw, setting_m: float, factor: float) -> tuple[float, float, bool]:
    """(slope, largest own magnification, life size assumed) of lens and converter at a zoom setting.

    The bare lens comes first, by its figures at closest focus or else as a thin lens; the converter then draws
    ``factor`` times as large at the same closest focus.
    """
    d0, m0, assumed = law.closest_m, law.largest_magnification, False
    if d0 is None:
        return 0.0, 1.0, False
    f0 = setting_m
    if m0 is not None:
        f0 = d0 * m0 / (1.0 + m0) ** 2
    if m0 is None or setting_m != law.long_m:
        if m0 is not None:
            f0 = f0 * setting_m / law.long_m
        found = thin_lens_magnification(f0, d0)
        if found is None and m0 is not None:
            return 0.0, 1.0, False
        assumed = found is None
        f0, m0 = (d0 / 4.0, 1.0) if found is None else (f0, found)
    if factor != 1.0:
        m0 *= factor
        f0 = d0 * m0 / (1.0 + m0) ** 2
    return (setting_m * factor - f0) / m0, m0, assumed


class _State(NamedTuple):
    """The optic at one own magnification of the lens: acting focal length, magnification, image distance, f'/f."""

    focal_m: float
    magnification: float
    image_m: float
    f_number_factor: float


def _at(o: Optic, own: float) -> _State:
    """The whole optic with the lens itself set to magnification ``own``."""
    return _State(*_acting(o, own))


def _acting(o: Optic, own: float) -> tuple[float, float, float, float]:
    """The figures of ``_at``, bare.

    A converter behind a tube or close-up lens: magnification times the factor at an unchanged distance D, so that
    the acting focal length becomes D m / (1 + m)^2.
    """
    f = o.focal_m / o.behind - o.slope_m * own
    v = f * (1.0 + own) + o.tube_m
    share = 1.0 / (1.0 + f * o.power_d)
    f *= share
    m = v / f - 1.0
    if o.behind != 1.0:
        if m <= 0.0:
            return o.focal_m, 0.0, o.focal_m, share
        times = o.behind * ((1.0 + m) / (1.0 + o.behind * m)) ** 2
        f, m = f * times, m * o.behind
        v = f * (1.0 + m)
    return f, m, v, share


def _distance(o: Optic, own: float) -> float:
    f, m, _, _ = _acting(o, own)
    return INFINITY if m <= 0.0 else f * (2.0 + m + 1.0 / m)


def optic(law: LensLaw, setting_m: float, factor: float = 1.0, tube_m: float = 0.0, power_d: float = 0.0) -> Optic:
    """Set a lens to ``setting_m`` (its own focal length, before the converter) and put the rest on.

    factor: converter; tube_m: extension [m]; power_d: close-up lens [dioptres]. From the subject: close-up lens,
    lens, tube, converter, body. Without a printed magnification the bare lens is a thin lens; where the printed
    closest focus is nearer than that can go, 1:1 is assumed there and told by ``assumed_life_size``.
    """
    focal = setting_m * factor
    if not tube_m and not power_d:
        slope, limit, assumed = _line(law, setting_m, factor)
        nearest = law.closest_m if law.closest_m is not None else 4.0 * focal
        return Optic(focal, slope, limit, 0.0, 0.0, nearest, INFINITY, limit, assumed)
    slope, limit, assumed = _line(law, setting_m, 1.0)
    o = Optic(focal, slope, limit, tube_m, power_d, 0.0, INFINITY, limit, assumed, factor)
    distances = _sampled(lambda own: _distance(o, own), limit)
    turn = _lowest(lambda own: _distance(o, own), limit, distances)
    farthest = distances[0]
    if farthest < INFINITY:
        far = _lowest(lambda own: -_distance(o, own), limit, [-distance for distance in distances])
        farthest = _distance(o, far)
    return o._replace(nearest_m=_distance(o, turn), farthest_m=farthest, turn=turn, distances=tuple(distances))


def _sampled(value: Callable[[float], float], limit: float) -> list[float]:
    """``value`` at even steps over [0, limit]."""
    return [value(limit * i / _STEPS) for i in range(_STEPS + 1)]


def _lowest(value: Callable[[float], float], limit: float, samples: Sequence[float]) -> float:
    """Where in [0, limit] ``value`` is least: the best step, refined by ``least`` in the steps around it."""
    best = min(range(_STEPS + 1), key=samples.__getitem__)
    for end, inside in ((0, _SLIVER), (_STEPS, 1.0 - _SLIVER)):
        if best == end and value(limit * inside) >= samples[end]:
            return limit * end / _STEPS
    low, high = limit * max(0, best - 1) / _STEPS, limit * min(_STEPS, best + 1) / _STEPS
    return min((least(value, low, high), low, high), key=value)


def focus_at(o: Optic, distance_m: float) -> Focus | None:
    """Focus on ``distance_m`` from the sensor plane; ``None`` where the optic cannot (see nearest_m, farthest_m)."""
    if distance_m == INFINITY:
        return Focus(o.focal_m, 0.0, o.focal_m, INFINITY) if o.farthest_m == INFINITY else None
    if distance_m < o.nearest_m * (1.0 - 1e-9) or distance_m > o.farthest_m * (1.0 + 1e-9):
        return None
    plain = not o.tube_m and not o.power_d
    own = _cubic_root(o.focal_m, o.slope_m, distance_m, o.own_limit) if plain else None
    if own is None:
        distances = o.distances or _sampled(lambda at: _distance(o, at), o.own_limit)
        root = _first_root(lambda at: _distance(o, at), distances, distance_m, o.own_limit, o.turn)
        own = root if root is not None else _closest(o, distance_m)
    f, m, v, share = _acting(o, own)
    return Focus(f, m, v, f * (1.0 + 1.0 / m), share)


def _cubic_root(f: float, s: float, distance_m: float, limit: float) -> float | None:
    """Smallest m > 0 with (f - s m)(2 + m + 1/m) = D, by Newton from below on the cubic; None if it does not settle."""
    a, b, c = -s, f - 2.0 * s, 2.0 * f - s - distance_m
    if c >= 0.0:
        return None
    m = f / -c
    for _ in range(40):
        slope = (3.0 * a * m + 2.0 * b) * m + c
        if slope >= 0.0:
            return None
        step = (((a * m + b) * m + c) * m + f) / slope
        m -= step
        if abs(step) <= 1e-15 * m:
            break
    return min(m, limit) if 0.0 < m <= limit * (1.0 + 1e-6) else None


def _first_root(
    value: Callable[[float], float], samples: Sequence[float], wanted: float, limit: float, turn: float
) -> float | None:
    """Smallest own magnification in [0, limit] at which ``value`` passes ``wanted``; ``turn`` joins the steps."""
    start = samples[0]
    if start == wanted:
        return 0.0
    steps = sorted([*((limit * i / _STEPS, samples[i]) for i in range(1, _STEPS + 1)), (turn, value(turn))])
    low = 0.0
    for high, found in steps:
        if (found > wanted) != (start > wanted):
            return passed(lambda at: value(at) - wanted, low, high)
        low = high
    return None


def _closest(o: Optic, distance_m: float) -> float:
    """The end of the focusing that only just touches the distance."""
    return min((0.0, o.turn, o.own_limit), key=lambda own: abs(_distance(o, own) - distance_m))


def distance_for(o: Optic, magnification: float) -> float | None:
    """Distance from the sensor plane at which the optic draws at ``magnification`` [m]; None outside its reach.

    A long lens under a close-up lens may draw largest short of its own closest focus; the farther way is given.
    """
    if magnification <= 0.0:
        return None
    if not o.tube_m and not o.power_d:
        return _distance(o, magnification) if magnification <= o.own_limit * (1.0 + 1e-9) else None
    drawn = _sampled(lambda own: _at(o, own).magnification, o.own_limit)
    top = _largest_at(o, drawn)
    for own in (0.0, top, o.own_limit):
        if math.isclose(magnification, _at(o, own).magnification, rel_tol=1e-9):
            return _distance(o, own)
    root = _first_root(lambda at: _at(o, at).magnification, drawn, magnification, o.own_limit, top)
    return None if root is None else _distance(o, root)


def _largest_at(o: Optic, drawn: Sequence[float]) -> float:
    return _lowest(lambda own: -_at(o, own).magnification, o.own_limit, [-m for m in drawn])


def largest_magnification(o: Optic) -> float:
    """The largest magnification that the optic reaches."""
    if not o.tube_m and not o.power_d:
        return o.own_limit
    return _at(o, _largest_at(o, _sampled(lambda own: _at(o, own).magnification, o.own_limit))).magnification


def needed_focal_m(distance_m: float, magnification: float) -> float:
    """Thin-lens focal length that draws at ``magnification`` from ``distance_m`` (sensor plane) [m]."""
    if magnification <= 0.0 or distance_m == INFINITY:
        return INFINITY
    return distance_m / (2.0 + magnification + 1.0 / magnification)
