"""Two bodies, one picture close up: the algebra of the thin lens, and what the profile really has for it."""

from __future__ import annotations

import math

import pytest

from fieldplan.planner.converting import converter_or_crop
from fieldplan.planner.formats_compared import FormatsCompared, compare_formats, other_bodies
from fieldplan.planner.rigs import prepare

from .trips import CROP, FULL, Table, profile, thing, trip

MACRO: Table = {"name": "macro", "focal": "100 mm", "f_number": 2.8, "mount": "A", "smallest_f_number": 32,
                "closest_focus": "0.4 m", "largest_magnification": 1}  # fmt: skip
LEGS: Table = {"name": "legs", "shake": 0.4}


def compared(lenses: list[Table], shot: Table, first: str = "full", **gear: object) -> FormatsCompared:
    made = profile(**{"body": [FULL, CROP], "lens": lenses, **gear})
    kit = prepare(made)
    found = trip(kit, {"hold": "level", "light": "EV 12", **shot})[0]
    picked = next(a for a in found.found.rigs if a.body == first)
    one = compare_formats(found, kit, first, "crop" if first == "full" else "full", picked=picked)
    assert one is not None
    return one


def test_life_size_on_a_frame_one_and_a_half_times_smaller() -> None:
    # By hand, thin lens: from 0.4 m m = 2/3 wants D m/(1 + m)^2 = 0.4 x 0.6667/2.7778 = 96 mm. Depth 2 N c (1 + m)/m^2
    # is alike at N (1 + m)/(C (1 + m/C)) = 8 x 2/(1.5 x 1.667) = f/6.4, and so is N (1 + m) over C: 16/1.5 = 10.67.
    found = compared([MACRO], {"subject": thing("0.024 m"), "distance": "0.4 m", "f_number": 8})
    one, two = found.same_picture.first, found.same_picture.second
    assert two.focal_m == pytest.approx(0.096, rel=1e-6) and two.f_number == pytest.approx(6.4, rel=1e-6)
    assert two.effective_f_number == pytest.approx(16 / 1.5, rel=1e-6)
    assert two.depth_m == pytest.approx(one.depth_m, rel=0.005)
    assert one.depth_m == pytest.approx(2 * 8 * 0.0432666 / 1500 * 2, rel=0.002)
    # Light over the whole frame: area against the square of the f-numbers.
    gained = found.same_picture.same_f_stops + 2 * math.log2(one.effective_f_number / two.effective_f_number)
    assert gained == pytest.approx(0.0, abs=1e-6)
    # The blur of the far background, f m/N over the diagonal, is not: 96 x (2/3)/6.4 against 100/8, times 1.5.
    assert two.blur_share / one.blur_share == pytest.approx(10.0 / 12.5 * 1.5, rel=1e-6)
    assert "1.20 times as large on crop" in found.lines[1]


def test_a_portrait_distance_already_wants_a_longer_lens_than_the_ratio_says() -> None:
    # 85 mm from 1.2 m draws m with 1.2 = 0.085 (2 + m + 1/m): 0.0835. Half of that wants 1.2 m'/(1 + m')^2 = 46.0 mm,
    # not 42.5, on a frame half as large.
    lens = {"name": "portrait", "focal": "85 mm", "f_number": 1.8, "mount": "A"}
    half = {**CROP, "sensor": "18x12 mm"}
    shot = {"subject": thing("0.2 m"), "distance": "1.2 m", "f_number": 1.8}
    found = compared([lens], shot, body=[FULL, half])
    assert found.same_picture.second.focal_m == pytest.approx(0.046, abs=0.0001)


def test_a_close_up_lens_is_the_answers_own_picture() -> None:
    # 200 mm with +4: f' = 111 mm, and the pupil counts for f/4 x 111/200. The answer reckons so, and so must this.
    lens = {"name": "tele", "focal": "200 mm", "f_number": 4, "mount": "A", "closest_focus": "1.2 m",
            "largest_magnification": 0.25}  # fmt: skip
    shot = {"subject": thing("0.04 m"), "distance": "0.45 m", "fill": "50-150 %"}
    found = compared([lens], shot, close_up_lens=[{"name": "+4", "power": 4}])
    answer, one = found.best_first, found.same_picture.first
    assert answer.close_up_lens == "+4" and one.f_number == answer.f_number
    assert one.depth_m == pytest.approx(answer.depth_m, rel=1e-6)
    assert one.blur_m == pytest.approx(answer.background_blur_m, rel=1e-6)


def test_both_limits_are_reckoned_where_the_focus_lies() -> None:
    lens = {"name": "wide", "focal": "24 mm", "f_number": 2.8, "mount": "A"}
    shot = {"subject": thing("2 m"), "distance": "8 m", "sharp_from": "1.5 m", "sharp_to": "12 m"}
    found = compared([lens], shot)
    assert found.best_first.focus_m is not None and found.best_first.focus_m < 3.0
    assert found.same_picture.first.depth_m == pytest.approx(found.best_first.depth_m, rel=1e-6)


