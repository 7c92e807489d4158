"""Moon and sun as subjects of a shot, alone and behind a landmark: distance, light, sharpness, words."""

from __future__ import annotations

import datetime as dt
import math
import re

import ephem
import pytest

from fieldplan.files.places import starters_folder
from fieldplan.files.reading import load_profile
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.opening import setting_of
from fieldplan.planner.answers import ShotAnswers
from fieldplan.planner.plans import assess_shot
from fieldplan.planner.rigs import prepare

AU_M = 149_597_870_700.0  # IAU 2012 resolution B2
MARK = {"name": "mill", "position": "53.4296, 12.7711", "foot": "70 m", "height": "31 m"}


@pytest.fixture(scope="module")
def gear() -> Profile:
    return load_profile(starters_folder("profiles") / "two-bodies.toml").value


def asked(gear: Profile, sky: str, time: str = "21:00", behind: str | None = None, **more: object) -> ShotAnswers:
    subject = {"sky": sky} if behind is None else {"sky": sky, "behind": behind}
    plan = Plan.model_validate({
        "title": "t", "date": dt.date(2027, 3, 21),
        "site": {"name": "hide", "position": "53.43, 12.75", "time_zone": "Europe/Berlin", "elevation": "62 m",
                 "landmark": [MARK]},
        "shot": [{"name": "disc", "subject": subject, "time": dt.time.fromisoformat(time), "support": "tripod",
                  **more}],
    })  # fmt: skip
    return assess_shot(plan, plan.shots[0], prepare(gear), setting_of(plan.site))


def reference(sky: str, utc: str) -> ephem.Body:
    """The body by PyEphem (XEphem's astronomy by E. C. Downey), seen from the site."""
    there = ephem.Observer()
    there.lat, there.lon, there.elevation, there.pressure = "53.43", "12.75", 63.6, 0
    there.date = f"2027/3/21 {utc}"
    return ephem.Moon(there) if sky == "moon" else ephem.Sun(there)


@pytest.mark.parametrize(("sky", "time", "utc"), [("moon", "21:00", "20:00"), ("sun", "12:00", "11:00")])
def test_the_distance_and_the_size_are_those_of_the_moment(gear: Profile, sky: str, time: str, utc: str) -> None:
    body, found = reference(sky, utc), asked(gear, sky, time)
    assert found.wanted is not None and found.wanted.distance is not None and found.wanted.height is not None
    angle = math.degrees(2.0 * math.asin(found.wanted.height[0] / 2.0 / found.wanted.distance[0]))
    # PyEphem's radius is the topocentric one; its moon has k 0.2725, half a per mille from the mean radius.
    assert angle == pytest.approx(2.0 * math.degrees(body.radius), rel=2e-3)
    if sky == "sun":
        assert found.wanted.distance[0] == pytest.approx(body.earth_distance * AU_M, rel=1e-4)
    assert f"{math.degrees(body.az):03.0f}" in " ".join(found.notes)


def test_the_moon_drifts_as_a_reference_sees_it(gear: Profile) -> None:
    found = asked(gear, "moon")
    one, other = reference("moon", "19:59:30"), reference("moon", "20:00:30")
    rate = math.degrees(ephem.separation((one.az, one.alt), (other.az, other.alt))) * 3600 / 60
    assert found.wanted is not None and found.wanted.distance is not None
    assert math.degrees(found.wanted.speed_m_s / found.wanted.distance[0]) * 3600 == pytest.approx(rate, rel=5e-3)


def test_the_moon_is_exposed_for_its_disc_and_the_reason_says_so(gear: Profile) -> None:
    found = asked(gear, "moon")
    assert found.light is not None and found.best is not None
    # ANSI PH2.7-1973: EV 15 for a full moon high in the sky, 14 for a gibbous one; the air takes some of it.
    assert 11.0 < found.light.ev100_low < found.light.ev100 < found.light.ev100_high <= 15.0
    assert "the moon's disc itself" in found.light.reason and "the land, open ground, is EV -" in found.light.reason
    best = found.best
    assert best.effective_f_number is not None and best.shutter_s is not None and best.iso is not None
    ev = math.log2(best.effective_f_number**2 / best.shutter_s / (best.iso / 100.0))
    assert ev == pytest.approx(found.light.ev100, abs=0.4)  # whole thirds of a stop


