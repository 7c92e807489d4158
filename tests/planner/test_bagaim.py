"""The best bag within a limit against every smaller profile assessed anew: pictures, supports, light, weight."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from typing import NamedTuple

import pytest

from fieldplan.planner.answers import Answer
from fieldplan.planner.bags import NOTHING, Insist, best_within, lightest_bag, side_by_side, usual_choices
from fieldplan.planner.packing import Packing
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting

from .shots import lists
from .test_bags import FAR, LONG_LENS, SHORT_LENS, WIDE, subsets
from .trips import CROP, FULL, Table, packed, plan, profile, some_kit, some_pictures, thing

TRIPOD: Table = {"name": "tripod", "shake": 0, "weight": "2 kg"}
MONOPOD: Table = {"name": "monopod", "shake": 0.3, "weight": "0.6 kg"}


class Had(NamedTuple):
    """What one smaller profile makes of a picture: wholly, nearly, its support along, and light on it [stops]."""

    whole: bool
    nearly: bool
    support: bool
    light: float


def nearly(answer: Answer) -> bool:
    """One thing in the way, the share, by no more than a twentieth."""
    if answer.verdict != "short" or len(answer.shortfalls) != 1 or answer.fill is None:
        return False
    return 0.35 * 0.95 <= answer.fill < 0.35 or 0.8 < answer.fill <= 0.8 / 0.95


def had(groups: Table, shots: Sequence[Table]) -> list[Had]:
    kit, typed, setting = prepare(profile(**groups)), plan(*shots), Setting(lists())
    supports = {support["name"] for support in groups["support"]}
    found = []
    for shot, raw in zip(typed.shots, shots, strict=True):
        rigs = assess_shot(typed, shot, kit, setting).rigs
        works = [a for a in rigs if a.verdict == "works"]
        lights = [2 * math.log2(a.magnification) - math.log2(a.iso) for a in works if a.magnification and a.iso]
        part = not works and any(map(nearly, rigs))
        along = raw.get("support") in supports and bool(works or part)
        found.append(Had(bool(works), part, along, max(lights, default=-math.inf)))
    return found


def worth(found: list[Had], whole: list[Had], must: list[bool]) -> tuple[int, ...]:
    """Musts before others: pictures, pictures nearly, supports named, thirds of a stop lost against the whole kit."""

    def count(wanted: bool, part: int) -> int:
        return sum(int(had[part]) for had, m in zip(found, must, strict=True) if m is wanted)

    def lost(wanted: bool) -> int:
        rows = zip(found, whole, must, strict=True)
        return sum(round(3 * (all_.light - had.light)) for had, all_, m in rows if m is wanted and had.whole)

    pairs = [count(wanted, part) for part in (0, 1, 2) for wanted in (True, False)]
    return (*pairs, -lost(True), -lost(False))


@pytest.mark.parametrize("seed", range(12))
def test_the_best_bag_within_a_limit_against_every_smaller_profile(seed: int) -> None:
    # Exhaustive: every subset of the kit made into a profile of its own and assessed from scratch.
    rng = random.Random(100 + seed)
    made, shots = some_kit(rng, 2, 3, 1), some_pictures(rng, 4)
    limit = rng.uniform(1.0, 6.0)
    must = [shot["must"] for shot in shots]
    whole = had(made, shots)
    best = max((*worth(had(groups, shots), whole, must), -round(weight, 6))
               for groups, weight in subsets(made) if weight <= limit)  # fmt: skip
    table = packed(profile(**made, photographer={"bag_limit": limit}), *shots)
    bag = best_within(table, table.owned)
    assert bag is not None and bag.proven
    names = {line.name for line in bag.lines}
    mine = {group: [item for item in made[group] if item["name"] in names] for group in made}
    assert (*worth(had(mine, shots), whole, must), -round(bag.weight_kg, 6)) == best
    assert set(bag.kept) == {f"picture {i}" for i, found in enumerate(had(mine, shots)) if found.whole}


@pytest.mark.parametrize("seed", range(10))
def test_the_lightest_bag_against_every_smaller_profile(seed: int) -> None:
    # Exhaustive, as above: every must that can be had, wholly or else nearly; where none can, every other picture.
    rng = random.Random(seed)
    made, shots = some_kit(rng, 2, 3, 1), some_pictures(rng, 4)
    must = [shot["must"] for shot in shots] if any(shot["must"] for shot in shots) else [True] * len(shots)
    whole = had(made, shots)
    wanted = [i for i in range(4) if must[i] and (whole[i].whole or whole[i].nearly)]
    wanted = wanted or [i for i in range(4) if not must[i] and whole[i].whole]

    def holds(found: list[Had]) -> bool:
        return all(found[i].whole or (found[i].nearly and not whole[i].whole) for i in wanted)

    least = min(weight for groups, weight in subsets(made) if holds(had(groups, shots)))
    found = lightest_bag(packed(profile(**made), *shots))
    assert found.bag.weight_kg == pytest.approx(least, abs=1e-9)
    assert found.bag.proven
    impossible = {f"picture {i}" for i in range(4) if must[i] and not whole[i].whole and not whole[i].nearly}
    assert set(found.impossible) == impossible
    assert {f"picture {i}" for i in wanted} <= {*found.bag.kept, *(shot for shot, _ in found.bag.in_part)}


def named(table: Packing, name: str, insist: Insist = NOTHING) -> set[str]:
    """What is in the bag of that name, as it can be carried."""
    side = next(s for s in side_by_side(table, usual_choices(table, insist), insist) if s.name == name)
    return {line.name for line in (side.within or side.whole).lines}


DIM: Table = {**FAR, "must": True, "support": "tripod", "light": "EV 9"}


def test_the_steadier_support_stays_and_the_idle_things_go() -> None:
    # 0.45 + 2 + 0.5 + 2 + 0.6 kg is 5.55; without the monopod, which nothing wants beside the tripod, it is 4.95.
    gear = profile(body=[CROP], lens=[LONG_LENS, SHORT_LENS], support=[TRIPOD, MONOPOD],
                   photographer={"bag_limit": "5 kg"})  # fmt: skip
    table = packed(gear, DIM, WIDE)
    assert named(table, "as owned") == {"crop", "long", "short", "tripod"}


def test_a_support_that_a_shot_names_is_kept_even_where_it_gains_no_light() -> None:
    # In full sun both the hand and the tripod give the lowest ISO.
    bright = {**DIM, "light": "EV 16"}
    gear = profile(body=[CROP], lens=[LONG_LENS], support=[TRIPOD, MONOPOD], photographer={"bag_limit": "4.6 kg"})
    assert named(packed(gear, bright), "as owned") == {"crop", "long", "tripod"}
    small = profile(body=[CROP], lens=[LONG_LENS], support=[TRIPOD, MONOPOD], photographer={"bag_limit": "4 kg"})
    assert "tripod" not in named(packed(small, bright), "as owned")


def test_a_bag_named_after_a_thing_holds_it() -> None:
    # 0.45 + 0.5 + 2 + 2 kg owned: the candidate of 1 kg is over 5 kg, and takes no picture that is not taken anyway.
    spare = {**SHORT_LENS, "name": "spare", "weight": "1 kg", "owned": False}
    other = {**SHORT_LENS, "name": "other", "weight": "3 kg", "owned": False}
    gear = profile(body=[CROP], lens=[LONG_LENS, SHORT_LENS, spare, other], support=[TRIPOD],
                   photographer={"bag_limit": "5 kg"})  # fmt: skip
    table = packed(gear, DIM, WIDE)
    assert "spare" in named(table, "+ spare") and "other" in named(table, "+ other")
    assert "+ all of them" not in {option.name for option in usual_choices(table)}
    assert "spare" not in named(table, "best of all of them")


def test_a_picture_nearly_taken_is_packed_for_and_told() -> None:
    # 600 mm on 16 mm of height at 57 m: m = 0.0106, 66 % of the 68 % wanted of a thing of 1 m.
    shot = {**FAR, "distance": "57 m", "fill": "68 %", "must": True}
    table = packed(profile(body=[CROP], lens=[LONG_LENS, SHORT_LENS], photographer={"bag_limit": "3 kg"}), shot)
    found = lightest_bag(table)
    assert found.impossible == () and found.bag.in_part == (("picture 0", "nearly"),)
    assert {line.name for line in found.bag.lines} == {"crop", "long"}
    bag = best_within(table, table.owned)
    assert bag is not None and bag.in_part == found.bag.in_part and bag.kept == ()


def test_a_part_of_the_range_is_packed_for_and_told() -> None:
    shot = {**FAR, "distance": "40-60 m", "fill": "70-100 %", "must": True}
    found = lightest_bag(packed(profile(body=[CROP], lens=[LONG_LENS]), shot))
    assert found.bag.in_part == (("picture 0", "partly"),) and found.impossible == ()


def test_no_bag_is_told_for_nothing() -> None:
    moon = {**FAR, "distance": "4 km", "must": True}
    found = lightest_bag(packed(profile(body=[CROP], lens=[LONG_LENS, SHORT_LENS]), moon, WIDE))
    assert found.impossible == ("picture 0",) and found.others_count and found.bag.kept == ("picture 1",)
    none = lightest_bag(packed(profile(body=[CROP], lens=[LONG_LENS]), moon))
    assert none.impossible == ("picture 0",) and not none.others_count and none.bag.items == 0


def test_what_is_insisted_on_is_in_every_bag() -> None:
    wide = {"name": "wide", "focal": "24 mm", "f_number": 2.8, "mount": "A", "weight": "0.3 kg", "owned": False,
            "price": 300}  # fmt: skip
    gear = profile(body=[FULL], lens=[{**LONG_LENS, "focal": "500 mm"}, wide], support=[TRIPOD])
    insist = Insist(("tripod", "wide"))
    table = packed(gear, {**FAR, "fill": "20-60 %", "must": True})
    options = usual_choices(table, insist)
    assert [option.name for option in options] == ["as owned + wide"]  # no "without the tripod", no "+ wide"
    assert named(table, "as owned + wide", insist) == {"full", "long", "wide", "tripod"}


def test_bodies_insisted_on_are_over_the_limit_or_in_the_bag() -> None:
    heavy = {**CROP, "weight": "3 kg"}
    shot = {"subject": thing("2 m"), "distance": "4 m", "fill": "30-70 %", "light": "EV 13"}
    gear = profile(body=[FULL, heavy], lens=[SHORT_LENS], photographer={"bag_limit": "3 kg"})
    table = packed(gear, shot)
    assert best_within(table, table.owned) is not None
    assert best_within(table, table.owned, insist=Insist(bodies=2)) is None
    roomy = packed(profile(body=[FULL, heavy], lens=[SHORT_LENS], photographer={"bag_limit": "5 kg"}), shot)
    bag = best_within(roomy, roomy.owned, insist=Insist(bodies=2))
    assert bag is not None and {"full", "crop"} <= {line.name for line in bag.lines}
