"""Where to stand through an evening so that the moon or the sun comes up or goes down behind a landmark's top."""

from __future__ import annotations

import datetime as dt
import math
from typing import NamedTuple

from fieldplan.model.plan import Plan, Site, SkySubject
from fieldplan.optics.exposure import time_for
from fieldplan.planner.answers import Answer, ShotAnswers
from fieldplan.planner.discframes import in_frames
from fieldplan.planner.discnotes import sharp_together
from fieldplan.planner.lineups import gap_between, sky_light
from fieldplan.planner.moments import stretch
from fieldplan.planner.sifting import DIM_DEG, sky_hides
from fieldplan.planner.sights import Sight, eye_height_m, sight_of, viewpoint_names
from fieldplan.planner.skybook import EPOCH, seconds
from fieldplan.planner.standanswers import LinePlace, StandLadder, StandRow
from fieldplan.planner.standerror import climb_error_s, clock_step_s, error_note
from fieldplan.planner.standpoint import site_from
from fieldplan.planner.standvisible import over_ground_deg, visible_stretch
from fieldplan.sky.events import dip_deg
from fieldplan.sky.geocentric import Body
from fieldplan.sky.geodesic import course
from fieldplan.sky.refraction import apparent_altitude_deg
from fieldplan.sky.sightline import landmark_sight
from fieldplan.sky.standing import LOWEST_DISC_DEG, STEEPEST_DISC_DEG, Ground, Spot
from fieldplan.sky.station import Station
from fieldplan.sky.viewpoints import HowFar, distance_for, ladder, line_at, spots_at

LOOKS = ((1.0, "disc as high as the landmark"), (2.0, "disc half as high"), (0.5, "disc twice as high"))
_STEPS_MIN = (1, 2, 5, 10, 15, 20, 30, 60)
_MOST_ROWS = 7
_AROUND_S = 1800.0  # to either side of a shot at one time
_LOOKS_S = 3.0 * 3600.0  # how far from the shot the equal, half and twice are looked for
_COARSEST_S = 10.0
_FARTHEST_WALK_M = 30_000.0
_STEEP_DEG = 10.0  # a disc so far above the top is on no line with it


class _Scene(NamedTuple):
    """What all rows rest on."""

    sight: Sight
    body: Body
    ground: Ground
    eye_height_m: float
    sky: str
    best: Answer | None
    zone: dt.tzinfo

    @property
    def f_number(self) -> float | None:
        return None if self.best is None else self.best.f_number

    @property
    def iso(self) -> float | None:
        return None if self.best is None else self.best.iso

    @property
    def horizon_deg(self) -> float:
        """How low the horizon is seen from the eye at most: that of a sea."""
        return -dip_deg(max(self.sight.eye.elevation_m, 0.0))

    def disc_deg(self, ut_s: float) -> float:
        return 2.0 * Station(self.sight.eye).direction(self.body, ut_s).semidiameter_deg

    def clock(self, ut_s: float) -> dt.datetime:
        return (EPOCH + dt.timedelta(seconds=round(ut_s))).astimezone(self.zone)


def stand_ladder(plan: Plan, found: ShotAnswers) -> StandLadder | None:
    """The ladder of a shot with moon or sun behind a landmark; None for other shots and where zone or time are not
    known. The ground is taken as level with that at the viewpoint: the shot's, else the site itself, else its first."""
    subject, site, when = found.shot.subject, site_from(plan.site, found.shot), found.when
    if not isinstance(subject, SkySubject) or subject.behind is None or site is None:
        return None
    if when is None or when.tzinfo is None:
        return None
    body: Body = "moon" if subject.sky == "moon" else "sun"
    sight, problem = _first_sight(site, subject.behind)
    if sight is None:
        return _without(found.shot.name, body, subject.behind, problem)
    ground = Ground(body, sight.top, sight.eye.elevation_m)
    scene = _Scene(sight, body, ground, eye_height_m(site, sight.viewpoint), site.sky, found.best, when.tzinfo)
    moment_s = float(round(seconds(when)))
    rows = sorted([*_clock_rows(scene, found), *_look_rows(scene, moment_s)], key=lambda row: row.when)
    visible, first_s, last_s = visible_stretch(sight, body, moment_s)
    line = _line(scene, moment_s)
    equal_m, half_m = (_told_m(line, label) for _, label in LOOKS[:2])
    return StandLadder(
        found.shot.name, body, sight.landmark, sight.viewpoint, scene.f_number, scene.iso, scene.eye_height_m,
        equal_m, tuple(rows), line, visible,
        None if first_s is None else scene.clock(first_s), None if last_s is None else scene.clock(last_s),
        _notes(scene, moment_s), in_frames(found, sight, scene.disc_deg(moment_s)), "",
        None if found.best is None else found.best.motion_limit_s, half_m, sky_hides(body, site.sky),
        _told_step_s(scene, moment_s),
    )  # fmt: skip


