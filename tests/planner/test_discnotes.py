"""What is said of the first answer for a disc: diffraction, the longer lens, no settings for the sun."""

from __future__ import annotations

import re

import pytest

from fieldplan.model.plan import SkySubject
from fieldplan.planner.answers import Answer
from fieldplan.planner.discnotes import (
    diffraction_note,
    longer_note,
    rig_notes,
    sharp_together,
    without_filter_none,
)
from fieldplan.planner.shortfalls import Shortfall

INF = float("inf")


def answer(label: str = "body + 150-600", **more: object) -> Answer:
    made = Answer(label, "body", label, None, None, None, "tripod", "level", 2.0, "works", ())
    return made._replace(**more)  # type: ignore[arg-type]


def test_an_airy_disc_wider_than_the_circle_is_told() -> None:
    # Airy disc 2.44 lambda N: 26.8 um at f/20 and 550 nm (Hecht, Optics, ch. 10); the circle 19 um is met at f/14.2.
    airy = 2.44 * 550e-9 * 20.0
    told = diffraction_note(answer(f_number=20.0, circle_m=19e-6, airy_m=airy))
    assert "27 um" in told and "19 um" in told
    even = re.search(r"from about f/([\d.]+) down", told)
    assert even is not None and 12.5 <= float(even[1]) <= 14.3
    assert diffraction_note(answer(f_number=8.0, circle_m=19e-6, airy_m=2.44 * 550e-9 * 8.0)) == ""


def test_why_a_much_longer_lens_is_not_first() -> None:
    first = answer("body + 100", focal_m=0.1, iso=100.0, support=None)
    long = answer(focal_m=0.6, iso=800.0, support=None, pixels_on_subject=1300.0)
    told = longer_note([first, long])
    assert "600 mm" in told and "hand-held" in told and "ISO 800" in told and "1300 pixels" in told
    short = long._replace(shortfalls=(Shortfall("iso", (6400.0, 3200.0, 1.0, 0.1)),), support="tripod")
    assert "hand-held" not in longer_note([first, short]) and short.shortfalls[0].text in longer_note([first, short])
    assert longer_note([first, long._replace(focal_m=0.12)]) == ""
    assert longer_note([long, first]) == ""


def test_the_sun_gets_no_shutter_and_no_iso_and_the_moon_keeps_them() -> None:
    given = (answer(shutter_s=0.3, iso=100.0, iso_low=100.0, iso_high=200.0, motion_limit_s=0.3),)
    (sun,) = without_filter_none(SkySubject(sky="sun"), given)
    assert (sun.shutter_s, sun.iso, sun.iso_low, sun.iso_high) == (None, None, None, None)
    assert without_filter_none(SkySubject(sky="moon"), given) == given == without_filter_none("heron", given)


@pytest.mark.parametrize(("landmark_m", "sharp"), [(300.0, False), (501.0, True)])
def test_both_are_sharp_only_from_where_the_depth_begins(landmark_m: float, sharp: bool) -> None:
    best = answer(near_m=500.0, far_m=INF)
    assert sharp_together(best, landmark_m) is sharp and sharp_together(None, landmark_m) is None
    told = " ".join(rig_notes(SkySubject(sky="moon", behind="mill"), landmark_m, [best], "metric"))
    assert (
        ("not both sharp" in told) is not sharp
        and "nearer than 500 m not both" in told
        and "lamps on mill itself are not reckoned" in told
    )
