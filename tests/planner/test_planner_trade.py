"""The trade's own arithmetic, through the planner: crop factors, matched lenses, shutters for moving subjects."""

from __future__ import annotations

import math

import pytest

from fieldplan.planner.answers import Answer

from .shots import Table, gear, only, shot_answers, thing

FULL, BY_1_5, BY_1_6 = "36x24 mm", "24x16 mm", "22.5x15 mm"
FAR = {"subject": thing(height="10 m"), "distance": "500 m"}  # u over 3000 f


def at(focal_mm: float, n: float, sensor: str, **shot: object) -> Answer:
    profile = gear({"focal": f"{focal_mm} mm", "f_number": n}, {"sensor": sensor})
    return only({**FAR, "focal": f"{focal_mm} mm", **shot}, profile)


# common practice, no source: what a lens on a smaller format frames like on 36x24 mm
LIKE = [(50, 80), (100, 160), (300, 480), (18, 28.8), (55, 88)]


@pytest.mark.parametrize(("focal", "like"), LIKE)
def test_at_a_crop_factor_of_1_6_a_lens_frames_like_a_longer_one(focal: float, like: float) -> None:
    assert at(focal, 4, BY_1_6).fill == pytest.approx(at(like, 4, FULL).fill or 0, rel=0.002)


def test_crop_factor_of_24x16_is_1_5() -> None:
    # the rule of thumb is 1/(f x crop), ISO 19093 clause 3.1
    assert at(100, 4, BY_1_5).rule_of_thumb_s == pytest.approx(1 / 150)
    assert at(100, 4, FULL).rule_of_thumb_s == pytest.approx(1 / 100)
    shot = {**FAR, "fill": "10 %", "hold": "level"}
    full = shot_answers(shot, gear(None, {"sensor": FULL})).needed_focal[0].focal_m
    small = shot_answers(shot, gear(None, {"sensor": BY_1_5})).needed_focal[0].focal_m
    assert full / small == pytest.approx(1.5, rel=0.002)


# common practice: focal length and f-number on 36x24 mm, and what matches them on the smaller format
MATCHED = [
    ((50, 4), (31, 2.5), BY_1_6),
    ((85, 1.8), (56, 1.2), BY_1_5),
    ((160, 6.4), (100, 4), BY_1_6),
    ((85, 1.2), (56, 0.8), BY_1_5),
]


@pytest.mark.parametrize(("large", "small", "sensor"), MATCHED)
def test_matched_lenses_frame_alike_and_are_as_deep(
    large: tuple[float, float], small: tuple[float, float], sensor: str
) -> None:
    metres = large[0] / 10  # a hundred focal lengths: well short of the hyperfocal distance
    near = {"subject": thing(height=f"{metres / 10} m"), "distance": f"{metres} m"}
    one, other = at(*large, FULL, **near), at(*small, sensor, **near)
    assert one.fill == pytest.approx(other.fill or 0, rel=0.02)  # printed figures are rounded to whole millimetres
    assert one.depth_m == pytest.approx(other.depth_m or 0, rel=0.035)  # 56 mm stands for 56.7
    assert one.background_blur_m is not None and other.background_blur_m is not None
    ratio = math.hypot(36, 24) / math.hypot(*(float(x) for x in sensor[:-3].split("x")))
    assert one.background_blur_m / other.background_blur_m == pytest.approx(ratio, rel=0.04)


# computed for 3 pixels of blur on a 6000-pixel frame, 90 % of the motion followed; share of the width, width, speed
MOVING = [
    ("walking deer", 0.60, 1.15, 1.25, 130),
    ("trotting fox", 0.60, 1.00, 4.25, 500),
    ("sprinting player", 0.40, 1.375, 10.0, 580),
    ("galloping deer", 0.60, 1.30, 12.0, 1100),
    ("duck", 0.36, 0.55, 19.0, 2500),
    ("swallow", 0.25, 0.18, 11.0, 3000),
]


@pytest.mark.parametrize(("share", "width", "speed", "below"), [pytest.param(*row[1:], id=row[0]) for row in MOVING])
def test_shutter_for_a_moving_subject(share: float, width: float, speed: float, below: float) -> None:
    zoom: Table = {"focal": "50-2000 mm", "f_number": 4}
    shot = {"subject": thing(width=f"{width} m", speed=f"{speed} m/s"), "distance": "40 m", "fill": f"{share * 100} %"}
    answer = only({**shot, "circle": "0.018 mm", "panned": 0.9}, gear(zoom))  # 3 pixels of 0.006 mm
    assert answer.fill == pytest.approx(share)
    assert answer.motion_limit_s == pytest.approx(1 / below, rel=0.03)
    alone = only({**shot, "circle": "0.018 mm"}, gear(zoom))
    assert alone.motion_limit_s == pytest.approx(1 / below / 10, rel=0.03)  # not followed: ten times faster


def test_at_a_given_framing_blur_and_depth_do_not_ask_for_the_lens() -> None:
    shot = {"subject": thing(height="0.5 m", speed="1 m/s"), "fill": "50 %", "light": "EV 10"}
    one, other = (only({**shot, "focal": f"{f} mm"}, gear({"focal": f"{f} mm"})) for f in (200, 600))
    assert one.motion_limit_s == pytest.approx(other.motion_limit_s or 0)
    assert one.depth_m == pytest.approx(other.depth_m or 0, rel=0.01)
    assert (one.shake_limit_s or 0) > 2 * (other.shake_limit_s or 0)


def test_f_11_at_life_size_works_as_f_22() -> None:
    # common practice; thin lens: life size at 4 f
    lens = {"focal": "100 mm", "f_number": 11, "closest_focus": "0.4 m", "largest_magnification": 1.0}
    answer = only({"subject": thing(height="10 mm"), "distance": "0.4 m", "focal": "100 mm"}, gear(lens))
    assert answer.magnification == pytest.approx(1.0)
    assert answer.effective_f_number == pytest.approx(22.0)


def test_the_moon_on_the_sensor_is_a_hundred_and_tenth_of_the_focal_length() -> None:
    # common practice, f/110; the mean moon is a little smaller than that
    answer = only({"subject": {"sky": "moon"}, "focal": "600 mm"})
    assert (answer.fill or 0) * 24 == pytest.approx(600 / 110, rel=0.015)


def test_the_reference_hand_allows_63_um_on_36x24_at_one_over_f() -> None:
    # ISO 19093 clause 3.1 and ISO 20954-1 clause 3.5
    answer = only({"distance": "infinity", "focal": "600 mm", "circle": "0.063 mm"})
    assert answer.shake_limit_s == pytest.approx(1 / 600)
    steadied = only({"distance": "infinity", "focal": "600 mm", "circle": "0.063 mm"}, gear({"stabilisation": 3}))
    assert steadied.shake_limit_s == pytest.approx(8 / 600)
    on_one_leg = only({"distance": "infinity", "focal": "600 mm", "circle": "0.063 mm", "support": "monopod"})
    assert on_one_leg.shake_limit_s == pytest.approx(4 / 600)
