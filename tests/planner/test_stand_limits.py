"""The ladder of where to stand at its limits: clock changes, skies, smear, a landmark that is lit from the side."""

from __future__ import annotations

import datetime as dt
import itertools
import json
import math
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fieldplan.card import render
from fieldplan.card.standlines import stand_tables
from fieldplan.planner.sifting import held_by, stands_clear
from fieldplan.planner.sightings import nearest_clock
from fieldplan.planner.sights import find_sight_lineups, sight_of
from fieldplan.planner.skybook import minute_from, minute_of, minute_until
from fieldplan.sky.illuminance import DISC_STOPS, SKY_STOPS, moon_disc_ev100, moon_disc_under

from ..card.invented import answers
from .test_fallbacks import SITE
from .test_standladder import ladder_of, plan_with

BERLIN = ZoneInfo("Europe/Berlin")
EVENING = (
    dt.datetime(2027, 3, 21, 16, tzinfo=dt.UTC).timestamp(),
    dt.datetime(2027, 3, 21, 18, tzinfo=dt.UTC).timestamp(),
)


def shown(plan: dict[str, Any], kind: str = "text") -> str:
    return str(render(answers(plan, zone="Europe/Berlin"), kind))


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("date", "hours"),
    # zoneinfo: clocks in Berlin go forward on 2027-03-28 and back on 2027-10-31, so the night is 5 and 7 hours long.
    [(dt.date(2027, 3, 27), 5), (dt.date(2027, 10, 30), 7), (dt.date(2027, 6, 19), 6)],
)
def test_the_rows_run_from_the_shots_start_to_its_end_over_a_clock_change(date: dt.date, hours: int) -> None:
    plan = plan_with()
    plan["date"] = date
    plan["shot"][0] |= {"from": dt.time(22), "to": dt.time(4)}
    rows = [row for row in ladder_of(plan).rows if not row.label]
    first = dt.datetime.combine(date, dt.time(22), tzinfo=BERLIN)
    last = dt.datetime.combine(date + dt.timedelta(days=1), dt.time(4), tzinfo=BERLIN)
    assert (last.timestamp() - first.timestamp()) / 3600.0 == hours
    instants = [row.when.timestamp() for row in rows]
    assert instants[0] == first.timestamp() and f"{rows[0].when:%H:%M}" == "22:00"
    steps = {b - a for a, b in itertools.pairwise(instants)}
    assert len(steps) == 1 and 0.0 <= last.timestamp() - instants[-1] < steps.pop(), "even steps, none past the end"


def test_either_of_a_time_that_comes_twice_is_the_nearest() -> None:
    for fold in (0, 1):
        look = dt.datetime(2027, 10, 31, 2, 30, tzinfo=BERLIN, fold=fold).timestamp()
        assert nearest_clock(dt.time(2, 30), look, BERLIN) == look
        assert nearest_clock(dt.time(2, 30), look + 600.0, BERLIN) == look
    gap = nearest_clock(dt.time(2, 30), dt.datetime(2027, 3, 28, 1, 0, tzinfo=dt.UTC).timestamp(), BERLIN)
    assert dt.datetime.fromtimestamp(gap, tz=BERLIN).time() == dt.time(3, 30), "skipped: the offset before the jump"


def test_a_landmark_that_looks_equal_from_nowhere_says_so_and_has_no_numbers() -> None:
    # 4 m on a rock 404 m over the eye: at most 4 / 808 of a radian, 0.28 degrees, against a disc of 0.54.
    plan = plan_with()
    plan["site"]["landmark"][0] |= {"foot": "462 m", "height": "4 m"}
    plan["shot"][0] |= {"time": dt.time(19, 30)}
    del plan["shot"][0]["from"], plan["shot"][0]["to"]
    (shot,) = json.loads(shown(plan, "json"))["shots"]
    assert shot["stand"]["equal_m"] is None and shot["stand"]["half_m"] is None
    told = [place["label"] for place in shot["stand"]["line"]] + [row["label"] for row in shot["stand"]["rows"]]
    assert not {"disc as high as the landmark", "disc half as high"} & set(told)
    for place in shot["stand"]["line"]:
        if place["label"] == "disc twice as high":
            seen = math.atan2(402.4, place["distance_m"]) - math.atan2(398.4, place["distance_m"])
            assert math.degrees(seen) == pytest.approx(shot["stand"]["rows"][0]["disc_deg"] / 2.0, rel=0.01)
    card = flat(shown(plan))
    assert "from nowhere on level ground does chapel look as high as the disc" in card
    assert "look equally high from" not in card


def test_equal_and_half_are_told_by_the_angles() -> None:
    (shot,) = json.loads(shown(plan_with(), "json"))["shots"]
    stand = shot["stand"]
    for key, discs in (("equal_m", 1.0), ("half_m", 2.0)):
        seen = math.degrees(math.atan2(37.4, stand[key]) - math.atan2(6.4, stand[key]))
        assert seen == pytest.approx(discs * stand["rows"][0]["disc_deg"], rel=5e-3)


