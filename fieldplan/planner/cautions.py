"""What may hurt somebody or something, for one shot or for the plan. Local rules and licensed practice come first."""

from __future__ import annotations

from fieldplan.model.catalogue import ApproachRule, Catalogue
from fieldplan.model.plan import Plan, SkySubject
from fieldplan.notation.display import length_text
from fieldplan.planner.answers import Caution, Wanted

_ANIMALS = frozenset({"bird", "mammal", "sea mammal"})
SHIMMER_FROM_M = 50.0  # grading in data/cautions.toml: slight beyond 50 m, marked beyond 100 m, strong beyond 300 m
_SHIMMER = ((300.0, "heat shimmer, strong"), (100.0, "heat shimmer, marked"), (SHIMMER_FROM_M, "heat shimmer, slight"))


def _line(catalogue: Catalogue, kind: str, shot: str | None) -> list[Caution]:
    text = catalogue.caution(kind)
    return [] if text is None else [Caution(kind, text.text, text.source, shot)]


def rules_for(keys: tuple[str, ...], countries: tuple[str, ...], catalogue: Catalogue) -> list[ApproachRule]:
    """Approach rules for these kinds of animal in these countries."""
    return [r for r in catalogue.rules if r.key in keys and set(r.countries) & set(countries)]


def _approach(wanted: Wanted, countries: tuple[str, ...], catalogue: Catalogue, shot: str, units: str) -> list[Caution]:
    held = rules_for(wanted.approach, countries, catalogue)
    where = "/".join(countries) if countries else "this place"
    if not held:
        return [Caution("approach unknown", f"approach distance: none held for this place ({where}); ask locally, and watch "
                        "how it behaves", "data/approach.toml", shot)]
    near = None if wanted.distance is None else wanted.distance[0]
    lines = []
    for rule in held:
        if rule.distance is None:
            text = f"{rule.place}: {rule.wording} Check locally."
        else:
            closer = near is not None and near < rule.distance
            sign = f"you plan {length_text(near, units)}, " if closer else ""
            season = f", {rule.season}" if rule.season else ""
            text = (f"{sign}{rule.kind} in {rule.place}: {length_text(float(rule.distance), units)}{season} ({rule.key}). "
                    "Check locally.")
        lines.append(Caution("approach distance", text, rule.source, shot))
    return sorted(lines, key=lambda c: not c.text.startswith("you plan"))


def shot_cautions(
    wanted: Wanted | None, shot_name: str, subject: object, countries: tuple[str, ...], catalogue: Catalogue, units: str
) -> tuple[Caution, ...]:
    """Cautions of one shot, gravest first."""
    lines: list[Caution] = []
    if isinstance(subject, SkySubject) and subject.sky == "sun":
        lines += _line(catalogue, "sun", shot_name) + _line(catalogue, "sun filter", shot_name)
    if wanted is None:
        return tuple(lines)
    if wanted.group in _ANIMALS or wanted.approach:
        lines += _approach(wanted, countries, catalogue, shot_name, units)
        lines += _line(catalogue, "animals", shot_name)
    far = 0.0 if wanted.distance is None or wanted.group == "sky" else wanted.distance[1]
    grade = next((kind for start, kind in _SHIMMER if far > start), None)
    if grade is not None:
        lines += _line(catalogue, grade, shot_name)
    return tuple(lines)


def plan_cautions(plan: Plan, catalogue: Catalogue) -> tuple[Caution, ...]:
    """Cautions of the whole outing: ground, tide, night."""
    lines = _line(catalogue, "tide", None) + _line(catalogue, "cliff", None)
    early_or_late = any(s.time is not None and not 8 <= s.time.hour < 18 for s in plan.shots)
    if early_or_late:
        lines += _line(catalogue, "night", None)
    return tuple(lines)
