"""A shot with everything looked up: the subject's sizes and speed, the share wanted, the support."""

from __future__ import annotations

import math

from fieldplan.model.catalogue import Activity, Catalogue, ListedSubject
from fieldplan.model.gear import Support
from fieldplan.model.plan import LandmarkSubject, OwnSubject, Shot, Site, SkySubject
from fieldplan.notation.display import speed_text
from fieldplan.notation.quantity import Span
from fieldplan.notation.words import nearest_word
from fieldplan.optics.blurlimits import sway_speed_m_s
from fieldplan.planner.answers import Wanted
from fieldplan.planner.skysubjects import SkyMoment, landmark_distance_m
from fieldplan.planner.standpoint import site_from
from fieldplan.sky.geodesic import course
from fieldplan.sky.station import Place

Ends = tuple[float, float]
# Presets used, and told, where a shot names neither share nor focal length.
DEFAULT_FILL, THING_FILL = "whole animal", "whole thing"
MOON_DIAMETER_M = 2 * 1737.4e3  # IAU 2015 mean radius
SUN_DIAMETER_M = 2 * 695.7e6  # IAU 2015 nominal solar radius
MEAN_DISTANCE_M = {"moon": 384.4e6, "sun": 149.5978707e9}  # IAU mean distance; IAU 2012 astronomical unit
LIVING_M_S = 0.03  # a living thing that holds still, where nobody says how fast it moves, common practice
LEAST_DISTANCE_M = 1.0  # nearer than this a landmark's position and the site's are the same spot
SKY_RATE_ARCSEC_S = {"moon": 14.5, "sun": 15.0}  # drift against a camera that stands still


class Unknown(ValueError):
    """A shot that names what nobody knows; the text says what and what would do."""


def _ends(span: Span | None) -> Ends | None:
    return None if span is None else (span.low, span.high)


def _activity(subject: ListedSubject, name: str | None) -> Activity | None:
    activity = subject.activity(name)
    if activity is None and name is not None:
        known = [a.name for a in subject.activities]
        near = nearest_word(name, known)
        guess = f'did you mean "{near}"? ' if near else ""
        raise Unknown(f'activity: "{name}" is not listed for {subject.name}; {guess}known: {", ".join(known)}')
    return activity


