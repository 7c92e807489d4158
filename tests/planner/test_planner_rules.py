"""How f-number, shutter and ISO are settled, how the frame is held, what is used as typed."""

from __future__ import annotations

import math

import pytest

from .shots import BODY, gear, kinds, lists, only, shot_answers, thing

FAR = {"subject": thing(height="1 m"), "distance": "50 m", "fill": "10-90 %"}
STEADY = {"support": "tripod"}


def ev_for(iso: float, n: float, time: float) -> str:
    """The light that asks for just this ISO: EV = log2(N^2/t) - log2(S/100), ISO 2720."""
    return f"EV {math.log2(n * n / time) - math.log2(iso / 100):.9f}"


def test_what_is_typed_is_used_as_typed() -> None:
    answer = only({**FAR, **STEADY, "light": "EV 8"}, gear({"f_number": 5.6}, {"longest_shutter": "1/500"}))
    assert answer.f_number == 5.6
    assert answer.shutter_s == 1 / 500
    # 5.6^2 x 500 / 2^8 x 100 = 6125, the next third is 6400
    assert answer.iso == 6400.0


def test_what_is_chosen_runs_on_exact_thirds() -> None:
    answer = only({**FAR, "light": "EV 12", "depth_of_field": "4 m"}, gear({"f_number": 4.2}))
    assert answer.f_number is not None and answer.shutter_s is not None and answer.iso is not None
    assert 6 * math.log2(answer.f_number) == pytest.approx(round(6 * math.log2(answer.f_number)), abs=1e-9)
    assert 3 * math.log2(answer.shutter_s) == pytest.approx(round(3 * math.log2(answer.shutter_s)), abs=1e-9)
    assert 3 * math.log2(answer.iso / 100) == pytest.approx(round(3 * math.log2(answer.iso / 100)), abs=1e-9)


def test_widest_f_number_inside_a_zoom_runs_with_the_logarithm_of_the_focal_length() -> None:
    # halfway between 150 and 600 mm on that scale are 300 mm, and halfway between f/5 and f/6.3 f/5.612
    zoom = gear({"focal": "150-600 mm", "f_number": "5-6.3"})
    assert only(
        {"subject": thing(height="1 m"), "distance": "50 m", "focal": "300 mm"}, zoom
    ).f_number == pytest.approx(math.sqrt(5 * 6.3))


def test_a_converter_multiplies_widest_and_smallest_by_its_factor_as_written() -> None:
    profile = gear(
        {"converters": ["2x"], "smallest_f_number": 22}, converter=[{"name": "2x", "factor": 2, "mount": "A"}]
    )
    shot = {"subject": thing(height="0.5 m"), "distance": "50 m", "focal": "1200 mm", "hold": "level", **STEADY}
    answer = next(a for a in shot_answers(shot, profile).rigs if a.converter)
    assert answer.f_number == 8.0  # common practice: 2x costs two stops
    deep = {**shot, "depth_of_field": "3.2 m", "light": "EV 15"}
    stopped = next(a for a in shot_answers(deep, profile).rigs if a.converter)
    assert stopped.f_number is not None and 22.7 < stopped.f_number < 44 * 1.03  # beyond f/22, within f/44
    assert kinds(stopped) == []


def test_held_level_and_upright_are_two_answers() -> None:
    answers = shot_answers({**FAR, "hold": "either"}).rigs
    assert sorted(a.hold for a in answers) == ["level", "upright"]
    by = {a.hold: a for a in answers}
    assert by["level"].fill == pytest.approx(1.5 * (by["upright"].fill or 0))  # 36 mm against 24 mm stand up and down
    assert [a.hold for a in shot_answers({**FAR, "hold": "upright"}).rigs] == ["upright"]


def test_the_axis_that_fills_first_counts() -> None:
    wide = only({"subject": thing(height="0.5 m", width="1 m"), "distance": "50 m", "focal": "600 mm"})
    tall = only({"subject": thing(height="0.9 m", width="1 m"), "distance": "50 m", "focal": "600 mm"})
    assert (wide.fill_axis, tall.fill_axis) == ("width", "height")
    assert wide.fill == pytest.approx((wide.magnification or 0) * 1000 / 36)
    assert wide.pixels_on_subject == pytest.approx((wide.fill or 0) * 6000)
    assert tall.pixels_on_subject == pytest.approx((tall.fill or 0) * 4000)


