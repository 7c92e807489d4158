"""Sweeps and both ends sharp, through the planner."""

from __future__ import annotations

import math

import pytest
from sympy.physics.optics import hyperfocal_distance

from fieldplan.planner.landscape import both_ends
from fieldplan.planner.panorama import sweep, sweeps_for
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.trip import TripShot

from .trips import FULL, Table, profile, thing, trip

LENS: Table = {"name": "lens", "focal": "24-70 mm", "f_number": 2.8, "mount": "A"}
VALLEY: Table = {"subject": thing("100 m", width="1200 m"), "distance": "500 m", "fill": "100 %"}


def one(lens: Table | None = None, **shot: object) -> tuple[Kit, TripShot]:
    kit = prepare(profile(body=[FULL], lens=[{**LENS, **(lens or {})}]))
    return kit, trip(kit, {**VALLEY, **shot})[0]


def test_a_valley_too_wide_for_any_lens() -> None:
    # By hand: 1200 m at 500 m spans 2 atan(1.2) = 100.4 deg; 24 mm sees 73.7 deg level and 53.1 deg upright. With 30 %
    # overlap a second level frame reaches 73.7 x 1.7 = 125 deg, upright 53.1 x 1.7 = 90 and x 2.4 = 127 deg.
    kit, shot = one(focal="24 mm")
    found = sweeps_for(shot, kit)
    assert [(s.hold, s.frames) for s in found] == [("upright", 3), ("level", 2)]
    assert found[0].width_deg == pytest.approx(100.4, abs=0.05)
    # 24 mm over 6 um a pixel are 69.8 pixels a degree along the middle.
    assert found[0].pixels[0] == pytest.approx(100.4 * 69.8, rel=0.01)
    assert "entrance pupil" in found[0].lines[1]


def test_a_longer_lens_upright_makes_more_of_it() -> None:
    # 70 mm upright sees 2 atan(12/70) = 19.5 deg across and 28.8 deg up: 100.4 deg take 1 + (100.4 - 19.5)/(0.7 x 19.5)
    # = 7 frames, in one row for the 11.4 deg that 100 m take at 500 m; level, 28.8 deg, it is 5.
    kit, shot = one()
    found = sweeps_for(shot, kit)
    assert [(s.hold, s.frames, len(s.rows)) for s in found] == [("upright", 7, 1), ("level", 5, 1)]
    assert found[0].focal_m == pytest.approx(0.070)
    # 70 mm over 6 um a pixel are 203.6 pixels a degree: 100.4 x 11.42 deg of them are 47.5 megapixels, not 24.
    assert "about 48 megapixels" in found[0].lines[0]


def test_as_long_as_nine_frames_reach() -> None:
    # Nine frames reach w (1 + 8 x 0.7) = 6.6 w of 100.4 deg: w = 15.2 deg, 24 mm of frame at 12/tan(7.6 deg) = 89.9 mm.
    kit, shot = one({"focal": "24-300 mm"})
    best = sweeps_for(shot, kit)[0]
    assert (best.hold, best.frames) == ("upright", 9)
    assert best.focal_m == pytest.approx(0.0895, abs=0.0006)


def test_what_is_owned_comes_first_and_what_is_not_is_marked() -> None:
    wide = {**LENS, "name": "wide", "focal": "16 mm", "owned": False}
    ultra = {**LENS, "name": "ultra", "focal": "10 mm", "owned": False}  # 121.9 deg level: holds it in one frame
    kit = prepare(profile(body=[FULL], lens=[wide, ultra, LENS]), candidates=True)
    found = sweeps_for(trip(kit, VALLEY)[0], kit)
    assert [s.label for s in found if s.owned] == ["full + lens"] * 2 == [s.label for s in found[:2]]
    assert any("full + wide (not owned)" in s.lines[0] for s in found[2:])


