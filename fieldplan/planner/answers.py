"""What the planner says. Immutable; SI inside; the same answers stand on the screen, on the card and in JSON."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Shot
from fieldplan.optics.formats import wider_than_circle
from fieldplan.planner.shortfalls import Shortfall
from fieldplan.planner.standanswers import StandLadder
from fieldplan.planner.stars import DARK_DEG, StarTrail
from fieldplan.planner.tables import DistanceTable, ExposureTable, KitLine, Ladder

if TYPE_CHECKING:
    from fieldplan.planner.carrying import Carried
    from fieldplan.planner.daylight import DayLight
    from fieldplan.planner.shotmore import ShotMore


class Light(NamedTuple):
    """Light on the subject. ``None`` where not known. source: "given", "metered" or "estimate"."""

    ev100: float
    ev100_low: float
    ev100_high: float
    illuminance_lux: float
    source: str
    reason: str
    lit: str | None = None
    sun_altitude_deg: float | None = None
    sun_azimuth_deg: float | None = None
    moon_altitude_deg: float | None = None
    moon_azimuth_deg: float | None = None
    moon_lit_fraction: float | None = None

    @property
    def dark(self) -> bool:
        """Whether the sun is known to stand below the end of civil twilight."""
        return self.sun_altitude_deg is not None and self.sun_altitude_deg < DARK_DEG


class Answer(NamedTuple):
    """One rig for one shot. Values are at the middle distance; distances from the sensor plane unless named otherwise.

    fill_low and fill_high are for the smallest and the largest that the subject may be.
    An optic that cannot focus there has ``None`` for every number and verdict "cannot".
    """

    label: str
    body: str
    lens: str
    converter: str | None
    tube: str | None
    close_up_lens: str | None
    support: str | None
    hold: str
    weight_kg: float | None
    verdict: str
    shortfalls: tuple[Shortfall, ...]
    distance_m: float | None = None
    focal_m: float | None = None
    acting_focal_m: float | None = None
    magnification: float | None = None
    fill: float | None = None
    fill_axis: str | None = None
    fill_near: float | None = None
    fill_far: float | None = None
    fills_from_m: float | None = None
    fills_to_m: float | None = None
    pixels_on_subject: float | None = None
    frame_width_m: float | None = None
    frame_height_m: float | None = None
    field_width_m: float | None = None
    field_height_m: float | None = None
    f_number: float | None = None
    effective_f_number: float | None = None
    circle_m: float | None = None
    near_m: float | None = None
    far_m: float | None = None
    depth_m: float | None = None
    hyperfocal_m: float | None = None
    background_blur_m: float | None = None
    background_smear_m: float | None = None
    airy_m: float | None = None
    shake_limit_s: float | None = None
    motion_limit_s: float | None = None
    shutter_s: float | None = None
    iso: float | None = None
    iso_low: float | None = None
    iso_high: float | None = None
    iso_ceiling: float | None = None
    shake_blur_px: float | None = None
    pixel_m: float | None = None
    rule_of_thumb_s: float | None = None
    focus_m: float | None = None
    needs_ev100: float | None = None
    magnification_assumed: bool = False
    fill_low: float | None = None
    fill_high: float | None = None

    @property
    def soft(self) -> bool:
        """Whether diffraction alone is wider than the circle: the Airy disc at the effective f-number."""
        return self.airy_m is not None and self.circle_m is not None and wider_than_circle(self.airy_m, self.circle_m)


class NeededFocal(NamedTuple):
    """Thin-lens focal length with which a body fills the frame as wanted [m]; low and high from the subject's sizes."""

    body: str
    hold: str
    focal_m: float
    low_m: float
    high_m: float


class NeededDistance(NamedTuple):
    """Distance at which a rig fills the frame as wanted [m]; low and high from the subject's range of sizes."""

    rig: str
    hold: str
    distance_m: float
    low_m: float
    high_m: float


class NeededSize(NamedTuple):
    """Size of a subject that takes the wanted share at the distance: along the frame's width and its height [m]."""

    rig: str
    hold: str
    width_low_m: float
    width_high_m: float
    height_low_m: float
    height_high_m: float


