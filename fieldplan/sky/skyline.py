"""The line of the ground around a place, and when the sun or the moon comes over it or goes behind it."""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

from fieldplan.sky.crossings import crossings
from fieldplan.sky.positions import Body, Place, interpolated
from fieldplan.sky.refraction import apparent_altitude_deg

Skyline = Sequence[tuple[float, float]]  # (bearing_deg, altitude_deg) pairs in any order
Limb = Literal["upper", "centre", "lower"]
LIMB_SEMIDIAMETERS: dict[Limb, float] = {"upper": 1.0, "centre": 0.0, "lower": -1.0}
STEP_S = 60.0  # a quarter of a degree of the sky's turning
MARGIN_S = 1200.0  # the path of a body is made a little longer than the search; as for the events of a day


class Event(NamedTuple):
    """Something that happens in the sky: its name, when, and the azimuth of the body's centre then."""

    name: str
    ut_s: float
    azimuth_deg: float


def skyline_altitude_deg(skyline: Skyline, bearing_deg: float) -> float:
    """Altitude of the ground line at a bearing, straight between the given points all the way round, degrees.

    No points mean a level horizon; one point means that altitude everywhere; of two at one bearing the higher counts.
    """
    return _line(tuple(skyline))(bearing_deg)


def skyline_crossings(
    place: Place, body: Body, skyline: Skyline, start_s: float, end_s: float, limb: Limb = "upper"
) -> list[Event]:
    """When the body comes over the ground line ("sun_clears_ground") or goes behind it ("sun_leaves_ground"), in order.

    The limb that counts is the upper one unless another is asked for: direct light begins and ends with it. Altitudes
    are apparent ones (Saemundsson's refraction). Instants lie in [start_s, end_s); a visit of the body to a notch of
    the ground narrower than two minutes can be missed.
    """
    if end_s <= start_s:
        return []
    track = interpolated(body, place, start_s - MARGIN_S, end_s + MARGIN_S)
    line = _line(tuple(skyline))
    semidiameters = LIMB_SEMIDIAMETERS[limb]

    def above_ground_deg(ut_s: float) -> float:
        seen = track.direction(ut_s)
        return apparent_altitude_deg(seen.altitude_deg + semidiameters * seen.semidiameter_deg) - line(seen.azimuth_deg)

    return [
        Event(f"{body}_{'clears' if rising else 'leaves'}_ground", ut_s, track.azimuth_deg(ut_s))
        for ut_s, rising in crossings(above_ground_deg, 0.0, start_s, end_s, STEP_S)
    ]


@lru_cache(maxsize=8)
def _line(skyline: tuple[tuple[float, float], ...]) -> Callable[[float], float]:
    """The ground line as a function of bearing; a place asks for its own thousands of times."""
    highest: dict[float, float] = {}
    for bearing, altitude in skyline:
        turned = bearing % 360.0
        highest[turned] = max(altitude, highest.get(turned, altitude))
    if not highest:
        return lambda bearing_deg: 0.0
    points = sorted(highest.items())
    around = [(points[-1][0] - 360.0, points[-1][1]), *points, (points[0][0] + 360.0, points[0][1])]
    bearings = [bearing for bearing, _ in around]

    def altitude_at(bearing_deg: float) -> float:
        turned = bearing_deg % 360.0
        index = min(bisect_right(bearings, turned), len(around) - 1)
        (left, low), (right, high) = around[index - 1], around[index]
        return low + (high - low) * (turned - left) / (right - left)

    return altitude_at
