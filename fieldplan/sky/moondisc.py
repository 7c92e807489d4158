"""The moon's disc as a subject: how bright it is, and what the air takes from it."""

import math

# Elongation in degrees and EV at ISO 100. ANSI PH2.7-1973/1986 for a moon above 40 degrees, each phase at its middle:
DISC_ROWS: tuple[tuple[float, float], ...] = (
    (45.0, 12.0),  # crescent
    (90.0, 13.0),  # quarter
    (135.0, 14.0),  # gibbous
    (180.0, 15.0),  # full
)
ROW_HOLDS_FROM_DEG = 40.0  # ANSI PH2.7: the rows are for a moon above this, its loss included
FULL_LOSS_BELOW_DEG = 20.0  # a choice of this program: between the two the least loss fades in
CLEAR_EXTINCTION_MAG = 0.2  # per air mass, clean air; common practice
DULL_EXTINCTION_MAG = 0.3  # per air mass, ordinary lowland air; common practice
STOPS_PER_MAG = 0.4 * math.log2(10.0)


def air_mass(apparent_altitude_deg: float) -> float:
    """Air on the way to a body seen at this altitude, in zeniths' worth; the horizon's below it.

    Kasten and Young 1989, Applied Optics 28, 4735.
    """
    h = max(0.0, apparent_altitude_deg)
    return 1.0 / (math.sin(math.radians(h)) + 0.50572 * math.pow(h + 6.07995, -1.6364))


def moon_disc_ev100(elongation_deg: float, apparent_altitude_deg: float) -> tuple[float, float]:
    """The lowest and the highest EV at ISO 100 that renders the lit part of the disc as a middle tone.

    elongation_deg 0 to 180 (90 quarter, 180 full). The two ends are for dull and for clean air; near the horizon they
    lie stops apart and smoke or haze can take more still.
    """
    row = _row_ev100(elongation_deg)
    mass = air_mass(apparent_altitude_deg)
    span = ROW_HOLDS_FROM_DEG - FULL_LOSS_BELOW_DEG
    share = min(1.0, max(0.0, (ROW_HOLDS_FROM_DEG - apparent_altitude_deg) / span))
    least_loss = share * CLEAR_EXTINCTION_MAG * mass * STOPS_PER_MAG
    most_loss = DULL_EXTINCTION_MAG * mass * STOPS_PER_MAG
    return row - most_loss, row - least_loss


def _row_ev100(elongation_deg: float) -> float:
    (low, ev), rows = DISC_ROWS[0], DISC_ROWS[1:]
    if elongation_deg <= low:
        return ev
    for high, ev_there in rows:
        if elongation_deg < high:
            return ev + (ev_there - ev) * (elongation_deg - low) / (high - low)
        low, ev = high, ev_there
    return ev
