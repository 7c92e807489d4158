"""``fieldplan lineup`` from the outside: its JSON, its words, its exit status."""

from __future__ import annotations

import datetime as dt
import json
import math
import os
import re
import signal
from pathlib import Path
from typing import Any

import gpxpy
import pytest
from geographiclib.geodesic import Geodesic
from skyfield.api import wgs84

from fieldplan.cli import main
from fieldplan.files.places import starters_folder
from fieldplan.planner.lineups import LineUps, find_lineups
from fieldplan.sky.sightline import sightline
from fieldplan.sky.station import Place

from .de421 import load_de421

FROM, TO = ("53.4318, 12.7541", "65.6 m"), ("53.4296, 12.7711", "101 m")
HIT_KEYS = {
    "time", "miss_deg", "miss_discs", "miss_m", "azimuth_deg", "apparent_altitude_deg", "disc_deg", "lit_fraction",
    "sun_altitude_deg", "ev_land", "ev_disc_low", "ev_disc_high", "drift_m_per_min", "error_deg", "start", "end",
}  # fmt: skip


def call(*words: str) -> list[str]:
    return ["lineup", "--from", FROM[0], "--from-level", FROM[1], "--to", TO[0], "--to-level", TO[1], *words]


def answers(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert main(call(*words, "--as", "json")) == 0
    data = json.loads(capsys.readouterr().out)
    assert isinstance(data, dict)
    return data


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_every_hit_stands_where_skyfield_sees_the_body(body: str, capsys: pytest.CaptureFixture[str]) -> None:
    # Reference: skyfield with JPL DE421; the apparent altitude adds Saemundsson's refraction, 1010 hPa, 10 C.
    data = answers(capsys, "--body", body, "--start", "2027-03-01", "--end", "2027-04-30", "--within", "1.5")
    assert data["format"] == "fieldplan-lineup/1" and data["hits"]
    ts, planets = load_de421()
    spot = planets["earth"] + wgs84.latlon(53.4318, 12.7541, elevation_m=65.6)
    for hit in data["hits"]:
        assert set(hit) >= HIT_KEYS
        when = dt.datetime.fromisoformat(hit["time"]).astimezone(dt.UTC)
        instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second)
        altitude, azimuth, _ = spot.at(instant).observe(planets[body]).apparent().altaz()
        assert azimuth.degrees == pytest.approx(hit["azimuth_deg"], abs=0.02)
        assert 0.0 < hit["apparent_altitude_deg"] - altitude.degrees < 0.6
        assert hit["start"] <= hit["time"] <= hit["end"]


def test_the_end_date_is_included(capsys: pytest.CaptureFixture[str]) -> None:
    data = answers(capsys, "--start", "2027-03-22", "--end", "2027-03-22", "--within", "1.5")
    assert [hit["time"][:10] for hit in data["hits"]] == ["2027-03-22"]


def test_the_sun_always_comes_with_its_caution(capsys: pytest.CaptureFixture[str]) -> None:
    main(call("--body", "sun", "--start", "2027-03-01", "--end", "2027-03-02"))
    assert "never through an optical finder" in capsys.readouterr().err


