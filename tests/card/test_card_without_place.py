"""A card without its place: no form of it holds a position in any notation, a name of the place, or a bearing."""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from fieldplan.card import render
from fieldplan.cli import main
from fieldplan.files.places import starters_folder
from fieldplan.files.reading import load_plan
from fieldplan.notation.position import STYLES
from fieldplan.opening import Opened, answers_to, open_plan, shared_answers
from fieldplan.planner.answers import PlanAnswers

from .nest import NAMES, PLACES, PLAN, as_words, bare, leaks, notations, shared_of

FORMS = ("text", "html", "json", "ics", "pdf")


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Opened:
    path = tmp_path_factory.mktemp("plans") / "nest.toml"
    path.write_text(PLAN)
    return open_plan(str(path))


@pytest.fixture(scope="module")
def whole(opened: Opened) -> PlanAnswers:
    return answers_to(opened)


@pytest.fixture(scope="module")
def told(opened: Opened) -> PlanAnswers:
    return shared_answers(opened).answers


def test_the_search_finds_what_is_there(whole: PlanAnswers) -> None:
    """The tests below mean something: in the whole card every kind of leak is found."""
    for form in FORMS:
        assert leaks(as_words(whole, form)), form
    assert set(NAMES) <= set(leaks(as_words(whole, "text")))
    assert len(notations(53.4312, 12.7503)) >= 10


@pytest.mark.parametrize("form", FORMS)
def test_no_form_leads_to_the_place(told: PlanAnswers, form: str) -> None:
    text = as_words(told, form)
    assert leaks(text) == []
    assert "landmark 1" in text


@pytest.mark.parametrize("form", FORMS)
def test_what_is_to_be_shared_is_still_there(told: PlanAnswers, form: str) -> None:
    text = bare(as_words(told, form))
    for word in ("sea eagle from", "at dawn", "moon behind landmark 1", "80", "tripod"):
        assert bare(word) in text, word


def walk(found: Any, key: str = "") -> Any:
    if isinstance(found, dict):
        for name, part in found.items():
            yield from walk(part, name)
    elif isinstance(found, list):
        for part in found:
            yield from walk(part, key)
    else:
        yield key, found


def test_json_has_its_keys_and_nulls_for_the_place(whole: PlanAnswers, told: PlanAnswers) -> None:
    shared = told
    told = json.loads(render(shared, "json"))
    before = json.loads(render(whole, "json"))
    assert told.keys() == before.keys()
    assert set(told["plan"]["site"].values()) == {None}
    for key, value in walk(told):
        if any(
            word in key for word in ("azimuth", "bearing", "latitude", "longitude", "sun_altitude", "moon_altitude")
        ):
            assert value is None, key
        if isinstance(value, float):
            assert not any(abs(abs(value) - c) < 0.001 for place in PLACES.values() for c in place), key
    assert told["plan"]["leave"] is None and told["plan"]["time_zone"] is None


def test_answers_themselves_stay(whole: PlanAnswers, told: PlanAnswers) -> None:
    for a, b in zip(whole.shots, told.shots, strict=True):
        assert a.when == b.when, "the same instant, told by its offset"
        assert b.when is not None and b.when.tzinfo == dt.timezone(dt.timedelta(hours=1))
        assert a.best is not None and b.best is not None and a.best.label == b.best.label
        if a.light is None or b.light is None:  # the moon, which is down
            continue
        assert abs(a.light.ev100 - b.light.ev100) <= 0.25, "rounded to half a stop"
        assert a.best.iso is not None and b.best.iso is not None and a.best.shutter_s and b.best.shutter_s
        settings = [math.log2(r.f_number**2 / r.shutter_s * 100.0 / r.iso) for r in (a.best, b.best)]  # type: ignore
        assert abs(settings[0] - settings[1]) <= 0.25 + 2.0 / 3.0, "and thirds of the settings"


def test_numbers_are_too_coarse_to_reckon_back(told: PlanAnswers) -> None:
    """Light in half stops, times of work in ten minutes of the clock, nothing that rests on how far the moon is."""
    data = json.loads(render(told, "json"))
    for shot in data["shots"]:
        for key in ("ev100", "ev100_low", "ev100_high"):
            assert shot["light"][key] is None or shot["light"][key] % 0.5 == 0.0
        for span in shot["times"]:
            moments = [dt.datetime.fromisoformat(t) for t in (*span["start_range"], *span["end_range"])]
            assert all(t.minute % 10 == 0 and t.second == 0 for t in moments), span
            assert all(t.utcoffset() == dt.timedelta(hours=1) for t in moments), "the clock of the shot, no UTC"
        assert all(gain["minutes"] % 10 == 0 for gain in shot["gains"])
        assert shot["ladder"] is None
    moon = data["shots"][0]
    assert moon["distance_m"] is None and {rig["distance_m"] for rig in moon["rigs"]} == {None}
    for rig in moon["rigs"]:
        for key in ("fill", "magnification", "pixels_on_subject"):
            assert rig[key] is None or float(f"{rig[key]:.2g}") == rig[key]
    assert "000 km" not in as_words(told, "text")


