"""One look corrects the rest: what was seen comes out again, and another evening error is taken up in full."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import pytest

from fieldplan.model.plan import Site
from fieldplan.notation.skywords import Sighting
from fieldplan.planner.lineups import search_span
from fieldplan.planner.sightings import corrected_by, nearest_clock, standing_here
from fieldplan.planner.sights import Sight, find_sight_lineups, sight_of
from fieldplan.planner.skymoments import SkyFrame, disc_at, stand_at
from fieldplan.planner.skyview import view_of
from fieldplan.sky.aims import Correction

ZONE = ZoneInfo("Europe/Berlin")
FOOT = "70 m"


def sight(foot: str = FOOT, position: str = "53.4300, 12.7500") -> Sight:
    site = {
        "name": "hide",
        "position": position,
        "elevation": "62 m",
        "landmark": [{"name": "chapel", "position": "53.4296, 12.7711", "foot": foot, "height": "31 m"}],
    }
    return sight_of(Site.model_validate(site), "chapel")


def utc(*parts: int) -> float:
    return dt.datetime(*parts, tzinfo=dt.UTC).timestamp()  # type: ignore[misc]


EVENING = utc(2027, 3, 21, 16, 47)


def test_what_was_seen_comes_out_again() -> None:
    look = corrected_by(sight(), "moon", Sighting(dt.time(17, 40), -2.0, 0.5), EVENING, ZONE, on_purpose=True)
    assert look.ut_s == utc(2027, 3, 21, 16, 40)
    now = disc_at(sight(), "moon", look.ut_s, "centred", "clear", look.correction)
    assert now.top_right_deg / now.disc_deg == pytest.approx(-2.0, abs=0.02)
    assert now.top_up_deg / now.disc_deg == pytest.approx(0.5, abs=0.02)


def test_a_wrong_position_and_height_are_taken_up_for_the_minutes_after() -> None:
    """The truth is another foot and another place of the eye; one look from there corrects the reckoning."""
    truth, reckoned = sight("77 m", "53.4302, 12.7500"), sight()
    seen = disc_at(truth, "moon", EVENING - 420.0, "centred")
    looked = Sighting(dt.time(17, 40), seen.top_right_deg / seen.disc_deg, seen.top_up_deg / seen.disc_deg)
    look = corrected_by(reckoned, "moon", looked, EVENING, ZONE, on_purpose=True)
    assert math.hypot(*look.correction) > 0.5
    for late_s in (-300.0, 0.0, 300.0, 900.0):
        is_so = disc_at(truth, "moon", EVENING + late_s, "centred")
        told = disc_at(reckoned, "moon", EVENING + late_s, "centred", "clear", look.correction)
        assert told.top_right_deg == pytest.approx(is_so.top_right_deg, abs=0.01)
        assert told.top_up_deg == pytest.approx(is_so.top_up_deg, abs=0.01)
    span = search_span(dt.date(2027, 3, 20), dt.date(2027, 6, 20), ZONE)
    after = find_sight_lineups(reckoned, "moon", span, 1.5, correction=look.correction).found
    true = find_sight_lineups(truth, "moon", span, 1.5).found
    assert [round(up.hit.ut_s / 30.0) for up in after] == pytest.approx([round(u.hit.ut_s / 30.0) for u in true], abs=1)


def test_the_walk_follows_the_correction() -> None:
    """A step to the left moves a landmark to the right against the far disc: by the angle times the distance."""
    plain = stand_at(sight(), "moon", EVENING, "centred").sideways
    look = corrected_by(sight(), "moon", Sighting(dt.time(17, 47), 0.5, 0.7), EVENING, ZONE, on_purpose=True)
    after = stand_at(sight(), "moon", EVENING, "centred", None, look.correction).sideways
    assert plain is not None and after is not None
    moved = after.sideways_m - plain.sideways_m
    assert -moved == pytest.approx(1403.5 * math.tan(math.radians(look.correction.across_deg)), rel=0.03)


def test_the_walk_is_told_from_where_one_stands() -> None:
    there = stand_at(sight(), "moon", EVENING, "centred")
    here = standing_here(sight(), 53.4301, 12.7510)
    walk = stand_at(sight(), "moon", EVENING, "centred", here).to_spot
    assert not isinstance(walk, str) and not isinstance(there.to_spot, str)
    assert walk.place == there.to_spot.place, "the spot is the same, the way to it another"
    assert walk.distance_m != pytest.approx(there.to_spot.distance_m, abs=10.0)


@pytest.mark.parametrize(
    ("clock", "around", "day"),
    [(dt.time(23, 50), utc(2027, 3, 21, 23, 10), 22), (dt.time(0, 10), utc(2027, 3, 21, 22, 50), 22),
     (dt.time(17, 40), EVENING, 21)],
)  # fmt: skip
def test_a_time_of_day_is_that_of_the_nearest_day(clock: dt.time, around: float, day: int) -> None:
    when = dt.datetime.fromtimestamp(nearest_clock(clock, around, ZONE), tz=ZONE)
    assert when.time() == clock and abs(when.timestamp() - around) <= 43200.0
    assert when.day in (day, day - 1)


def test_slips_are_said() -> None:
    with pytest.raises(ValueError, match="look at the time"):
        corrected_by(sight(), "moon", Sighting(dt.time(21, 4), -2.0, 0.0), EVENING, ZONE, on_purpose=True)
    with pytest.raises(ValueError, match="km from chapel"):
        standing_here(sight(), 12.7510, 53.4301)


def test_a_look_far_beyond_the_stated_error_is_doubted_and_one_within_it_is_not() -> None:
    from fieldplan.planner.sightings import DOUBTED, Doubtful, corrected_by
    from fieldplan.sky.sighterrors import sight_error

    now = disc_at(sight(), "moon", utc(2027, 3, 21, 16, 47), "centred")
    error = sight_error(sight().seen.top).combined_deg
    right, up = now.top_right_deg / now.disc_deg, now.top_up_deg / now.disc_deg
    near, far = (Sighting(dt.time(17, 47), right + times * error / now.disc_deg, up)
                 for times in (0.9 * DOUBTED, 1.1 * DOUBTED))  # fmt: skip
    assert not corrected_by(sight(), "moon", near, EVENING, ZONE).doubtful
    with pytest.raises(Doubtful, match=f"whose standard error is {error:.2f} deg"):
        corrected_by(sight(), "moon", far, EVENING, ZONE)
    kept = corrected_by(sight(), "moon", far, EVENING, ZONE, True)
    assert kept.doubtful and f"{kept.off_deg:.2f} deg against a standard error of {error:.2f}" in kept.told(ZONE)


def test_a_look_at_a_disc_below_the_horizon_is_refused() -> None:
    # Moonrise at the site on 2027-03-21 is 17:29 (the page's own night line, by PyEphem within a minute).
    from fieldplan.planner.sightings import corrected_by

    with pytest.raises(ValueError, match="below the horizon"):
        corrected_by(sight(), "moon", Sighting(dt.time(17, 20), -5.0, -5.0), EVENING, ZONE, True)


def test_the_view_is_drawn_where_the_look_puts_the_disc() -> None:
    """Great circles: from the disc as reckoned to the disc as drawn it is as far as the look says, for a moon 30 deg
    high too, where a degree of azimuth is less than a degree on the sky (haversines)."""
    frame = SkyFrame("body + lens", "body", "level", 6.0, 4.0, 0.3)
    for late_s in (0.0, 3.5 * 3600.0):
        now = disc_at(sight(), "moon", EVENING + late_s, "centred")
        plain = view_of(sight(), now, "moon", EVENING, frame)
        turned = view_of(sight(), now, "moon", EVENING, frame, Correction(0.6, 0.0))
        first, second = (math.radians(one.disc[0]) for one in (plain, turned))
        across = 2.0 * math.asin(math.cos(math.radians(now.altitude_deg)) * abs(math.sin((second - first) / 2.0)))
        assert math.degrees(across) == pytest.approx(0.6, abs=0.001)
        lifted = view_of(sight(), now, "moon", EVENING, frame, Correction(0.0, -0.4))
        assert [a[1] - b[1] for a, b in zip(lifted.path, plain.path, strict=True)] == pytest.approx(
            [-0.4] * len(plain.path)
        )
    seen = sight().seen
    assert (plain.foot_deg, plain.top_deg) == (seen.foot.apparent_altitude_deg, seen.top.apparent_altitude_deg)
    assert plain.centre[1] - 0.3 * frame.height_deg == pytest.approx(plain.foot_deg), "a fifth of the frame below it"
    # No ground line was drawn: the sea's horizon from 63.6 m, 1.76 minutes of arc times the root (Nautical Almanac).
    assert all(level == pytest.approx(-1.76 * math.sqrt(63.6) / 60.0, abs=0.02) for _, level in plain.ground)