def test_a_light_that_the_shot_gives_itself_stays(gear: Profile) -> None:
    found = asked(gear, "moon", light="EV 10")
    assert found.light is not None and found.light.ev100 == 10.0 and found.light.source == "given"


def test_a_moon_below_the_horizon_has_no_light_and_says_so(gear: Profile) -> None:
    assert math.degrees(reference("moon", "10:00").alt) < -1.0
    found = asked(gear, "moon", "11:00")
    assert found.light is None and any("below the horizon" in note for note in found.notes)


def test_the_sun_has_no_exposure_but_its_caution_first(gear: Profile) -> None:
    found = asked(gear, "sun", "12:00")
    assert found.light is None and all(rig.iso is None for rig in found.rigs)
    assert [line.kind for line in found.cautions][:2] == ["sun", "sun filter"]
    assert "certified solar filter" in found.notes[0]
    assert not any("so no ISO" in note for note in found.notes)


def test_no_share_of_the_frame_is_made_up_for_a_disc(gear: Profile) -> None:
    found = asked(gear, "moon")
    assert found.wanted is not None and found.wanted.fill is None and not found.wanted.fill_assumed
    assert found.best is not None and found.best.fill is not None and found.best.focal_m is not None
    # At infinity the image of a disc is as wide as the focal length times twice the tangent of its radius.
    image = found.best.focal_m * 2.0 * math.tan(reference("moon", "20:00").radius)
    assert found.best.frame_height_m is not None and found.best.frame_width_m is not None
    short = min(found.best.frame_height_m, found.best.frame_width_m)
    assert found.best.fill == pytest.approx(image / short, rel=0.01)


def test_behind_a_landmark_both_are_to_be_sharp(gear: Profile) -> None:
    found = asked(gear, "moon", "17:50", behind="mill")
    assert found.wanted is not None and found.wanted.sharp_from_m == pytest.approx(1403.0, abs=2.0)
    assert found.wanted.sharp_to_m == math.inf and found.cannot_be == ()
    text = "\n".join(found.notes)
    # 31 m at 1.4 km take 1.27 degrees: atan(31 / 1403).
    discs = math.degrees(math.atan(31 / 1403)) / (2.0 * math.degrees(reference("moon", "16:50").radius))
    told = re.search(r"it is ([\d.]+) discs high", text)
    assert told is not None and float(told[1]) == pytest.approx(discs, abs=0.06) and "bearing 092, 1403 m off" in text
    assert "mill, 1403 m off, and disc are both sharp" in text and "longest shutter before the disc smears" in text
    for rig in found.rigs:
        if rig.verdict == "works" and rig.near_m is not None and rig.far_m is not None:
            assert rig.near_m <= 1404.0 and rig.far_m == math.inf


def test_the_wanted_sharpness_of_the_shot_itself_comes_first(gear: Profile) -> None:
    found = asked(gear, "moon", behind="mill", sharp_from="900 m", sharp_to="infinity")
    assert found.wanted is not None and found.wanted.sharp_from_m == 900.0


def test_without_a_moment_the_mean_distance_counts(gear: Profile) -> None:
    plan = Plan.model_validate({"title": "t", "shot": [{"name": "m", "subject": {"sky": "moon"}}]})
    found = assess_shot(plan, plan.shots[0], prepare(gear), setting_of(None))
    assert found.wanted is not None and found.wanted.distance == (384.4e6, 384.4e6)  # mean distance, IAU
    assert any("wants the site's position" in note for note in found.notes)
