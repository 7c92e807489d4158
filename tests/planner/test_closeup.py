"""Close-ups through the planner: worked examples by hand, and what is said of room, wind, flash and stacks."""

from __future__ import annotations

import math

import pytest

from fieldplan.planner.closesetups import setups
from fieldplan.planner.closeup import CloseUp, close_ups
from fieldplan.planner.exposing import Exposure
from fieldplan.planner.flashing import FlashAnswer, flash_answers
from fieldplan.planner.rigs import prepare
from fieldplan.planner.stacking import NO, STILL, YES, stack
from fieldplan.planner.swaying import inclined, swaying
from fieldplan.planner.trip import TripShot

from .trips import FULL, Table, profile, thing, trip

MACRO: Table = {"name": "macro", "focal": "100 mm", "f_number": 2.8, "smallest_f_number": 32, "mount": "A"}
MACRO |= {"closest_focus": "0.4 m", "largest_magnification": 1.0, "length": "125 mm", "hood": "50 mm"}
FIFTY: Table = {"name": "fifty", "focal": "50 mm", "f_number": 2, "smallest_f_number": 22, "mount": "A",
                "closest_focus": "0.45 m"}  # fmt: skip
TUBES: list[Table] = [{"name": f"{n} mm tube", "length": f"{n} mm", "mount": "A"} for n in (12, 25, 36)]
BEETLE: Table = {"subject": {"name": "beetle", "height": "12 mm", "width": "18 mm"}, "fill": "50 %", "hold": "level"}


def made(lens: Table, shot: Table = BEETLE, **gear: object) -> tuple[TripShot, dict[str, CloseUp]]:
    """The picture, and every combination that draws it, by label."""
    owned = profile(body=[FULL], lens=[lens], **gear)
    found = trip(prepare(owned), {**BEETLE, **shot})[0]
    return found, {c.label: c for c in close_ups(found, setups(owned))}


def at(label: str, m: float, lens: Table, f_number: float | None = None, **gear: object) -> CloseUp:
    owned = profile(body=[FULL], lens=[lens], **gear)
    found = trip(prepare(owned), BEETLE)[0]
    return next(c for c in close_ups(found, setups(owned), m, f_number) if c.label == label)


def spans(lens: Table, **gear: object) -> dict[str, tuple[float, float]]:
    return {s.label: s.magnifications for s in setups(profile(body=[FULL], lens=[lens], **gear))}


def test_tubes_and_two_of_them_stacked() -> None:
    # A tube adds its length over the focal length: 25/50 and, stacked, 61/50 at the infinity mark [thin lens].
    found = spans(FIFTY, tube=TUBES)
    assert found["full + fifty + 25 mm tube"][0] == pytest.approx(0.5)
    assert found["full + fifty + 25 mm tube + 36 mm tube"][0] == pytest.approx(1.22)
    assert len(found) == 7  # bare, three single tubes, three pairs


def test_close_up_lens_draws_focal_length_times_power() -> None:
    # At the infinity mark a lens of q dioptres draws f q, from 1/q in front of it [thin lenses in contact].
    found = spans(MACRO, close_up_lens=[{"name": "+4", "power": 4}])
    assert found["full + macro + +4"][0] == pytest.approx(0.1 * 4)
    close = at("full + macro + +4", 0.4 * (1 + 1e-9), MACRO, close_up_lens=[{"name": "+4", "power": 4}])
    object_m = close.acting_focal_m * (1 + 1 / close.magnification)
    assert object_m == pytest.approx(0.25)
    # No light is lost but by the magnification of the shortened lens: f' = 100/1.4 mm, so N' = N/1.4, times 1.4 for m.
    assert close.effective_f_number == pytest.approx(close.f_number)


def test_converter_behind_a_tube_multiplies_what_it_draws() -> None:
    # 50 mm on 25 mm of tube draws 1:2; a 2x behind it makes life size of it, at the same distance: 50 (2 + .5 + 2) mm.
    more = {"tube": TUBES[1:2], "converter": [{"name": "2x", "factor": 2.0, "mount": "A"}]}
    lens = {**FIFTY, "converters": ["2x"]}
    close = at("full + fifty + 25 mm tube + 2x", 1.0 + 1e-9, lens, **more)
    assert close.room.distance_m == pytest.approx(0.225, rel=1e-6)
    assert spans(lens, **more)["full + fifty + 25 mm tube + 2x"][0] == pytest.approx(1.0)
    assert close.f_number == pytest.approx(4.0)  # f/2, doubled
    assert close.effective_f_number == pytest.approx(8.0)


