"""What another bag gains: light and pixels on the subject, against the trade's equivalence and the area ratios."""

from __future__ import annotations

import math

import pytest

from fieldplan.planner.formats_compared import compare_formats
from fieldplan.planner.gaining import Choice, choices_of, light_stops
from fieldplan.planner.kitdecision import KitDecision, decide, with_limit
from fieldplan.planner.kitwords import choice_lines, gain_text, grid
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting

from .shots import lists
from .trips import FULL, Table, plan, profile, thing, trip

SMALL: Table = {"name": "small", "sensor": "23.5x15.6 mm", "pixels": "6000x4000", "mount": "A", "weight": "0.4 kg"}
ZOOM: Table = {"name": "zoom", "focal": "20-200 mm", "f_number": 4, "mount": "A", "weight": "0.6 kg"}
LONG: Table = {"name": "long", "focal": "600 mm", "f_number": 6.3, "mount": "A", "weight": "2 kg", "owned": False,
               "price": 1200, "rent": 60}  # fmt: skip
POST: Table = {"subject": thing("1 m"), "distance": "12 m", "fill": "40-60 %", "hold": "level", "light": "EV 14",
               "support": "legs"}  # fmt: skip
LEGS: Table = {"name": "legs", "shake": 0, "weight": "1 kg"}


def decided(*shots: Table, limit_kg: float | None = None, **gear: object) -> KitDecision:
    return decide([(plan(*shots), Setting(lists(), None, ()))], with_limit(profile(**gear), limit_kg))


def choice(decision: KitDecision, name: str) -> Choice:
    return next(c for c in decision.choices if c.name == name)


@pytest.mark.parametrize(
    ("sensor", "stops"),
    # Ratios of the areas against 36x24 mm, log2(864 / area); published as 1.24, 1.38 and 1.94 stops.
    [("23.5x15.6 mm", 1.24), ("22.3x14.9 mm", 1.38), ("17.3x13 mm", 1.94)],
)
def test_the_larger_format_filled_again_gains_the_area_ratio(sensor: str, stops: float) -> None:
    found = decided(POST, body=[{**SMALL, "sensor": sensor}, {**FULL, "owned": False}], lens=[ZOOM], support=[LEGS])
    gain = choice(found, "+ full").pictures[0]
    area = math.prod(float(part) for part in sensor.removesuffix(" mm").split("x"))
    assert math.log2(864.0 / area) == pytest.approx(stops, abs=0.005)
    # A post fills the height: the gain is twice log2 of the ratio of the heights; 3:2 and 4:3 differ by that.
    height = float(sensor.removesuffix(" mm").split("x")[1])
    assert gain.light_stops == pytest.approx(2.0 * math.log2(24.0 / height), abs=0.01)
    assert gain.answer is not None and gain.base is not None and gain.answer.iso == gain.base.iso


def test_one_lens_from_one_place_gains_no_light_on_any_format() -> None:
    kit = prepare(profile(body=[SMALL, FULL], lens=[{**ZOOM, "focal": "100 mm"}], support=[LEGS]))
    small, full = (next(a for a in trip(kit, POST)[0].found.rigs if a.body == name) for name in ("small", "full"))
    assert light_stops(small, full) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    # Common practice: 85 mm f/1.8 on 36x24 is 56 mm f/1.2 at 1.5; 160 mm f/6.4 is 100 mm f/4 at 1.6.
    ("factor", "f_full", "n_full", "f_small", "n_small"),
    [(1.5, 85.0, 1.8, 56.67, 1.2), (1.6, 160.0, 6.4, 100.0, 4.0)],
)
def test_matched_settings_lay_the_same_light_on_the_subject(
    factor: float, f_full: float, n_full: float, f_small: float, n_small: float
) -> None:
    kit = prepare(profile(body=[FULL], lens=[ZOOM], support=[LEGS]))
    answer = trip(kit, POST)[0].found.rigs[0]
    # Far away the magnification goes as the focal length; at one time and EV the ISO goes as the f-number squared.
    full = answer._replace(magnification=f_full, iso=100.0 * n_full**2)
    small = answer._replace(magnification=f_small, iso=100.0 * n_small**2)
    assert light_stops(small, full) == pytest.approx(0.0, abs=0.01)
    assert f_full / f_small == pytest.approx(factor, rel=0.001)