def test_nothing_found_says_why_and_exits_with_one(capsys: pytest.CaptureFixture[str]) -> None:
    # A tower due north at 53 N: the moon never comes there, its declination would have to be beyond 29 degrees.
    words = ["lineup", "--from", "53.0, 12.0", "--to", "53.01, 12.0", "--to-level", "90 m", "--start", "2027-01-01",
             "--end", "2027-12-31"]  # fmt: skip
    assert main(words) == 1
    assert "moon" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--start", "2027-03-02", "--end", "2027-03-01"), "swap"),
        (("--start", "2027-13-02", "--end", "2027-03-01"), "not a date"),
        (("--start", "2027-03-01", "--end", "2027-03-02", "--body", "mars"), "body of the sky"),
        (("--start", "2027-03-01", "--end", "2027-03-02", "--within", "wide"), "not a number"),
        (("--start", "2027-03-01", "--end", "2027-03-02", "--zone", "Mars/Base"), "not a time zone"),
        (("--start", "2007-03-01", "--end", "2027-03-02"), "ten years"),
    ],
)
def test_wrong_words_are_explained(words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(call(*words)) == 2
    assert said in capsys.readouterr().err


# A plan of an invented site instead of two positions.
PLAN = """
fieldplan_plan = 1
title = "Chapel (invented)"
date = 2027-03-01
profile = "two-bodies"
[site]
name = "hide"
position = "53.4300, 12.7500"
time_zone = "Europe/Berlin"
elevation = "62 m"
skyline = [{ bearing = 0, altitude = 1.0 }]
[[site.landmark]]
name = "chapel"
position = "53.4296, 12.7711"
foot = "70 m"
height = "31 m"
width = "10 m"
[[site.viewpoint]]
name = "east dam"
position = "53.4318, 12.7541"
elevation = "64 m"
"""


@pytest.fixture
def plan(tmp_path: Path) -> str:
    path = tmp_path / "chapel.toml"
    path.write_text(PLAN, encoding="utf-8")
    return str(path)


def of_plan(plan: str, capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert main(["lineup", plan, *words, "--as", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert isinstance(data, dict)
    return data


def test_a_plan_has_the_site_the_landmark_and_the_year(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    data = of_plan(plan, capsys)
    assert (data["landmark"], data["viewpoint"], data["time_zone"]) == ("chapel", "hide", "Europe/Berlin")
    line = Geodesic.WGS84.Inverse(53.43, 12.75, 53.4296, 12.7711)  # Karney's geodesic
    assert data["target"]["distance_m"] == pytest.approx(line["s12"], abs=0.01)
    assert data["hits"][0]["time"] > "2027-03-01" and data["hits"][-1]["time"] < "2028-03-02"
    other = of_plan(plan, capsys, "--viewpoint", "east dam")
    assert other["target"]["bearing_deg"] == pytest.approx(102.2, abs=0.1)


def test_filters_keep_what_they_say(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    wide = ("--within", "5", "--end", "2029-12-31")
    everything = of_plan(plan, capsys, *wide)["hits"]

    def kept(*words: str) -> list[dict[str, Any]]:
        found = of_plan(plan, capsys, *wide, *words)
        assert 0 < len(found["hits"]) < len(everything) == found["found"]
        return list(found["hits"])

    def clock(hit: dict[str, Any]) -> dt.datetime:
        return dt.datetime.fromisoformat(hit["time"])

    assert all(hit["lit_fraction"] >= 0.9 for hit in kept("--lit", "90 %"))
    assert all(0.3 <= hit["lit_fraction"] <= 0.6 for hit in kept("--lit", "30-60 %"))
    # Civil twilight: the sun's centre between -6 deg and sunrise or sunset (AMS Glossary of Meteorology).
    assert all(-6.0 <= hit["sun_altitude_deg"] <= -0.833 for hit in kept("--light", "civil twilight"))
    assert all(-3.0 <= hit["sun_altitude_deg"] <= 10.0 for hit in kept("--sun-altitude", "-3", "10"))
    assert all(clock(hit).weekday() in (5, 6) for hit in kept("--weekdays", "Sat, Sun"))
    assert all(clock(hit).hour >= 22 or clock(hit).hour < 2 for hit in kept("--hours", "22:00-01:59"))
    for hit in kept("--clear"):
        assert hit["apparent_altitude_deg"] - hit["disc_deg"] / 2.0 >= 1.0 and hit["clear"]
    assert all(hit["clear"] == (hit["apparent_altitude_deg"] - hit["disc_deg"] / 2.0 >= 1.0) for hit in everything)


def test_sorting_and_limit(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    hits = of_plan(plan, capsys, "--sort", "closeness", "--within", "3")["hits"]
    misses = [hit["miss_deg"] for hit in hits]
    assert misses == sorted(misses) and [hit["time"] for hit in hits] != sorted(hit["time"] for hit in hits)
    assert of_plan(plan, capsys, "--sort", "closeness", "--within", "3", "--limit", "2")["hits"] == hits[:2]


def test_resting_is_half_a_disc_higher_and_the_sides_are_half_the_width_off(
    plan: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for place, right_discs, up_discs in (("resting", 0, 0.5), ("left", -0.5, 0), ("right", 0.5, 0)):
        data = of_plan(plan, capsys, "--place", place, "--within", "0.3", "--end", "2030-12-31")
        target = data["target"]
        half_deg = math.degrees(math.atan2(5.0, target["distance_m"])) * (right_discs > 0) - math.degrees(
            math.atan2(5.0, target["distance_m"])
        ) * (right_discs < 0)
        for hit in data["hits"]:
            right = hit["azimuth_deg"] - target["bearing_deg"] - half_deg - right_discs * hit["disc_deg"]
            up = hit["apparent_altitude_deg"] - target["apparent_altitude_deg"] - up_discs * hit["disc_deg"]
            # The air flattens a disc at 2 deg by 5 %; otherwise the miss is what is left.
            assert math.hypot(right, up) == pytest.approx(hit["miss_deg"], abs=0.03)


def test_one_frame_is_answered_for_each_body_whose_latitude_is_known(
    plan: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for hit in of_plan(plan, capsys, "--within", "3")["hits"]:
        low, high = hit["gap_stops"]
        assert low == pytest.approx(hit["ev_disc_low"] - hit["ev_land_high"])
        assert high == pytest.approx(hit["ev_disc_high"] - hit["ev_land_low"])
        assert set(hit["one_exposure"]) == {"full-frame body", "crop body"}
        if low > 8.0:  # the starter's larger latitude
            assert set(hit["one_exposure"].values()) == {"no"}


def test_spots_as_waypoints_have_the_top_where_de421_has_the_moon(
    plan: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["lineup", plan, "--within", "1", "--as", "gpx"]) == 0
    spots = gpxpy.parse(capsys.readouterr().out).waypoints
    ts, planets = load_de421()
    assert len(spots) > 3
    for p in spots:
        assert p.time is not None and p.elevation is not None
        when, level = p.time.astimezone(dt.UTC), p.elevation + 1.6
        line = sightline(Place(p.latitude, p.longitude, level), Place(53.4296, 12.7711, 101.0))
        eye = planets["earth"] + wgs84.latlon(p.latitude, p.longitude, elevation_m=level)
        instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second)
        altitude, azimuth, _ = eye.at(instant).observe(planets["moon"]).apparent().altaz()
        lift = 1.02 / 60.0 / math.tan(math.radians(altitude.degrees + 10.3 / (altitude.degrees + 5.11)))  # Meeus 16.4
        assert line.bearing_deg == pytest.approx(azimuth.degrees, abs=0.005)
        assert line.apparent_altitude_deg == pytest.approx(altitude.degrees + lift, abs=0.005)


def test_ctrl_c_ends_the_search_and_what_was_found_is_told(
    plan: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = 0

    def pressed(*arguments: Any, **named: Any) -> LineUps:
        heard = arguments[6]

        def listening(share: float) -> bool:
            nonlocal calls
            calls += 1
            if share > 0.3:
                os.kill(os.getpid(), signal.SIGINT)
            return bool(heard(share))

        return find_lineups(*arguments[:6], listening, *arguments[7:], **named)

    monkeypatch.setattr("fieldplan.lineupcommand.find_lineups", pressed)
    before = signal.getsignal(signal.SIGINT)
    assert main(["lineup", plan, "--end", "2036-12-31", "--as", "json"]) == 130
    printed = capsys.readouterr()
    data = json.loads(printed.out)
    assert data["stopped"] and len(data["hits"]) > 5 and data["hits"][-1]["time"] < "2032"
    assert "stopped" in printed.err and calls > 10
    assert signal.getsignal(signal.SIGINT) is before


def test_progress_is_for_a_terminal_only(
    plan: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main(["lineup", plan, "--end", "2036-12-31"]) == 0
    assert capsys.readouterr().err == ""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    assert main(["lineup", plan, "--end", "2036-12-31"]) == 0
    told = capsys.readouterr().err
    assert "\rsearching:  50 %, Ctrl+C stops" in told and told.endswith(" \r"), "and wiped out at the end"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--landmark", "chapl"), 'did you mean "chapel"'),
        (("--viewpoint", "west dam"), "east dam"),
        (("--lit", "90"), '--lit: "90" is no share of a disc'),
        (("--light", "tea time"), "no band of light"),
        (("--hours", "16:00"), "hours of the day"),
        (("--weekdays", "Caturday"), "weekday"),
        (("--sort", "beauty"), "closeness"),
        (("--limit", "0"), "--limit 10"),
        (("--place", "above"), "no place against a landmark"),
        (("--from", "53, 12"), "without a plan"),
        (("--body", "sun", "--lit", "90 %"), "always lit"),
        (("--light", "day", "--sun-altitude", "0", "5"), "not both"),
        (("--sky", "green"), "a sky"),
        (("--within", "0"), "within"),
        (("--within", "nan"), '--within: "nan" is not a number'),
        (("--sun-altitude", "low", "3"), '--sun-altitude: "low" is not a number'),
        (("--to-width", "wide"), '--to-width: "wide" is not a size'),
        (("--end", "soon"), '--end: "soon" is not a date'),
    ],
)
def test_wrong_words_with_a_plan_are_explained(
    plan: str, words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["lineup", plan, *words]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [((), "--from is missing"), (("--from", "53, 12"), "--to is missing"), (("--landmark", "chapel"), "--from is")],
)
def test_what_is_missing_is_named(words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lineup", *words]) == 2
    assert said in capsys.readouterr().err


def test_filters_that_leave_nothing_say_so(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lineup", plan, "--hours", "11:59-12:00"]) == 1
    assert "passes were found, and none is as asked for" in capsys.readouterr().err


def test_text_is_short_lines_that_say_where_to_stand_and_what_is_poor(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(call("--start", "2027-03-01", "--end", "2028-02-28", "--within", "1.5")) == 0
    text = capsys.readouterr().out
    assert all(len(line) <= 80 for line in text.splitlines()) and "-0.0" not in text
    assert "NOTE:" in text and "pale against the sky" in text and "may be too dim to see" in text
    assert "  there at " in text and "standard error of each" in text and "without any look" in text


def test_the_spot_of_a_hit_is_the_short_walk_sideways(capsys: pytest.CaptureFixture[str]) -> None:
    data = answers(capsys, "--start", "2027-03-01", "--end", "2027-06-30", "--within", "1.5")
    own_m = Geodesic.WGS84.Inverse(53.4318, 12.7541, 53.4296, 12.7711)["s12"]  # Karney's geodesic
    ts, planets = load_de421()
    seen = 0
    for hit in data["hits"]:
        stand = hit["stand"]
        error_m = own_m * math.tan(math.radians(hit["error_deg"]))
        assert stand["stay"] == (hit["miss_m"] <= error_m) or abs(hit["miss_m"] - error_m) < 0.05
        if not stand["sideways"]:
            continue
        seen += 1
        there = Geodesic.WGS84.Inverse(stand["latitude_deg"], stand["longitude_deg"], 53.4296, 12.7711)
        assert there["s12"] == pytest.approx(own_m, abs=1.0), "as far off as the viewpoint"
        when = dt.datetime.fromisoformat(stand["time"]).astimezone(dt.UTC)
        eye = planets["earth"] + wgs84.latlon(stand["latitude_deg"], stand["longitude_deg"], elevation_m=65.6)
        instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second)
        _, azimuth, _ = eye.at(instant).observe(planets["moon"]).apparent().altaz()
        assert azimuth.degrees == pytest.approx(there["azi1"] % 360.0, abs=0.02)
    assert seen >= 2


def test_the_year_that_a_reason_names_is_one_in_which_a_search_finds_it(capsys: pytest.CaptureFixture[str]) -> None:
    far_north = ["lineup", "--from", "50.2000, -5.4000", "--from-level", "4.6 m", "--to", "50.2200, -5.3720",
                 "--to-level", "38 m"]  # fmt: skip
    assert main([*far_north, "--start", "2027-01-10", "--end", "2028-01-10"]) == 1
    told = " ".join(capsys.readouterr().err.split())
    day = told.rpartition("first on ")[2].rstrip(".")
    assert "29.4 degrees north" in told and dt.date.fromisoformat(day).year > 2030
    before = dt.date.fromisoformat(day) - dt.timedelta(days=1)
    assert main([*far_north, "--start", str(before), "--end", str(before + dt.timedelta(days=3))]) == 0
    capsys.readouterr()
    assert main([*far_north, "--start", str(before - dt.timedelta(days=400)), "--end", str(before)]) == 1


def test_a_plan_in_feet_is_answered_in_feet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """1 ft is 0.3048 m exactly (international foot, 1959)."""
    metric = (starters_folder("demo") / "lake-and-chapel.toml").read_text(encoding="utf-8")
    told = []
    imperial = metric.replace('units = "metric"', 'units = "imperial"')
    for name, text in (("metric", metric), ("imperial", imperial)):
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
        assert main(["lineup", str(tmp_path / f"{name}.toml"), "--limit", "1", "--within", "1.5"]) == 0
        told.append(capsys.readouterr().out)
    metres, feet = (float(re.search(r"misses by [\d.]+ discs \((\d+) (m|ft)\)", text)[1]) for text in told)  # type: ignore
    assert feet == pytest.approx(metres / 0.3048, abs=0.5 / 0.3048 + 0.5)
    assert not re.search(r"\d m\b", told[1])


def test_what_hinders_and_what_was_assumed_is_told_in_feet_too(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    """167 km over the sea hide a top of 30 m; 200 ft are 60.96 m."""
    text = PLAN.replace('profile = "two-bodies"', 'profile = "two-bodies"\nunits = "imperial"')
    text = text.replace('foot = "70 m"\n', "").replace('elevation = "62 m"', 'elevation = "200 ft"')
    Path(plan).write_text(text, encoding="utf-8")
    assert main(["lineup", plan, "--limit", "1"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "foot of chapel taken at the site's elevation, 200 ft" in out and "positions to 16 ft" in out
    assert main(["lineup", plan, "--limit", "1", "--as", "gpx"]) == 0
    note = gpxpy.parse(capsys.readouterr().out).waypoints[0].description or ""
    assert re.search(r"walk \d+ ft to \d{3}", note) and "eye 5.2 ft" in note
    Path(plan).write_text(text.replace("53.4296, 12.7711", "54.9296, 12.7711"), encoding="utf-8")
    assert main(["lineup", plan]) == 1
    err = capsys.readouterr().err
    assert "The top (302 ft above the sea, 1" in err and not re.search(r"\d k?m\b", err)


def test_doubtful_positions_are_noted_as_in_light(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--start", "2027-03-01", "--end", "2027-03-31")
    main(["lineup", "--from", "53,12", "--to", "53.01, 12.1", "--to-level", "90 m", *words])
    assert 'note: --from: "53,12" reads as 53 N 12 E, which is good to 56 km only' in capsys.readouterr().err
    main(["lineup", *call(*words)[1:], "--zone", "America/New_York"])
    assert "lies in Europe/Berlin" in capsys.readouterr().err
    assert main(["lineup", plan, "--limit", "1"]) == 0
    assert capsys.readouterr().err == ""
    Path(plan).write_text(PLAN.replace("12.7711", "-72.7711"), encoding="utf-8")
    main(["lineup", plan])
    assert 'note: landmark "chapel": 53.4296 N 72.7711 W lies in' in capsys.readouterr().err


def test_a_place_is_a_saved_name_or_a_waypoint_but_no_city(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "profiles").mkdir()
    (tmp_path / "places.gpx").write_text(
        '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
        '<wpt lat="53.4296" lon="12.7711"><ele>70</ele><name>chapel</name></wpt></gpx>',
        encoding="utf-8",
    )
    (tmp_path / "profiles" / "places.toml").write_text(
        '[[place]]\nname = "east dam (invented)"\nposition = "53.4318, 12.7541"\nelevation = "64 m"\n',
        encoding="utf-8",
    )
    rest = ("--to-level", TO[1], "--start", "2027-03-01", "--end", "2027-06-30", "--within", "1.5", "--as", "json")
    waypoint = f"{tmp_path / 'places.gpx'}#chapel"
    named = ["lineup", "--profiles", str(tmp_path / "profiles"), "--from", "East dam (invented)", "--to", waypoint]
    assert main([*named, *rest]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found == answers(capsys, *rest[2:-2]), "the eye stands 1.6 m over the saved 64 m"
    assert main(["lineup", "--from", "Oslo", "--to", TO[0], *rest]) == 2
    assert (
        '--from: "Oslo" is neither a position nor a saved place (a city is too rough here)' in capsys.readouterr().err
    )


def test_ctrl_c_after_the_search_says_so_with_the_same_status(
    plan: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def pressed(*_: Any) -> None:
        os.kill(os.getpid(), signal.SIGINT)

    monkeypatch.setattr("fieldplan.lineupcommand.hit_spots", pressed)
    assert main(["lineup", plan, "--limit", "1"]) == 130
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", "fieldplan: stopped\n")
