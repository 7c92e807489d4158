"""``fieldplan lineup`` from the outside: its JSON, its words, its exit status."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from skyfield.api import wgs84

from fieldplan.cli import main

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
