"""Exposure value, illuminance, shutter and ISO arithmetic, and the exact thirds of a stop.

ISO 2720 meter constants K = 12.5 (reflected) and C = 250 (incident). EV 100 is the exposure value at ISO 100.
Values that the program chooses run on exact thirds: N = 2^(k/6), t = 2^(k/3) s, S = 100 x 2^(k/3).
"""

from __future__ import annotations

import math

REFLECTED_K = 12.5  # cd s / (m2 ISO), ISO 2720; ANSI PH3.49 allows 10.6 to 13.4
INCIDENT_C = 250.0  # lx s / ISO, ISO 2720, flat receptor
MARK_SLACK = 1.03  # f-numbers are printed to about that: a printed one stands for the third nearest to it
_CLOSE = 1e-6  # slack in thirds: at life size rounding moves the magnification by 1e-8, and must not push to the next


def exposure_value(f_number: float, time_s: float, iso: float = 100.0) -> float:
    """EV 100 = log2(N^2 / t) - log2(S / 100)."""
    return math.log2(f_number * f_number / time_s) - math.log2(iso / 100.0)


def illuminance_lux(ev100: float) -> float:
    """Incident illuminance that a meter calls ``ev100`` [lx]: 2^EV C / 100."""
    return math.pow(2.0, ev100) * INCIDENT_C / 100.0


def ev100_of_lux(lux: float) -> float:
    """EV 100 of an incident illuminance [lx]; -inf in no light at all."""
    return math.log2(lux * 100.0 / INCIDENT_C) if lux > 0.0 else -math.inf


def luminance_cd_m2(ev100: float) -> float:
    """Luminance that a reflected-light meter calls ``ev100`` [cd/m2]: 2^EV K / 100."""
    return math.pow(2.0, ev100) * REFLECTED_K / 100.0


def ev100_of_luminance(cd_m2: float) -> float:
    """EV 100 of a luminance [cd/m2]; -inf where it is zero."""
    return math.log2(cd_m2 * 100.0 / REFLECTED_K) if cd_m2 > 0.0 else -math.inf


def effective_f_number(f_number: float, magnification: float, pupil_ratio: float = 1.0) -> float:
    """N (1 + m/P): the f-number that the light obeys close up; P exit over entrance pupil."""
    return f_number * (1.0 + magnification / pupil_ratio)


def close_up_loss_stops(magnification: float, pupil_ratio: float = 1.0) -> float:
    """Light lost close up, 2 log2(1 + m/P) [stops]."""
    return 2.0 * math.log2(1.0 + magnification / pupil_ratio)


def iso_for(f_number: float, time_s: float, ev100: float) -> float:
    """ISO that exposes ``ev100`` at an (effective) f-number and a time [s]."""
    return 100.0 * f_number * f_number / (time_s * math.pow(2.0, ev100))


def time_for(f_number: float, iso: float, ev100: float) -> float:
    """Exposure time [s] at an (effective) f-number and ISO."""
    return 100.0 * f_number * f_number / (iso * math.pow(2.0, ev100))


def stops_between(a: float, b: float) -> float:
    """log2(a / b): stops by which time, ISO or light ``a`` exceeds ``b``."""
    return math.log2(a / b)


def iso_third_up(iso: float) -> float:
    """The next third at or above: 100 x 2^(k/3)."""
    return 100.0 * math.pow(2.0, math.ceil(3.0 * math.log2(iso / 100.0) - _CLOSE) / 3.0)


def iso_third_nearest(iso: float) -> float:
    """The third nearest to a printed or typed ISO."""
    return 100.0 * math.pow(2.0, round(3.0 * math.log2(iso / 100.0)) / 3.0)


def time_third_faster(time_s: float) -> float:
    """The next third at or below ``time_s`` [s]: 2^(k/3)."""
    return math.pow(2.0, math.floor(3.0 * math.log2(time_s) + _CLOSE) / 3.0)


def f_number_third_up(f_number: float) -> float:
    """The next third at or above: 2^(k/6)."""
    return math.pow(2.0, math.ceil(6.0 * math.log2(f_number) - _CLOSE) / 6.0)


def f_number_third_down(f_number: float) -> float:
    """The next third at or below: 2^(k/6)."""
    return math.pow(2.0, math.floor(6.0 * math.log2(f_number) + _CLOSE) / 6.0)


def f_number_third_nearest(f_number: float) -> float:
    """The third nearest to a printed or reckoned f-number: 2^(k/6)."""
    return math.pow(2.0, round(6.0 * math.log2(f_number)) / 6.0)


def f_number_thirds(widest: float, smallest: float) -> list[float]:
    """The widest value as it is, then every exact third up to the one nearest ``smallest``."""
    first = math.floor(6.0 * math.log2(widest) + _CLOSE) + 1
    last = round(6.0 * math.log2(smallest))
    return [widest, *(math.pow(2.0, k / 6.0) for k in range(first, last + 1))]
