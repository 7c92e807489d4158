"""Meter readings: what they mend, how they fade, when they are dropped."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from .field import DAY, FIELD, STEADY, answers, needy_gear
from .shots import shot_answers

READ = {"time": "12:00", "ev": 12.0, "of": "grey card"}


@pytest.mark.parametrize(
    ("clock", "share"), [("12:00", 1.0), ("12:30", 1.0), ("13:30", 0.5), ("14:30", 0.25), ("11:30", 1.0)]
)
def test_a_reading_counts_whole_for_half_an_hour_and_half_after_each_hour_more(clock: str, share: float) -> None:
    plain = answers({**STEADY, "time": clock}).light
    found = answers({**STEADY, "time": clock}, reading=[READ]).light
    at_noon = answers({**STEADY, "time": "12:00"}).light
    assert plain is not None and found is not None and at_noon is not None
    assert found.source == "metered"
    assert found.ev100 - plain.ev100 == pytest.approx(share * (12.0 - at_noon.ev100), abs=1e-6)
    spread = share / 3.0 + (1.0 - share) * 0.5
    assert found.ev100_high - found.ev100 == pytest.approx(spread, abs=1e-6)
    if clock == "12:00":
        assert found.ev100 == pytest.approx(12.0)
        assert found.reason.startswith("metered 12:00, grey card, -")


def test_a_reading_of_settings_is_the_same_as_its_exposure_value() -> None:
    settings = {"time": "12:00", "f_number": 8, "shutter": "1/125", "iso": 400}
    found = answers({**STEADY, "time": "12:00"}, reading=[settings]).light
    assert found is not None
    assert found.ev100 == pytest.approx(math.log2(64 * 125) - 2)  # ISO 2720


def test_a_reading_fades_out_and_is_dropped_behind_the_ground_line() -> None:
    late = answers({**STEADY, "time": "17:30"}, reading=[{**READ, "time": "12:00"}]).light
    assert late is not None and late.source == "estimate"
    ridge = {"skyline": [{"bearing": 0, "altitude": 30}, {"bearing": 359, "altitude": 30}]}
    behind = answers({**STEADY, "time": "15:20"}, ridge, reading=[{**READ, "time": "14:00"}]).light
    before = answers({**STEADY, "time": "14:20"}, ridge, reading=[{**READ, "time": "14:00"}]).light
    assert before is not None and before.source == "metered"
    assert behind is not None and behind.source == "estimate"
    assert behind.lit == "open shade" and "behind the ground line" in behind.reason


LINE = {"skyline": [{"bearing": 0, "altitude": 14}, {"bearing": 359, "altitude": 14}]}


def test_a_reading_behind_a_ridge_lives_on_through_the_twilight() -> None:
    # the ground line is last crossed long before the sun is 2 deg down; nothing happens there
    read = [{"time": "18:05", "ev": 6.0}]
    lights = [answers({**STEADY, "time": clock}, LINE, reading=read).light for clock in ("18:10", "18:20", "18:30")]
    assert all(light is not None and light.source == "metered" for light in lights)


def test_of_two_readings_one_that_counts_is_taken_before_a_nearer_one_that_does_not() -> None:
    clear = answers({**STEADY, "time": "12:00"}, LINE)
    (span,) = shot_answers({**STEADY, "time": "12:00", "lit": "front-lit"}, needy_gear(), "UTC",
                           site={**FIELD, **LINE}, date=DAY).times  # fmt: skip
    assert clear.light is not None
    passed = dt.datetime.fromtimestamp(span.start_s, tz=dt.UTC)

    def clock(minutes: float) -> str:
        return f"{passed + dt.timedelta(minutes=minutes):%H:%M}"

    readings = [{"time": clock(-8), "ev": 9.5}, {"time": clock(3), "ev": 13.0}]
    light = answers({**STEADY, "time": clock(-2)}, LINE, reading=readings).light
    assert light is not None and light.source == "metered" and light.reason.startswith(f"metered {clock(-8)}")


def test_a_reading_before_midnight_counts_after_it() -> None:
    light = answers({**STEADY, "time": "00:05", "date": dt.date(2027, 3, 21)}, reading=[{"time": "23:50", "ev": -5.0}])
    assert light.light is not None and light.light.source == "metered"
    assert light.light.ev100 == pytest.approx(-5.0, abs=0.3)


def test_an_absurd_reading_is_asked_about() -> None:
    light = answers({**STEADY, "time": "12:10"}, reading=[{"time": "12:00", "ev": 2.0}]).light
    assert light is not None and "check its date and time" in light.reason
