"""Close-ups: light lost, the swing through the frame, settings for stack and flash, and what does not draw so large."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from fieldplan.planner.closesetups import setups
from fieldplan.planner.closeup import close_ups, missed
from fieldplan.planner.exposing import Exposure
from fieldplan.planner.flashing import flash_f_number
from fieldplan.planner.rigs import prepare
from fieldplan.planner.stacking import stack
from fieldplan.planner.swaying import swaying

from .test_closeup import BEETLE, FIFTY, MACRO, TUBES, at, flashed, made
from .trips import FULL, profile, thing, trip


def test_a_close_up_lens_loses_no_light_at_the_infinity_mark() -> None:
    # By hand: 50 mm with +5 is f' = 40 mm and draws 1:4; f/4 marked is f/3.2 of the pupil, times 1.25 f/4 again.
    close = at("full + fifty + +5", 0.25 * (1 + 1e-9), FIFTY, 4.0, close_up_lens=[{"name": "+5", "power": 5}])
    assert close.light_lost_stops == pytest.approx(0.0, abs=1e-6) and "lost" not in close.text
    # f/2.8 that acts as f/3.4 has lost 2 log2(3.4/2.8) stops, whatever the magnification [2 log2 of the f-numbers].
    deeper = at("full + fifty + +5", 0.4, FIFTY, 4.0, close_up_lens=[{"name": "+5", "power": 5}])
    assert deeper.light_lost_stops == pytest.approx(2 * math.log2(deeper.effective_f_number / 4.0))
    assert 0.0 < deeper.light_lost_stops < 2 * math.log2(1.4)


def test_a_swing_goes_across_the_frame_as_it_is_held() -> None:
    # Life size, 4 cm of swing: 40/36 of a level frame's width, 40/24 of an upright one's.
    shot, found = made(MACRO, {"sway": "4 cm, 1 per second", "subject": {"name": "b", "width": "12 mm"}, "fill": "50 %",
                               "hold": "upright"})  # fmt: skip
    close = found["full + macro"]
    assert (close.magnification, close.hold) == (pytest.approx(1.0), "upright")
    told = swaying(shot, close)
    assert told is not None and told.share_of_frame == pytest.approx(40 / 24)


def test_an_imperial_plan_is_told_in_its_units() -> None:
    owned = profile(body=[FULL], lens=[MACRO])
    shot = trip(prepare(owned), {**BEETLE, "sway": "4 cm, 1 per second"}, units="imperial")[0]
    close = close_ups(shot, setups(owned))[0]
    told = swaying(shot, close)
    assert told is not None and "at most 0.28 mph" in told.text  # 0.1257 m/s x 3600/1609.344
    assert "(0.8-2 in)" in close.text and " cm" not in close.text


def exposures(shutter_s: float) -> Callable[[float], Exposure]:
    """What a meter gives that asks ``shutter_s`` at f/8: the time goes by the square of the f-number."""
    return lambda n: Exposure(n, shutter_s * (n / 8.0) ** 2, 100.0, 0.0, 0.0, None)


def test_a_stack_takes_the_time_of_its_own_f_number() -> None:
    # c N_eff: an Airy disc of 28.84 um is that of f/21.5 effective, f/10.7 marked at life size, so f/10 (2^(20/6)).
    shot, found = made(MACRO, {"depth_of_field": "10 mm"})
    told = stack(shot, found["full + macro"], exposed=exposures(0.4))
    assert told is not None and told.f_number == pytest.approx(2 ** (20 / 6))
    # 0.4 s at f/8 are 0.4 (10.08/8)^2 at f/10; 1.5 s pass between frames (common practice).
    assert told.shutter_s == pytest.approx(0.4 * (2 ** (20 / 6) / 8) ** 2)
    assert told.seconds == pytest.approx(told.frames * told.shutter_s + (told.frames - 1) * 1.5)
    assert "f/10, 0.6 s, ISO 100, every" in told.text


def test_a_stack_opens_up_where_the_iso_would_pass_the_ceiling() -> None:
    def dim(n: float) -> Exposure:
        return Exposure(n, 0.01, 6400.0, 1.0 if n > 5.7 else 0.0, 0.0, None)

    shot, found = made(MACRO, {"depth_of_field": "10 mm"})
    told = stack(shot, found["full + macro"], exposed=dim)
    assert told is not None and told.f_number == pytest.approx(2 ** (15 / 6))  # the third that is marked f/5.6


@pytest.mark.parametrize(
    ("depth", "f_number"),
    [
        # 1 mm at life size takes 1/(4 x 0.02884) = f/8.7, f/9; its Airy disc (f/18 effective, 24 um) is within 29 um.
        ("1 mm", 2 ** (19 / 6)),
        # 2 mm: f/18 would be 48 um. Hansma's rule, 20 sqrt(spread)/(1 + m): spread 2 x 1 mm behind it, 14.1: f/14.
        ("2 mm", 2 ** (23 / 6)),
        # 20 mm is past f/32: then as far as diffraction lets it, f/10 as above.
        ("20 mm", 2 ** (20 / 6)),
    ],
)
def test_the_f_number_with_flash(depth: str, f_number: float) -> None:
    _, found = made(MACRO, {"depth_of_field": depth})
    assert flash_f_number(found["full + macro"]) == pytest.approx(f_number)


def test_a_short_flash_is_not_carried_on_below_a_twenty_thousandth() -> None:
    # (0.275/24 x 8)^2 = 1/119 of 1/1000 s would be 1/119000; small flashes end near 1/20000 (common practice).
    told = flashed({}, 4.0, 100)
    assert told.power == pytest.approx((0.275 / 24 * 8) ** 2) and told.duration_s == pytest.approx(1 / 20000)
    assert "lasts 1/20000 or less" in told.lines[1]


def test_what_does_not_draw_it_comes_last_with_how_much_it_misses() -> None:
    owned = profile(body=[FULL], lens=[MACRO, FIFTY], tube=TUBES)
    shot = trip(prepare(owned), {"subject": thing("5 mm"), "magnification": "1:1", "light": "EV 12"})[0]
    assert {c.magnification for c in close_ups(shot, setups(owned))} == {1.0}
    # 50 mm from 0.45 m draws 0.1459 by D = f (2 + m + 1/m); 12 mm of tube add 12/50: 0.386, and 36 mm 0.866, of which
    # 1 is 1.155 times as large.
    found = {m.setup.label: m for m in missed(shot, setups(owned))}
    assert found["full + fifty + 12 mm tube"].nearest == pytest.approx(0.1459 + 0.24, abs=1e-3)
    assert found["full + fifty + 36 mm tube"].text == "1:1.2 at most; 1:1 would be 15 % larger"
    assert [m.stops_short for m in found.values()] == sorted(m.stops_short for m in found.values())
    assert "full + macro" not in found


def test_a_depth_far_from_the_wanted_is_said() -> None:
    # 20 mm wanted of a lens that at f/2.8 and life size holds 2 x 0.02884 x 2.8 x 2 = 0.32 mm.
    _, found = made(MACRO, {"depth_of_field": "20 mm"})
    assert "depth 0.32 mm of the 2 cm wanted" in found["full + macro"].text
