"""A card without its place: no form of it holds a position in any notation, a name of the place, or a bearing."""

from __future__ import annotations

import io
import json
import math
import re
from pathlib import Path
from typing import Any

import pypdf
import pytest

from fieldplan.card import render
from fieldplan.cli import main
from fieldplan.files.reading import load_plan
from fieldplan.notation.position import STYLES, read_position, write_position
from fieldplan.opening import answers_to, open_plan
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.withheld import without_place

FORMS = ("text", "html", "json", "ics", "pdf")
PLACES = {"site": (53.4312, 12.7503), "landmark": (53.4296, 12.7711), "viewpoint": (53.4418, 12.7641)}
NAMES = ("Alder hide", "Saint Ottilia", "east dam", "Berlin")
PLAN = """
fieldplan_plan = 1
title = "Nest near alder hide, 53.4312, 12.7503"
date = 2027-03-24
leave = 05:10:00
arrive = 06:00:00
profile = "two-bodies"
[site]
name = "Alder hide"
position = "53.4312, 12.7503"
time_zone = "Europe/Berlin"
elevation = "62 m"
sky = "clear"
magnetic_variation = 4.5
skyline = [{ bearing = 60, altitude = 1.5 }]
[[site.landmark]]
name = "Saint Ottilia"
position = "53.4296, 12.7711"
foot = "70 m"
height = "31 m"
[[site.viewpoint]]
name = "east dam"
position = "53.4418, 12.7641"
note = "behind the second gate"
[[reading]]
time = 07:12:00
ev = 9.5
of = "sign of Alder hide"
[[shot]]
name = "moon behind SAINT OTTILIA"
time = 19:40:00
subject = { sky = "moon", behind = "Saint Ottilia" }
note = "from 53 26.508 N, 12 45.846 E"
aim = 92
[[shot]]
name = "Saint Ottilia at dawn (N 53 25.776 E 12 46.266)"
time = 06:10:00
subject = { landmark = "Saint Ottilia" }
aim = 92
[[shot]]
name = "sea eagle from the East Dam geo:53.4418,12.7641"
from = 07:00:00
to = 09:00:00
subject = { name = "eagle of Alder hide", width = "2 m", height = "0.8 m", living = true }
distance = "80 m"
note = "park at the chapel, 300 m along the dike"
aim = 133
support = "tripod"
[[taken]]
shot = "eagle long ago at east dam"
picture = "alder-hide-0001.jpg"
note = "Alder hide again"
time = 07:01:00
"""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> PlanAnswers:
    path = tmp_path_factory.mktemp("plans") / "nest.toml"
    path.write_text(PLAN)
    return answers_to(open_plan(str(path)))


def as_words(answers: PlanAnswers, form: str) -> str:
    """What a reader or a search gets out of a form of the card."""
    made = render(answers, form)
    if isinstance(made, bytes):
        reader = pypdf.PdfReader(io.BytesIO(made))
        pages = "\n".join(page.extract_text() for page in reader.pages)
        return f"{pages}\n{reader.metadata}"
    return made.replace("\r\n ", "") if form == "ics" else made


def bare(text: str) -> str:
    """Letters, digits and signs only, so that line ends and blanks hide nothing."""
    return re.sub(r"[\s\u00a0\u2009]+", "", text).casefold()


def near(text: str) -> list[str]:
    """Pairs of decimal numbers that follow each other closely and lie within 2 km of a place of the plan."""
    numbers = [(m.start(), abs(float(m.group().replace(",", ".")))) for m in re.finditer(r"\d+[.,]\d+", text)]
    found = []
    for i, (at, lat) in enumerate(numbers):
        for to, lon in numbers[i + 1 : i + 4]:
            for place, (north, east) in PLACES.items():
                if to - at < 80 and abs(lat - north) < 0.02 and abs(lon - east) < 0.02:
                    found.append(f"{place}: {text[at : to + 8]}")
    return found


def notations(north: float, east: float) -> list[str]:
    """A position in every notation that the program writes; and parts of it long enough to lead there."""
    texts = [write_position(north, east, style) for style in STYLES]
    parts = [f"{value:.{digits}f}" for value in (north, east) for digits in (3, 4)]
    parts += [f"{math.trunc(value * 1000) / 1000:.3f}" for value in (north, east)]
    return [*texts, *parts]


def leaks(text: str) -> list[str]:
    plain = bare(text)
    found = [n for place in PLACES.values() for n in notations(*place) if bare(n) in plain]
    found += [name for name in NAMES if bare(name) in plain]
    found += [word for word in ("true north", "second gate", "park at the chapel", "62 m above") if bare(word) in plain]
    return [*found, *near(text)]


def test_the_search_finds_what_is_there(whole: PlanAnswers) -> None:
    """The tests below mean something: in the whole card every kind of leak is found."""
    for form in FORMS:
        assert leaks(as_words(whole, form)), form
    assert set(NAMES) <= set(leaks(as_words(whole, "text")))
    assert len(notations(53.4312, 12.7503)) >= 10


@pytest.mark.parametrize("form", FORMS)
def test_no_form_leads_to_the_place(whole: PlanAnswers, form: str) -> None:
    text = as_words(without_place(whole), form)
    assert leaks(text) == []
    assert "landmark 1" in text


@pytest.mark.parametrize("form", FORMS)
def test_what_is_to_be_shared_is_still_there(whole: PlanAnswers, form: str) -> None:
    text = bare(as_words(without_place(whole), form))
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


def test_json_has_its_keys_and_nulls_for_the_place(whole: PlanAnswers) -> None:
    told = json.loads(render(without_place(whole), "json"))
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


def test_answers_themselves_stay(whole: PlanAnswers) -> None:
    told = without_place(whole)
    for a, b in zip(whole.shots, told.shots, strict=True):
        assert [(r.label, r.shutter_s, r.iso, r.fill) for r in a.rigs] == [
            (r.label, r.shutter_s, r.iso, r.fill) for r in b.rigs
        ]
        assert a.when == b.when, "the same instant, told by its offset"


@pytest.mark.parametrize("text", ["53.4312, 12.7503", "53°25'52.3\" N 12°45'1.1\" E", "+53.4312+012.7503/",
                                  "geo:53.4312,12.7503", "33U 350500 5922600"])  # fmt: skip
def test_positions_in_names_are_found_in_every_notation(whole: PlanAnswers, text: str) -> None:
    read_position(text)
    plan = whole.plan.model_copy(update={"title": f"eagle at {text}, early"})
    told = without_place(whole._replace(plan=plan)).plan.title
    assert told == "eagle at (place) early (place left out)", told


@pytest.mark.parametrize(
    "title", ["Lake 2027-03-14", "12 herons, 30 ducks", "ISO 6400 and 1/2000", "roll 120 no 445566"]
)
def test_ordinary_names_are_left_alone(whole: PlanAnswers, title: str) -> None:
    plan = whole.plan.model_copy(update={"title": title})
    assert without_place(whole._replace(plan=plan)).plan.title == f"{title} (place left out)"


DEMOS = sorted((Path(__file__).parent.parent.parent / "demo").glob("*.toml"))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demos_too(path: Path) -> None:
    site = load_plan(path).value.site
    answers = without_place(answers_to(open_plan(str(path))))
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
