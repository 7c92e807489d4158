"""``fieldplan light``: the keys agreed on, every event against skyfield with DE421, days on which the clocks change."""

from __future__ import annotations

import datetime as dt
import functools
import itertools
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fieldplan.cli import main

from .de421 import load_de421

KEYS = (
    "format date time_zone latitude_deg longitude_deg elevation_m sky moon_lit_fraction moon_phase sentences events "
    "table"
)
ROW_KEYS = (
    "time sun_altitude_deg sun_azimuth_deg moon_altitude_deg moon_azimuth_deg "
    "illuminance_lux ev100 ev100_low ev100_high"
)
LIMITS = {"sunrise": -50 / 60, "civil_dawn": -6.0, "nautical_dawn": -12.0, "astronomical_dawn": -18.0}
DOWN = {"sunrise": "sunset", "civil_dawn": "civil_dusk", "nautical_dawn": "nautical_dusk",
        "astronomical_dawn": "astronomical_dusk"}  # fmt: skip
MOON_RADIUS_KM = 1737.4
DAY_S = 86400.0
EPOCH_JD = 2440587.5

PLACES = [
    ("69.65, 18.96", "Europe/Oslo"),
    ("-16.8, 179.99", "Pacific/Fiji"),  # a step from the date line
    ("40.71, -74.01", "America/New_York"),
]
DATES = ["2027-01-20", "2027-03-14", "2027-05-21", "2027-09-03", "2027-11-07"]


