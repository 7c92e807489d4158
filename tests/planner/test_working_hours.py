"""For how long of its day or night a shot works, each end with its range and reason."""

from __future__ import annotations

import datetime as dt
import itertools
import math

import pytest

from fieldplan.planner.fitting import out_of_time
from fieldplan.planner.times import _runs

from .field import DAY, FIELD, STEADY, answers, crossing, day_start, noon_shot, spans
from .shots import gear, shot_answers

# Explanatory Supplement to the Astronomical Almanac (1992), ch. 9, solved for EV100 7.94 on clear, level ground
WORKED = [(0, -0.36), (-1, 0.93), (-2, 2.70), (-3, 5.35)]


@pytest.mark.parametrize(("lost", "altitude"), WORKED)
def test_the_worked_answer_to_the_minute_of_the_day(lost: int, altitude: float) -> None:
    found = answers(noon_shot(light_offset=lost))
    best = found.rigs[0]
    assert best.f_number == 5.6
    assert best.needs_ev100 == pytest.approx(7.94, abs=0.005)
    (span,) = spans(found)
    start = day_start()
    assert span.start_s == pytest.approx(crossing(altitude, start + 5 * 3600, start + 8 * 3600), abs=30.0)
    assert span.end_s == pytest.approx(crossing(altitude, start + 16 * 3600, start + 19 * 3600), abs=30.0)
    assert (span.start_reason, span.end_reason) == ("light below EV 7.9", "light below EV 7.9")


def test_each_end_is_a_range_that_follows_from_the_uncertainty() -> None:
    (span,) = spans(answers(noon_shot()))
    assert span.start_early_s < span.start_s < span.start_late_s
    assert span.end_early_s < span.end_s < span.end_late_s
    # one stop either way below 10 degrees: the ends are those of the worked answer with a stop lost
    start = day_start()
    late = crossing(0.93, start + 5 * 3600, start + 8 * 3600)
    assert span.start_late_s == pytest.approx(late, abs=30.0)
    assert span.sure and 5.0 < span.margin_min < 12.0


def test_the_sun_in_the_frame_ends_a_stretch() -> None:
    found = answers({**noon_shot(), "aim": 180, "aim_altitude": 44, "focal": "600 mm"})
    reasons = {s.end_reason for s in spans(found)} | {s.start_reason for s in spans(found)}
    assert "sun in the frame" in reasons
    assert len(spans(found)) == 2
    assert any(c.kind == "sun" for c in found.cautions)


def test_the_sun_leaves_and_enters_the_frame_within_ranges_that_follow_from_the_aim() -> None:
    found = answers({**noon_shot(), "aim": 180, "aim_altitude": 44, "focal": "600 mm"})
    first, second = spans(found)
    assert first.end_early_s < first.end_s < first.end_late_s <= second.start_early_s + 1.0
    # at noon of the equinox the sun crosses a degree of sky in (1 / cos declination) x 4 minutes; an aim good to 1 deg
    assert (first.end_late_s - first.end_early_s) / 60.0 == pytest.approx(8.0, abs=2.0)
    assert (second.start_late_s - second.start_early_s) / 60.0 == pytest.approx(8.0, abs=2.0)


def test_a_ridge_is_passed_within_a_range_of_the_suns_own_pace() -> None:
    ridge = {"skyline": [{"bearing": 0, "altitude": 12}, {"bearing": 359, "altitude": 12}]}
    needy = gear({"f_number": 5.6}, {"longest_shutter": "1/2000", "fastest_shutter": "1/4000", "iso_ceiling": 800})
    shot = {**STEADY, "time": "12:00", "lit": "front-lit"}
    (span,) = shot_answers(shot, needy, "UTC", site={**FIELD, **ridge}, date=DAY).times
    start = day_start()
    # the sun's own climb by DE421 through half a degree round its upper edge on a 12 deg line (refraction 0.08 deg)
    for low_s, high_s, early, late in (
        (start + 5 * 3600, start + 9 * 3600, span.start_early_s, span.start_late_s),
        (start + 15 * 3600, start + 19 * 3600, span.end_early_s, span.end_late_s),
    ):
        ends = sorted(crossing(12.0 - 0.267 - 0.075 + slack, low_s, high_s) for slack in (-0.25, 0.25))
        assert (early, late) == pytest.approx(tuple(ends), abs=61.0)


def test_a_ridge_ends_a_stretch_with_its_own_reason() -> None:
    ridge = {"skyline": [{"bearing": 0, "altitude": 12}, {"bearing": 359, "altitude": 12}]}
    needy = gear({"f_number": 5.6}, {"longest_shutter": "1/2000", "fastest_shutter": "1/4000", "iso_ceiling": 800})
    shot = {**STEADY, "time": "12:00", "lit": "front-lit"}
    found = shot_answers(shot, needy, "UTC", site={**FIELD, **ridge}, date=DAY)
    (span,) = found.times
    assert (span.start_reason, span.end_reason) == ("sun behind the ridge", "sun behind the ridge")


@pytest.mark.parametrize(("date", "count"), [(dt.date(2027, 6, 21), 1), (dt.date(2027, 12, 21), 0)])
def test_polar_day_and_night(date: dt.date, count: int) -> None:
    found = answers(noon_shot(), {"position": "78.2, 15.6"}, date, "Arctic/Longyearbyen")
    assert len(spans(found)) == count
    if count:
        (span,) = spans(found)
        assert (span.start_reason, span.end_reason) == ("the day begins", "the day ends")
        assert span.end_s - span.start_s == pytest.approx(86400.0)


