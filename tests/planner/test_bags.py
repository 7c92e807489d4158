"""Bags: pictures by name, weights and money added up by hand, what a purchase drags along, and the time a bag takes."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest

from fieldplan.planner.bags import Insist, best_within, lightest_bag, side_by_side, usual_choices
from fieldplan.planner.packing import packing
from fieldplan.planner.rigs import prepare

from .trips import CROP, FULL, Table, packed, profile, some_kit, some_pictures, thing, trip

FAR = {"subject": thing("1 m"), "distance": "50 m", "fill": "30-60 %", "light": "EV 13"}
WIDE = {"subject": thing("2 m"), "distance": "4 m", "fill": "30-70 %", "light": "EV 13"}
LONG_LENS: Table = {"name": "long", "focal": "400-600 mm", "f_number": 6.3, "mount": "A", "weight": "2 kg"}
SHORT_LENS: Table = {"name": "short", "focal": "24-70 mm", "f_number": 4, "mount": "A", "weight": "0.5 kg"}


def subsets(made: Table) -> Iterable[tuple[Table, float]]:
    """Every smaller profile of a kit, with its weight."""
    items = [(group, item) for group in made for item in made[group]]
    for chosen in range(1 << len(items)):
        kept = [item for i, item in enumerate(items) if chosen >> i & 1]
        groups = {group: [item for g, item in kept if g == group] for group in made}
        yield groups, sum(item["weight"] for _, item in kept)


@pytest.mark.parametrize("seed", range(3))
def test_a_full_kit_is_packed_to_the_proof(seed: int) -> None:
    # 12 lenses, 4 bodies, 3 converters, 12 pictures; how long it takes stands in the benchmarks.
    rng = random.Random(seed)
    gear = profile(**some_kit(rng, 4, 12, 3, 2), photographer={"bag_limit": 6})
    kit = prepare(gear)
    table = packing(trip(kit, *some_pictures(rng, 12, 2)), kit)
    found = lightest_bag(table)
    best = best_within(table, table.owned)
    assert found.bag.proven and best is not None and best.proven


def test_weight_is_items_bag_and_extras() -> None:
    # By hand: 0.45 body + 0.1 battery + 2.0 lens + 1.0 bag + 0.3 raincoat; the full-frame body's battery stays.
    gear = profile(
        body=[FULL, CROP], lens=[LONG_LENS, SHORT_LENS],
        bag=[{"name": "sack", "weight": "1 kg"}, {"name": "case", "weight": "3 kg"}],
        extra=[{"name": "battery", "weight": "0.1 kg", "for": "crop"}, {"name": "grip", "weight": 0.4, "for": "full"},
               {"name": "raincoat", "weight": "0.3 kg"}],
    )  # fmt: skip
    bag = lightest_bag(packed(gear, {**FAR, "must": True}, WIDE)).bag
    assert {line.name for line in bag.lines} == {"crop", "battery", "long", "sack", "raincoat"}
    assert bag.weight_kg == pytest.approx(3.85)
    assert bag.kept == ("picture 0",) and bag.lost_nice == ("picture 1",) and bag.lost_must == ()


def test_the_weight_of_extras_decides_between_bodies() -> None:
    # The crop body is lighter by itself (0.45 against 0.7 kg), and heavier with what must go along.
    extra = [{"name": "charger", "weight": "0.4 kg", "for": "crop"}]
    gear = profile(body=[FULL, CROP], lens=[{**LONG_LENS, "focal": "200-600 mm"}], extra=extra)
    bag = lightest_bag(packed(gear, {**FAR, "must": True})).bag
    assert {line.name for line in bag.lines} == {"full", "long"}


def test_a_tripod_goes_along_only_where_a_picture_needs_it() -> None:
    tripod = {"name": "tripod", "shake": 0, "weight": "1.5 kg"}
    gear = profile(body=[CROP], lens=[LONG_LENS], support=[tripod])
    bright, dim = ({**FAR, "must": True, "support": "tripod", "light": ev} for ev in ("EV 15", "EV 6"))
    assert "tripod" not in {line.name for line in lightest_bag(packed(gear, bright)).bag.lines}
    table = packed(gear, dim)
    assert "tripod" in {line.name for line in lightest_bag(table).bag.lines}
    sides = {side.name: side for side in side_by_side(table, usual_choices(table))}
    assert sides["without the tripod"].given_up == ("picture 0",)
    assert sides["without the tripod"].whole.lost_must == ("picture 0",)


def test_a_tube_is_packed_for_the_picture_that_needs_it() -> None:
    lens = {**SHORT_LENS, "focal": "50 mm", "closest_focus": "0.45 m", "largest_magnification": 0.15}
    tube = {"name": "tube", "length": "25 mm", "mount": "A", "weight": "0.1 kg"}
    gear = profile(body=[FULL], lens=[lens], tube=[tube])
    near = {"subject": thing("24 mm"), "distance": "0.22 m", "fill": "40-70 %", "light": "EV 14", "must": True}
    assert {line.name for line in lightest_bag(packed(gear, near)).bag.lines} == {"full", "short", "tube"}


def test_spares_that_are_insisted_on() -> None:
    gear = profile(body=[FULL, CROP], lens=[LONG_LENS, SHORT_LENS], flash=[{"name": "flash", "guide_number": "20 m",
                                                                            "weight": "0.3 kg"}])  # fmt: skip
    table = packed(gear, {**FAR, "must": True})
    plain = lightest_bag(table).bag
    two = lightest_bag(table, Insist(bodies=2)).bag
    assert two.weight_kg == pytest.approx(plain.weight_kg + 0.7)
    named = lightest_bag(table, Insist(("flash", "short"))).bag
    assert named.weight_kg == pytest.approx(plain.weight_kg + 0.8)
    assert "fewer than 3 bodies" in lightest_bag(table, Insist(bodies=3)).notes[0]
    with pytest.raises(ValueError, match="not in the profile"):
        lightest_bag(table, Insist(("umbrella",)))


def test_what_each_further_item_buys() -> None:
    gear = profile(body=[CROP], lens=[LONG_LENS, SHORT_LENS, {**SHORT_LENS, "name": "twin", "weight": "0.9 kg"}])
    found = lightest_bag(packed(gear, {**FAR, "must": True}, WIDE))
    buys = {further.items: further.gains for further in found.further}
    assert buys[("short",)] == ("picture 1",) and buys[("twin",)] == ("picture 1",)
    assert found.further[0].items == ("short",)  # the lighter of the two first
    assert found.further[0].text == "short, 0.5 kg: buys picture 1"


def test_the_second_body_buys_stops_or_pixels() -> None:
    better = {**FULL, "name": "better", "stabilisation": 0, "pixels": "9000x6000", "weight": "1.2 kg"}
    gear = profile(body=[FULL, better], lens=[{**LONG_LENS, "focal": "500 mm"}])
    found = lightest_bag(packed(gear, {**FAR, "fill": "20-60 %", "must": True}))
    further = next(f for f in found.further if f.items == ("better",))
    # Same frame, 9000 pixels across instead of 6000: half as many again along the subject.
    assert len(further.better) == 1 and "pixels on the subject instead of" in further.better[0]


def test_what_a_longer_lens_would_gain_and_cost() -> None:
    # One crop body, two zooms, 8 kg: pictures gained by name, kilograms and money, from one table.
    zooms = [
        {**SHORT_LENS, "name": "16-50", "focal": "16-50 mm"},
        {**SHORT_LENS, "name": "55-200", "focal": "55-200 mm"},
    ]
    lens = {**LONG_LENS, "owned": False, "price": 1200, "rent": 60}
    body = {**FULL, "owned": False, "price": 2000}
    gear = profile(body=[CROP, body], lens=[*zooms, lens], photographer={"bag_limit": "8 kg"})
    table = packed(gear, {**FAR, "must": True}, WIDE)
    sides = {side.name: side for side in side_by_side(table, usual_choices(table))}
    assert sides["as owned"].whole.lost_must == ("picture 0",)
    assert sides["+ long"].gained == ("picture 0",) and sides["+ long"].given_up == ()
    assert sides["+ long"].whole.money.text == "to buy 1200, to rent 60 a trip"
    assert sides["+ long"].whole.weight_kg - sides["as owned"].whole.weight_kg == pytest.approx(2.0)
    assert sides["+ full"].gained == ()
    assert sides["+ full"].whole.money.text == "to buy 2000"
    assert sides["+ all of them"].whole.money.buy == 3200


def test_a_bag_over_its_limit_gives_up_by_name() -> None:
    gear = profile(body=[CROP], lens=[LONG_LENS, SHORT_LENS], photographer={"bag_limit": "2.6 kg"})
    table = packed(gear, {**FAR, "must": True}, WIDE)
    side = side_by_side(table, usual_choices(table))[0]
    assert side.whole.over_kg == pytest.approx(0.35)
    assert side.within is not None
    assert side.within.kept == ("picture 0",) and side.within.lost_nice == ("picture 1",)
    assert side.within.weight_kg == pytest.approx(2.45)


def test_unknown_weights_are_told() -> None:
    lens = {k: v for k, v in LONG_LENS.items() if k != "weight"}
    bag = lightest_bag(packed(profile(body=[CROP], lens=[lens]), {**FAR, "must": True})).bag
    assert bag.unweighed == ("long",) and "weight not known: long" in bag.text


def test_what_a_purchase_drags_along() -> None:
    body = {**FULL, "owned": False, "mount": "B", "also_takes": ["C"], "cropped_formats": ["24x16 mm"]}
    fit = (("one", "A", "36x24 mm"), ("two", "C", "24x16 mm"), ("three", "B", "17x13 mm"))
    lenses = [{**SHORT_LENS, "name": name, "mount": mount, "covers": covers} for name, mount, covers in fit]
    extra = [{"name": "cell", "for": "full", "owned": False, "price": 50}]
    table = packed(profile(body=[CROP, body], lens=lenses, extra=extra), WIDE)
    bag = next(side.whole for side in side_by_side(table, usual_choices(table)) if side.name == "+ full")
    assert {name for name, _ in bag.drags} == {"full"}
    assert tuple(text for _, text in bag.drags) == (
        "another mount: one will not fit it",
        "two only by adapter: its weight and price are not counted",
        # 24 x 16 of 36 x 24 mm is 4/9 of 24 megapixels.
        "two covers only 24x16 mm: 24x16 mm is recorded, 10.7 megapixels",
        "three covers too little (17x13 mm), and no smaller frame is recorded",
        "to be bought with it: cell",
    )
    assert bag.money.names == ("full", "cell") and bag.money.no_price == ("full",)
