"""When the sun's or the moon's disc stands at a chosen place against a landmark: every time in a span of years.

Altitudes are apparent ones everywhere: Saemundsson's refraction, 1010 hPa and 10 degrees C, on the airless altitude
seen from the viewpoint. Below 2 or 3 degrees real air differs by more than a disc's tenth, and a low moon may not be
visible at all.
"""

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

from fieldplan.sky.aims import CENTRED, Placing, Target, airless_altitude_deg, wanted
from fieldplan.sky.approach import Approach
from fieldplan.sky.geocentric import Almanac, Body
from fieldplan.sky.geodesy import frame_at
from fieldplan.sky.passes import Pass, PassSearch
from fieldplan.sky.paths import Path
from fieldplan.sky.refraction import saemundsson_deg
from fieldplan.sky.station import Place

WIDEST_DEG = 15.0
MEAN_SEMIDIAMETER_DEG = 0.2625  # both discs, within 0.02 deg
SEMIDIAMETER_SCATTER_DEG = 0.025
MOON_STEP_S, SUN_STEP_S = 3600.0, 7200.0
TELL_EVERY = 32  # looks into the almanac between two words on progress, about a millisecond

Progress = Callable[[float], bool]


class Hit(NamedTuple):
    """One pass of the disc within reach of the place where it is wanted.

    ut_s is the instant of least distance, miss_deg that distance; start_s to end_s the time within reach; across_deg
    and up_deg where the disc's centre then stands from the wanted place (right, up positive). azimuth_deg and
    apparent_altitude_deg are of the disc's centre, disc_deg is its diameter without air. drift_deg_per_min is how fast
    it moves against the landmark, drift_across_deg_per_min and drift_up_deg_per_min its parts (right, up positive).
    """

    ut_s: float
    miss_deg: float
    start_s: float
    end_s: float
    azimuth_deg: float
    apparent_altitude_deg: float
    disc_deg: float
    across_deg: float
    up_deg: float
    drift_deg_per_min: float
    drift_across_deg_per_min: float
    drift_up_deg_per_min: float

    @property
    def miss_discs(self) -> float:
        """The miss in diameters of the disc."""
        return self.miss_deg / self.disc_deg

    @property
    def disc_below_level(self) -> bool:
        """True where the whole disc is below the eye's level: over a level or sea horizon it has set."""
        return self.apparent_altitude_deg + self.disc_deg / 2.0 < 0.0


def lineup(
    body: Body,
    viewpoint: Place,
    target: Target,
    start_s: float,
    end_s: float,
    within_deg: float,
    placing: Placing = CENTRED,
    on_progress: Progress | None = None,
) -> Iterator[Hit]:
    """Every pass whose instant of least distance lies in [start_s, end_s), in order of time, one hit a pass.

    The distance is the angle between the disc's centre and the place wanted for it (by default the landmark's top
    itself), both as seen through the air; a hit has it at within_deg or less. viewpoint.elevation_m is the eye's
    height above sea. on_progress is told the share of the span that is done, 0 to 1, every few milliseconds and stops
    the search by returning False; leaving the iterator stops it too.

    Raises ValueError at once for a span that ends before it starts, for within_deg not above 0 or over 15, for an
    altitude of the target beyond 90 degrees, for a placing to one side near the zenith, and for what is no place.
    """
    _check(target, start_s, end_s, within_deg)
    wanted(target, placing, MEAN_SEMIDIAMETER_DEG)
    almanac = Almanac()
    search = _search(almanac, body, viewpoint, target, placing, start_s, end_s, within_deg)
    return _hits(almanac, search, body, viewpoint, target, placing, (start_s, end_s), within_deg, on_progress)


def _check(target: Target, start_s: float, end_s: float, within_deg: float) -> None:
    if not (math.isfinite(start_s) and math.isfinite(end_s) and start_s <= end_s):
        raise ValueError(f"no span from {start_s} to {end_s}")
    if not 0.0 < within_deg <= WIDEST_DEG:
        raise ValueError(f"within is above 0 and at most {WIDEST_DEG:g} degrees, not {within_deg}")
    if not math.isfinite(target.bearing_deg):
        raise ValueError(f"not a bearing: {target.bearing_deg}")
    if not abs(target.apparent_altitude_deg) <= 90.0:
        raise ValueError(f"not an altitude: {target.apparent_altitude_deg}")


def _search(
    almanac: Almanac,
    body: Body,
    viewpoint: Place,
    target: Target,
    placing: Placing,
    start_s: float,
    end_s: float,
    within_deg: float,
) -> PassSearch:
    """The search for passes near the wanted place as it is for a disc of middling size."""
    rough = wanted(target, placing, MEAN_SEMIDIAMETER_DEG)
    radii = math.hypot(placing.across_radii, placing.up_radii)
    reach_deg = within_deg + SEMIDIAMETER_SCATTER_DEG * radii + 0.001
    # The air squeezes a low sky upwards: what is within reach as seen may lie further off without air.
    lowest, highest = (airless_altitude_deg(rough.apparent_altitude_deg + side * reach_deg) for side in (-1.0, 1.0))
    squeeze_deg = saemundsson_deg(lowest) - saemundsson_deg(highest)
    return PassSearch(almanac, body, viewpoint, rough, 1.002 * reach_deg + squeeze_deg, start_s, end_s)


def _hits(
    almanac: Almanac,
    search: PassSearch,
    body: Body,
    viewpoint: Place,
    target: Target,
    placing: Placing,
    span_s: tuple[float, float],
    within_deg: float,
    on_progress: Progress | None,
) -> Iterator[Hit]:
    start_s, end_s = span_s
    frame = frame_at(viewpoint)
    told = 0
    for found in search:
        if on_progress is not None and search.looks >= told + TELL_EVERY:
            told = search.looks
            come_to_s = found.ut_s if isinstance(found, Pass) else found
            if not on_progress(min(1.0, max(0.0, (come_to_s - start_s) / (end_s - start_s)))):
                return
        if not isinstance(found, Pass):
            continue
        path = Path(almanac, body, found.looked_s, SUN_STEP_S if body == "sun" else MOON_STEP_S, found.place)
        approach = Approach(path, body, frame, target, placing, found.ut_s)
        best_s = approach.nearest_s()
        if start_s <= best_s < end_s and approach.distance_deg(best_s) <= within_deg:
            yield _hit(approach, best_s, within_deg)


def _hit(approach: Approach, best_s: float, within_deg: float) -> Hit:
    seen = approach.seen(best_s)
    across_deg, up_deg = approach.offset_deg(best_s)
    before, after = approach.offset_deg(best_s - 30.0), approach.offset_deg(best_s + 30.0)
    drift_across_deg, drift_up_deg = after[0] - before[0], after[1] - before[1]
    drift_deg = math.hypot(drift_across_deg, drift_up_deg)
    return Hit(
        ut_s=best_s,
        miss_deg=approach.distance_deg(best_s),
        start_s=approach.edge_s(best_s, within_deg, -drift_deg / 60.0),
        end_s=approach.edge_s(best_s, within_deg, drift_deg / 60.0),
        azimuth_deg=seen.bearing_deg,
        apparent_altitude_deg=seen.apparent_altitude_deg,
        disc_deg=2.0 * approach.semidiameter_deg,
        across_deg=across_deg,
        up_deg=up_deg,
        drift_deg_per_min=drift_deg,
        drift_across_deg_per_min=drift_across_deg,
        drift_up_deg_per_min=drift_up_deg,
    )
