"""The caution of heat shimmer: over ground that the sun has warmed, far off, in the middle of the day."""

from __future__ import annotations

import pytest

from .shots import shot_answers, thing


@pytest.mark.parametrize(
    ("date", "clock", "warned"),
    [("2027-06-21", "13:00", True), ("2027-12-21", "13:00", False), ("2027-06-21", "06:30", False)],
)
def test_the_air_shimmers_over_ground_that_the_sun_has_warmed(date: str, clock: str, warned: bool) -> None:
    """At 60 N the sun stands 53 deg high at noon of the summer solstice and 6.6 deg at that of the winter one
    (90 - 60 +- 23.4); the grading by hour and distance is common practice, as data/cautions.toml says."""
    site = {"name": "fen", "position": "60.0, 10.0", "sky": "clear"}
    shot = {"subject": thing(height="2 m"), "distance": "400 m", "time": clock}
    found = shot_answers(shot, None, "Europe/Oslo", site=site, date=date)
    assert any("shimmer" in caution.text for caution in found.cautions) is warned


def test_without_a_place_the_hour_alone_counts() -> None:
    found = shot_answers({"subject": thing(height="2 m"), "distance": "400 m", "time": "13:00"}, date="2027-12-21")
    assert any("shimmer" in caution.text for caution in found.cautions)