def test_converter_and_close_up_lens_together() -> None:
    # 50 mm with +10: f' = 33.3 mm draws 1:2 from 100 mm; a 2x behind makes life size of it.
    # f/16 marked with the converter then counts as f/10.7 for depth and f/21.3 for light.
    more = {"close_up_lens": [{"name": "+10", "power": 10}], "converter": [{"name": "2x", "factor": 2.0, "mount": "A"}]}
    close = at("full + fifty + +10 + 2x", 1.0 + 1e-9, {**FIFTY, "converters": ["2x"]}, 16.0, **more)
    assert close.room.distance_m == pytest.approx(0.1 + 0.05, rel=1e-6)
    assert close.f_number * close.f_number_factor == pytest.approx(16.0 * 2 / 3)
    assert close.effective_f_number == pytest.approx(16.0 * 2 / 3 * 2)


def test_tube_and_close_up_lens_at_one_scale() -> None:
    # The same 1:2 with 50 mm: by 25 mm of tube from 150 mm in front of the lens, or by +10 (f' 33.3 mm) from 100 mm.
    tube = at("full + fifty + 25 mm tube", 0.5 + 1e-9, FIFTY, 8, tube=TUBES[1:2])
    close = at("full + fifty + +10", 0.5 + 1e-9, FIFTY, 8, close_up_lens=[{"name": "+10", "power": 10}])
    for c, object_m in ((tube, 0.15), (close, 0.1)):
        assert c.acting_focal_m * (1 + 1 / c.magnification) == pytest.approx(object_m, rel=1e-6)
    # The tube loses 2 log2(1.5) stops; the close-up lens, whose pupil counts for f/5.3, comes out at f/8 again.
    assert tube.effective_f_number == pytest.approx(12.0)
    assert close.effective_f_number == pytest.approx(8.0)


def test_f11_acts_as_f22_at_life_size() -> None:
    # Published rule of the trade: at 1:1 f/11 marked is f/22 effective, two stops.
    close = at("full + macro", 1.0, MACRO, 11.0)
    assert close.effective_f_number == pytest.approx(22.0)
    assert close.light_lost_stops == pytest.approx(2.0)
    # Wikipedia, Airy disk: 2.44 lambda N, at 0.55 um and f/22.
    assert close.airy_m == pytest.approx(2.44 * 0.55e-6 * 22, rel=1e-3)
    # Depth at life size, 2 c N (1+m)/m^2 with c = 43.27/1500 mm.
    assert close.depth_m == pytest.approx(2 * 43.2666e-3 / 1500 * 11 * 2, rel=0.002)


def test_the_same_as_the_planner_says_of_the_rig() -> None:
    # Up to life size every number agrees with the answer for the same body, lens and tube from that distance.
    tubes = TUBES[:1]
    owned = profile(body=[FULL], lens=[MACRO], tube=tubes, close_up_lens=[{"name": "+2", "power": 2}])
    kit = prepare(owned)
    for close in close_ups(trip(kit, BEETLE)[0], setups(owned)):
        if close.magnification > 0.9:
            continue
        shot = trip(kit, {**BEETLE, "distance": f"{close.room.distance_m:.9f} m"})[0]
        answer = next(a for a in shot.found.rigs if a.label.split(" + ")[:2] == close.label.split(" + ")[:2]
                      and {a.tube, a.close_up_lens} - {None} == {p.name for p in close.setup.parts[2:]})  # fmt: skip
        assert answer.magnification == pytest.approx(close.magnification, rel=1e-5)
        assert answer.depth_m == pytest.approx(close.depth_m * (answer.f_number or 0) / close.f_number, rel=1e-3)
        ratio = (answer.effective_f_number or 0) / (answer.f_number or 1)
        assert close.effective_f_number / close.f_number == pytest.approx(ratio, rel=1e-5)


def test_room_before_the_lens() -> None:
    # By hand, 0.4 m from the sensor plane at life size: less 125 mm of lens and 50 mm of hood.
    close = at("full + macro", 1.0, MACRO)
    assert close.room.working_m == pytest.approx(0.225)
    assert close.room.text.startswith("22 cm from the front of the hood at most") or "23 cm" in close.room.text
    bare = at("full + macro", 1.0, {k: v for k, v in MACRO.items() if k != "hood"})
    assert bare.room.working_m == pytest.approx(0.275) and bare.room.measured_from == "the front of the lens"
    unknown = at("full + macro", 1.0, {k: v for k, v in MACRO.items() if k != "length"})
    assert unknown.room.working_m == pytest.approx(0.4) and unknown.room.measured_from == "the sensor plane"


