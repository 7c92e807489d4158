"""A line-up at one instant: where the disc stands against the landmark, where to stand, and which frames hold it."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.model.plan import Plan, Shot
from fieldplan.optics.hands import angle_deg
from fieldplan.planner.lineups import SkyLight, over_horizon, sky_light
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import Kit
from fieldplan.planner.setting import Setting
from fieldplan.planner.sights import Sight, aimed_for, placing_for
from fieldplan.sky.aims import AS_RECKONED, Correction, wanted
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.standing import Ground, Spot
from fieldplan.sky.station import Place, Station
from fieldplan.sky.walking import Walk, walk_sideways, walk_to_spot

PATH_STEP_S = 300.0
PATH_S = 7200.0
FRAME_SHARE = "30-50 %"  # of the frame that the landmark takes, which leaves the sky its room
DOWN_DEG = -1.0  # a disc lower than this lines up with nothing on the ground


class DiscAt(NamedTuple):
    """The disc at one instant from the sight's eye. right_deg and up_deg: from the place wanted; *_m at the eye.

    top_right_deg, top_up_deg: from the landmark's top itself. landmark_discs: the landmark's height in discs.
    """

    ut_s: float
    azimuth_deg: float
    altitude_deg: float
    disc_deg: float
    right_deg: float
    up_deg: float
    top_right_deg: float
    top_up_deg: float
    landmark_discs: float
    light: SkyLight

    @property
    def miss_discs(self) -> float:
        """From the place wanted, in discs."""
        return math.hypot(self.right_deg, self.up_deg) / self.disc_deg

    @property
    def top_right_discs(self) -> float:
        """From the landmark's top to the right, in discs."""
        return self.top_right_deg / self.disc_deg

    @property
    def top_up_discs(self) -> float:
        """From the landmark's top upwards, in discs."""
        return self.top_up_deg / self.disc_deg

    def is_up(self, eye: Place) -> bool:
        """Whether any part of the disc stands over the horizon of that eye."""
        return over_horizon(self.altitude_deg, self.disc_deg, eye)


class Stand(NamedTuple):
    """Where to stand at an instant: sideways, keeping the distance; and the spot where all agrees, or why none does."""

    sideways: Walk | None
    to_spot: Walk | str
    spot: Spot | None


class SkyFrame(NamedTuple):
    """The frame of a body and lens as held: its fields of view [deg], focal length [m], share of the landmark."""

    label: str
    body: str
    hold: str
    width_deg: float
    height_deg: float
    focal_m: float


def disc_at(
    sight: Sight, body: Body, ut_s: float, placed: str, sky: str = "clear", correction: Correction = AS_RECKONED
) -> DiscAt:
    """The disc at an instant against the place wanted for it. correction: what one sighting from there corrects; it
    counts in everything that is told against the landmark, not in the disc's own azimuth and altitude."""
    station = Station(sight.eye)
    seen = station.direction(body, ut_s)
    altitude = apparent_altitude_deg(seen.altitude_deg)
    target = correction.applied(sight.seen.top.target)
    aim = wanted(target, placing_for(sight, placed), seen.semidiameter_deg)
    level = math.cos(math.radians(altitude))

    def right_of(bearing_deg: float) -> float:
        return math.remainder(seen.azimuth_deg - bearing_deg, 360.0) * level

    disc = 2.0 * seen.semidiameter_deg
    return DiscAt(
        ut_s, seen.azimuth_deg, altitude, disc, right_of(aim.bearing_deg), altitude - aim.apparent_altitude_deg,
        right_of(target.bearing_deg), altitude - target.apparent_altitude_deg, sight.seen.height_deg / disc,
        sky_light(station, body, ut_s, altitude, sky),
    )  # fmt: skip


def disc_path(sight: Sight, body: Body, ut_s: float) -> list[tuple[float, float]]:
    """The disc's way for two hours to either side: azimuth and apparent altitude [deg], every five minutes."""
    station, count = Station(sight.eye), round(PATH_S / PATH_STEP_S)
    way = []
    for step in range(-count, count + 1):
        seen = station.direction(body, ut_s + step * PATH_STEP_S)
        if seen.altitude_deg > DOWN_DEG:
            way.append((seen.azimuth_deg, apparent_altitude_deg(seen.altitude_deg)))
    return way


def stand_at(
    sight: Sight,
    body: Body,
    ut_s: float,
    placed: str,
    here: Place | None = None,
    correction: Correction = AS_RECKONED,
) -> Stand:
    """Where to go from the sight's eye, or from here; the ground is taken as level with the ground under the eye."""
    ground = Ground(body, sight.top, sight.eye.elevation_m, aimed_for(sight, placed), correction)
    start = sight.eye if here is None else here
    try:
        sideways = walk_sideways(ground, start, ut_s)
    except ValueError:
        sideways = None
    way = walk_to_spot(ground, start, ut_s)
    spot = None if isinstance(way, str) else ground.spot(ut_s, course(way.place, sight.top).distance_m)
    return Stand(sideways, way, spot)


def frames_for(sight: Sight, plan: Plan, kit: Kit, setting: Setting) -> list[SkyFrame]:
    """Frames of the bodies and lenses that can hold the landmark with sky above it, the best first, one for each."""
    metres = f"{sight.height_m:.3f} m"
    shot = Shot.model_validate(
        {
            "name": sight.landmark,
            "subject": {"name": sight.landmark, "height": metres},
            "distance": f"{sight.seen.top.line_m:.1f} m",
            "fill": FRAME_SHARE,
            "hold": "level",
        }
    )
    found = assess_shot(plan, shot, kit, setting._replace(book=None))
    frames = []
    for a in found.rigs:
        if a.verdict != "cannot" and a.acting_focal_m and a.frame_width_m and a.frame_height_m and a.focal_m:
            wide, high = (angle_deg(side, a.acting_focal_m) for side in (a.frame_width_m, a.frame_height_m))
            frames.append(SkyFrame(a.label, a.body, a.hold, wide, high, a.focal_m))
    return frames
