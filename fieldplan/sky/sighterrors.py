"""How far off a line-up may be: what errors of position, of height and of the air do to the angles."""

import math
from typing import NamedTuple

from fieldplan.sky.refraction import saemundsson_deg
from fieldplan.sky.sightline import Sightline, terrestrial_lift_deg

POSITION_M, HEIGHT_M = 5.0, 2.0  # how far off positions and heights may be, one standard error; common practice
K_SCATTER = 0.1  # common practice: by day over land k runs from about 0.03 to 0.23
EARTH_RADIUS_M = 6_371_000.0
# How the lift of a low disc scatters from day to day. Sampson et al. 2003, PASP 115: 0.175 deg at the horizon. The
# value at 3 degrees is common practice; the curve between and beyond is a model of this program.
HORIZON_SCATTER_DEG = 0.175
LOW_DEG = 3.0
LOW_SCATTER_DEG = 0.05


class SightError(NamedTuple):
    """One standard error each, degrees on the sky: from position, height, refraction of the disc and of the landmark.

    across_deg and up_deg join those that act sideways and upwards; combined_deg joins all.
    """

    position_deg: float
    height_deg: float
    refraction_deg: float
    k_deg: float

    @property
    def across_deg(self) -> float:
        """Sideways, only the position counts."""
        return self.position_deg

    @property
    def up_deg(self) -> float:
        """Upwards: height, the lift of the disc and the lift of the landmark."""
        return math.hypot(self.height_deg, self.refraction_deg, self.k_deg)

    @property
    def combined_deg(self) -> float:
        """All of them, as independent errors."""
        return math.hypot(self.across_deg, self.up_deg)


def sight_error(
    line: Sightline, position_error_m: float = POSITION_M, height_error_m: float = HEIGHT_M, k_error: float = K_SCATTER
) -> SightError:
    """What errors do to a line-up with a landmark's top.

    position_error_m is that of viewpoint and landmark together, height_error_m that of the height between them. A
    position error sideways counts in full; along the line it changes a low altitude little and is taken into the same
    figure. Raises ValueError for an error that is negative or no number.
    """
    for name, error in (("position", position_error_m), ("height", height_error_m), ("refraction", k_error)):
        if not 0.0 <= error < math.inf:
            raise ValueError(f"an error of {name} is zero or more, not {error}")
    slope = math.cos(math.radians(line.straight_altitude_deg))
    return SightError(
        position_deg=angle_error_deg(position_error_m, line.line_m),
        height_deg=angle_error_deg(height_error_m * slope, line.line_m),
        refraction_deg=refraction_scatter_deg(line.apparent_altitude_deg),
        k_deg=terrestrial_lift_deg(line.distance_m, EARTH_RADIUS_M, k_error),
    )


def angle_error_deg(error_m: float, distance_m: float) -> float:
    """The angle that an error of so many metres, square to the line, makes at a distance: 57.3 e / d for small ones."""
    return math.degrees(math.atan2(error_m, distance_m))


def refraction_scatter_deg(apparent_altitude_deg: float) -> float:
    """How much the lift of a disc seen at this altitude scatters: 0.05 deg at 3 deg, 0.175 at the horizon and below.

    Above 3 degrees it shrinks with the lift itself.
    """
    if apparent_altitude_deg >= LOW_DEG:
        return LOW_SCATTER_DEG * saemundsson_deg(apparent_altitude_deg) / saemundsson_deg(LOW_DEG)
    share = max(0.0, apparent_altitude_deg) / LOW_DEG
    return HORIZON_SCATTER_DEG * math.pow(LOW_SCATTER_DEG / HORIZON_SCATTER_DEG, share)


def metres_at(angle_deg: float, distance_m: float) -> float:
    """How many metres an angle spans, square to the line of sight, at a distance."""
    return distance_m * math.tan(math.radians(angle_deg))
