"""How much light falls on open, level ground, and how the sky and the side that is lit change it.

Model: Yallop and Hohenkerk in the Explanatory Supplement to the Astronomical Almanac (1992), ch. 9, pp. 490-493.
Altitudes are true (airless) ones: with refracted altitudes the light would jump by half a stop at sunrise.
"""

import math

from fieldplan.sky.lighting import LIT_OFFSETS, Lit, Uncertainty, lit_from_aim, lit_offset_stops, uncertainty_stops
from fieldplan.sky.moondisc import air_mass, moon_disc_ev100

__all__ = [
    "DISC_STOPS",
    "LIT_OFFSETS",
    "NIGHT_FLOOR_LUX",
    "SKY_STOPS",
    "Lit",
    "Uncertainty",
    "air_mass",
    "horizontal_lux",
    "lit_from_aim",
    "lit_offset_stops",
    "moon_disc_ev100",
    "moon_disc_under",
    "moon_lux",
    "sun_lux",
    "uncertainty_stops",
]

Piece = tuple[float, tuple[float, float, float, float]]

# Lower edge in degrees, and l0 to l3 of log10 E = l0 + l1 x + l2 x^2 + l3 x^3, x = altitude / 90 deg.
SUN_PIECES: tuple[Piece, ...] = (  # Explanatory Supplement (1992), ch. 9: the sun
    (20.0, (3.74, 3.97, -4.07, 1.47)),
    (5.0, (3.05, 13.28, -45.98, 64.33)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (-18.0, (13.84, 262.72, 1447.42, 2797.93)),
)
MOON_PIECES: tuple[Piece, ...] = (  # the same, for the full moon
    (20.0, (-1.95, 4.06, -4.24, 1.56)),
    (5.0, (-2.58, 12.58, -42.58, 59.06)),
    (-0.8, (-2.79, 24.27, -252.95, 1321.29)),
)
PHASE_LINEAR = -8.68e-3  # the same, per degree short of full
PHASE_QUARTIC = -2.2e-9  # the same, per degree to the fourth
MEAN_PARALLAX_DEG = 0.951  # the same: the parallax that the moon's table stands for
NIGHT_FLOOR_LUX = 0.001  # the same: published as 0.0005 to 0.002; brighter under cloud lit by a town

# In stops from a clear sky, by the words a plan uses.
SKY_STOPS: dict[str, float] = {
    "clear": 0.0,
    "hazy": -1.0,  # ANSI PH2.7: hazy sun EV 14 against 15
    "thin cloud": -1.0,  # USNO Circular 171: thin cloud over the disc
    "cloudy bright": -2.0,  # ANSI PH2.7: EV 13 against 15
    "average cloud": -1.6,  # USNO Circular 171
    "heavy overcast": -3.0,  # ANSI PH2.7: EV 12 against 15
    "dark stratus": -3.3,  # USNO Circular 171
}

# What the sky takes from the disc itself, in stops; None: the disc is not to be seen. Circular 171 divides by 2 where
# thin cloud veils a sun or moon that is still easily seen; what is left comes in part from the cloud, so a stop is the
# least that the disc loses. Its average cloud and dark stratus, and skies without shadows (ANSI PH2.7), hide the disc.
DISC_STOPS: dict[str, float | None] = {
    "clear": 0.0,
    "hazy": -1.0,
    "thin cloud": -1.0,
    "cloudy bright": None,
    "average cloud": None,
    "heavy overcast": None,
    "dark stratus": None,
}


def moon_disc_under(sky: str, elongation_deg: float, apparent_altitude_deg: float) -> tuple[float, float] | None:
    """The EV of the moon's disc, as moon_disc_ev100, under a sky by its word; None where the sky hides the disc.

    KeyError for an unknown word.
    """
    stops = DISC_STOPS[sky]
    if stops is None:
        return None
    low, high = moon_disc_ev100(elongation_deg, apparent_altitude_deg)
    return low + stops, high + stops


def sun_lux(true_altitude_deg: float) -> float:
    """Light of sun and sunlit air on level ground under a clear sky, lux; none below -18 degrees."""
    return _piecewise_lux(SUN_PIECES, true_altitude_deg)


def moon_lux(true_altitude_deg: float, elongation_deg: float, horizontal_parallax_deg: float) -> float:
    """Light of the moon on level ground under a clear sky, lux; none below -0.8 degrees.

    elongation_deg (0 to 180) and horizontal_parallax_deg as in MoonPhase. The surge of the last hours before full is
    left out, as in the source.
    """
    full = _piecewise_lux(MOON_PIECES, true_altitude_deg)
    short_of_full = 180.0 - elongation_deg
    phase = PHASE_LINEAR * short_of_full + PHASE_QUARTIC * short_of_full**4
    return full * math.pow(10.0, phase) * (horizontal_parallax_deg / MEAN_PARALLAX_DEG) ** 2


def horizontal_lux(
    sun_altitude_deg: float,
    moon_altitude_deg: float,
    elongation_deg: float,
    horizontal_parallax_deg: float,
    sky_stops: float = 0.0,
    moon_share: float = 1.0,
) -> float:
    """All light on level ground, lux: sun and moon through the sky (stops from clear), and the night's own glow.

    moon_share: what reaches the place of the moon's light, less than 1 where the ground hides the moon.

    The glow takes no sky factor: cloud hides the stars and throws back the light of towns. The curve over time is not
    monotone (the pieces join with dips of about 1 %): search it by scan and bracket.
    """
    moon = moon_share * moon_lux(moon_altitude_deg, elongation_deg, horizontal_parallax_deg)
    through_sky = sun_lux(sun_altitude_deg) + moon
    return through_sky * math.pow(2.0, sky_stops) + NIGHT_FLOOR_LUX


def _piecewise_lux(pieces: tuple[Piece, ...], altitude_deg: float) -> float:
    for lower_edge, (l0, l1, l2, l3) in pieces:
        if altitude_deg >= lower_edge:
            x = altitude_deg / 90.0
            return math.pow(10.0, l0 + x * (l1 + x * (l2 + x * l3)))
    return 0.0
