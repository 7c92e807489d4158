"""What is said of where to stand for a disc behind a landmark. Immutable; SI inside; angles in degrees."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple


class StandRow(NamedTuple):
    """One instant of the ladder, and the spot from which disc and landmark's top line up then.

    label: what is special about it, such as that disc and landmark look equal; "" on the plain steps of the clock.
    altitude_deg and azimuth_deg: of the disc's centre from the spot (from the viewpoint where there is no spot), as
    seen through the air. latitude_deg to along_tolerance_m are None where there is no spot, and reason says why.
    ground_m: level of the ground above sea that is taken there. walk_m, walk_deg: from the viewpoint, over the ground
    and from true north. sideways_m_per_min: to the right, facing the landmark, positive; back_m_per_min: away from it
    positive, None where walking changes nothing. Tolerances move the disc by a quarter of its width. landmark_discs:
    the landmark's height in discs. ev_disc: dull to clear air, None for the sun and below the horizon; gap_stops: by
    which the disc outshines the land, least and most. disc_s, land_s: shutters at the ladder's f-number and ISO. clear:
    the whole disc stands over the ground line and high enough to be seen; hidden: part of it does not; dim: a moon so
    low that it may be too dim to see. ev_land, gap_stops and land_s: open ground; lit, ev_face: the landmark's side
    that is looked at. both_sharp: the first answer's depth runs from the landmark to infinity.
    """

    label: str
    when: dt.datetime
    altitude_deg: float
    azimuth_deg: float
    disc_deg: float
    distance_m: float | None
    latitude_deg: float | None
    longitude_deg: float | None
    ground_m: float | None
    walk_m: float | None
    walk_deg: float | None
    sideways_m_per_min: float | None
    back_m_per_min: float | None
    sideways_tolerance_m: float | None
    along_tolerance_m: float | None
    landmark_discs: float | None
    ev_disc: tuple[float, float] | None
    ev_land: tuple[float, float]
    gap_stops: tuple[float, float] | None
    disc_s: float | None
    land_s: float | None
    sun_altitude_deg: float
    lit_fraction: float | None
    clear: bool
    reason: str
    hidden: bool = False
    dim: bool = False
    both_sharp: bool | None = None
    lit: str = "level ground"
    ev_face: tuple[float, float] | None = None


class LinePlace(NamedTuple):
    """A point of the line on which the disc stands over the landmark at the shot's own moment.

    above_deg: how far above the top the disc's centre then stands (below: negative); eye_needed_m: the height of the
    eye above the ground taken that would close the gap, None where none does.
    """

    label: str
    distance_m: float
    latitude_deg: float
    longitude_deg: float
    ground_m: float
    walk_m: float
    walk_deg: float
    above_deg: float
    eye_needed_m: float | None


class InFrame(NamedTuple):
    """Disc and landmark in one frame as held, seen from the viewpoint, as shares of its height (and its width).

    disc_px: the disc's diameter in pixels. smear_s: until the disc has moved the circle allowed; star_s: until a star
    has, None by day. both_sharp: the depth runs from the landmark to infinity, None where that is not known.
    """

    label: str
    hold: str
    focal_m: float
    disc_share: float
    disc_px: float | None
    landmark_share: float
    landmark_wide_share: float | None
    smear_s: float | None
    star_s: float | None
    both_sharp: bool | None


class StandLadder(NamedTuple):
    """Where to stand for one shot with the disc behind a landmark, by the clock.

    equal_m: from where disc and landmark look equally high at the shot's moment, half_m: where the disc looks half as
    high; None where there is no such place, or none near. smear_s: the longest shutter of the first answer before the
    disc smears. covered: the sentence that says so where the sky hides the disc. eye_height_m: of the eye above the
    ground. visible_from, visible_until: the stretch at or after the shot's moment in which the whole disc is clear of
    the ground line and likely bright enough to be seen from the viewpoint; None where it is so already, or stays so,
    for twelve hours. visible: False where there is no such stretch. problem: why nothing could be reckoned, else "".
    told_step_s: how finely the moments of the rows are told, by their error; the rows have them to the second.
    """

    shot: str
    body: str
    landmark: str
    viewpoint: str
    f_number: float | None
    iso: float | None
    eye_height_m: float
    equal_m: float | None
    rows: tuple[StandRow, ...]
    line: tuple[LinePlace, ...]
    visible: bool
    visible_from: dt.datetime | None
    visible_until: dt.datetime | None
    notes: tuple[str, ...]
    frames: tuple[InFrame, ...] = ()
    problem: str = ""
    smear_s: float | None = None
    half_m: float | None = None
    covered: str = ""
    told_step_s: float = 1.0