def test_another_place_far_off_gives_the_very_same_card(opened: Opened) -> None:
    """What a card without its place tells, measured: somebody who knows this program and tries every place cannot tell
    apart those that give the same card. The bare numbers gave the place to the metre before they were rounded."""
    shots = opened.plan.value.shots[2:]
    site = opened.plan.value.site
    assert site is not None and site.position is not None
    bare_site = {"landmarks": (), "viewpoints": (), "time_zone": "Europe/Berlin"}

    def card(north_km: float, east_km: float) -> str:
        assert site is not None and site.position is not None
        lat = site.position.latitude_deg + north_km / 111.2
        lon = site.position.longitude_deg + east_km / 111.2 / math.cos(math.radians(53.43))
        there = site.model_copy(update={"position": site.position._replace(latitude_deg=lat, longitude_deg=lon),
                                        **bare_site})  # fmt: skip
        shot = shots[0].model_copy(update={"viewpoint": None})
        made = render(shared_of(opened, site=there, readings=(), taken=(), shots=(shot,)), "json")
        assert isinstance(made, str)
        return made

    here = card(0.0, 0.0)
    ways = {way: card(*way) == here for way in ((20, 0), (-20, 0), (0, 20), (0, -20), (10, 10), (-10, -10))}
    assert sum(ways.values()) >= 4, ways
    assert card(300.0, 300.0) != here, "it does tell the region"


def test_times_are_those_of_the_kept_offset(opened: Opened) -> None:
    """A card for New York on 14 March: daylight saving time is UTC-04:00 (Energy Policy Act of 2005: from the second
    Sunday in March). Sunrise at 43 N 75 W, by the table of the US Naval Observatory, from memory: 07:14."""
    site = opened.plan.value.site
    assert site is not None and site.position is not None
    there = site.model_copy(update={"position": site.position._replace(latitude_deg=43.1, longitude_deg=-75.2),
                                    "time_zone": "America/New_York", "landmarks": (), "viewpoints": ()})  # fmt: skip
    shot = opened.plan.value.shots[2].model_copy(update={"viewpoint": None})
    told = shared_of(opened, site=there, shots=(shot,), taken=(), date=dt.date(2027, 3, 14))
    works = next(line for line in as_words(told, "text").splitlines() if line.startswith("works"))
    first = re.search(r"(\d\d):\d\d", works)
    assert first is not None and 6 <= int(first[1]) <= 9, works


DEMOS = sorted((Path(__file__).parent.parent.parent / "demo").glob("*.toml"))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demos_too(path: Path) -> None:
    site = load_plan(path).value.site
    answers = shared_answers(open_plan(str(path))).answers
    assert site is not None
    spots = [s for s in (site.position, *(m.position for m in (*site.landmarks, *site.viewpoints))) if s is not None]
    for form in ("text", "json", "html"):
        plain = bare(as_words(answers, form))
        assert bare(site.name) not in plain
        for spot in spots:
            for notation in notations(spot.latitude_deg, spot.longitude_deg)[: len(STYLES)]:
                assert len(notation) < 6 or bare(notation) not in plain, (form, notation)


def test_on_the_command_line(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "nest.toml"
    path.write_text(PLAN)
    assert main(["card", str(path), "--without-place"]) == 0
    assert leaks(capsys.readouterr().out) == []
    assert main(["card", str(path), "--without-place", "--as", "gpx"]) == 2
    told = capsys.readouterr()
    assert told.out == "" and "waypoints" in told.err


def test_a_doubt_within_a_stretch_is_told_to_ten_minutes_too() -> None:
    """The demo's bridge has a few minutes of doubt before sunrise: to the minute they would tell the longitude."""
    demo = open_plan(str(starters_folder("demo") / "lake-and-chapel.toml"))
    exact, coarse = (re.findall(r"not sure at ([\d:-]+)", render(told, "text"))
                     for told in (answers_to(demo), shared_answers(demo).answers))  # fmt: skip
    assert any(not clock.endswith("0") for span in exact for clock in span.split("-"))
    assert coarse and all(clock.endswith("0") for span in coarse for clock in span.split("-"))
