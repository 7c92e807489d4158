"""The light of a shot at its moment and at the ends of its stretch, and how the subject is lit."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from fieldplan.planner.moments import moment

from .field import DAY, FIELD, STEADY, answers, noon_shot
from .shots import Table, gear, only, plan_answers, shot_answers, thing


@pytest.mark.parametrize(
    ("aim", "lit"), [(180, "back-lit"), (0, "front-lit"), (90, "side-lit"), (None, "level ground")]
)
def test_how_it_is_lit_follows_from_aim_and_sun(aim: int | None, lit: str) -> None:
    shot: Table = {**STEADY, "time": "12:00", "lit": "auto"}
    if aim is not None:
        shot["aim"] = aim
    found = answers(shot)
    assert found.light is not None and found.light.lit == lit
    assert found.light.sun_azimuth_deg == pytest.approx(180, abs=5)


def test_under_an_overcast_there_is_no_sunny_side() -> None:
    found = answers({**STEADY, "time": "12:00", "lit": "auto", "aim": 180}, {"sky": "heavy overcast"})
    clear = answers({**STEADY, "time": "12:00"})
    assert found.light is not None and clear.light is not None
    assert found.light.lit == "level ground"
    assert clear.light.ev100 - found.light.ev100 == pytest.approx(3.0, abs=1e-6)  # ANSI PH2.7: EV 12 against 15


def test_the_moment_of_a_stretch_is_its_middle_also_over_midnight() -> None:
    whole = plan_answers([{"from": "23:00", "to": "01:30", **STEADY}], gear(), "UTC", site=FIELD, date=DAY)
    shot = whole.shots[0]
    assert shot.when == dt.datetime(2027, 3, 21, 0, 15, tzinfo=dt.UTC)
    assert moment(whole.plan, whole.plan.shots[0], None) == dt.datetime(2027, 3, 21, 0, 15)


def test_a_given_light_needs_no_day() -> None:
    shot = {"subject": thing(height="1 m"), "distance": "50 m", "light": "EV 12", "time": "12:00"}
    answer = only(shot, gear(), "UTC", site=FIELD, date=DAY)
    found = shot_answers(shot, gear(), "UTC", site=FIELD, date=DAY)
    assert found.times == ()
    assert found.light is not None and found.light.source == "given" and found.light.sun_altitude_deg is not None
    assert answer.iso_low == answer.iso == answer.iso_high


def test_where_the_lighting_turns_with_the_sun_the_bounds_hold_either_way() -> None:
    # aim 240 at noon of the equinox is 60 deg from the sun: side-lit and back-lit meet there
    light = answers({**STEADY, "lit": "auto", "time": "12:07", "aim": 241}).light
    assert light is not None
    assert light.ev100_high - light.ev100_low > 2.5


def test_the_gap_of_the_clocks_and_the_hour_that_comes_twice_are_told() -> None:
    # Directive 2000/84/EC: at 02:00 the clocks go to 03:00 on 2027-03-28, and back from 03:00 on 2027-10-31
    berlin = {"position": "52.5, 13.4"}
    gone = answers({**STEADY, "time": "02:30"}, berlin, dt.date(2027, 3, 28), "Europe/Berlin")
    assert gone.when is not None and f"{gone.when:%H:%M %z}" == "03:30 +0200"
    assert any("02:30 does not exist" in note for note in gone.notes)
    twice = answers({**STEADY, "time": "02:30"}, berlin, dt.date(2027, 10, 31), "Europe/Berlin")
    assert any("comes twice" in note for note in twice.notes)


def test_light_and_settings_at_both_ends_of_a_stretch() -> None:
    found = answers(noon_shot(**{"time": None, "from": "05:40", "to": "06:40"}))  # type: ignore[arg-type]
    first, last = found.ends
    assert (f"{first.when:%H:%M}", f"{last.when:%H:%M}") == ("05:40", "06:40")
    alone = answers(noon_shot(time="05:40"))
    assert alone.light is not None and first.light.ev100 == pytest.approx(alone.light.ev100)
    assert first.answer.iso == alone.rigs[0].iso
    assert first.light.ev100 < last.light.ev100


def test_the_moon_behind_the_ground_line_gives_less() -> None:
    # full moon on 2027-03-22 10:44 UT (Meeus, ch. 49); at 23:00 on the 21st it stands high over 45 N
    night = {**STEADY, "time": "23:00", "date": dt.date(2027, 3, 21)}
    high = {"skyline": [{"bearing": 0, "altitude": 80}, {"bearing": 359, "altitude": 80}]}
    clear, hidden = answers(night).light, answers(night, high).light
    assert clear is not None and hidden is not None
    assert clear.ev100 - hidden.ev100 == pytest.approx(math.log2(7.0), abs=0.1)
    assert clear.ev100_high - clear.ev100 == pytest.approx(1.5)
