"""What a plan carries: answers from that alone, what stays at home, what it cannot take; what is not owned."""

from __future__ import annotations

import pytest

from fieldplan.model.plan import Plan
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.bags import Insist
from fieldplan.planner.carrying import carried_profile
from fieldplan.planner.kit import kind_text
from fieldplan.planner.kitdecision import decide
from fieldplan.planner.plans import assess
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting

from .shots import lists
from .trips import FULL, Table, plan, profile, thing

WIDE: Table = {"name": "wide", "focal": "28 mm", "f_number": 2.8, "mount": "A", "weight": "0.3 kg"}
LONG: Table = {"name": "long", "focal": "400 mm", "f_number": 5.6, "mount": "A", "weight": "1.5 kg"}
RENTED: Table = {"name": "huge", "focal": "800 mm", "f_number": 8, "mount": "A", "weight": "3 kg", "owned": False}
LEGS: Table = {"name": "legs", "shake": 0, "weight": "1.2 kg"}
BARN: Table = {"name": "barn", "subject": thing("8 m"), "distance": "20 m", "fill": "30-60 %", "light": "EV 13"}
HARE: Table = {"name": "hare", "subject": thing("0.4 m"), "distance": "15 m", "fill": "35-60 %", "light": "EV 13"}
GEAR: Table = {"body": [FULL], "lens": [WIDE, LONG, RENTED], "support": [LEGS]}


def answers(*carry: str, shots: tuple[Table, ...] = (BARN, HARE)) -> PlanAnswers:
    made = plan(*shots, carry=list(carry)) if carry else plan(*shots)
    return assess(made, profile(**GEAR), Setting(lists(), None, ()))


def test_only_what_is_carried_answers_weighs_and_is_listed() -> None:
    found = answers("full", "wide", "legs")
    assert {a.lens for s in found.shots for a in s.rigs} == {"wide"}
    assert [line.name for line in found.kit] == ["full", "wide", "legs"]
    assert found.weight_kg == pytest.approx(0.7 + 0.3 + 1.2)  # added up by hand


def test_what_stays_at_home_and_what_that_costs() -> None:
    carried = answers("full", "wide").carried
    assert carried is not None
    assert [line.name for line in carried.home] == ["long", "legs"]  # the rented one was never at home
    # 0.4 m at 15 m: 400 mm draws 10.9 mm of 24, 28 mm draws 0.75.
    assert [(m.shot, m.with_home) for m in carried.missed] == [("hare", "full + long")]
    assert dict(carried.lines)["not taken"] == "hare (full + long would)"


def test_what_is_not_owned_counts_once_it_is_carried() -> None:
    far = {**HARE, "distance": "30 m"}  # 800 mm draws 10.9 mm
    found = answers("full", "huge", shots=(far,))
    assert found.shots[0].rigs[0].verdict == "works" and found.shots[0].rigs[0].lens == "huge"
    assert answers(shots=(far,)).shots[0].rigs[0].verdict == "short"


def test_an_unknown_name_is_told_and_breaks_nothing() -> None:
    found = answers("full", "wide", "lnog")
    assert found.carried is not None and found.carried.unknown == ("lnog",)
    assert "lnog" in dict(found.carried.lines)["unknown"]


def test_a_profile_that_holds_none_of_the_names_counts_whole() -> None:
    found = answers("another body", "another lens")
    assert [line.name for line in found.kit] == ["full", "wide", "long", "legs"]
    assert found.carried is not None and found.carried.unknown == ("another body", "another lens")
    assert found.carried.home == ()


def test_nothing_that_fits_is_told_of_what_is_carried() -> None:
    found = answers("legs")
    assert found.shots[0].problem is not None and "the plan carries no lens" in found.shots[0].problem


def test_without_a_list_everything_owned_goes_along() -> None:
    found = answers()
    assert found.carried is None and [line.name for line in found.kit] == ["full", "wide", "long", "legs"]
    gear = profile(**GEAR)
    assert carried_profile(plan(BARN), gear) is gear