def test_nothing_to_sweep_where_one_frame_holds_it() -> None:
    kit, shot = one(subject=thing("100 m", width="600 m"))
    assert sweeps_for(shot, kit) == ()


@pytest.mark.parametrize(("focal", "frames"), [(24, 14), (35, 20), (50, 28), (85, 46)])
def test_full_turn_of_a_published_table(focal: float, frames: int) -> None:
    # Columbia University, Visual Arts course R4110, "Table of number of images required for various lenses": 50 %
    # overlap, 35 mm film upright; the table goes by even numbers.
    kit, shot = one({"focal": f"{focal} mm"})
    assert shot.found.wanted is not None
    found = sweep(kit.rigs[0], shot.found.wanted, "upright", (360.0, 0.0, 0.0), "metric", overlap=0.5)
    assert found is not None and 2 * math.ceil(found.frames / 2) == frames


def test_two_rows_where_one_is_not_tall_enough() -> None:
    kit, shot = one()
    assert shot.found.wanted is not None
    low = sweep(kit.rigs[0], shot.found.wanted, "level", (120.0, -20.0, 20.0), "metric")
    tall = sweep(kit.rigs[0], shot.found.wanted, "level", (120.0, -35.0, 35.0), "metric")
    assert low is not None and tall is not None
    assert len(low.rows) == 1 and len(tall.rows) == 2
    assert "in 2 rows" in tall.lines[0]


def test_a_foreground_that_will_not_join() -> None:
    # The pupil, 10 cm off the axis, moves 2 x 10 cm x sin(half the turn); a circle at 24 mm is 28.8 um wide.
    kit, shot = one(sharp_from="2 m", sharp_to="infinity", focal="24 mm")
    found = sweeps_for(shot, kit)[0]
    turn = found.rows[0].turn_deg
    assert found.clear_m == pytest.approx(0.2 * math.sin(math.radians(turn / 2)) * 0.024 / 28.84e-6, rel=0.01)
    assert "(that is so here)" in found.lines[1]


@pytest.mark.parametrize("field", [(0.0, 0.0, 1.0), (400.0, 0.0, 1.0), (90.0, 5.0, 1.0), (90.0, -95.0, 1.0)])
def test_a_field_that_is_none(field: tuple[float, float, float]) -> None:
    kit, shot = one()
    assert shot.found.wanted is not None
    with pytest.raises(ValueError, match="field"):
        sweep(kit.rigs[0], shot.found.wanted, "level", field, "metric")
    with pytest.raises(ValueError, match="overlap"):
        sweep(kit.rigs[0], shot.found.wanted, "level", (90.0, 0.0, 1.0), "metric", overlap=1.0)


def test_both_ends_at_the_hyperfocal_distance_b4() -> None:
    # Wikipedia, Hyperfocal distance, example: 50 mm, f/8, c 0.03 mm, H 10.467 m, sharp from 5.233 m to infinity (from
    # the lens; the sensor plane lies 50 mm behind).
    kit, shot = one({"focal": "50 mm"}, circle="0.03 mm")
    assert shot.found.wanted is not None
    found = both_ends(kit.rigs[0], shot.found.wanted, 5.2835 + 0.0003, math.inf, "metric")
    assert found is not None
    assert found.focus_m == pytest.approx(10.467 + 0.05, abs=0.002)
    assert found.needed == pytest.approx(8.0, abs=0.005)
    # sympy.physics.optics.hyperfocal_distance(f, N, c) = f^2/(N c), a focal length less.
    h0 = float(hyperfocal_distance(0.05, found.needed, 0.03e-3))
    assert found.focus_m == pytest.approx(h0 + 0.05 + 0.0502, abs=0.002)


