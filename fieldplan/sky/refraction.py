"""How air lifts what stands low. For 1010 hPa and 10 degrees C; at the horizon the real lift scatters by 0.175 deg.

The scatter is Sampson et al. 2003, PASP 115. Both formulas are fits for the sky above a level horizon and run
wild some degrees below it. From one degree below the horizon downward the lift is therefore held.
"""

import math

LOWEST_TRUE_DEG = -1.0  # the lift below this altitude is held
LOWEST_APPARENT_DEG = -0.3538  # where Saemundsson shows a body that stands at LOWEST_TRUE_DEG


def bennett_deg(apparent_altitude_deg: float) -> float:
    """Refraction in degrees of a body seen at this altitude (Bennett 1982; Meeus, Astronomical Algorithms, 16.3)."""
    h = max(apparent_altitude_deg, LOWEST_APPARENT_DEG)
    return _lift_deg(1.0, h + 7.31 / (h + 4.4))


def saemundsson_deg(true_altitude_deg: float) -> float:
    """Refraction in degrees of a body that stands at this airless altitude (Saemundsson 1986; Meeus 16.4)."""
    h = max(true_altitude_deg, LOWEST_TRUE_DEG)
    return _lift_deg(1.02, h + 10.3 / (h + 5.11))


def apparent_altitude_deg(true_altitude_deg: float) -> float:
    """The altitude at which the eye and the lens see it, degrees."""
    return true_altitude_deg + saemundsson_deg(true_altitude_deg)


def true_altitude_deg(apparent_altitude_deg: float) -> float:
    """The airless altitude of what is seen at this one, degrees."""
    return apparent_altitude_deg - bennett_deg(apparent_altitude_deg)


def _lift_deg(factor_arcmin: float, angle_deg: float) -> float:
    """Never below nothing: near the zenith the fits come out a thousandth of a minute negative."""
    return max(0.0, factor_arcmin / math.tan(math.radians(angle_deg))) / 60.0
