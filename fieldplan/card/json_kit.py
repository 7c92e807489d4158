"""The kit decision as JSON, fieldplan-kit/1: SI with the unit in the key, unrounded; unknown is null."""

from __future__ import annotations

import json
from typing import Any

from fieldplan.card.jsonparts import finite
from fieldplan.planner.approaching import Approach
from fieldplan.planner.bags import Bag, Lightest, Money
from fieldplan.planner.coverage import Coverage, Reached, Row
from fieldplan.planner.gaining import Choice, PictureGain
from fieldplan.planner.gaps import Gap
from fieldplan.planner.kitdecision import KitDecision

FORMAT = "fieldplan-kit/1"


def _money(money: Money) -> dict[str, Any]:
    return {"names": list(money.names), "buy": money.buy, "rent": money.rent, "without_price": list(money.no_price),
            "without_rent": list(money.no_rent)}  # fmt: skip


def bag_json(bag: Bag) -> dict[str, Any]:
    """One bag: what is in it, what it takes and loses, weight and money."""
    return {
        "items": [{"kind": line.kind, "name": line.name, "weight_kg": finite(line.weight_kg)} for line in bag.lines],
        "weight_kg": bag.weight_kg,
        "limit_kg": bag.limit_kg,
        "over_kg": bag.over_kg,
        "unweighed": list(bag.unweighed),
        "taken": [{"shot": shot, "rig": a.label, "hold": a.hold, "iso": finite(a.iso)} for shot, a in bag.done],
        "lost_must": list(bag.lost_must),
        "lost_nice": list(bag.lost_nice),
        "in_part": [{"shot": shot, "word": word} for shot, word in bag.in_part],
        "money": _money(bag.money),
        "drags_along": [f"{name}: {text}" for name, text in bag.drags],
        "proven": bag.proven,
    }


def _gain(gain: PictureGain) -> dict[str, Any]:
    a = gain.answer
    return {
        "shot": gain.shot,
        "must": gain.must,
        "word": gain.word,
        "light_stops": finite(gain.light_stops),
        "pixel_ratio": finite(gain.pixels),
        "rig": None if a is None else a.label,
        "iso": None if a is None else finite(a.iso),
        "pixels_on_subject": None if a is None else finite(a.pixels_on_subject),
    }


def _choice(choice: Choice) -> dict[str, Any]:
    return {
        "name": choice.name,
        "whole": bag_json(choice.side.whole),
        "within_limit": None if choice.side.within is None else bag_json(choice.side.within),
        "gained": list(choice.named("gained")),
        "lost": list(choice.named("lost")),
        "pictures": [_gain(gain) for gain in choice.pictures],
    }


def _lightest(found: Lightest | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "bag": bag_json(found.bag),
        "impossible": list(found.impossible),
        "every_picture_counts": found.all_count,
        "further": [
            {"items": list(f.items), "weight_kg": f.weight_kg, "gains": list(f.gains), "better": list(f.better)}
            for f in found.further
        ],
        "notes": list(found.notes),
    }


def _cell(cell: Reached) -> dict[str, Any]:
    a = cell.answer
    return {
        "body": cell.pair.body,
        "lens": cell.pair.lens,
        "owned": cell.pair.owned,
        "verdict": cell.word,
        "converter": None if a is None else a.converter,
        "fill": None if a is None else finite(a.fill),
        "iso": None if a is None else finite(a.iso),
        "pixels_on_subject": None if a is None else finite(a.pixels_on_subject),
        "text": cell.text,
    }


def _approach(approach: Approach | None) -> dict[str, Any] | None:
    if approach is None:
        return None
    leave = approach.leave
    return {
        "rig": approach.rig,
        "hold": approach.hold,
        "distance_m": approach.distance_m,
        "nearer": approach.nearer,
        "stay_m": None if approach.stay_m is None else list(approach.stay_m),
        "left": list(approach.left),
        "leave": None if leave is None else leave.word,
        "leave_text": None if leave is None else leave.text,
        "fill_at_rule_distance": finite(approach.rule_fill),
    }


def gap_json(gap: Gap | None) -> dict[str, Any] | None:
    """What would close a gap; null where there is none."""
    if gap is None:
        return None
    change = gap.change
    return {
        "why": gap.why,
        "cure": gap.cure,
        "lenses": [{"body": n.body, "hold": n.hold, "focal_mm": n.focal_m * 1000.0, "longer": n.longer,
                    "share": n.share, "distance_m": n.at_m,
                    "other": None if n.other is None else {"focal_mm": n.other[0] * 1000.0, "hold": n.other[1]}}
                   for n in gap.lenses],
        "approach": _approach(gap.approach),
        "change": None if change is None else {"rig": change.rig, "hold": change.hold, "what": list(change.what),
                                               "stops": change.stops},
        "several_frames": gap.sweep or None,
    }  # fmt: skip


def _row(row: Row) -> dict[str, Any]:
    return {
        "shot": row.shot,
        "must": row.must,
        "problem": row.problem,
        "gap": gap_json(row.gap),
        "candidates": [{"body": pair.body, "lens": pair.lens} for pair in row.candidates],
        "reached": [_cell(cell) for cell in row.cells],
    }


def coverage_json(coverage: Coverage) -> list[dict[str, Any]]:
    """What reaches what, picture by picture."""
    return [_row(row) for row in coverage.rows]


def kit_json(decision: KitDecision) -> dict[str, Any]:
    """The whole decision."""
    return {
        "format": FORMAT,
        "plans": list(decision.titles),
        "profile": decision.profile.name,
        "units": decision.units,
        "bag_limit_kg": decision.limit_kg,
        "insist": {"names": list(decision.insist.names), "bodies": decision.insist.bodies},
        "impossible": list(decision.impossible),
        "choices": [_choice(choice) for choice in decision.choices],
        "lightest": _lightest(decision.lightest),
        "lightest_with_candidates": _lightest(decision.lightest_of_all),
        "best_within_limit": None if decision.best is None else bag_json(decision.best),
        "coverage": coverage_json(decision.coverage),
    }


def kit_text(decision: KitDecision) -> str:
    """The whole decision as text."""
    return json.dumps(kit_json(decision), indent=1, allow_nan=False, ensure_ascii=False) + "\n"
