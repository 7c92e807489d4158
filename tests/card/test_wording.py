"""Words of the card: every figure with its unit, none less than nothing, and limits as marks of a camera."""

from __future__ import annotations

import pytest

from fieldplan.card import wording
from fieldplan.card.standlines import stand_tables
from fieldplan.notation.display import ev_text
from fieldplan.notation.numbers import trimmed
from fieldplan.planner.answers import Answer, Light
from fieldplan.planner.inframe import drawn_shares, shares_of_frame
from fieldplan.planner.scene import describe
from fieldplan.planner.standanswers import StandLadder
from fieldplan.tui.pages.facts import facts
from fieldplan.tui.pages.nowlines import light_text

from ..planner.test_standladder import TEXT
from .invented import answers, changed, tomllib


def light(**fields: object) -> Light:
    known = {"ev100": 9.0, "ev100_low": 8.0, "ev100_high": 10.0, "source": "estimate", "reason": ""}
    return Light(**{**dict.fromkeys(Light._fields), **known, **fields})  # type: ignore[arg-type]


@pytest.mark.parametrize("altitude", [-0.04, -0.0, 0.04])
def test_a_sun_on_the_horizon_is_never_at_minus_nothing(altitude: float) -> None:
    low = light(sun_altitude_deg=altitude, sun_azimuth_deg=93.0, moon_altitude_deg=altitude, moon_azimuth_deg=180.2)
    assert wording.sky_text(low) == "true altitude 0.0 deg, bearing 093; moon 0.0 deg, bearing 180"
    assert light_text(low) == "EV 8-10, sun 0.0 deg"
    assert "-0.0" not in describe(low)


def a_stand() -> StandLadder:
    (stand,) = answers(changed(tomllib.loads(TEXT)), zone="Europe/Berlin").stands
    return stand._replace(f_number=5.6, iso=100.0)


def best_answer() -> Answer:
    best = answers().shots[0].best
    assert best is not None and best.shutter_s is not None
    return best


def test_what_motion_allows_is_told_as_a_mark_that_a_camera_has() -> None:
    """1/195 s is on no camera; the next mark that is fast enough is 1/200 (ISO 516 and the thirds between)."""
    limited = best_answer()._replace(motion_limit_s=1 / 195, shake_limit_s=1 / 17, rule_of_thumb_s=1 / 465)
    told = wording.shutter_text(limited)
    assert "motion wants 1/200 or faster" in told and "shake wants 1/20 or faster" in told
    assert "rule of thumb 1/500" in told and "1/195" not in told
    same = dict(facts(answers().shots[0], limited, "metric"))["shutter"]
    assert "motion wants 1/200 or faster" in same and "shake wants 1/20 or faster" in same


def test_limits_of_sharpness_are_told_to_a_tenth_of_the_depth_on_the_card() -> None:
    near = best_answer()._replace(near_m=0.3342, far_m=0.3358, depth_m=0.0016, focus_m=0.335, distance_m=0.335)
    assert "(33.42 cm to 33.58 cm)" in wording.depth_text(near, "metric"), "a tenth of 1.6 mm is 0.016 cm"
    wide = best_answer()._replace(near_m=27.13, far_m=29.04, depth_m=1.91, focus_m=28.0, distance_m=28.0)
    assert "(27.1 m to 29.0 m)" in wording.depth_text(wide, "metric"), "a tenth of 1.9 m is 0.19 m"


def test_the_suns_table_offers_no_shutters_and_the_moons_says_for_what_they_are() -> None:
    stand = a_stand()
    for body, said in (("moon", "shutters at f/"), ("sun", "no shutters: meter through the filter")):
        note = stand_tables(stand._replace(body=body), "metric")[1].note
        assert said in note and ("shutters at" in note) == (body == "moon")


def test_a_shutter_is_marked_as_too_long_only_where_its_mark_is() -> None:
    stand = a_stand()
    rows = tuple(row._replace(disc_s=1 / 190, land_s=1 / 150) for row in stand.rows)
    table = stand_tables(stand._replace(rows=rows, smear_s=1 / 195), "metric")[1]
    assert {row[4] for row in table.rows} == {"1/200"} and {row[5] for row in table.rows} == {"1/160*"}
    assert "longer than 1/200" in table.note


def test_the_drawing_of_the_frame_has_the_subject_at_its_share() -> None:
    """By proportion: 1 m drawn at 1:100 is 10 mm, of a frame of 36 x 24 mm 28 and 42 per cent."""
    wanted, best = answers().shots[0].wanted, best_answer()
    assert wanted is not None
    frame = best._replace(magnification=0.01, frame_width_m=0.036, frame_height_m=0.024)
    both = wanted._replace(width=(0.8, 1.2), height=(1.0, 1.0))
    assert shares_of_frame(both, frame) == pytest.approx((10 / 36, 10 / 24)) == drawn_shares(both, frame)
    tall = both._replace(width=None)
    assert shares_of_frame(tall, frame) == (None, pytest.approx(10 / 24))
    assert drawn_shares(tall, frame) == pytest.approx((10 / 36, 10 / 24)), "the other side is drawn like it"
    assert shares_of_frame(both, frame._replace(magnification=None)) == (None, None)


def test_no_ev_is_less_than_nothing_where_it_rounds_to_it() -> None:
    assert ev_text(-0.04) == "EV 0" and ev_text(-3.44) == "EV -3.4" and trimmed(-0.0004, 2) == "0"
