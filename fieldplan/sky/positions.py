"""Where the sun and the moon stand for somebody on the ground, and how the moon is lit."""

from functools import lru_cache

from fieldplan.sky.geocentric import Body
from fieldplan.sky.phases import MoonPhase, moon_phase
from fieldplan.sky.station import Direction, Place, Station
from fieldplan.sky.tracks import PhaseTrack, Track

__all__ = [
    "Body",
    "Direction",
    "MoonPhase",
    "PhaseTrack",
    "Place",
    "Station",
    "Track",
    "altitude_deg",
    "direction",
    "interpolated",
    "interpolated_phase",
    "moon_phase",
]


def direction(body: Body, ut_s: float, place: Place) -> Direction:
    """Where the body stands at one instant. For many instants at one place make one Station, or one Track."""
    return Station(place).direction(body, ut_s)


def altitude_deg(body: Body, ut_s: float, place: Place) -> float:
    """Altitude of the body's centre without refraction, degrees."""
    return direction(body, ut_s, place).altitude_deg


@lru_cache(maxsize=16)
def interpolated(body: Body, place: Place, start_s: float, end_s: float, step_s: float = 600.0) -> Track:
    """The body's path from start to end, both included, for asking at many instants cheaply; the last few are kept."""
    return Track(Station(place), body, start_s, end_s, step_s)


def interpolated_phase(start_s: float, end_s: float, step_s: float = 3600.0) -> PhaseTrack:
    """The moon's elongation and parallax from start to end, both included."""
    return PhaseTrack(start_s, end_s, step_s)
