"""A position said back, and likely slips. Places from an atlas; offsets from the tz database by zoneinfo."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from fieldplan.checkcommand import run_check
from fieldplan.files.whereabouts import whereabouts
from fieldplan.model.fields import Spot

WINTER = dt.date(2027, 1, 15)


def warned(text: str, zone: str | None, date: dt.date | None = WINTER) -> str:
    return "\n".join(whereabouts(Spot.read(text), zone, date).warnings)


def test_a_position_is_said_back_in_two_notations_and_with_its_zone() -> None:
    found = whereabouts(Spot.read("52.3012, 4.9711"), "Europe/Amsterdam", WINTER)
    # 0.3012 deg = 18.072', 0.9711 deg = 58.266'
    assert found.echo == "52.30120, 4.97110 (52 18.072 N 4 58.266 E), Europe/Amsterdam"
    assert found.warnings == ()


def test_a_decimal_comma_read_as_two_whole_degrees_is_warned_of() -> None:
    # half a degree of latitude is 30 nautical miles of 1852 m: 55.6 km
    text = warned("52,4", None)
    assert '"52,4" reads as 52 N 4 E' in text and "56 km" in text
    assert warned("52.30, 4.97", None) == ""  # half of a hundredth of a degree: 0.6 km


@pytest.mark.parametrize(
    ("text", "zone", "meant"),
    [
        ("40.7128, 74.0060", "America/New_York", "40.7128 N 74.006 W"),  # New York with its west left out
        ("33.8688, 151.2093", "Australia/Sydney", "33.8688 S 151.2093 E"),  # Sydney with its south left out
        ("23.5505, 46.6333", "America/Sao_Paulo", "23.5505 S 46.6333 W"),  # Sao Paulo with both left out
        ("4.9041, 52.3676", "Europe/Amsterdam", "52.3676 N 4.9041 E"),  # Amsterdam, swapped
        ("36.8219, -1.2921", "Africa/Nairobi", "1.2921 S 36.8219 E"),  # Nairobi, swapped
        ("52.3, 4.9", "Europe/London", "52.3 N 4.9 W"),  # Cardigan Bay
    ],
)
def test_a_slip_is_guessed_from_the_zone_written(text: str, zone: str, meant: str) -> None:
    assert f'did you mean "{meant}"?' in warned(text, zone)


def test_clocks_are_compared_not_names_of_zones() -> None:
    assert warned("52.3012, 4.9711", "Europe/Paris") == ""  # both an hour ahead
    assert warned("52.3012, 4.9711", "Etc/GMT-1") == ""
    assert "UTC+02:00" in warned("52.3012, 4.9711", "Etc/GMT-1", dt.date(2027, 7, 1))
    # Phoenix keeps no summer time: the clock of Denver in winter, that of Los Angeles in summer
    assert warned("33.4484, -112.0740", "America/Denver") == ""
    assert warned("33.4484, -112.0740", "America/Denver", dt.date(2027, 7, 1)) != ""
    assert warned("33.4484, -112.0740", "America/Denver", None) != ""


def test_without_a_zone_or_with_an_unknown_one_there_is_no_guess() -> None:
    assert warned("40.7128, 74.0060", None) == ""
    assert warned("40.7128, 74.0060", "Mars/Olympus") == ""


def test_where_nothing_fits_only_the_disagreement_is_told() -> None:
    text = warned("52.3012, 4.9711", "Asia/Kathmandu")
    assert "Europe/Amsterdam (UTC+01:00)" in text and "UTC+05:45" in text and "did you mean" not in text


def test_check_tells_where_the_site_lies_and_what_looks_like_a_slip(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(
        'fieldplan_plan = 1\ntitle = "t"\ndate = 2027-01-15\n[site]\nname = "pier (invented)"\n'
        'position = "40.7128, 74.0060"\ntime_zone = "America/New_York"\n'
        '[[site.landmark]]\nname = "tower"\nposition = "41, -74"\n'
    )
    assert run_check([str(plan)]) == 0
    said = capsys.readouterr().out
    assert "note: site: 40.71280, 74.00600 (40 42.768 N 74 00.360 E)" in said
    assert 'did you mean "40.7128 N 74.006 W"?' in said
    assert 'landmark "tower": "41, -74" reads as 41 N 74 W' in said
