"""A card without its place: no form of it holds a position in any notation, a name of the place, or a bearing."""

from __future__ import annotations

import datetime as dt
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
from fieldplan.opening import Opened, answers_to, open_plan, setting_of, shared_answers
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.hiding import without_positions
from fieldplan.planner.rigs import prepare
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
why = "missed, 53.4296, 12.7711 at Saint Ottilia"
support = "east dam post"
body = "Alder hide camera"
"""


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


def shared_of(opened: Opened, **changes: Any) -> PlanAnswers:
    """The plan with other fields, without its place."""
    plan = opened.plan.value.model_copy(update=changes)
    return without_place(plan, opened.profile.value, setting_of(plan.site), prepare(opened.profile.value)).answers


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


@pytest.mark.parametrize(
    "text",
    [
        "heron@53.4296,12.7711", "pos=53.4296,12.7711", "nest(53.4296,12.7711)", "53.4296,12.7711,17z",
        "https://example.org/?q=53.4296,12.7711", "53.4296_12.7711", "53.4296 and 12.7711", "53.4296-12.7711",
        "53.4296 x 12.7711", "53 . 4296, 12 . 7711", "CQHC+RC", "R 4551923 H 5922135", "JO63JK", "53,4296 12,7711",
        "pos=N53 25.776 E12 46.266", "nest(53\u00b025'46\"N12\u00b046'15\"E)", "SU 12345 67890", "9F5JCQHC+RC",
        "33U 350500 5922600", "534296 127711", "53.429 12.771",
    ],
)  # fmt: skip
def test_positions_are_hidden_however_they_are_written(text: str) -> None:
    """The forms in which people write positions; plus codes: the Open Location Code specification, locators: IARU."""
    told = without_positions(f"owl {text} late")
    assert "(place)" in told and told.startswith("owl ") and told.endswith(" late")
    assert not re.search(r"\d{3}|4296|7711|25.776|25'46|RC\b|63", told), told


def test_words_of_the_site_are_hidden_and_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Whole words go, what is inside another word stays and is warned of; the animal's own name stays."""
    path = tmp_path / "quill.toml"
    path.write_text("""fieldplan_plan = 1
title = "Quill day"
date = 2027-03-14
[site]
name = "Quill Pool heron wood"
position = "43.1, -75.2"
[[shot]]
name = "fox by Quillstown road near the pool"
subject = "red fox"
distance = "30 m"
time = 07:20:00
[[shot]]
name = "heron at QUILL  pool-Heron wood"
subject = "grey heron"
distance = "30 m"
time = 08:20:00
""")
    assert main(["card", str(path), "--without-place"]) == 0
    told = capsys.readouterr()
    assert "(place) day" in told.out and "heron at the site" in told.out and "grey heron" in told.out
    assert "Quill Pool" not in told.out and "Quill day" not in told.out
    assert 'holds "quill" inside a word and STAYS' in told.err
    assert '"quill" in "Quill day" is hidden' in told.err
    assert "(US)" not in told.out and "Katmai" not in told.out, "no country"


@pytest.mark.parametrize("text", ["53.4312, 12.7503", "53°25'52.3\" N 12°45'1.1\" E", "+53.4312+012.7503/",
                                  "geo:53.4312,12.7503", "33U 350500 5922600"])  # fmt: skip
def test_positions_in_names_are_found_in_every_notation(opened: Opened, text: str) -> None:
    read_position(text)
    told = shared_of(opened, title=f"eagle at {text}, early", shots=()).plan.title
    assert told == "eagle at (place) early (place left out)", told


@pytest.mark.parametrize(
    "title", ["Lake 2027-03-14", "12 herons, 30 ducks", "ISO 6400 and 1/2000", "roll 120 no 445566"]
)
def test_ordinary_names_are_left_alone(opened: Opened, title: str) -> None:
    assert shared_of(opened, title=title, shots=()).plan.title == f"{title} (place left out)"


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