@pytest.mark.parametrize("sky", sorted(SKY_STOPS))
def test_clouds_take_from_the_disc_what_the_sources_say(sky: str) -> None:
    # USNO Circular 171 (1987): 2 is the divisor for thin cloud, through which sun and moon are easily seen; 3 and 10
    # are for clouds in the way of direct rays. ANSI PH2.7: hazy sun, one stop, casts soft shadows; cloudy bright none.
    clear, under = moon_disc_ev100(170.0, 20.0), moon_disc_under(sky, 170.0, 20.0)
    lost = {"clear": 0.0, "thin cloud": math.log2(2.0), "hazy": 1.0}
    if sky not in lost:
        assert under is None and DISC_STOPS[sky] is None
    else:
        assert under == pytest.approx([end - lost[sky] for end in clear])


def test_under_overcast_the_card_says_that_the_disc_is_not_to_be_seen() -> None:
    said = "under heavy overcast the moon's disc is not to be seen"
    card = flat(shown(plan_with(sky="heavy overcast")))
    assert said in card and f"{said}: no exposure for it" in card and "likely visible" not in card
    (shot,) = json.loads(shown(plan_with(sky="heavy overcast"), "json"))["shots"]
    assert shot["stand"]["covered"] == said
    assert all(row["ev_disc"] is None and row["gap_stops"] is None for row in shot["stand"]["rows"])
    assert "not to be seen" not in flat(shown(plan_with(sky="thin cloud")))


def test_shutters_that_smear_the_disc_are_marked() -> None:
    stand = ladder_of(plan_with())
    best = stand.frames[0]
    assert stand.smear_s is not None
    # By hand: a full turn in a moon's day of 24 h 50 min is 14.5 arc seconds a second.
    moved = stand.smear_s * math.radians(14.5 / 3600.0) * best.focal_m
    assert moved == pytest.approx(math.hypot(0.036, 0.024) / 1500.0, rel=0.05), "the print circle of the shot"
    light = next(table for table in stand_tables(stand, "metric") if table.title.startswith("light there"))
    rows = [row for row in stand.rows if row.distance_m is not None]
    marks = [tuple(cell.endswith("*") for cell in cells[4:6]) for cells in light.rows]
    assert marks == [tuple((time_s or 0.0) > stand.smear_s for time_s in (row.disc_s, row.land_s)) for row in rows]
    assert any(marks[0]) and not any(marks[-1]), "a dim moon that rises, and a bright one"
    assert "*: the disc smears, longer than" in light.note


def test_the_landmark_facing_a_low_sun_is_told_beside_open_ground() -> None:
    # Moonrise before sunset: the chapel is looked at with the sun behind, so it is front-lit. A wall that faces a sun
    # as low as this takes more than level ground by 1 / tan of its altitude, less what the whole sky gives to both.
    (up, *_) = find_sight_lineups(sight_of(SITE, "chapel"), "moon", EVENING, 1.5).found
    assert up.lit == "front-lit" and 4.0 < up.sun_altitude_deg < 5.0
    more = up.ev_face_range[0] - up.ev_land_range[0]
    assert 1.0 < more < math.log2(1.0 / math.tan(math.radians(up.sun_altitude_deg)))
    assert up.face_gap_stops is not None and up.gap_stops is not None
    assert up.face_gap_stops[0] == pytest.approx(up.gap_stops[0] - more)
    held = dict(held_by(up, 7.0))
    assert held == {"landmark": "perhaps", "open ground": "yes"}, "7 stops, 2 of them for the tones of each"
    card = flat(shown(plan_with()))
    assert "EV land and stops are for open ground; the side of chapel that is looked at is front-lit" in card


def test_a_low_disc_clear_of_a_level_horizon_is_clear() -> None:
    """Meeus 16.4: a centre seen 0.25 deg high has its lower edge, 0.27 deg below it without air, still over level."""
    (up, *_) = find_sight_lineups(sight_of(SITE, "chapel"), "moon", EVENING, 1.5).found

    def lifted(h: float) -> float:
        return h + 1.02 / 60.0 / math.tan(math.radians(h + 10.3 / (h + 5.11)))

    for centre_true in (-0.35, -0.30, -0.28, -0.20):
        hit = up.hit._replace(apparent_altitude_deg=lifted(centre_true), disc_deg=0.54)
        assert stands_clear(up._replace(hit=hit), ()) == (lifted(centre_true - 0.27) >= 0.0)


def test_minutes_are_rounded_and_a_stretch_keeps_within_itself() -> None:
    when = dt.datetime(2027, 10, 31, 2, 17, 53, tzinfo=BERLIN, fold=1)
    # zoneinfo: the second 02:17 of that night is an hour after the first.
    for made, minute in ((minute_of, 18), (minute_from, 18), (minute_until, 17)):
        told = made(when)
        assert (told.hour, told.minute, told.second, told.fold) == (2, minute, 0, 1)
        assert abs(told.timestamp() - when.timestamp()) < 60.0
    whole = when.replace(second=0)
    assert minute_from(whole) == minute_until(whole) == minute_of(whole) == whole
