"""Whether law or guidance lets one go as near to an animal as a picture asks: what is held for this place, no more."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fieldplan.model.catalogue import ApproachRule, Catalogue
from fieldplan.planner.answers import Wanted
from fieldplan.planner.cautions import ANIMALS, in_season, rule_text, rules_for

NOT_ASKED, NONE_HELD = "not asked", "none held"
LAW, GUIDANCE = "nearer than the law allows", "nearer than guidance allows"
WITHIN, NO_METRES = "no rule held asks for more", "no metres given"


class Leave(NamedTuple):
    """What is said of going to a distance. word: one of the words above; distance_m: the most that a broken rule asks.

    A rule may hold in one park of a country only: ``text`` names the place of each. rules: every rule held for this
    animal, country and date, with its source.
    """

    word: str
    text: str
    distance_m: float | None
    rules: tuple[ApproachRule, ...]

    @property
    def broken(self) -> bool:
        """Whether the walk would go nearer than a rule held for this place."""
        return self.word in (LAW, GUIDANCE)


def leave_to_go(
    wanted: Wanted,
    distance_m: float,
    countries: tuple[str, ...],
    date: dt.date | None,
    catalogue: Catalogue,
    units: str,
) -> Leave:
    """What the rules held for this animal and place say of going to ``distance_m``. It is no permission in any case."""
    if not wanted.approach and wanted.group not in ANIMALS:
        return Leave(NOT_ASKED, "", None, ())
    held = [r for r in rules_for(wanted.approach, countries, catalogue) if in_season(r.season, date)]
    if not held:
        where = "/".join(countries) if countries else "this place"
        return Leave(NONE_HELD, f"approach distance: none held for this place ({where}); ask locally", None, ())
    rules = tuple(held)
    broken = [r for r in held if r.distance is not None and distance_m < r.distance]
    if broken:
        broken.sort(key=lambda r: (r.kind != "law", -float(r.distance or 0.0)))
        word = LAW if broken[0].kind == "law" else GUIDANCE
        farthest = max(float(r.distance or 0.0) for r in broken)
        told = "; ".join(rule_text(rule, units) for rule in broken)
        said = f"{word}, if you are there" if all(rule.part for rule in broken) else word
        return Leave(word, f"{said}: {told}. Check locally", farthest, rules)
    metres = [r for r in held if r.distance is not None]
    if not metres:
        return Leave(NO_METRES, f"{held[0].place}: {held[0].wording} Check locally", None, rules)
    strictest = max(metres, key=lambda r: float(r.distance or 0.0))
    return Leave(
        WITHIN, f"{WITHIN}: {rule_text(strictest, units)}. Check locally", float(strictest.distance or 0.0), rules
    )
