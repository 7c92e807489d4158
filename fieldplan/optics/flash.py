"""Flash by its guide number: reach, power, duration, and how much of the exposure the other light makes.

The guide number is distance times f-number at full power and ISO 100 [m] (ISO 1230). Inverse square law; close up it
is the effective f-number that counts.
"""

from __future__ import annotations

import math

from fieldplan.optics.exposure import exposure_value


def reach_m(guide_number_m: float, effective_f_number: float, iso: float) -> float:
    """Farthest distance from the flash that it lights fully: GN sqrt(S/100) / N_eff [m]."""
    return guide_number_m * math.sqrt(iso / 100.0) / effective_f_number


def power_share(reach: float, distance_m: float) -> float:
    """Share of full power that lights a subject at a distance: (d/reach)^2; above 1 the flash does not get there."""
    return (distance_m / reach) ** 2


def duration_s(full_s: float, share: float) -> float:
    """Duration at a share of full power, taken as proportional [s] (common practice; a model, makers differ)."""
    return full_s * min(share, 1.0)


def ambient_stops(ev100: float, effective_f_number: float, time_s: float, iso: float) -> float:
    """Stops by which the other light alone over- (+) or underexposes (-) at the settings."""
    return ev100 - exposure_value(effective_f_number, time_s, iso)


def ambient_share(stops: float) -> float:
    """Share of the light in the picture that is not the flash's, where the flash makes a full exposure by itself."""
    there = math.pow(2.0, stops)
    return there / (1.0 + there)