def test_diffraction_is_told_and_several_frames_offered() -> None:
    kit, shot = one({"focal": "70 mm", "smallest_f_number": 22})
    assert shot.found.wanted is not None
    deep = both_ends(kit.rigs[0], shot.found.wanted, 4.0, math.inf, "metric")
    assert deep is not None and deep.f_number is not None
    # 70^2 / (2 x 0.02884 x 4000) = f/21.2, so f/22 (2^(27/6) = 22.6): an Airy disc of 2.44 x 0.55 x 22.6 = 30 um.
    assert deep.f_number == pytest.approx(22.6, abs=0.1)
    assert deep.airy_m == pytest.approx(30.4e-6, rel=0.02)
    assert "softer all over" in deep.lines[-1]
    near = both_ends(kit.rigs[0], shot.found.wanted, 2.0, math.inf, "metric")
    assert near is not None and near.f_number is None and "step back" in near.lines[1]


@pytest.mark.parametrize(("near", "far"), [(3.0, 40.0), (1.0, 4.0), (10.0, math.inf)])
def test_both_ends_are_what_the_planner_calls_sharp(near: float, far: float) -> None:
    # The same lens, focal length and limits asked as a picture: its f-number is that one.
    limits = {"sharp_from": f"{near} m", "sharp_to": "infinity" if math.isinf(far) else f"{far} m"}
    kit, shot = one({"focal": "35 mm"}, **limits)
    assert shot.found.wanted is not None
    found = both_ends(kit.rigs[0], shot.found.wanted, near, far, "metric")
    assert found is not None and found.f_number is not None
    asked = trip(kit, {**limits, "focal": "35 mm", "subject": thing("2 m"), "light": "EV 10"})[0]
    answer = asked.found.rigs[0]
    assert answer.f_number == pytest.approx(found.f_number)
    assert answer.focus_m == pytest.approx(found.focus_m, rel=1e-3)


def test_near_behind_far() -> None:
    kit, shot = one()
    assert shot.found.wanted is not None
    with pytest.raises(ValueError, match="before"):
        both_ends(kit.rigs[0], shot.found.wanted, 3.0, 3.0, "metric")


def test_a_lens_that_shortens_close_up_is_told_as_it_acts() -> None:
    # 17-70 mm, 1:2.86 from 0.22 m: at the long end f0 = D0 m0/(1 + m0)^2 = 0.22 x 0.35/1.8225 = 42.2 mm [thin lens];
    # at 20.8 mm as 20.8/70 of that, 12.55 mm, where 0.22 m draws 0.0647. Between, a straight line in m (a model):
    # from 1.6 m m is 0.0124, so 20.8 - (20.8 - 12.55) x 0.0124/0.0647 = 19.2 mm.
    lens = {"name": "wide", "focal": "17-70 mm", "f_number": "2.8-4", "closest_focus": "0.22 m"}
    crop = {"name": "crop", "sensor": "23.5x15.6 mm", "pixels": "6000x4000", "mount": "A"}
    kit = prepare(profile(body=[crop], lens=[{**lens, "largest_magnification": 0.35, "mount": "A"}]))
    shot = {"subject": thing("300 m"), "distance": "1.2 km", "focal": "20.8 mm", "sharp_from": "0.8 m",
            "sharp_to": "infinity", "hold": "level", "light": "EV 12"}  # fmt: skip
    found = trip(kit, shot)[0]
    assert found.found.wanted is not None
    answer = found.found.rigs[0]
    told = both_ends(kit.rigs[0], found.found.wanted, 0.8, math.inf, "metric", 0.0208, answer.focus_m)
    assert told is not None and told.acting_m == pytest.approx(0.0192, abs=5e-5)
    # The answer's own settings, by the same focal length and circle; H0 = f^2/(N c), a focal length and an image more.
    assert (answer.f_number, answer.focus_m) == (told.f_number, pytest.approx(told.focus_m))
    h0 = float(hyperfocal_distance(told.acting_m, told.f_number or 1.0, told.circle_m))
    assert answer.hyperfocal_m == pytest.approx(h0 + 2 * told.acting_m, rel=0.002)
    assert "acts like 19.2 mm focused there, by the model of its closest focus" in told.lines[0]