def test_carry_is_written_as_a_list_and_read_as_one_or_with_commas() -> None:
    made = plan(BARN, carry=["full", "wide"])
    assert made.model_dump(by_alias=True, exclude_unset=True)["carry"] == ["full", "wide"]
    assert Plan.model_validate({**made.model_dump(by_alias=True, exclude_unset=True), "carry": "full, wide"}) == made


def test_a_support_that_is_not_owned_steadies_nothing() -> None:
    dim = {**BARN, "support": "legs", "light": "EV 3"}
    owned = assess(plan(dim), profile(**GEAR), Setting(lists(), None, ())).shots[0]
    lacking = profile(**{**GEAR, "support": [{**LEGS, "owned": False}]})
    found = assess(plan(dim), lacking, Setting(lists(), None, ())).shots[0]
    assert owned.wanted is not None and owned.wanted.shake_factor == 0.0
    assert found.wanted is not None and found.wanted.shake_factor == 1.0
    assert (found.rigs[0].iso or 0.0) > (owned.rigs[0].iso or 0.0)
    assert any('support "legs" is not in the profile, not owned or not packed' in note for note in found.notes)
    assert "legs" in prepare(lacking, candidates=True).supports and not prepare(lacking).supports


RAIN: Table = {"name": "rain cover", "weight": "0.2 kg"}
CELLS: Table = {"name": "two cells", "weight": "0.15 kg", "for": "full"}
MORE: Table = {**GEAR, "bag": [{"name": "sack", "weight": "1.5 kg"}, {"name": "case", "weight": "3 kg"}],
               "extra": [CELLS, RAIN, {**CELLS, "name": "third cell", "owned": False}]}  # fmt: skip


@pytest.mark.parametrize(
    ("carry", "names", "weight"),
    # Added up by hand: body, lens, its cells and the first bag; a raincoat that is named; another bag that is named.
    [
        (("full", "wide"), {"full", "two cells", "wide", "sack"}, 0.7 + 0.15 + 0.3 + 1.5),
        (("full", "wide", "rain cover"), {"full", "two cells", "wide", "sack", "rain cover"}, 2.85),
        (("full", "wide", "case"), {"full", "two cells", "wide", "case"}, 0.7 + 0.15 + 0.3 + 3.0),
    ],
)
def test_the_card_and_the_bag_as_carried_are_one(carry: tuple[str, ...], names: set[str], weight: float) -> None:
    made, gear, setting = plan(BARN, carry=list(carry)), profile(**MORE), Setting(lists(), None, ())
    card = assess(made, gear, setting)
    assert {line.name for line in card.kit} == names and card.weight_kg == pytest.approx(weight)
    assert card.carried is not None and not names & {line.name for line in card.carried.home}
    bag = next(choice.bag for choice in decide([(made, setting)], gear).choices if choice.name == "as carried")
    assert {line.name for line in bag.lines} == names and bag.weight_kg == pytest.approx(weight)


def test_an_extra_that_is_not_owned_goes_with_nothing_that_is() -> None:
    made, gear, setting = plan(BARN), profile(**MORE), Setting(lists(), None, ())
    owned = decide([(made, setting)], gear).choices[0].bag
    card = assess(made, gear, setting)
    assert "third cell" not in {line.name for line in owned.lines} | {line.name for line in card.kit}
    assert owned.money.text == ""
    insisted = decide([(made, setting)], gear, Insist(("third cell", "case")))
    assert {"full", "third cell", "case"} <= {line.name for line in insisted.lightest.bag.lines}
    assert "sack" not in {line.name for line in insisted.lightest.bag.lines}
    assert insisted.lightest.bag.money.names == ("third cell",)


def test_what_is_not_owned_is_marked_on_the_kit_list() -> None:
    rented = {**RENTED, "rent": 70}
    made = plan(HARE, carry=["full", "huge", "old"])
    gear = profile(**{**GEAR, "lens": [WIDE, rented, {**LONG, "name": "old", "owned": False}]})
    lines = assess(made, gear, Setting(lists(), None, ())).kit
    assert [kind_text(line) for line in lines] == ["body", "lens, to rent 70", "lens, not owned"]
    assert {kind_text(line) for line in answers("full", "wide").kit} == {"body", "lens"}
