"""The setting of a zoom that draws a subject as large as wanted, and its widest f-number there."""

from __future__ import annotations

import math

from fieldplan.optics.framing import INFINITY, LensLaw, Optic, _line, focus_at, optic

_FITS = 1e-9  # share by which a solved setting may miss
_OUT_OF_FOCUS = 100.0  # more than any miss in size (as a logarithm): first into focus, then to size


def setting_for(
    law: LensLaw,
    distance_m: float,
    magnification: float,
    factor: float = 1.0,
    tube_m: float = 0.0,
    power_d: float = 0.0,
) -> float:
    """Focal length of the lens itself (before the converter) that comes nearest to ``magnification`` [m].

    Clamped to the ends of the zoom. With a tube or a close-up lens only settings that focus at ``distance_m``
    are considered, as far as there are any.
    """
    if law.short_m == law.long_m:
        return law.long_m
    if distance_m == INFINITY or magnification <= 0.0:
        return law.long_m
    if tube_m or power_d:
        return _searched(law, distance_m, magnification, factor, tube_m, power_d)
    # the same distance and focal length also draw at 1/m, which only a lens that passes life size can use
    magnification = min(magnification, max(1.0, _line(law, law.long_m, factor)[1]))
    wanted = distance_m / (2.0 + magnification + 1.0 / magnification)
    return _setting_with(law, wanted, magnification, factor)


def _setting_with(law: LensLaw, wanted: float, magnification: float, factor: float) -> float:
    """Setting at which lens and converter act as a focal length ``wanted`` at a magnification; else the nearest end."""

    def surplus(setting: float) -> float:
        slope, _, _ = _line(law, setting, factor)
        return setting * factor - slope * magnification - wanted

    low, high = law.short_m, law.long_m
    if surplus(high) <= 0.0:
        return high
    if surplus(low) >= 0.0:
        return low
    before = min(max(wanted / factor, low), high)
    value_before = surplus(before)
    setting = before - value_before / factor
    for _ in range(60):
        if not low < setting < high:
            setting = (low + high) / 2.0
        value = surplus(setting)
        if abs(value) <= 1e-13 * wanted:
            break
        low, high = (low, setting) if value > 0.0 else (setting, high)
        step = value - value_before
        before, setting = setting, setting - value * (setting - before) / step if step else (low + high) / 2.0
        value_before = value
    return min(max(setting, law.short_m), law.long_m)


def fitted_setting(
    law: LensLaw, distance_m: float, magnification: float, factor: float, tube_m: float, power_d: float
) -> float | None:
    """The setting that draws at ``magnification`` from ``distance_m`` through a tube or close-up lens [m], or None.

    Undoes what stands behind and before the lens one after the other: converter, close-up lens, tube.
    """
    m = magnification / factor
    behind = distance_m / (2.0 + m + 1.0 / m)
    if behind * power_d >= 1.0:
        return None
    focal = behind / (1.0 - behind * power_d)
    own = (behind * (1.0 + m) - tube_m) / focal - 1.0
    if own < 0.0:
        return None
    setting = _setting_with(law, focal, own, 1.0)
    slope, limit, _ = _line(law, setting, 1.0)
    fits = abs(setting - slope * own - focal) <= _FITS * focal and own <= limit * (1.0 + _FITS)
    return setting if fits else None


def _searched(law: LensLaw, distance_m: float, wanted: float, factor: float, tube_m: float, power_d: float) -> float:
    """Best setting by a scan of the zoom and a refinement around the best one."""

    def miss(setting: float) -> float:
        o = optic(law, setting, factor, tube_m, power_d)
        focus = focus_at(o, distance_m)
        if focus is not None:
            return abs(math.log(focus.magnification / wanted))
        return _OUT_OF_FOCUS + max(math.log(o.nearest_m / distance_m), math.log(distance_m / o.farthest_m))

    span, low = math.log(law.long_m / law.short_m), law.short_m
    best, reach = law.long_m, span
    for steps in (16, 8, 8, 8, 8, 8, 8, 8):
        start = max(law.short_m, best * math.exp(-reach)) if reach < span else low
        stop = min(law.long_m, best * math.exp(reach))
        tried = [start * (stop / start) ** (i / steps) for i in range(steps + 1)]
        best = min([best, *tried], key=miss)
        reach = math.log(stop / start) / steps
    return min(max(best, law.short_m), law.long_m)


def widest_f_number(short_m: float, long_m: float, at_short: float, at_long: float, setting_m: float) -> float:
    """Widest f-number inside a zoom: N1 (N2/N1)^(ln(f/f1)/ln(f2/f1)). A model: makers step it."""
    if short_m == long_m or at_short == at_long:
        return at_long
    if setting_m >= long_m:
        return at_long
    if setting_m <= short_m:
        return at_short
    share = math.log(setting_m / short_m) / math.log(long_m / short_m)
    return at_short * math.pow(at_long / at_short, share)


__all__ = ["Optic", "fitted_setting", "setting_for", "widest_f_number"]
