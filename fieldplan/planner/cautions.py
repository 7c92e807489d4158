"""What may hurt somebody or something, for one shot or for the plan. Local rules and licensed practice come first."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fieldplan.model.catalogue import ApproachRule, Catalogue
from fieldplan.model.plan import Plan, SkySubject
from fieldplan.notation.display import length_text
from fieldplan.planner.answers import Caution, Wanted

SUN_NEAR_DEG = 5.0  # the least angle from the aim at which the sun is warned of
ANIMALS = frozenset({"bird", "mammal", "sea mammal"})
_TROPIC_DEG = 23.44  # latitude of the tropics; winter by whole months is common practice
SHIMMER_FROM_M = 50.0  # grading in data/cautions.toml: slight beyond 50 m, marked beyond 100 m, strong beyond 300 m
_SHIMMER_HOURS = range(9, 18)  # mid-morning to late afternoon, as graded there
SHIMMER_SUN_DEG = 10.0  # lower, and the sun warms the ground too little; common practice
_SHIMMER = ((300.0, "heat shimmer, strong"), (100.0, "heat shimmer, marked"), (SHIMMER_FROM_M, "heat shimmer, slight"))


def _line(catalogue: Catalogue, kind: str, shot: str | None) -> list[Caution]:
    text = catalogue.caution(kind)
    return [] if text is None else [Caution(kind, text.text, text.source, shot)]


def rules_for(keys: tuple[str, ...], countries: tuple[str, ...], catalogue: Catalogue) -> list[ApproachRule]:
    """Approach rules for these kinds of animal in these countries."""
    return [r for r in catalogue.rules if r.key in keys and set(r.countries) & set(countries)]


def in_season(season: str | None, date: dt.date | None) -> bool:
    """Whether a rule with a season such as "1 March to 30 June" holds on a date; always when either is not known."""
    if season is None or date is None:
        return True
    try:
        ends = [dt.datetime.strptime(f"{part.strip()} 2000", "%d %B %Y") for part in season.split(" to ")]
        first, last = ((end.month, end.day) for end in ends)
    except ValueError:
        return True
    day = (date.month, date.day)
    return first <= day <= last if first <= last else day >= first or day <= last


def rule_text(rule: ApproachRule, units: str) -> str:
    """ "law in Svalbard, 300 m, 1 March to 30 June (polar bear)"."""
    season = f", {rule.season}" if rule.season else ""
    far = "no metres" if rule.distance is None else length_text(float(rule.distance), units)
    return f"{rule.kind} {'only ' if rule.part else ''}in {rule.place}, {far}{season} ({rule.key})"


def _rule_line(rule: ApproachRule, near: float | None, units: str) -> tuple[bool, str]:
    """Whether the plan goes nearer than the rule, and the line that says so."""
    if rule.distance is None:
        return False, f"{'only in ' if rule.part else ''}{rule.place}: {rule.wording} Check locally."
    closer = near is not None and near < rule.distance
    sign = f"you plan {length_text(near, units)}: " if closer else ""
    return closer, f"{sign}{rule_text(rule, units)}. Check locally."


def _approach(wanted: Wanted, place: Surroundings, catalogue: Catalogue, shot: str, units: str) -> list[Caution]:
    held = [r for r in rules_for(wanted.approach, place.countries, catalogue) if in_season(r.season, place.date)]
    if not held:
        where = "/".join(place.countries) if place.countries else "this place"
        text = f"approach distance: none held for this place ({where}). Ask locally, and watch how it behaves."
        return [Caution("approach unknown", text, "data/approach.toml", shot)]
    near = None if wanted.distance is None else wanted.distance[0]
    told = [(rule.part, *_rule_line(rule, near, units), rule.source) for rule in held]
    told.sort(key=lambda line: (line[0], not line[1]))
    lines = [Caution("approach distance", text, source, shot) for _, _, text, source in told]
    if all(rule.part for rule in held):
        text = f"approach distance: none held for all of {'/'.join(place.countries)}, only for parts of it"
        first = f"{text}, such as {held[0].place}. Ask locally, and watch how it behaves."
        lines.insert(0, Caution("approach distance", first, "data/approach.toml", shot))
    return lines


class Surroundings(NamedTuple):
    """Where and when a shot is taken: country codes, date and hour (None: not known), and where the sun is to the aim.

    sun_apart_deg: angle between the sun, while it is up, and the aim; frame_deg: the best answer's angle of view;
    sun_low: the sun is known to stand too low to warm the ground.
    """

    countries: tuple[str, ...] = ()
    date: dt.date | None = None
    hour: int | None = None
    sun_up: bool = False
    sun_apart_deg: float | None = None
    frame_deg: float = 0.0
    dark: bool = False
    sun_low: bool = False


def _sun(subject: object, place: Surroundings, catalogue: Catalogue, shot: str) -> list[Caution]:
    if isinstance(subject, SkySubject) and subject.sky == "sun":
        return _line(catalogue, "sun", shot) + _line(catalogue, "sun filter", shot)
    near = place.sun_apart_deg is not None and place.sun_apart_deg < max(place.frame_deg, SUN_NEAR_DEG)
    return _line(catalogue, "sun", shot) if near and place.sun_up else []


def shot_cautions(
    wanted: Wanted | None, shot_name: str, subject: object, place: Surroundings, catalogue: Catalogue, units: str
) -> tuple[Caution, ...]:
    """Cautions of one shot, gravest first."""
    lines = _sun(subject, place, catalogue, shot_name)
    if wanted is None:
        return tuple(lines)
    if wanted.group in ANIMALS or wanted.approach:
        lines += _approach(wanted, place, catalogue, shot_name, units)
        lines += _line(catalogue, "animals", shot_name)
    if place.dark:
        lines += _line(catalogue, "night", shot_name)
    far = 0.0 if wanted.distance is None or wanted.group == "sky" else wanted.distance[1]
    hot = not place.sun_low and (place.hour is None or place.hour in _SHIMMER_HOURS)
    grade = next((kind for start, kind in _SHIMMER if far > start), None) if hot else None
    if grade is not None:
        lines += _line(catalogue, grade, shot_name)
    return tuple(lines)


def in_winter(date: dt.date, latitude_deg: float) -> bool:
    """Whether a date lies in the three winter months of its hemisphere; between the tropics there is no winter."""
    if abs(latitude_deg) < _TROPIC_DEG:
        return False
    return date.month in ((12, 1, 2) if latitude_deg > 0.0 else (6, 7, 8))


def _wintry(plan: Plan) -> bool:
    if plan.site is None or plan.site.position is None:
        return False
    latitude = plan.site.position.latitude_deg
    dates = {plan.date, *(shot.date for shot in plan.shots)} - {None}
    return any(in_winter(date, latitude) for date in dates if date is not None)


def plan_cautions(plan: Plan, catalogue: Catalogue) -> tuple[Caution, ...]:
    """Cautions of the whole outing: ground, water, permits; in winter the cold, which the program cannot know."""
    kinds = ["tide", "cliff", "permit"] if plan.site is not None else ["tide"]
    kinds += ["cold"] if _wintry(plan) else []
    return tuple(line for kind in kinds for line in _line(catalogue, kind, None))