def test_the_plainest_that_has_room_comes_first() -> None:
    # Life size by the lens itself, by tubes and by close-up lenses: nothing put on comes before something put on.
    shot, found = made(MACRO, {"distance": "0.1 m"}, tube=TUBES, close_up_lens=[{"name": "+2", "power": 2}])
    attached = [len(c.setup.parts) for c in found.values() if c.room.enough]
    assert attached == sorted(attached) and attached[0] == 2 and attached[-1] > 3
    assert all(not c.room.enough for c in list(found.values())[len(attached) :])
    assert shot.name == "picture 0"


def test_a_subject_behind_the_hood() -> None:
    close = at("full + macro", 1.0, {**MACRO, "length": "300 mm", "hood": "120 mm"})
    assert not close.room.enough and close.room.text.startswith("no room")


def test_nearer_than_the_animal_lets_one_come() -> None:
    _, near = made(MACRO, {"distance": "0.6-0.8 m"})
    _, far = made(MACRO, {"distance": "0.1-0.8 m"})
    assert not near["full + macro"].room.enough
    assert "the subject is planned at 60 cm" in near["full + macro"].room.text
    assert far["full + macro"].room.enough


def test_the_stop_for_a_depth_with_diffraction_told() -> None:
    # 18 mm at half of 36 mm is life size: 2 mm deep takes T m^2 / (2 c (1+m)) = 2 / (4 x 0.02884) = f/17.3, so f/18.
    _, found = made(MACRO, {"depth_of_field": "2 mm"})
    best = found["full + macro"].best_stop
    assert best is not None and best.needed == pytest.approx(2 ** (25 / 6), rel=1e-9)
    assert found["full + macro"].f_number == best.needed
    # At f/18 marked, f/36 effective: an Airy disc of 48 um against a circle of 29 um.
    assert best.needed_airy_m == pytest.approx(48e-6, rel=0.01)
    assert "softer all over" in best.text and best.sharpest < best.needed
    _, deep = made(MACRO, {"depth_of_field": "20 mm"})
    assert deep["full + macro"].best_stop is not None and deep["full + macro"].best_stop.needed is None


def test_square_up_not_stop_down() -> None:
    # 60 mm at 20 deg wants 60 sin 20 = 20.5 mm.
    shot, found = made(MACRO, {"subject": thing("20 mm", width="60 mm"), "fill": "50 %", "depth_of_field": "5 mm"})
    told = inclined(shot, found["full + macro"], 0.060, 20)
    assert told.needed_m == pytest.approx(0.0205, abs=0.0001)
    assert "square up to within" in told.text and "not f/" in told.text
    assert inclined(shot, found["full + macro"], 0.060, 2).text.endswith("held (circle 29 um)")
    # asin(depth / length) rounded down: what is told is held.
    for held_deg, words in ((7.9, "within 7 deg"), (0.49, "within 0.4 deg"), (0.05, "within less than 0.1 deg")):
        assert words in told._replace(held_deg=held_deg).text


def test_sway_in_the_wind() -> None:
    # 4 cm from end to end, once a second: at most 2 pi x 2 cm = 0.126 m/s. Circle 0.02884 mm, life size.
    shot, found = made(MACRO, {"sway": "4 cm, 1 per second"})
    told = swaying(shot, found["full + macro"])
    assert told is not None
    assert told.peak_m_s == pytest.approx(0.1257, abs=1e-4)
    assert told.middle_s == pytest.approx(0.02884e-3 / 0.1257, rel=1e-3)
    # A turn at rest moves by x in t = acos(1 - 2x/A)/(pi n), centred [simple harmonic motion].
    assert told.end_s == pytest.approx(math.acos(1 - 2 * 0.02884e-3 / 0.04) / math.pi, rel=1e-3)
    assert told.gain_stops > 4 and "fire at the end of the swing" in told.text
    assert told.share_of_frame == pytest.approx(40 / 36)
    assert swaying(*_still()) is None


def _still() -> tuple[TripShot, CloseUp]:
    shot, found = made(MACRO)
    return shot, found["full + macro"]


def test_no_stack_in_wind() -> None:
    shot, found = made(MACRO, {"sway": "1 cm, 2 per second", "depth_of_field": "10 mm"})
    told = stack(shot, found["full + macro"])
    assert told is not None and told.word == NO and told.text.startswith("No stack")


def at_f8(_: float) -> Exposure:
    """Settings that leave only f/8, a tenth of a second."""
    return Exposure(8.0, 0.1, 100.0, 0.0, 0.0, None)


