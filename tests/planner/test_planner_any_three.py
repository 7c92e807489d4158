"""Any three of size, distance, share of the frame and focal length give the fourth, with its error."""

from __future__ import annotations

import pytest

from .shots import gear, only, shot_answers, thing


def test_the_field_of_a_textbook_camera() -> None:
    # OpenStax University Physics 3, thin lenses: f 50 mm, object at 3.00 m, film 36.0 mm wide: 2.12 m fit
    answers = shot_answers({"distance": f"{3 + 0.05085} m", "fill": "100 %", "focal": "50 mm"}, gear({"focal": 50}))
    assert answers.missing == "size"
    assert answers.needed_size[0].width_high_m == pytest.approx(2.12, abs=0.005)


@pytest.mark.parametrize("height", ["0.9 m", "0.8-1 m"])
def test_each_is_the_answer_to_the_other_three(height: str) -> None:
    size = {"subject": thing(height=height)}
    focal = shot_answers({**size, "distance": "40 m", "fill": "60 %", "hold": "level"})
    assert focal.missing == "focal length"
    needed = focal.needed_focal[0]
    profile = gear({"focal": f"{needed.focal_m * 1000:.9f} mm"})
    at = {"hold": "level", "focal": f"{needed.focal_m * 1000:.9f} mm"}

    share = shot_answers({**size, **at, "distance": "40 m"}, profile)
    assert share.missing == "share"
    assert share.rigs[0].fill == pytest.approx(0.6)

    distance = shot_answers({**size, **at, "fill": "60 %"}, profile)
    assert distance.missing == "distance"
    assert distance.needed_distance[0].distance_m == pytest.approx(40.0)
    assert distance.rigs[0].distance_m == pytest.approx(40.0)

    extent = shot_answers({**at, "fill": "60 %", "distance": "40 m"}, profile)
    assert extent.missing == "size"
    assert extent.needed_size[0].height_low_m == pytest.approx(0.9)


def test_a_size_that_is_a_range_gives_a_range() -> None:
    size = {"subject": thing(height="0.8-1.0 m"), "hold": "level"}
    focal = shot_answers({**size, "distance": "40 m", "fill": "60 %"}).needed_focal[0]
    away = shot_answers({**size, "focal": "600 mm", "fill": "60 %"}).needed_distance[0]
    share = shot_answers({**size, "focal": "600 mm", "distance": "40 m"}).rigs[0]
    for text, share_now, focal_now, way in (
        ("0.8 m", share.fill_low, focal.high_m, away.low_m),
        ("1.0 m", share.fill_high, focal.low_m, away.high_m),
    ):
        exact = {"subject": thing(height=text), "hold": "level"}
        assert shot_answers({**exact, "distance": "40 m", "fill": "60 %"}).needed_focal[0].focal_m == focal_now
        there = shot_answers({**exact, "focal": "600 mm", "fill": "60 %"}).needed_distance[0].distance_m
        assert there == pytest.approx(way)
        assert only({**exact, "focal": "600 mm", "distance": "40 m"}).fill == pytest.approx(share_now)


def test_too_little_to_go_by_is_told() -> None:
    assert "give the distance" in (shot_answers({"fill": "60 %"}).problem or "")
    assert shot_answers({"subject": "no such animal", "distance": "4 m"}).problem == (
        'subject: "no such animal" is not in the list of subjects; describe it: { name = "...", height = "..." }'
    )
    assert 'did you mean "grey heron"' in (shot_answers({"subject": "grey herron", "distance": "9 m"}).problem or "")
    wrong = shot_answers({"subject": "grey heron", "activity": "wadding", "distance": "9 m"}).problem or ""
    assert 'did you mean "wading"' in wrong