class Wanted(NamedTuple):
    """A shot with everything looked up: sizes [m], speed [m/s], spans as (low, high); None where nothing is known."""

    subject: str
    height: tuple[float, float] | None
    width: tuple[float, float] | None
    front_to_back: tuple[float, float] | None
    activity: str | None
    speed_m_s: float
    direction_deg: float
    panned: float
    living: bool
    distance: tuple[float, float] | None
    fill: tuple[float, float] | None
    fill_assumed: bool
    focal_m: float | None
    depth_m: float | None
    sharp_from_m: float | None
    sharp_to_m: float | None
    background_m: float
    circle_rule: str
    circle_m: float | None
    holds: tuple[str, ...]
    shake_factor: float
    support: str | None
    group: str | None
    approach: tuple[str, ...]
    notes: tuple[str, ...]
    f_number: float | None = None
    iso_ceiling: float | None = None
    magnification: float | None = None


class WorkSpan(NamedTuple):
    """A stretch of the day in which a rig can take a shot. Instants in seconds since 1970 (UTC).

    Each end is known to a range: ``start_early_s`` to ``start_late_s``, ``end_early_s`` to ``end_late_s``. sure: also
    in the least light that the estimate allows some part of the stretch remains. gaps: within it, where that is not so.
    """

    rig: str
    hold: str
    start_s: float
    start_early_s: float
    start_late_s: float
    start_reason: str
    end_s: float
    end_early_s: float
    end_late_s: float
    end_reason: str
    sure: bool
    gaps: tuple[tuple[float, float], ...] = ()

    @property
    def margin_min(self) -> float:
        """Half of the wider range of the two ends [minutes]."""
        return max(self.start_late_s - self.start_early_s, self.end_late_s - self.end_early_s) / 120.0


class Gain(NamedTuple):
    """What giving one thing up buys: in words, minutes gained in the day, and the EV that it then needs."""

    what: str
    minutes: float
    needs_ev100: float


class Caution(NamedTuple):
    """One line of care: kind, text, source, and the shot it belongs to (None: the whole plan)."""

    kind: str
    text: str
    source: str
    shot: str | None


class EndLight(NamedTuple):
    """One end of a shot's stretch: the moment, the light on the subject, and the first answer's settings in it."""

    when: dt.datetime
    light: Light
    answer: Answer


class ShotAnswers(NamedTuple):
    """Everything said of one shot. problem: why nothing could be computed, else None.

    cannot_be: why the picture cannot be taken as planned whatever the gear, such as a disc below the horizon.
    as_planned: the first answer at the distance planned before the day, where that was changed on it.
    """

    shot: Shot
    when: dt.datetime | None
    wanted: Wanted | None
    light: Light | None
    rigs: tuple[Answer, ...]
    needed_focal: tuple[NeededFocal, ...]
    needed_distance: tuple[NeededDistance, ...]
    needed_size: tuple[NeededSize, ...]
    missing: str | None
    problem: str | None
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    why_first: str
    times: tuple[WorkSpan, ...] = ()
    gains: tuple[Gain, ...] = ()
    ends: tuple[EndLight, ...] = ()
    star_trails: tuple[StarTrail, ...] = ()
    cannot_be: tuple[str, ...] = ()
    as_planned: Answer | None = None

    @property
    def best(self) -> Answer | None:
        """The first of the ranked answers that can be taken at all."""
        return self.rigs[0] if self.rigs and self.rigs[0].verdict != "cannot" else None


class PlanAnswers(NamedTuple):
    """Everything said of a plan. clock: the offset from UTC of its times where the zone's name is left out."""

    plan: Plan
    profile: Profile
    time_zone: str | None
    shots: tuple[ShotAnswers, ...]
    cautions: tuple[Caution, ...]
    kit: tuple[KitLine, ...]
    weight_kg: float | None
    bag_limit_kg: float | None
    distance_tables: tuple[DistanceTable, ...]
    exposure_tables: tuple[ExposureTable, ...]
    ladders: tuple[Ladder, ...] = ()
    stands: tuple[StandLadder, ...] = ()
    carried: Carried | None = None
    more: tuple[ShotMore, ...] = ()
    day: DayLight | None = None
    clock: dt.tzinfo | None = None
