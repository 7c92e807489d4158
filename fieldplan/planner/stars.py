"""How long a shutter may be open before stars draw lines, for shots aimed at the sky by night."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from fieldplan.notation.marks import time_mark
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.signed import signed
from fieldplan.sky.turning import declination_deg, fastest_trail_m_per_s, trail_m_per_s

if TYPE_CHECKING:
    from fieldplan.model.plan import Plan, Shot
    from fieldplan.planner.answers import Answer, Light, ShotAnswers

DARK_DEG = -6.0  # the sun's altitude at the end of civil twilight, when the brightest stars are out: AMS Glossary
RULE = 0.5  # 500 / f in mm: a folk rule with the true focal length, shown and never used


class StarTrail(NamedTuple):
    """The limit of one body and lens as held. circle_m: the trail allowed, the circle of confusion of the shot.

    declination_deg: of the middle of the frame. middle_s: until a star there has moved one circle; frame_s: one in the
    fastest part of the frame, None where a field of view is not known; circle_px: the circle in pixels; trail_circles:
    what the shutter of the answer draws in the fastest part known; rule_s: what 500 / f would say.
    """

    label: str
    hold: str
    declination_deg: float
    circle_m: float
    circle_px: float | None
    middle_s: float
    frame_s: float | None
    trail_circles: float | None
    rule_s: float

    @property
    def limit_s(self) -> float:
        """Until no star of the frame has moved more than a circle."""
        return self.middle_s if self.frame_s is None else self.frame_s


def with_stars(plan: Plan, found: ShotAnswers) -> ShotAnswers:
    """The answers, with the limits of the stars where the shot is aimed at them."""
    trails = star_trails(plan, found.shot, found.light, found.rigs)
    if not trails:
        return found
    return found._replace(star_trails=trails, notes=(*found.notes, star_note(trails[0])))


def star_trails(plan: Plan, shot: Shot, light: Light | None, answers: tuple[Answer, ...]) -> tuple[StarTrail, ...]:
    """One for each answer that can be taken, in their order; none by day, or without an aim above the horizon."""
    site = plan.site
    if site is None or site.position is None or shot.aim is None or shot.aim_altitude <= 0.0:
        return ()
    if light is None or not light.dark:
        return ()
    aim = site.position.latitude_deg, shot.aim, min(shot.aim_altitude, 90.0)
    found = (_trail(answer, aim) for answer in answers if answer.verdict != "cannot")
    return tuple(trail for trail in found if trail is not None)


def _trail(a: Answer, aim: tuple[float, float, float]) -> StarTrail | None:
    if a.focal_m is None or a.circle_m is None:
        return None
    declination = declination_deg(*aim)
    middle = trail_m_per_s(a.focal_m, declination)
    fastest = None
    if a.frame_width_m is not None and a.frame_height_m is not None:
        fastest = fastest_trail_m_per_s(a.focal_m, a.frame_width_m, a.frame_height_m, *aim)
    speed = fastest or middle
    if middle < 1e-12 or speed < 1e-12:  # aimed at the pole itself, with no frame to look at
        return None
    return StarTrail(
        a.label, a.hold, declination, a.circle_m, None if not a.pixel_m else a.circle_m / a.pixel_m,
        a.circle_m / middle, None if fastest is None else a.circle_m / fastest,
        None if a.shutter_s is None else a.shutter_s * speed / a.circle_m, RULE / a.focal_m,
    )  # fmt: skip


def star_note(trail: StarTrail) -> str:
    """In words, for the first of the answers."""
    pixels = "" if trail.circle_px is None else f", {trimmed(trail.circle_px, 1)} pixels"
    part = "" if trail.frame_s is None else f" ({_seconds(trail.middle_s)} in its middle)"
    told = (
        f"stars draw lines longer than the circle ({trimmed(trail.circle_m * 1000.0, 3)} mm{pixels}) after "
        f"{_seconds(trail.limit_s)} somewhere in the frame{part}, aimed at declination "
        f"{signed(trail.declination_deg, 0)} ({trail.label})"
    )
    if trail.trail_circles is not None and trail.trail_circles > 1.0:
        told += f"; the shutter set draws {trimmed(trail.trail_circles, 1)} circles"
    return f"{told}; the rule of 500 / f would say {_seconds(trail.rule_s)} and is not used"


def _seconds(time_s: float) -> str:
    return f"{time_s:.1f} s" if 1.0 <= time_s < 100.0 else time_mark(time_s)