@pytest.mark.parametrize(("date", "hours"), [(dt.date(2027, 3, 28), 23), (dt.date(2027, 10, 31), 25)])
def test_days_on_which_the_clocks_change(date: dt.date, hours: int) -> None:
    # EU directive 2000/84/EC: the last Sundays of March and October, at 01:00 UTC
    still = {"distance": "infinity", "hold": "level", "support": "tripod", "time": "02:30"}
    dark = gear({"f_number": 1.2}, {"longest_shutter": "30 s", "iso_ceiling": 10_000_000})
    found = shot_answers(still, dark, "Europe/Berlin", site={**FIELD, "position": "52.5, 13.4"}, date=date)
    (span,) = found.times
    assert span.end_s - span.start_s == pytest.approx(hours * 3600.0)
    assert found.light is not None and found.light.sun_altitude_deg is not None and found.light.sun_altitude_deg < 0.0


def test_a_shot_in_the_dark_is_given_its_whole_night() -> None:
    dark = gear({"f_number": 1.4}, {"longest_shutter": "30 s", "iso_ceiling": 102400})
    found = shot_answers({"distance": "infinity", "hold": "level", "support": "tripod", "time": "23:30"}, dark, "UTC",
                         site=FIELD, date=DAY)  # fmt: skip
    (span,) = found.times
    assert (span.start_s, span.end_s) == (day_start() + 43200.0, day_start() + 3 * 43200.0)


@pytest.mark.parametrize("ceiling", [1000, 1500, 2400, 3000, 3600, 5000, 6000, 6400, 7000, 9000])
def test_no_minute_within_a_span_is_over_the_ceiling(ceiling: int) -> None:
    rig = gear({"f_number": 5.6}, {"longest_shutter": "1/500", "iso_ceiling": ceiling})
    (span,) = shot_answers(noon_shot(), rig, "UTC", site=FIELD, date=DAY).times
    for ut_s in (span.start_s + 70.0, span.end_s - 70.0):
        clock = f"{dt.datetime.fromtimestamp(ut_s, tz=dt.UTC):%H:%M}"
        best = shot_answers({**noon_shot(), "time": clock}, rig, "UTC", site=FIELD, date=DAY).rigs[0]
        assert not best.shortfalls, (ceiling, clock, best.iso)


def test_a_shot_for_one_band_of_light_works_in_it_alone() -> None:
    # golden hour as the list has it, -4 to 6 deg; when the sun stands there by DE421
    (morning, evening) = spans(answers(noon_shot(band="Golden hour", light_offset=3)))
    start = day_start()
    assert morning.end_s == pytest.approx(crossing(6.0, start + 5 * 3600, start + 9 * 3600), abs=61.0)
    assert evening.start_s == pytest.approx(crossing(6.0, start + 15 * 3600, start + 19 * 3600), abs=61.0)
    assert morning.end_reason == "outside golden hour" and morning.end_early_s < morning.end_s < morning.end_late_s
    noted = answers(noon_shot(band="golden our"))
    assert any('did you mean "golden hour"' in note for note in noted.notes) and len(spans(noted)) == 1


def test_where_only_the_upper_end_of_the_light_suffices_it_works_perhaps() -> None:
    found = answers(noon_shot())
    (span,) = spans(found)
    noon = found.light
    assert noon is not None and span.sure
    # the same rig under a light whose best of the day lies half a stop under what it needs, the estimate being +-0.5
    need = found.rigs[0].needs_ev100
    assert need is not None
    lost = need - max(noon.ev100, 0.0) - 0.25
    perhaps = answers(noon_shot(light_offset=round(lost, 2)))
    assert perhaps.times and not any(one.sure for one in perhaps.times)
    (one,) = perhaps.times
    assert one.start_early_s < one.start_s == one.end_s < one.end_late_s
    never = answers(noon_shot(light_offset=round(lost - 2.0, 2)))
    assert never.times == ()


def test_a_stretch_tells_where_within_it_the_sun_may_be_in_the_frame() -> None:
    # aimed so that the sun passes 0.5 deg outside the frame's corner at noon; the aim is good to a degree
    found = answers({**noon_shot(), "focal": "600 mm", "aim": 180, "aim_altitude": 44.9 - 2.06 - 0.5})
    (span,) = spans(found)
    assert span.gaps and all(span.start_s < first < last < span.end_s for first, last in span.gaps)


def test_a_stretch_over_midnight_has_one_night_also_where_the_sun_stays_up() -> None:
    found = answers(noon_shot(**{"time": None, "from": "23:30", "to": "01:30"}),  # type: ignore[arg-type]
                    {"position": "78.2, 15.6"}, dt.date(2027, 6, 21), "Arctic/Longyearbyen")  # fmt: skip
    (span,) = spans(found)
    assert span.end_s - span.start_s == pytest.approx(86400.0)
    assert out_of_time(found, found.times) is None


def test_stretches_found_by_the_turns_of_a_curve_are_those_found_sample_by_sample() -> None:
    for values in itertools.product((-math.inf, 1.0, 2.0, 3.0), repeat=5):
        curve = tuple(values)
        for limit in (1.0, 2.5):
            for shut in (["", "", "", "", ""], ["", "", "sun in the frame", "", ""], ["", "x", "", "", "x"]):
                fine = [v >= limit and not s for v, s in zip(curve, shut, strict=True)]
                starts = [i for i in range(5) if fine[i] and not (i and fine[i - 1])]
                ends = [i for i in range(5) if fine[i] and not (i < 4 and fine[i + 1])]
                found = _runs(curve, (0.0, 60.0, 120.0, 180.0, 240.0), limit, shut)
                assert [run[2:] for run in found] == list(zip(starts, ends, strict=True))
