"""The light of a shot, and for how long of the day it works. Sun and zone from outside: skyfield with DE421."""

from __future__ import annotations

import datetime as dt
import functools
import math
from collections.abc import Callable

import pytest

from fieldplan.planner.answers import ShotAnswers, WorkSpan
from fieldplan.planner.fitting import out_of_time
from fieldplan.planner.moments import moment
from fieldplan.planner.skybook import EPOCH

from ..de421 import load_de421
from .shots import Table, gear, only, plan_answers, shot_answers, thing

DAY = dt.date(2027, 3, 20)
FIELD: Table = {"name": "field", "position": "45, 0", "sky": "clear", "elevation": "0 m"}
STEADY: Table = {"distance": "infinity", "hold": "level", "support": "tripod", "lit": "level ground"}
AS_TYPED = gear({"f_number": 5.6}, {"longest_shutter": "1/500", "iso_ceiling": 6400})  # 1/500 s, f/5.6, ISO 6400


@functools.cache
def _sun() -> Callable[[float, float, float], float]:
    """True altitude of the sun's centre by DE421 [deg], of (seconds since 1970 taken as UT1, latitude, longitude)."""
    from skyfield.api import wgs84

    scale, stars = load_de421()

    def altitude(ut_s: float, latitude: float, longitude: float) -> float:
        place = stars["earth"] + wgs84.latlon(latitude, longitude)
        when = scale.ut1_jd(2440587.5 + ut_s / 86400.0)
        return float(place.at(when).observe(stars["sun"]).apparent().altaz()[0].degrees)

    return altitude


def crossing(target_deg: float, low_s: float, high_s: float) -> float:
    """When the sun stands at an altitude over FIELD between two instants, by halving."""
    sun = _sun()
    rising = sun(high_s, 45.0, 0.0) > sun(low_s, 45.0, 0.0)
    for _ in range(24):
        middle = (low_s + high_s) / 2.0
        if (sun(middle, 45.0, 0.0) > target_deg) == rising:
            high_s = middle
        else:
            low_s = middle
    return (low_s + high_s) / 2.0


def day_start(date: dt.date = DAY) -> float:
    return (dt.datetime.combine(date, dt.time(), dt.UTC) - EPOCH).total_seconds()


def noon_shot(**more: object) -> Table:
    return {**STEADY, "time": "12:00", **more}


def answers(
    shot: Table, site: Table | None = None, date: dt.date = DAY, zone: str = "UTC", **plan: object
) -> ShotAnswers:
    return shot_answers(shot, AS_TYPED, zone, site={**FIELD, **(site or {})}, date=date, **plan)


def spans(found: ShotAnswers) -> tuple[WorkSpan, ...]:
    return found.times


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


def needy_gear() -> Table:
    return gear({"f_number": 5.6}, {"longest_shutter": "1/2000", "fastest_shutter": "1/4000", "iso_ceiling": 800})


def test_a_reading_before_midnight_counts_after_it() -> None:
    light = answers({**STEADY, "time": "00:05", "date": dt.date(2027, 3, 21)}, reading=[{"time": "23:50", "ev": -5.0}])
    assert light.light is not None and light.light.source == "metered"
    assert light.light.ev100 == pytest.approx(-5.0, abs=0.3)


def test_an_absurd_reading_is_asked_about() -> None:
    light = answers({**STEADY, "time": "12:10"}, reading=[{"time": "12:00", "ev": 2.0}]).light
    assert light is not None and "check its date and time" in light.reason


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


def test_a_shot_in_the_dark_is_given_its_whole_night() -> None:
    dark = gear({"f_number": 1.4}, {"longest_shutter": "30 s", "iso_ceiling": 102400})
    found = shot_answers({"distance": "infinity", "hold": "level", "support": "tripod", "time": "23:30"}, dark, "UTC",
                         site=FIELD, date=DAY)  # fmt: skip
    (span,) = found.times
    assert (span.start_s, span.end_s) == (day_start() + 43200.0, day_start() + 3 * 43200.0)


def test_light_and_settings_at_both_ends_of_a_stretch() -> None:
    found = answers(noon_shot(**{"time": None, "from": "05:40", "to": "06:40"}))  # type: ignore[arg-type]
    first, last = found.ends
    assert (f"{first.when:%H:%M}", f"{last.when:%H:%M}") == ("05:40", "06:40")
    alone = answers(noon_shot(time="05:40"))
    assert alone.light is not None and first.light.ev100 == pytest.approx(alone.light.ev100)
    assert first.answer.iso == alone.rigs[0].iso
    assert first.light.ev100 < last.light.ev100


@pytest.mark.parametrize("ceiling", [1000, 1500, 2400, 3000, 3600, 5000, 6000, 6400, 7000, 9000])
def test_no_minute_within_a_span_is_over_the_ceiling(ceiling: int) -> None:
    rig = gear({"f_number": 5.6}, {"longest_shutter": "1/500", "iso_ceiling": ceiling})
    (span,) = shot_answers(noon_shot(), rig, "UTC", site=FIELD, date=DAY).times
    for ut_s in (span.start_s + 70.0, span.end_s - 70.0):
        clock = f"{dt.datetime.fromtimestamp(ut_s, tz=dt.UTC):%H:%M}"
        best = shot_answers({**noon_shot(), "time": clock}, rig, "UTC", site=FIELD, date=DAY).rigs[0]
        assert not best.shortfalls, (ceiling, clock, best.iso)


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


def test_the_moon_behind_the_ground_line_gives_less() -> None:
    # full moon on 2027-03-22 10:44 UT (Meeus, ch. 49); at 23:00 on the 21st it stands high over 45 N
    night = {**STEADY, "time": "23:00", "date": dt.date(2027, 3, 21)}
    high = {"skyline": [{"bearing": 0, "altitude": 80}, {"bearing": 359, "altitude": 80}]}
    clear, hidden = answers(night).light, answers(night, high).light
    assert clear is not None and hidden is not None
    assert clear.ev100 - hidden.ev100 == pytest.approx(math.log2(7.0), abs=0.1)
    assert clear.ev100_high - clear.ev100 == pytest.approx(1.5)


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


def test_a_subject_at_infinity_has_no_next_wider_lens() -> None:
    lenses = {"lens": [{"name": name, "focal": focal, "f_number": 4, "mount": "A"} for name, focal in
                       (("long", "200 mm"), ("short", "50 mm"))]}  # fmt: skip
    both = {**gear({"f_number": 4}), **lenses}
    shot = {**noon_shot(), "subject": thing(height="20 m", width="30 m")}
    found = shot_answers(shot, both, "UTC", site=FIELD, date=DAY)
    assert found.rigs[0].fill == 0.0 and not any("instead" in gain.what for gain in found.gains)