def told(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[str, str]:
    status = main(["light", *words])
    found = capsys.readouterr()
    assert status == 0, found.err
    return found.out, found.err


def data(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(told(capsys, *words, "--as", "json")[0])
    return found


@functools.cache
def _reference() -> Callable[[str, str, Any], tuple[Any, Any]]:
    """Altitude that rise and set go by, and azimuth [deg], by DE421: (body, "lat, lon", UT seconds)."""
    from skyfield.api import wgs84

    scale, bodies = load_de421()

    def stand(body: str, where: str, ut_s: Any) -> tuple[Any, Any]:
        place = bodies["earth"] + wgs84.latlon(*(float(part) for part in where.split(",")))
        when = scale.ut1_jd(np.asarray(ut_s) / DAY_S + EPOCH_JD)
        altitude, azimuth, distance = place.at(when).observe(bodies[body]).apparent().altaz()
        edge = 0.0 if body == "sun" else np.degrees(np.arcsin(MOON_RADIUS_KM / distance.km))
        return altitude.degrees + edge, azimuth.degrees

    return stand


def crossings(body: str, where: str, start_s: float, end_s: float, limit: float) -> list[tuple[float, bool]]:
    """Instants at which the body passes a limit, and whether it rises: minutes of DE421, straight between them."""
    times = np.arange(start_s, end_s + 1.0, 60.0)
    over = _reference()(body, where, times)[0] - limit
    return [
        (float(times[k] + 60.0 * over[k] / (over[k] - over[k + 1])), bool(over[k + 1] > 0))
        for k in range(len(times) - 1)
        if (over[k] < 0) != (over[k + 1] < 0)
    ]


def day_ends(date: str, zone: str) -> tuple[float, float]:
    from zoneinfo import ZoneInfo

    day = dt.date.fromisoformat(date)
    ends = (dt.datetime.combine(d, dt.time(), ZoneInfo(zone)) for d in (day, day + dt.timedelta(days=1)))
    first, last = (moment.timestamp() for moment in ends)
    return first, last


@pytest.mark.parametrize(("where", "zone"), PLACES)
@pytest.mark.parametrize("date", DATES)
def test_every_event_of_the_day_and_no_other(
    where: str, zone: str, date: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found = data(capsys, "--at", where, "--on", date)
    assert found["time_zone"] == zone
    ours: dict[str, list[float]] = {}
    for event in found["events"]:
        moment = dt.datetime.fromisoformat(event["time"])
        assert moment.date().isoformat() == date and moment.microsecond == 0
        ours.setdefault(event["name"], []).append(moment.timestamp())
        body = "moon" if event["name"].startswith("moon") else "sun"
        altitude, azimuth = _reference()(body, where, moment.timestamp())
        apart = (event["azimuth_deg"] - azimuth + 180) % 360 - 180
        assert apart * np.cos(np.radians(altitude)) == pytest.approx(0.0, abs=0.02), event  # on the sky, not round it
    start, end = day_ends(date, zone)
    expected: dict[str, list[float]] = {}
    for up, limit in LIMITS.items():
        for ut_s, rising in crossings("sun", where, start, end, limit):
            expected.setdefault(up if rising else DOWN[up], []).append(ut_s)
    for ut_s, rising in crossings("moon", where, start, end, -34 / 60):
        expected.setdefault("moonrise" if rising else "moonset", []).append(ut_s)
    transits = {name: ours.pop(name, []) for name in ("sun_transit", "moon_transit")}
    assert {name: len(times) for name, times in ours.items()} == {name: len(times) for name, times in expected.items()}
    for name, times in expected.items():
        assert ours[name] == pytest.approx(times, abs=5.0), name
    for name, times in transits.items():
        for ut_s in times:  # transit: due south or due north, one side of it before and the other after
            _, around = _reference()(name.split("_")[0], where, [ut_s - 2.0, ut_s + 2.0])
            before, after = np.sin(np.radians(around))
            assert (before > 0) != (after > 0), name
    assert len(transits["sun_transit"]) == 1


def test_the_keys_are_those_agreed_on(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "--at", "52.3012, 4.9711", "--on", "2027-03-14", "--elevation", "3 m", "--sky", "hazy")
    assert found.keys() == set(KEYS.split())
    assert found["format"] == "fieldplan-light/1" and found["elevation_m"] == 3.0 and found["sky"] == "hazy"
    assert all(row.keys() == set(ROW_KEYS.split()) for row in found["table"])
    assert all(event.keys() == {"name", "time", "azimuth_deg"} for event in found["events"])
    names = {"sun_transit", "moon_transit", "moonrise", "moonset", *DOWN, *DOWN.values()}
    assert {event["name"] for event in found["events"]} <= names


def test_the_table_agrees_with_de421(capsys: pytest.CaptureFixture[str]) -> None:
    for where, _ in PLACES:
        found = data(capsys, "--at", where, "--on", "2027-05-21")
        times = [dt.datetime.fromisoformat(row["time"]).timestamp() for row in found["table"]]
        altitude, _ = _reference()("sun", where, times)
        ours = np.array([row["sun_altitude_deg"] for row in found["table"]])
        assert np.abs(ours - altitude).max() < 0.02
        assert all(row["ev100_low"] < row["ev100"] < row["ev100_high"] for row in found["table"])


@pytest.mark.parametrize(
    ("where", "date", "hours"),
    [
        ("52.3012, 4.9711", "2027-03-28", 23),  # EU directive 2000/84/EC
        ("52.3012, 4.9711", "2027-10-31", 25),
        ("40.71, -74.01", "2027-03-14", 23),  # US Energy Policy Act of 2005, section 110
        ("40.71, -74.01", "2027-11-07", 25),
        ("-31.55, 159.08", "2027-04-04", 24.5),  # Lord Howe Island moves by half an hour (tz database)
        ("27.7, 85.3", "2027-03-28", 24),
    ],
)
def test_days_on_which_the_clocks_change(
    where: str, date: str, hours: float, capsys: pytest.CaptureFixture[str]
) -> None:
    times = [dt.datetime.fromisoformat(row["time"]) for row in data(capsys, "--at", where, "--on", date)["table"]]
    assert len(times) == hours * 6
    assert {b.timestamp() - a.timestamp() for a, b in itertools.pairwise(times)} == {600.0}
    assert times[0].isoformat()[:16] == f"{date}T00:00" and times[-1].isoformat()[:16] == f"{date}T23:50"


@pytest.mark.parametrize(
    ("where", "date", "sentence"),
    [
        ("69.65, 18.96", "2027-06-21", "the sun does not set today: it is up all day"),
        ("69.65, 18.96", "2027-12-21", "the sun does not rise today"),
        ("52.3012, 4.9711", "2027-06-21", "it does not get fully dark: astronomical twilight lasts the night"),
    ],
)
def test_what_does_not_happen_is_a_sentence(
    where: str, date: str, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    # 69.65 N lies beyond the circle of 66.6 deg; at 52.3 N the midsummer sun goes down to -(90 - 52.3 - 23.4) = -14.3
    assert sentence in data(capsys, "--at", where, "--on", date)["sentences"]
    assert sentence in told(capsys, "--at", where, "--on", date)[0]


def test_a_day_without_moonrise_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    where = "40.71, -74.01"
    silent = []
    for number in range(1, 32):
        date = f"2027-05-{number:02d}"
        found = data(capsys, "--at", where, "--on", date)
        rises = [r for _, r in crossings("moon", where, *day_ends(date, "America/New_York"), -34 / 60) if r]
        assert ("no moonrise today" in found["sentences"]) == (not rises), date
        silent += [] if rises else [date]
    assert len(silent) == 1  # once a month the moon, 50 minutes later each day, rises on none


def test_a_likely_slip_is_noted_beside_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    out, err = told(capsys, "--at", "40.7128, 74.0060", "--on", "2027-03-14", "--zone", "America/New_York")
    assert 'did you mean "40.7128 N 74.006 W"?' in err and "did you mean" not in out
    assert '"52,4" reads as 52 N 4 E' in told(capsys, "--at", "52,4", "--on", "2027-03-14")[1]
    assert told(capsys, "--at", "52.3012, 4.9711", "--on", "2027-03-14")[1] == ""


def test_a_place_may_be_a_city_a_saved_place_or_a_waypoint(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIELDPLAN_PROFILES", str(tmp_path))
    (tmp_path / "places.toml").write_text(
        '[[place]]\nname = "ridge (invented)"\nposition = "46.5, 8.0"\nelevation = "3000 m"\n'
    )
    (tmp_path / "p.gpx").write_text(
        '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
        '<wpt lat="53.43" lon="12.75"><ele>62</ele><name>hide</name></wpt></gpx>'
    )
    on = ("--on", "2027-03-14")
    assert data(capsys, "--at", "Oslo", *on)["time_zone"] == "Europe/Oslo"
    ridge = data(capsys, "--at", "Ridge (invented)", *on)
    assert (ridge["latitude_deg"], ridge["elevation_m"]) == (46.5, 3000.0)
    hide = data(capsys, "--at", f"{tmp_path / 'p.gpx'}#hide", *on)
    assert (hide["latitude_deg"], hide["longitude_deg"], hide["elevation_m"]) == (53.43, 12.75, 62.0)
    assert data(capsys, "--at", f"{tmp_path / 'p.gpx'}#hide", *on, "--elevation", "5 m")["elevation_m"] == 5.0
    assert main(["light", "--at", f"{tmp_path / 'p.gpx'}#nest", *on]) == 1
    assert 'no waypoint "nest"' in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--at", "nowhereville", "--on", "2027-03-14"], "neither a position nor a city"),
        (["--at", "91, 0", "--on", "2027-03-14"], "latitude cannot be 91"),
        (["--at", "52.3, 4.9", "--on", "2027-02-30"], "2027-02-30"),
        (["--at", "52.3, 4.9", "--on", "2027-03-14", "--zone", "Mars/Olympus"], "is not a time zone"),
        (["--at", "52.3, 4.9", "--on", "2027-03-14", "--sky", "purple"], "purple"),
    ],
)
def test_words_that_cannot_be_read_are_wrong_use(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["light", *words]) == 2
    found = capsys.readouterr()
    assert found.out == "" and said in found.err


def test_a_position_south_of_the_equator_needs_no_tricks(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["light", "--at", "-33.8523,151.2108", "--on", "2027-06-21"]) == 0
    shown = capsys.readouterr().out
    assert "-33.85230, 151.21080" in shown
    assert "-0.0 " not in shown and "bearing 360" not in shown