def test_a_lens_that_covers_no_more_is_cut_alike() -> None:
    # 24 x 16 on both bodies: one frame, the same blur in a print; 6000 pixels against two thirds of 6000.
    small = {"name": "small", "focal": "35 mm", "f_number": 2, "mount": "A", "covers": "24x16 mm"}
    full = {**FULL, "cropped_formats": ["24x16 mm"]}
    found = compared([small], {"subject": thing("2 m"), "distance": "10 m"}, "crop", body=[full, CROP])
    assert found.same_lens is not None
    assert found.same_lens.ratio == pytest.approx(1.0) and found.same_lens.pixel_ratio == pytest.approx(4 / 6)
    assert found.same_lens.second.blur_share == pytest.approx(found.same_lens.first.blur_share)
    told = " ".join(found.lines)
    assert "both record almost one frame" in told and "both blur alike" in told and "only cuts" not in told


@pytest.mark.parametrize(
    ("zoom", "n", "has"),
    [
        # On 24 x 16 mm 18 mm and f/5.6 become 12 mm and f/3.7; a 12-35 f/2.8-4 opens to f/2.8 at 12 mm.
        ({"focal": "12-35 mm", "f_number": "2.8-4"}, 4.2, True),
        ({"focal": "8-12 mm", "f_number": "2.8-4"}, 4.2, False),
        # f/33 is f/22: a lens that stops down to f/16 has it not, one that goes to f/22 has.
        ({"focal": "12-35 mm", "f_number": 2.8, "smallest_f_number": 16}, 33, False),
        ({"focal": "12-35 mm", "f_number": 2.8, "smallest_f_number": 22}, 33, True),
    ],
)
def test_the_f_number_is_asked_at_the_focal_length(zoom: Table, n: float, has: bool) -> None:
    prime = {"name": "prime", "focal": "18 mm", "f_number": 2, "smallest_f_number": 64, "mount": "A"}
    other = {"name": "zoom", "mount": "A", "covers": "24x16 mm", **zoom}
    shot = {"subject": thing("2 m"), "distance": "10 m", "f_number": n, "rig": {"body": "full", "lens": "prime"}}
    found = compared([prime, other], shot).same_picture
    labels = ("crop + zoom",)
    assert (found.lenses, found.nearest_lenses) == ((labels, ()) if has else ((), labels))


def test_a_body_as_heavy_is_said_to_be_so() -> None:
    same = {**CROP, "weight": "0.7 kg"}
    lines = compared([MACRO], {"subject": thing("0.5 m"), "distance": "8 m"}, body=[FULL, same]).lines
    assert "crop weighs as much; lenses not counted." in lines


def test_the_picked_answer_is_what_is_compared() -> None:
    lens = {**MACRO, "name": "tele", "focal": "300 mm", "closest_focus": "1.5 m", "largest_magnification": 0.25,
            "converters": ["2x"]}  # fmt: skip
    kit = prepare(profile(body=[FULL, CROP], lens=[lens], converter=[{"name": "2x", "factor": 2, "mount": "A"}]))
    found = trip(kit, {"subject": thing("0.5 m"), "distance": "20 m", "fill": "30-60 %", "light": "EV 13"})[0]
    for answer in found.found.rigs:
        assert [c.best_first for c in other_bodies(found, kit, answer)] == [answer]


def test_converter_and_cropping_from_one_place() -> None:
    # No distance given: the converter could step back until nothing is gained. From one place a 2x on a thin lens draws
    # 2 x as large only far off; at D both obey D = f (2 + m + 1/m), here 100 and 200 mm from 1.6 m.
    lens = {"name": "thin", "focal": "100 mm", "f_number": 4, "mount": "A", "converters": ["2x"]}
    kit = prepare(profile(body=[FULL], lens=[lens], converter=[{"name": "2x", "factor": 2, "mount": "A"}],
                          support=[LEGS]))  # fmt: skip
    shot = {"subject": thing("12 mm"), "fill": "5-10 %", "hold": "level", "light": "EV 12", "support": "legs"}
    told = converter_or_crop(trip(kit, shot)[0], kit, "full", "thin", "2x")
    assert told is not None and told.bare.distance_m == told.converted.distance_m == told.distance_m
    m = told.bare.magnification
    assert m is not None and told.distance_m == pytest.approx(0.1 * (2 + m + 1 / m), rel=1e-6)
    k = told.converted.magnification
    assert k is not None and told.distance_m == pytest.approx(0.2 * (2 + k + 1 / k), rel=1e-6)
    assert told.pixel_ratio == pytest.approx(k / m) and told.pixel_ratio > 2.1
    assert "by the model of a converter near closest focus (far off 2.00 times)" in told.lines[0]
    assert any(line.startswith("Shake, on the legs:") for line in told.lines)
    far = converter_or_crop(trip(kit, {**shot, "distance": "400 m"})[0], kit, "full", "thin", "2x")
    assert far is not None and "model" not in far.lines[0] and "2.00 times" in far.lines[0]