def _told_m(line: tuple[LinePlace, ...], label: str) -> float | None:
    return next((place.distance_m for place in line if place.label == label), None)


def _first_sight(site: Site, landmark: str) -> tuple[Sight | None, str]:
    """From the site itself, or from its first viewpoint that has a line of sight at all."""
    problem = "where to stand wants the site's position, or a viewpoint"
    for name in viewpoint_names(site):
        try:
            return sight_of(site, landmark, name), ""
        except ValueError as lacking:
            problem = str(lacking)
    return None, problem


def _without(shot: str, body: str, landmark: str, problem: str) -> StandLadder:
    return StandLadder(shot, body, landmark, "", None, None, 0.0, None, (), (), False, None, None, (), (), problem)


def _steps(found: ShotAnswers) -> list[float]:
    """The instants of the clock: from a shot's start to its end, as long as they lie apart, or round its time."""
    span = stretch(found)
    assert span is not None and found.when is not None
    first_s = float(round(seconds(span[0])))
    length_s = 2.0 * _AROUND_S if span[1] is None else max(round(seconds(span[1])) - first_s, 0.0)
    if span[1] is None:
        first_s -= _AROUND_S
    step_s = 60.0 * next((m for m in _STEPS_MIN if length_s / (60.0 * m) <= _MOST_ROWS - 1), 120)
    return [first_s + n * step_s for n in range(math.floor(length_s / step_s) + 1)]


def _clock_rows(scene: _Scene, found: ShotAnswers) -> list[StandRow]:
    rows = []
    for ut_s in _steps(found):
        spots, reason = spots_at(scene.ground, ut_s)
        nearest = min(spots, key=lambda spot: course(scene.sight.eye, spot.place).distance_m, default=None)
        if nearest is not None and course(scene.sight.eye, nearest.place).distance_m > _FARTHEST_WALK_M:
            nearest, reason = None, _too_far(scene)
        if nearest is not None and nearest.apparent_altitude_deg < scene.horizon_deg:
            nearest, reason = None, f"The {scene.body} would stand under the horizon behind {scene.sight.landmark}."
        rows.append(_row(scene, ut_s, "", nearest, reason))
    return rows


def _too_far(scene: _Scene) -> str:
    far_km = _FARTHEST_WALK_M / 1000.0
    return f"The spot lies more than {far_km:.0f} km from {scene.sight.viewpoint}: near {scene.sight.landmark} itself."


def _look_rows(scene: _Scene, moment_s: float) -> list[StandRow]:
    """The instants at which the disc stands right where disc and landmark look equal, half and twice as high."""
    labels = [label for _, label in LOOKS]
    wanted = [HowFar(landmark_discs=discs, height_m=scene.sight.height_m) for discs, _ in LOOKS]
    own_m = course(scene.sight.eye, scene.sight.top).distance_m
    if own_m > 1.0:
        labels.append(f"as far off as {scene.sight.viewpoint}")
        wanted.append(HowFar(distance_m=own_m))
    rows = []
    found = ladder(scene.ground, wanted, moment_s - _LOOKS_S, moment_s + _LOOKS_S)
    for label, rungs in zip(labels, found, strict=True):
        for rung in rungs:
            ut_s = float(round(rung.ut_s))  # a whole second, and the point of the line at that very second
            spot = scene.ground.spot(ut_s, rung.distance_m)
            if spot.apparent_altitude_deg < scene.horizon_deg:
                continue
            if course(scene.sight.eye, spot.place).distance_m <= _FARTHEST_WALK_M:
                rows.append(_row(scene, ut_s, label, spot, ""))
    return rows


def _told_step_s(scene: _Scene, moment_s: float) -> float:
    """How finely the instants of the looks are told [s]: at the coarsest to ten, or two of them fall together."""
    error_s = climb_error_s(scene.sight, scene.body, moment_s)
    return _COARSEST_S if error_s is None else min(clock_step_s(error_s), _COARSEST_S)


