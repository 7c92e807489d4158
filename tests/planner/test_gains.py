"""What giving one thing up buys in minutes of the day."""

from __future__ import annotations

import pytest

from fieldplan.planner.answers import ShotAnswers

from .field import DAY, FIELD, answers, crossing, day_start, noon_shot
from .shots import gear, shot_answers, thing


def test_one_stop_of_iso_buys_what_one_stop_of_light_costs() -> None:
    found = answers(noon_shot(light_offset=-1))
    gain = next(g for g in found.gains if g.what == "one stop more ISO")
    start = day_start()
    before = crossing(0.93, start + 5 * 3600, start + 8 * 3600) - crossing(-0.36, start + 5 * 3600, start + 8 * 3600)
    after = crossing(-0.36, start + 16 * 3600, start + 19 * 3600) - crossing(0.93, start + 16 * 3600, start + 19 * 3600)
    assert gain.minutes == pytest.approx((before + after) / 60.0, abs=0.7)
    assert gain.needs_ev100 == pytest.approx(6.94, abs=0.005)


def test_what_giving_up_buys_is_told_best_first() -> None:
    shot = {
        "subject": "grey heron",
        "activity": "wading",
        "distance": "28 m",
        "fill": "50-75 %",
        "depth_of_field": "1 m",
        "support": "tripod",
    }
    found = shot_answers({**shot, "time": "17:30"}, gear(), "UTC", site=FIELD, date=DAY)
    minutes = [g.minutes for g in found.gains]
    assert minutes == sorted(minutes, reverse=True) and min(minutes) >= 0.5
    assert {"one stop more ISO", "half the subject's speed", "no depth wanted"} <= {g.what for g in found.gains}


def test_giving_up_share_counts_the_wider_view_that_the_sun_then_enters() -> None:
    zoom = gear({"focal": "70-300 mm", "f_number": "5.6"}, {"longest_shutter": "1/500"})
    shot = {"subject": thing(height="1 m", width="0.5 m"), "distance": "12 m", "fill": "60-70 %", "hold": "level",
            "time": "10:00", "aim": 180, "aim_altitude": 36, "support": "tripod", "lit": "level ground"}  # fmt: skip
    found = shot_answers(shot, zoom, "UTC", site=FIELD, date=DAY)
    smaller = shot_answers({**shot, "fill": "40-46.67 %"}, zoom, "UTC", site=FIELD, date=DAY)

    def minutes(one: ShotAnswers) -> float:
        return sum(s.end_s - s.start_s for s in one.times) / 60.0

    assert minutes(smaller) < minutes(found)
    assert "two thirds of the frame share" not in {g.what for g in found.gains}


def test_a_subject_at_infinity_has_no_next_wider_lens() -> None:
    lenses = {"lens": [{"name": name, "focal": focal, "f_number": 4, "mount": "A"} for name, focal in
                       (("long", "200 mm"), ("short", "50 mm"))]}  # fmt: skip
    both = {**gear({"f_number": 4}), **lenses}
    shot = {**noon_shot(), "subject": thing(height="20 m", width="30 m")}
    found = shot_answers(shot, both, "UTC", site=FIELD, date=DAY)
    assert found.rigs[0].fill == 0.0 and not any("instead" in gain.what for gain in found.gains)