def test_a_stack_of_a_still_thing() -> None:
    # The step of K1 (table by a stacking author), 2 c N (1+m)/m^2, at 1:1, c = 43.27/1500 mm, f/8: 0.923 mm.
    # 10 mm with 30 % overlap: 1 + 9.08/0.646.
    shot, found = made(MACRO, {"depth_of_field": "10 mm"})
    told = stack(shot, found["full + macro"], at_f8)
    assert told is not None
    assert told.step_m == pytest.approx(0.923e-3, rel=1e-3)
    assert told.every_m == pytest.approx(0.646e-3, rel=1e-3)
    assert told.frames == 1 + math.ceil((10 - 0.923) / 0.646)
    # 1.5 s pass between frames (common practice).
    assert told.seconds == pytest.approx(told.frames * 0.1 + (told.frames - 1) * 1.5)
    assert told.word == YES


def test_a_stack_of_something_alive() -> None:
    living = {"name": "beetle", "width": "18 mm", "living": True}
    shot, found = made(MACRO, {"subject": living, "depth_of_field": "10 mm"})
    told = stack(shot, found["full + macro"], at_f8)
    assert told is not None and told.word == STILL
    flying, found = made(MACRO, {"subject": "bumblebee", "activity": "feeding", "depth_of_field": "10 mm"})
    moving = stack(flying, next(iter(found.values())), at_f8)
    assert moving is not None and moving.word == NO


def test_a_stack_opens_up_for_diffraction() -> None:
    shot, found = made(MACRO, {"depth_of_field": "2.5 mm"})
    told = stack(shot, found["full + macro"])
    assert told is not None and told.f_number < found["full + macro"].f_number
    assert told.airy_m <= told.circle_m and told.frames > 1


FLASH: Table = {"name": "flash", "guide_number": "24 m", "duration": "1/1000", "sync": "1/200"}


def flashed(shot: Table, f_number: float, iso: float, flash: Table = FLASH) -> FlashAnswer:
    owned = profile(body=[FULL], lens=[MACRO], flash=[flash])
    found = trip(prepare(owned), {**BEETLE, **shot})[0]
    close = close_ups(found, setups(owned), 1.0, f_number)[0]
    return flash_answers(found, close, iso, owned.flashes)[0]


def test_flash_goes_by_the_effective_f_number() -> None:
    # Guide number 24 m at ISO 100: f/16 marked is f/32 at life size, and reaches 24/32 m, not 24/16.
    told = flashed({}, 16.0, 100)
    assert told.reach_m == pytest.approx(0.75)
    # From the front of the lens, 400 - 125 mm away: (275/750)^2 of full power, and of 1/1000 s.
    assert told.power == pytest.approx((0.275 / 0.75) ** 2)
    assert told.duration_s == pytest.approx((0.275 / 0.75) ** 2 / 1000)
    assert flashed({}, 16.0, 400).reach_m == pytest.approx(1.5)


def test_flash_that_does_not_reach() -> None:
    told = flashed({}, 32.0, 100, {**FLASH, "guide_number": "8 m"})
    # 8/64 m against 0.275 m: 2 log2 of the ratio is 2.3 stops.
    assert told.power > 1.0 and "2.3 stops short" in told.lines[0]


@pytest.mark.parametrize(("ev", "ghost"), [(8.0, False), (14.0, True)])
def test_ambient_ghost(ev: float, ghost: bool) -> None:
    # At 1/200 s, f/16 effective (f/8 marked at 1:1), ISO 100 the meter asks EV log2(256 x 200) = 15.64.
    shot = {"light": f"EV {ev}", "subject": {"name": "fly", "width": "18 mm", "speed": "0.1 m/s"}}
    told = flashed(shot, 8.0, 100)
    assert told.ambient == pytest.approx(ev - math.log2(256 * 200))
    assert ("ghost of" in " ".join(told.lines)) is ghost
    # Blur in the ambient light: life size x 0.1 m/s x 1/200 s over the circle.
    assert told.ghost_blur == pytest.approx(0.1 / 200 / 0.02884e-3, rel=1e-3)


def test_flash_near_something_alive_carries_its_caution() -> None:
    living = {"name": "frog", "width": "18 mm", "living": True}
    assert "startle" in flashed({"subject": living}, 8.0, 100).lines[-1]
    assert flashed({}, 8.0, 100).caution is None


def test_what_cannot_be_combined_is_not_offered() -> None:
    # A tube of another mount and a converter that the lens does not take stay off.
    labels = spans(FIFTY, tube=[{**TUBES[0], "mount": "B"}], converter=[{"name": "2x", "factor": 2.0, "mount": "A"}])
    assert list(labels) == ["full + fifty"]