def _row(scene: _Scene, ut_s: float, label: str, spot: Spot | None, reason: str) -> StandRow:
    sight, body = scene.sight, scene.body
    station = Station(sight.eye if spot is None else spot.place)
    seen = station.direction(body, ut_s)
    altitude, azimuth, disc = apparent_altitude_deg(seen.altitude_deg), seen.azimuth_deg, 2.0 * seen.semidiameter_deg
    light = sky_light(station, body, ut_s, altitude, scene.sky)
    ev_disc = light.ev_disc if altitude + disc / 2.0 > 0.0 else None
    gap = gap_between(ev_disc, light.ev_land_range)
    walk = None if spot is None else course(sight.eye, spot.place)
    hidden = over_ground_deg(Station(sight.eye), sight, body, ut_s) < 0.0
    dim = body == "moon" and altitude < DIM_DEG
    return StandRow(
        label, scene.clock(ut_s), altitude, azimuth, disc,
        None if spot is None else spot.distance_m,
        None if spot is None else spot.place.latitude_deg,
        None if spot is None else spot.place.longitude_deg,
        None if spot is None else spot.place.elevation_m - scene.eye_height_m,
        None if walk is None else walk.distance_m,
        None if walk is None else walk.bearing_deg,
        None if spot is None else spot.sideways_m_per_min,
        None if spot is None else spot.back_m_per_min,
        None if spot is None else spot.sideways_tolerance_m,
        None if spot is None else spot.along_tolerance_m,
        None if spot is None else _discs_high(sight, spot),
        ev_disc, light.ev_land_range, gap,
        None if ev_disc is None else _shutter_s(scene, sum(ev_disc) / 2.0),
        _shutter_s(scene, light.ev_land) if body == "moon" else None,
        light.sun_altitude_deg, light.lit_fraction, not hidden and not dim, reason, hidden, dim,
        None if spot is None else sharp_together(scene.best, spot.distance_m), light.lit, light.ev_face_range,
    )  # fmt: skip


def _shutter_s(scene: _Scene, ev100: float) -> float | None:
    """The time for an EV at the f-number and ISO of the best answer; with the sun in the frame none is told."""
    if scene.f_number is None or scene.iso is None:
        return None
    return time_for(scene.f_number, scene.iso, ev100)


def _discs_high(sight: Sight, spot: Spot) -> float:
    seen = landmark_sight(spot.place, sight.foot, sight.height_m)
    return seen.height_deg / spot.disc_deg


def _line(scene: _Scene, moment_s: float) -> tuple[LinePlace, ...]:
    """The line of viewpoints at the shot's own moment, at the distances that have a name."""
    sight, ground = scene.sight, scene.ground
    disc, _ = ground.disc_at_landmark(moment_s)
    if not max(LOWEST_DISC_DEG, scene.horizon_deg) <= disc.apparent_altitude_deg <= STEEPEST_DISC_DEG:
        return ()
    looked = (
        (label, distance_for(ground, HowFar(landmark_discs=discs, height_m=sight.height_m), moment_s))
        for discs, label in LOOKS
    )
    named = [(label, distance_m) for label, distance_m in looked if distance_m is not None]
    own_m = course(sight.eye, sight.top).distance_m
    if own_m > 1.0:
        named.append((f"as far off as {sight.viewpoint}", own_m))
    named.sort(key=lambda one: one[1])
    places = []
    for (label, distance_m), point in zip(named, line_at(ground, moment_s, [m for _, m in named]), strict=True):
        way = course(sight.eye, point.place)
        if point.above_deg > _STEEP_DEG or way.distance_m > _FARTHEST_WALK_M:
            continue
        level_m = point.place.elevation_m - scene.eye_height_m
        needed = None if point.eye_needed_m is None else point.eye_needed_m - level_m
        places.append(
            LinePlace(
                label, distance_m, point.place.latitude_deg, point.place.longitude_deg, level_m, way.distance_m,
                way.bearing_deg, point.above_deg, needed,
            )
        )  # fmt: skip
    return tuple(places)


def _nowhere_equal(scene: _Scene, moment_s: float) -> bool:
    """Whether disc and landmark look equally high from no distance at all."""
    disc, _ = scene.ground.disc_at_landmark(moment_s)
    if disc.apparent_altitude_deg > STEEPEST_DISC_DEG:
        return False
    return distance_for(scene.ground, HowFar(landmark_discs=1.0, height_m=scene.sight.height_m), moment_s) is None


def _notes(scene: _Scene, moment_s: float) -> tuple[str, ...]:
    sight = scene.sight
    notes = [f"the ground is taken as level with that at {sight.viewpoint}, and nothing is known of water: look at it, "
             "and at who owns it", error_note(sight, scene.body, moment_s)]  # fmt: skip
    if _nowhere_equal(scene, moment_s):
        notes.append(f"from nowhere on level ground does {sight.landmark} look as high as the disc: it stands too high "
                     "above the eye for its own height")  # fmt: skip
    if sight.seen.top.hidden:
        notes.append(f"from {sight.viewpoint} the top of {sight.landmark} is hidden by the Earth's curve")
    elif sight.seen.top.below_eye:
        notes.append(f"from {sight.viewpoint} the top of {sight.landmark} is below eye level")
    return (*notes, *sight.assumed)
