"""``fieldplan kit``: what to pack for one plan or a trip of several, as text or JSON."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterator

from fieldplan.card.kittable import blocks, kit_table
from fieldplan.card.text import labelled, table_lines, titled
from fieldplan.files.places import find_plan, find_profile, profiles_folder
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.notation.display import weight_text
from fieldplan.notation.numbers import shown
from fieldplan.notation.quantity import WEIGHT, read_value
from fieldplan.opening import profile_path, setting_of
from fieldplan.optionnamed import given
from fieldplan.pictures.wrapping import WIDTH, wrap
from fieldplan.planner import kitwords as words
from fieldplan.planner.bags import Insist, lacking_bodies
from fieldplan.planner.kitdecision import KitDecision, decide, with_limit

_MOST_BODIES = 99


def run_kit(options: argparse.Namespace) -> int:
    """Print the kit decision; 1 where a must picture (any picture, where none is marked) can be had by nothing,
    2 where a word of the command cannot be read."""
    try:
        limit = given("--limit", options.limit, lambda text: float(read_value(text, WEIGHT)))
        bodies = given("--bodies", options.bodies, _bodies) or 0
    except ValueError as wrong:
        print(f"fieldplan kit: {wrong}", file=sys.stderr)
        return 2
    plans = [load_plan(find_plan(name, options.plans)) for name in options.plan]
    if options.profile is None:
        named = {plan.value.profile for plan in plans}
        if len(named) > 1:
            told = ", ".join(sorted(name or "none" for name in named))
            print(f"fieldplan kit: the plans name several profiles ({told}); say which with --profile", file=sys.stderr)
            return 2
        gear = load_profile(profile_path(plans[0].value, plans[0].path, None, options.profiles)).value
    else:
        gear = load_profile(find_profile(options.profile, folder=options.profiles)).value
    folder = profiles_folder(options.profiles)
    trip = [(plan.value, setting_of(plan.value.site, folder)) for plan in plans]
    if not any(plan.shots for plan, _ in trip):
        print("fieldplan kit: no picture in what was named; add a [[shot]] to the plan", file=sys.stderr)
        return 1
    try:
        decision = decide(trip, with_limit(gear, limit), Insist(tuple(options.insist), bodies))
    except ValueError as wrong:
        print(f"fieldplan kit: --insist: {wrong}", file=sys.stderr)
        return 2
    if options.kind == "json":
        from fieldplan.card.json_kit import kit_text

        sys.stdout.write(kit_text(decision))
    else:
        sys.stdout.write("\n".join(line.rstrip() for line in as_text(decision)) + "\n")
    return 1 if decision.impossible else 0


def _bodies(text: str) -> int:
    if not re.fullmatch(r"\s*\d{1,9}\s*", text) or int(text) > _MOST_BODIES:
        raise ValueError(f"{shown(text)} is no number of bodies; write 0 to {_MOST_BODIES}")
    return int(text)


def as_text(decision: KitDecision) -> Iterator[str]:
    """The table of bags first, for it tells the most; then what each choice gains, the lightest bag, what reaches."""
    yield from titled(f"Kit for {' and '.join(decision.titles)}", "=")
    limit = decision.limit_kg
    told = "no bag limit" if limit is None else f"bag limit {weight_text(limit, decision.units)}"
    yield from labelled("gear", f"{decision.profile.name}, {told}")
    bodies = decision.insist.bodies
    count = f"{bodies} {'body' if bodies == 1 else 'bodies'}" if bodies else ""
    lacking = lacking_bodies(decision.packing, decision.packing.owned, decision.insist) if bodies else []
    insisted = [*decision.insist.names, *([f"{count} ({lacking[0]})" if lacking else count] if bodies else [])]
    if insisted:
        yield from labelled("insists on", ", ".join(insisted))
    yield from _side_by_side(decision)
    yield from _choices(decision)
    yield from _lightest(decision)
    yield from _reach(decision)


def _side_by_side(decision: KitDecision) -> Iterator[str]:
    """The table; where there are more choices than fit, more of them."""
    grid = words.grid(decision)
    for number, block in enumerate(blocks(grid, WIDTH)):
        yield ""
        yield from table_lines(kit_table(grid, block))
        if number == 0:
            yield f"  {words.LEGEND}"


def _choices(decision: KitDecision) -> Iterator[str]:
    first = decision.choices[0]
    for choice in decision.choices:
        yield ""
        yield from titled(choice.name, "-")
        for label, text in words.choice_lines(choice, first, decision):
            yield from labelled(label, text)


def _lightest(decision: KitDecision) -> Iterator[str]:
    for found, bought in ((decision.lightest, False), (decision.lightest_of_all, True)):
        if found is not None and not (bought and decision.lightest.bag.items == found.bag.items):
            yield ""
            yield from titled(words.lightest_title(found, bought), "-")
            for label, text in words.lightest_lines(found):
                yield from labelled(label, text)
    if decision.limit_kg is not None:
        yield ""
        yield from titled(words.BEST, "-")
        for label, text in words.best_lines(decision.best):
            yield from labelled(label, text)


def _reach(decision: KitDecision) -> Iterator[str]:
    yield ""
    yield from titled("what reaches what", "=")
    yield from wrap(decision.coverage.text, WIDTH)
    for row, shot in zip(decision.coverage.rows, decision.shots, strict=True):
        yield ""
        yield from titled(f"{row.shot} ({'must' if row.must else 'nice to have'})", "-")
        for label, text in words.reach_lines(row, shot, decision.kit):
            yield from labelled(label, text)