def test_the_first_third_that_gives_the_depth_is_taken() -> None:
    shot = {**FAR, **STEADY, "light": "EV 14"}
    open_one = only(shot)
    deep = only({**shot, "depth_of_field": f"{(open_one.depth_m or 0) * 1.9} m"})
    assert deep.f_number == pytest.approx(8.0)  # f/8 doubles f/4 nearly
    assert (deep.depth_m or 0) >= (open_one.depth_m or 0) * 1.9
    assert only({**shot, "depth_of_field": f"{(open_one.depth_m or 0) * 0.99} m"}).f_number == 4.0


def test_depth_that_would_break_the_iso_ceiling_is_told_and_not_taken() -> None:
    shot = {**FAR, "depth_of_field": "6 m", "light": "EV 9"}
    answer = only(shot)
    assert answer.f_number == 4.0
    assert kinds(answer) == ["depth"]
    assert only({**shot, "light": "EV 14"}).verdict == "works"


def test_iso_is_rounded_up_to_a_third() -> None:
    body = {"longest_shutter": "1/500"}
    for need, iso in (
        (401.0, 100 * 2 ** (7 / 3)),
        (400.0, 400.0),
        (503.0, 100 * 2 ** (7 / 3)),
        (505.0, 100 * 2 ** (8 / 3)),
    ):
        answer = only({"distance": "infinity", **STEADY, "light": ev_for(need, 4, 1 / 500)}, gear(None, body))
        assert answer.iso == pytest.approx(iso)


def test_below_the_lowest_iso_first_a_shorter_time_then_a_smaller_stop() -> None:
    body = {"lowest_iso": 200, "fastest_shutter": "1/1000"}
    dim = only({**FAR, **STEADY, "light": "EV 5"}, gear(None, body))
    assert (dim.f_number, dim.iso) == (4.0, 200.0)  # nothing moves: the lowest ISO, the time that the light gives
    assert (dim.shutter_s or 0) < 30.0
    bright = only({**FAR, **STEADY, "light": "EV 12"}, gear(None, body))
    assert (bright.f_number, bright.iso) == (4.0, 200.0)
    assert (bright.shutter_s or 0) < (dim.shutter_s or 0)
    glaring = only({**FAR, **STEADY, "light": "EV 16"}, gear(None, body))
    assert glaring.iso == 200.0 and glaring.shutter_s == 1 / 1000
    # f/4, 1/1000, ISO 200 is EV100 12.97; three stops and a little more light want f/11 and a third
    assert glaring.f_number == pytest.approx(2 ** (22 / 6), rel=0.13) and (glaring.f_number or 0) > 11
    assert glaring.verdict == "works"


def test_too_bright_for_the_smallest_stop_is_told_in_stops() -> None:
    body = {"lowest_iso": 800, "fastest_shutter": "1/1000"}
    answer = only({**FAR, **STEADY, "light": "EV 20"}, gear({"smallest_f_number": 16}, body))
    assert kinds(answer) == ["too bright"]
    # f/16, 1/1000, ISO 800: EV100 = log2(256000) - 3 = 14.97
    assert answer.shortfalls[0].numbers[0] == pytest.approx(20 - 14.966, abs=0.05)


def test_without_any_limit_the_lowest_iso_and_the_time_of_the_light() -> None:
    answer = only({**FAR, **STEADY, "light": "EV 6"})
    assert (answer.shake_limit_s, answer.motion_limit_s) == (math.inf, math.inf)
    assert answer.iso == 100.0
    exact = (answer.effective_f_number or 0) ** 2 / 2**6
    assert exact / 2 ** (1 / 3) < (answer.shutter_s or 0) <= exact
    dark = only({**FAR, **STEADY, "light": "EV -6"})
    assert dark.shutter_s == 30.0 and (dark.iso or 0) > 100.0


def test_with_neither_light_nor_limit_no_time_is_told() -> None:
    assert only({**FAR, **STEADY}).shutter_s is None
    assert only(FAR).shutter_s is not None


def test_the_shorter_of_shake_and_motion_counts() -> None:
    held = only({**FAR, "light": "EV 12"})
    assert held.motion_limit_s == math.inf
    assert (held.shutter_s or 0) <= (held.shake_limit_s or 0) < (held.shutter_s or 0) * 2 ** (1 / 3) * (1 + 1e-9)
    moving = only({**FAR, "speed": "5 m/s", "light": "EV 12"})
    assert (moving.motion_limit_s or 0) < (moving.shake_limit_s or 0)
    assert (moving.shutter_s or 0) <= (moving.motion_limit_s or 0) < (moving.shutter_s or 0) * 2 ** (1 / 3) * (1 + 1e-9)