class _Facts:
    """What is known of a subject before the shot's own words are laid over it."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.height: Ends | None = None
        self.width: Ends | None = None
        self.front_to_back: Ends | None = None
        self.speed = 0.0
        self.activity: str | None = None
        self.living = False
        self.fill: str | None = None
        self.group: str | None = None
        self.approach: tuple[str, ...] = ()
        self.distance: Ends | None = None
        self.notes: list[str] = []


def _listed(shot: Shot, name: str, catalogue: Catalogue) -> _Facts:
    subject = catalogue.subject(name)
    if subject is None:
        near = catalogue.nearest_subject(name)
        guess = f'did you mean "{near}"?' if near else 'describe it: { name = "...", height = "..." }'
        raise Unknown(f'subject: "{name}" is not in the list of subjects; {guess}')
    activity = _activity(subject, shot.activity)
    facts = _Facts(subject.name)
    pose = activity or Activity(name="still")
    facts.height, facts.width = _ends(subject.height), _ends(subject.width)
    facts.height, facts.width = _ends(pose.height) or facts.height, _ends(pose.width) or facts.width
    facts.front_to_back = _ends(pose.front_to_back or subject.front_to_back)
    still = subject.activities[0] if subject.activities else None
    floor = still.speed.middle if subject.living and still is not None and still.speed is not None else 0.0
    chosen = shot.speed.middle if shot.speed is not None else None
    if chosen is None and pose.speed is not None:
        chosen = pose.speed.middle
    if chosen is None and pose.sway is not None and shot.sway is None:
        chosen = sway_speed_m_s(pose.sway.width_m, pose.sway.per_second)
    facts.speed = max(chosen or 0.0, floor)
    if shot.speed is not None and shot.speed.middle < floor:
        facts.notes.append(f"a living subject never holds wholly still: counted as {speed_text(floor)}")
    facts.activity = activity.name if activity is not None and shot.speed is None else None
    facts.living, facts.fill, facts.group, facts.approach = (
        subject.living,
        subject.fill,
        subject.group,
        subject.approach,
    )
    return facts


def _floor(subject: OwnSubject, catalogue: Catalogue) -> float:
    """Speed of a living thing that holds still [m/s]: the middle one of those listed for its group, else LIVING_M_S."""
    listed = sorted(
        item.activities[0].speed.middle
        for item in catalogue.subjects
        if item.living and item.group == subject.group and item.activities and item.activities[0].speed is not None
    )
    return listed[(len(listed) - 1) // 2] if listed else LIVING_M_S


def _own(shot: Shot, subject: OwnSubject, catalogue: Catalogue) -> _Facts:
    facts = _Facts(subject.name)
    facts.height, facts.width, facts.front_to_back = map(_ends, (subject.height, subject.width, subject.front_to_back))
    speed = shot.speed or subject.speed
    facts.speed, facts.living, facts.group = speed.middle if speed else 0.0, subject.living, subject.group
    if subject.living and not facts.speed and shot.sway is None:
        facts.speed = _floor(subject, catalogue)
        facts.notes.append(f"a living subject never holds wholly still: counted as {speed_text(facts.speed)}")
    if speed is None and shot.sway is None and not subject.living:
        facts.notes.append("no speed given: counted as a thing that does not move")
    if shot.activity is not None:
        facts.notes.append(f'activity "{shot.activity}" is not used: your own subject has its speed')
    return facts


def _sky(subject: SkySubject, moment: SkyMoment | None) -> _Facts:
    body = subject.sky
    facts = _Facts(body)
    size = MOON_DIAMETER_M if body == "moon" else SUN_DIAMETER_M
    distance = MEAN_DISTANCE_M[body] if moment is None else moment.distance_m
    rate = SKY_RATE_ARCSEC_S[body] if moment is None else moment.arcsec_per_s
    facts.height = facts.width = (size, size)
    facts.distance = (distance, distance)
    facts.speed = math.radians(rate / 3600.0) * distance
    facts.group = "sky"
    if moment is None:
        facts.notes.append(f"{body} at its mean distance; it drifts {rate:g} seconds of arc a second")
    return facts


def _landmark(subject: LandmarkSubject, site: Site | None) -> _Facts:
    mark = next((m for m in site.landmarks if m.name == subject.landmark), None) if site else None
    if mark is None:
        raise Unknown(f'subject: the site has no landmark "{subject.landmark}"')
    facts = _Facts(mark.name)
    facts.group = "landscape"
    facts.height = None if mark.height is None else (float(mark.height), float(mark.height))
    facts.width = None if mark.width is None else (float(mark.width), float(mark.width))
    if site is not None and site.position is not None:
        ends = [Place(p.latitude_deg, p.longitude_deg, 0.0) for p in (site.position, mark.position)]
        try:
            distance = course(*ends).distance_m
        except ValueError:  # nearly opposite on the Earth
            distance = 0.0
        if distance >= LEAST_DISTANCE_M:
            facts.distance = (distance, distance)
    return facts


def _facts(shot: Shot, catalogue: Catalogue, site: Site | None, moment: SkyMoment | None) -> _Facts:
    match shot.subject:
        case str(name):
            return _listed(shot, name, catalogue)
        case OwnSubject() as own:
            return _own(shot, own, catalogue)
        case SkySubject() as sky:
            return _sky(sky, moment)
        case LandmarkSubject() as mark:
            return _landmark(mark, site)
    return _Facts("")


def _support(shot: Shot, supports: dict[str, Support], notes: list[str]) -> float:
    """The support's share of the hand's shake."""
    if shot.support is None:
        return 1.0
    support = supports.get(shot.support)
    if support is None:
        near = nearest_word(shot.support, list(supports))
        known = f"there is {', '.join(supports)}" if supports else "there is none"
        guess = f'did you mean "{near}"? ' if near else ""
        lacks = "is not in the profile, not owned or not packed"
        notes.append(f'support "{shot.support}" {lacks}; {guess}{known}. Counted as hand-held')
        return 1.0
    return support.shake


def _fill(shot: Shot, facts: _Facts, catalogue: Catalogue) -> tuple[Ends | None, bool]:
    """The share wanted, and whether it was assumed because the shot says nothing that would settle it."""
    if shot.fill is not None:
        return _ends(shot.fill), False
    sized = facts.height is not None or facts.width is not None
    free = shot.focal is not None or shot.magnification is not None
    if free or not sized or isinstance(shot.subject, SkySubject):
        return None, False
    usual = DEFAULT_FILL if facts.living else THING_FILL
    preset = catalogue.fill(facts.fill) or catalogue.fill(usual) or catalogue.fill(DEFAULT_FILL)
    if preset is None:
        return None, False
    facts.notes.append(f'no share of the frame given: taken as "{preset.name}", {preset.fill.typed}')
    return _ends(preset.fill), True


def _sharp(shot: Shot, site: Site | None) -> tuple[float | None, float | None]:
    """From where to where it is to be sharp: as written; else from the landmark before a disc to infinity."""
    if shot.sharp_from is not None or shot.depth_of_field is not None:
        ends = shot.sharp_from, shot.sharp_to
        return (None if ends[0] is None else float(ends[0])), (None if ends[1] is None else float(ends[1]))
    behind = landmark_distance_m(shot.subject, site)
    return behind, None if behind is None else math.inf


def resolve(
    shot: Shot,
    catalogue: Catalogue,
    supports: dict[str, Support],
    shake: float,
    site: Site | None = None,
    moment: SkyMoment | None = None,
) -> Wanted:
    """Look everything up. Raises Unknown where the shot names what is not there.

    moment: of the moon or sun as the subject, at the time of the shot; without it, its mean distance counts.
    """
    site = site_from(site, shot)
    facts = _facts(shot, catalogue, site, moment)
    sharp_from, sharp_to = _sharp(shot, site)
    if shot.sway is not None:
        facts.speed = max(facts.speed, sway_speed_m_s(shot.sway.width_m, shot.sway.per_second))
    distance = _ends(shot.distance) or facts.distance
    if shot.distance is None and isinstance(shot.subject, LandmarkSubject) and distance is not None:
        facts.notes.append("distance reckoned from the two positions")
    fill, assumed = _fill(shot, facts, catalogue)
    support = _support(shot, supports, facts.notes)
    return Wanted(
        subject=facts.name,
        height=facts.height,
        width=facts.width,
        front_to_back=facts.front_to_back,
        activity=facts.activity,
        speed_m_s=facts.speed,
        direction_deg=shot.direction.angle_deg,
        panned=shot.panned or 0.0,
        living=facts.living,
        distance=distance,
        fill=fill,
        fill_assumed=assumed,
        focal_m=None if shot.focal is None else float(shot.focal),
        depth_m=None if shot.depth_of_field is None else shot.depth_of_field.high,
        sharp_from_m=sharp_from,
        sharp_to_m=sharp_to,
        background_m=math.inf if shot.background is None else float(shot.background),
        circle_rule=shot.circle.rule,
        circle_m=shot.circle.diameter_m,
        holds=("level", "upright") if shot.hold == "either" else (shot.hold,),
        shake_factor=shake * support,
        support=shot.support,
        group=facts.group,
        approach=facts.approach,
        notes=tuple(facts.notes),
        f_number=None if shot.f_number is None else float(shot.f_number),
        iso_ceiling=shot.iso_ceiling,
        magnification=None if shot.magnification is None else float(shot.magnification),
    )
