"""Counts of pictures by setting, and gear that the profile does not hold."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.files.reading import validated
from fieldplan.model.gear import Profile
from fieldplan.planner.offered import offers, toml_of
from fieldplan.planner.seen import LensRange, Seen, equivalent_m, sensor_of
from fieldplan.planner.tallies import sensors_of, tally

PROFILE = validated(
    {
        "fieldplan_profile": 1,
        "name": "invented",
        "body": [{"name": "Body A", "sensor": "24x16 mm", "pixels": "6000x4000", "mount": "A"}],
        "lens": [{"name": "Lens A", "focal": "50 mm", "f_number": 2, "mount": "A"}],
    },
    Profile,
)
positive = st.one_of(st.none(), st.floats(1e-6, 1e7))


def picture(**parts: Any) -> Seen:
    return Seen("p.jpg", **parts)


@pytest.mark.parametrize(
    ("focal_mm", "sensor", "equivalent"),
    [(50, (24, 16), 75), (31, (22.5, 15), 49.6), (300, (22.5, 15), 480), (100, (36, 24), 100), (18, (22.5, 15), 28.8)],
)
def test_equivalent_by_the_diagonal(focal_mm: float, sensor: tuple[float, float], equivalent: float) -> None:
    """Crop factor 1.5 for 24x16 mm, 1.6 for 22.5x15 mm: 50 mm is as 75, 300 as 480, 18 as 28.8 (common practice)."""
    found = equivalent_m(picture(focal_m=focal_mm / 1000, sensor=(sensor[0] / 1000, sensor[1] / 1000)))
    assert found is not None
    assert found * 1000 == pytest.approx(equivalent, rel=2e-3)


def test_the_profile_knows_the_sensor_where_the_file_does_not() -> None:
    used = tally([picture(body="body a", focal_m=0.05)], sensors_of(PROFILE))
    assert [(b.label, b.pictures) for b in used.tallies[1].bins] == [("71-100 mm", 1)]
    assert tally([picture(body="other", focal_m=0.05)]).tallies[1].unknown == 1


@given(st.lists(st.tuples(positive, positive, positive, positive), max_size=60))
def test_every_picture_is_counted_once_in_each(rows: list[tuple[float | None, ...]]) -> None:
    pictures = [picture(focal_m=a, f_number=b, shutter_s=c, iso=d) for a, b, c, d in rows]
    used = tally(pictures)
    for one in used.tallies:
        assert one.known + one.unknown == len(pictures)
        assert len(one.bins) <= 30
        assert all(a.high == pytest.approx(b.low) or a.low == pytest.approx(b.high)
                   for a, b in zip(one.bins, one.bins[1:], strict=False))  # fmt: skip


@pytest.mark.parametrize(
    ("at", "parts", "label"),
    [
        (2, {"f_number": 5.6}, "f/5.6"),
        (2, {"f_number": 6.3}, "f/5.6"),  # a third above; 7.1 is a third below f/8
        (2, {"f_number": 7.1}, "f/8"),
        (3, {"shutter_s": 1 / 640}, "1/500"),
        (3, {"shutter_s": 1 / 800}, "1/1000"),
        (4, {"iso": 1250.0}, "1600"),
        (4, {"iso": 1000.0}, "800"),
        (0, {"focal_m": 0.05}, "50-71 mm"),
        (0, {"focal_m": 0.6}, "570-800 mm"),
    ],
)
def test_bins_are_whole_stops(at: int, parts: dict[str, float], label: str) -> None:
    assert [b.label for b in tally([picture(**parts)]).tallies[at].bins] == [label]


def test_the_most_used_stands_first() -> None:
    used = tally([picture(body="B", lens="L"), picture(body="A", lens="L"), picture(body="A")])
    assert used.bodies == (("A", 2), ("B", 1))
    assert used.pairs[0][2] == 1 and len(used.pairs) == 3


def test_gear_in_the_profile_is_not_offered() -> None:
    assert offers([picture(body="BODY A", lens="lens a")], PROFILE) == ()


def test_offered_entries_are_toml_with_blanks_named() -> None:
    sensor = (0.0236, 0.0157)
    shots = [
        picture(body='B "one"\\', sensor=sensor, pixels=(6000, 4000), lens="L", focal_m=0.2, f_number=5.0),
        picture(body='B "one"\\', sensor=sensor, pixels=(4000, 6000), lens="L", focal_m=0.4, f_number=8.0,
                lens_range=LensRange(0.15, 0.6, 5.0, 6.3)),
        picture(lens="M", focal_m=0.035, f_number=2.8),
        picture(lens="M", focal_m=0.02, f_number=4.0),
    ]  # fmt: skip
    body, zoom, other = offers(shots, PROFILE)
    read = tomllib.loads(toml_of(body))["body"][0]
    assert read == {"name": 'B "one"\\', "sensor": "23.6x15.7 mm", "pixels": "6000x4000", "mount": ""}
    assert body.blanks == ("mount",)
    read = tomllib.loads(toml_of(zoom))["lens"][0]
    assert (read["focal"], read["f_number"]) == ("150-600 mm", "5-6.3")
    read = tomllib.loads(toml_of(other))["lens"][0]
    assert (read["focal"], read["f_number"]) == ("20-35 mm", "2.8")


def test_a_sensor_from_the_equivalent_tag_else_a_blank() -> None:
    found = sensor_of(picture(focal_m=0.05, equivalent_m=0.08, pixels=(6000, 4000)))
    assert found is not None
    assert found[0] == (pytest.approx(0.0225), pytest.approx(0.015))
    (body,) = offers([picture(body="C", focal_m=0.05)], PROFILE)
    assert body.blanks == ("sensor", "pixels", "mount")
    assert "to fill in" in toml_of(body)