@pytest.mark.parametrize("name", [s.name for s in lists().subjects if s.living])
def test_a_living_subject_never_holds_wholly_still(name: str) -> None:
    answers = shot_answers({"subject": name, "distance": "20 m", "hold": "level", "speed": "0 m/s"})
    assert answers.wanted is not None and answers.wanted.speed_m_s > 0.0
    assert answers.rigs[0].motion_limit_s != math.inf


def test_nor_does_a_living_subject_of_ones_own() -> None:
    answers = shot_answers({**FAR, "subject": thing(height="1 m", living=True)})
    assert answers.wanted is not None and answers.wanted.speed_m_s == 0.03
    assert any("never holds wholly still" in note for note in answers.notes)
    typed = shot_answers({**FAR, "subject": thing(height="1 m", living=True, speed="0.01 m/s")})
    assert typed.wanted is not None and typed.wanted.speed_m_s == 0.01


@pytest.mark.parametrize(("ceiling", "third"), [(5000, 17), (800, 9), (1250, 11), (12500, 21), (20000, 23)])
def test_a_ceiling_typed_as_a_mark_stands_for_its_third(ceiling: int, third: int) -> None:
    exact = 100 * 2 ** (third / 3)
    body = {"longest_shutter": "1/500", "iso_ceiling": ceiling}
    shot = {"distance": "infinity", **STEADY}
    within = only({**shot, "light": ev_for(exact * 0.999, 4, 1 / 500)}, gear(None, body))
    assert within.iso == pytest.approx(exact) and kinds(within) == []
    over = only({**shot, "light": ev_for(exact * 1.01, 4, 1 / 500)}, gear(None, body))
    assert kinds(over) == ["iso"]
    assert over.shortfalls[0].numbers[2] == pytest.approx(1 / 3)


@pytest.mark.parametrize(("fastest", "third"), [("1/4000", 36), ("1/8000", 39), ("1/1000", 30), ("1/32000", 45)])
def test_a_fastest_shutter_typed_as_a_mark_stands_for_its_third(fastest: str, third: int) -> None:
    slow = only({**FAR, **STEADY, "speed": "1 m/s"})
    limit = slow.motion_limit_s or 0
    for share, short in ((1.001, []), (0.99, ["shutter"])):
        speed = limit / (2 ** (-third / 3) * share)
        answer = only({**FAR, **STEADY, "speed": f"{speed:.9f} m/s"}, gear(None, {"fastest_shutter": fastest}))
        assert kinds(answer) == short
        assert answer.shutter_s == pytest.approx(2 ** (-third / 3) if not short else 1 / int(fastest[2:]))


def test_with_an_uncertain_light_the_range_of_iso_is_that_of_the_light() -> None:
    shot = {"distance": "infinity", "hold": "level", "date": "2027-06-21", "time": "12:00"}
    site = {"name": "field", "position": "50, 0", "sky": "clear"}
    body = {"longest_shutter": "1/8000", "fastest_shutter": "1/8000"}
    answers = shot_answers({**shot, **STEADY}, gear({"f_number": 8}, body), "UTC", site=site)
    light, answer = answers.light, answers.rigs[0]
    assert light is not None and light.ev100_high - light.ev100_low == pytest.approx(1.0)
    assert answer.iso_low is not None and answer.iso_high is not None
    assert answer.iso_high / answer.iso_low == pytest.approx(2.0)
    # on a tripod a darker sky takes a longer time, not a higher ISO
    slow = shot_answers({**shot, **STEADY}, gear({"f_number": 8}), "UTC", site=site).rigs[0]
    assert (slow.iso, slow.iso_low, slow.iso_high) == (100.0, 100.0, 100.0)


def test_the_largest_format_that_the_lens_covers_is_recorded() -> None:
    body = {**BODY, "cropped_formats": ["17.3x13 mm", "24x16 mm"]}
    small = only({**FAR, "circle": "print"}, gear({"covers": "23.5x15.6 mm"}, body))
    # 24 x 16 mm has a diagonal of 28.84 mm, within 1.03 x 28.21 mm
    assert (small.frame_width_m, small.frame_height_m) == (0.024, 0.016)
    assert small.circle_m == pytest.approx(math.hypot(0.024, 0.016) / 1500)
    assert small.pixels_on_subject == pytest.approx((small.fill or 0) * 6000 * 16 / 36)
    none = shot_answers(FAR, gear({"covers": "6.17x4.55 mm"}, body))
    assert none.rigs == () and none.problem is not None
