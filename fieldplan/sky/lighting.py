"""How a subject is lit compared with the level ground it stands on, and how far the estimate can be off."""

from typing import Literal, NamedTuple

Lit = Literal["level ground", "front-lit", "side-lit", "back-lit", "open shade"]

# Sun altitude in degrees, stops from level ground. Derived from a clear-sky model: simplified Solis, split into beam
# and diffuse light on a vertical plane, albedo 0.2.
FACING_SUN: tuple[tuple[float, float], ...] = (
    (3.0, 3.0),
    (5.0, 2.6),
    (10.0, 2.0),
    (20.0, 1.2),
    (30.0, 0.7),
    (45.0, 0.0),
    (60.0, -0.6),
)
LIT_OFFSETS: dict[Lit, tuple[tuple[float, float], ...]] = {
    "level ground": ((3.0, 0.0), (60.0, 0.0)),
    "front-lit": FACING_SUN,
    "side-lit": tuple((altitude, stops / 2.0) for altitude, stops in FACING_SUN),  # half of facing the sun
    "back-lit": ((3.0, -0.7), (5.0, -1.2), (10.0, -1.7), (20.0, -2.1), (30.0, -2.3), (45.0, -2.5), (60.0, -2.6)),
    "open shade": ((3.0, 0.0), (5.0, -0.5), (10.0, -1.2), (20.0, -1.9), (30.0, -2.3), (45.0, -2.7), (60.0, -2.9)),
}
NO_DISC_DEG = -0.8  # with the sun this low all light comes from the sky, and no side is the sunny one
CASTS_SHADOWS = ("clear", "hazy")  # the skies that leave a sunny and a shaded side

# Angle between the lens and the sun, on the horizon: within the first the subject shows its shaded side, beyond the
# second its sunny one. Equal thirds of the half circle, a choice of this program.
BACK_LIT_WITHIN_DEG = 60.0
FRONT_LIT_FROM_DEG = 120.0

HIGH_SUN_DEG = 10.0
TWILIGHT_END_DEG = -12.0
HAZE_BELOW_DEG = 5.0
HAZE_EXTRA_STOPS = 2.0  # common practice: a long path through haze takes one or two more than the sky's word says
CLOUD_STOPS = 1.0
UNKNOWN_SKY_STOPS = 3.5  # a sky that nobody described may be as dark as thick stratus


class Uncertainty(NamedTuple):
    """How many stops the true light may lie below and above the estimate; both positive."""

    below_stops: float
    above_stops: float


def lit_offset_stops(kind: Lit, sun_altitude_deg: float, sky: str = "clear") -> float:
    """Stops by which the subject gets more light than level ground, at a true altitude of the sun.

    Facing the sun is a vertical plane turned to its azimuth. Above 60 degrees the value holds, from 3 down to -0.8 it
    runs straight to nothing. Under a sky that casts no shadows it is nothing. KeyError for an unknown kind.
    """
    table = LIT_OFFSETS[kind]
    if not casts_shadows(sky, sun_altitude_deg):
        return 0.0
    (low, stops), rest = (NO_DISC_DEG, 0.0), table
    for high, stops_there in rest:
        if sun_altitude_deg < high:
            return stops + (stops_there - stops) * (sun_altitude_deg - low) / (high - low)
        low, stops = high, stops_there
    return stops


def casts_shadows(sky: str, sun_altitude_deg: float) -> bool:
    """Whether there is a sunny and a shaded side, at a true altitude of the sun."""
    return sky in CASTS_SHADOWS and sun_altitude_deg > NO_DISC_DEG


def lit_from_aim(aim_deg: float, sun_azimuth_deg: float) -> Lit:
    """How a subject is lit for a lens that looks along aim_deg: towards the sun it is back-lit. Bearings in degrees.

    Back-lit within 60 degrees of the sun's azimuth, front-lit from 120 on, side-lit between.
    """
    apart = abs((aim_deg - sun_azimuth_deg + 180.0) % 360.0 - 180.0)
    if apart < BACK_LIT_WITHIN_DEG:
        return "back-lit"
    return "front-lit" if apart >= FRONT_LIT_FROM_DEG else "side-lit"


def uncertainty_stops(sun_altitude_deg: float, sky: str | None) -> Uncertainty:
    """How far the estimate may be off, at a true altitude of the sun, under a sky described so; None if it is unknown.

    Half a stop with the sun above 10 degrees, one down to -12, one and a half below that or by moonlight (common
    practice: the scatter of measured days around the model). A word for cloud covers a stop either way by day as well:
    the overcast of DIN 5034-2 (Krochmann and Seidl, 300 + 21 000 sin h lx; from memory) lies 0.9 above heavy overcast
    here, 0.5 below average cloud and 1.2 above dark stratus.
    """
    if sun_altitude_deg > HIGH_SUN_DEG:
        stops = 0.5 if sky in CASTS_SHADOWS or sky is None else CLOUD_STOPS
    elif sun_altitude_deg >= TWILIGHT_END_DEG:
        stops = 1.0
    else:
        stops = 1.5
    below = stops
    if sky == "hazy" and TWILIGHT_END_DEG <= sun_altitude_deg < HAZE_BELOW_DEG:
        below += HAZE_EXTRA_STOPS
    if sky is None:
        below = max(below, UNKNOWN_SKY_STOPS)
    return Uncertainty(below, stops)