@pytest.mark.parametrize(
    # Common practice: 50 mm on 36x24 is 31 mm at 1.6; 160 mm f/6.4 is 100 mm f/4; 85 mm f/1.8 is 56 mm f/1.2.
    ("focal", "n", "sensor", "printed"),
    [
        (50, 4, "22.5x15 mm", ("50 mm, f/4", "31.3 mm, f/2.5")),
        (160, 6.4, "22.5x15 mm", ("160 mm, f/6.4", "100 mm, f/4")),
        (85, 1.8, "24x16 mm", ("85 mm, f/1.8", "56.7 mm, f/1.2")),
    ],
)
def test_the_printed_line_of_equivalents(focal: float, n: float, sensor: str, printed: tuple[str, str]) -> None:
    lens = {"name": "prime", "focal": f"{focal} mm", "f_number": n, "mount": "A"}
    kit = prepare(profile(body=[FULL, {**SMALL, "sensor": sensor}], lens=[lens], support=[LEGS]))
    far = {**POST, "light": "EV 6", "distance": "3 km"}  # the pairs hold for things far off
    compared = compare_formats(trip(kit, far)[0], kit, "full", "small")
    assert compared is not None
    line = compared.lines[0]
    assert f"{printed[0]}, ISO 100 on full is matched by {printed[1]}" in line and "By diagonal" in line


def test_gained_lost_and_money_in_one_table() -> None:
    bird = {**POST, "subject": thing("0.4 m"), "distance": "30 m", "must": True}  # 600 mm x 0.4/30 = 8 of 15.6 mm
    found = decided(bird, POST, limit_kg=8.0, body=[SMALL], lens=[ZOOM, LONG], support=[LEGS])
    longer = choice(found, "+ long")
    assert longer.named("gained") == ("picture 0",) and longer.named("lost") == ()
    assert longer.bag.weight_kg == pytest.approx(0.4 + 0.6 + 2.0 + 1.0)  # added up by hand
    table = grid(found)
    assert table.head == ("as owned", "+ long", "without the legs")
    assert table.pictures[0] == ("* picture 0", "-", "gained", "-")
    totals = {row[0]: row[1:] for row in table.totals}
    assert totals["pictures"][:2] == ("1 of 2", "2 of 2")
    assert totals["of the musts"][:2] == ("0 of 1", "1 of 1")
    assert totals["weight, limit 8 kg"][:2] == ("2 kg", "4 kg")
    assert totals["to buy"][:2] == ("-", "1200") and totals["to rent, a trip"][:2] == ("-", "60")


def test_over_the_limit_the_best_within_it_is_told_with_what_stays() -> None:
    bird = {**POST, "subject": thing("0.4 m"), "distance": "30 m", "must": True}
    found = decided(bird, POST, limit_kg=3.2, body=[SMALL], lens=[ZOOM, LONG], support=[LEGS])
    longer = choice(found, "+ long")
    assert not longer.whole
    lines = dict(choice_lines(longer, found.choices[0], found))
    # 4 kg in all; the must picture takes small + long, 2.4 kg, and the zoom still fits beside it.
    assert lines["weight"] == "all of it 4 kg, 0.8 kg over; the best within the limit is 3 kg, without: legs"
    assert lines["gains"] == "picture 0"


def test_more_in_the_bag_never_looks_worse() -> None:
    found = decided(POST, {**POST, "light": "EV 8", "distance": "9 m"}, body=[SMALL, {**FULL, "owned": False}],
                    lens=[ZOOM, LONG], support=[LEGS])  # fmt: skip
    for more in found.choices:
        if more.name.startswith("+"):
            for gain in more.pictures:
                assert gain.word in ("gained", "changed", "same", "neither"), more.name
                assert (gain.light_stops or 0.0) > -0.06 and (gain.pixels or 1.0) > 0.9


def test_small_changes_are_not_told() -> None:
    found = decided(POST, body=[SMALL], lens=[ZOOM], support=[LEGS])
    gain = choices_of(found.packing, [found.choices[0].side])[0].pictures[0]
    assert gain.word == "same" and gain_text(gain) == "same"
    assert gain_text(gain._replace(light_stops=0.29, pixels=1.04)) == "same"
    assert gain_text(gain._replace(light_stops=1.25, pixels=1.5)) == "+1.2 st 1.5x"
    assert gain_text(gain._replace(light_stops=-1.0, pixels=0.67)) == "-1.0 st 0.67x"
