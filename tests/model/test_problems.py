"""The words in which a wrong plan or profile is explained."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from pydantic import ValidationError

from fieldplan.files.reading import validated
from fieldplan.model.fields import Record
from fieldplan.model.gear import LISTS, Profile
from fieldplan.model.plan import LandmarkSubject, OwnSubject, Plan, Reading, RigChoice, Shot, Site, SkySubject
from fieldplan.model.problems import explain
from fieldplan.model.schema import slots_of

PYDANTIC_WORDS = ("Value error", "Input should", "Field required", "Extra inputs", "valid dictionary", "instance of")


def problems(root: type[Any], data: dict[str, Any]) -> list[str]:
    try:
        validated(data, root)
    except ValidationError as error:
        said = [str(problem) for problem in explain(error, data, root)]
        assert said
        assert not [text for text in said if any(words in text for words in PYDANTIC_WORDS)]
        return said
    return []


def of_plan(**keys: Any) -> list[str]:
    return problems(Plan, {"fieldplan_plan": 1, "title": "Lake", **keys})


def of_shot(**keys: Any) -> list[str]:
    return of_plan(shot=[{"name": "one"}, {"name": "heron", **keys}])


def of_lens(**keys: Any) -> list[str]:
    full = {"name": "150-600", "focal": "150-600 mm", "f_number": "5-6.3", "mount": "A", **keys}
    return problems(Profile, {"fieldplan_profile": 1, "name": "mine", "lens": [{k: v for k, v in full.items() if v}]})


def test_a_wrong_unit_names_the_field_what_was_found_and_what_would_do() -> None:
    (said,) = of_shot(distance="28 q")
    assert said.startswith('shot[1].distance ("heron"): "28 q": "q" is not a unit of a distance; units here: m, cm, mm')
    assert said.endswith('write for example "28 m", "92 ft" or "25-31 m"')


def test_a_missing_key_shows_how_to_write_it() -> None:
    assert of_lens(focal=None) == ['lens[0].focal ("150-600"): is missing; write for example focal = "150-600 mm"']
    assert problems(Plan, {"fieldplan_plan": 1}) == ['title: is missing; write for example title = "Lake at dawn"']
    said = problems(Profile, {"fieldplan_profile": 1, "name": "mine", "converter": [{"name": "1.4x", "mount": "A"}]})
    assert said == ['converter[0].factor ("1.4x"): is missing; write for example factor = 1.4']


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("focal_lenght", "focal"), ("Mount", "mount"), ("f-number", "f_number"), ("closest_focuss", "closest_focus")],
)
def test_an_unknown_key_names_the_nearest_known_one(typed: str, meant: str) -> None:
    (said,) = of_lens(**{typed: "5"})
    assert said == f'lens[0].{typed} ("150-600"): is not a key of a lens; did you mean "{meant}"?'


def test_an_unknown_key_near_none_lists_the_known_ones() -> None:
    (said,) = of_lens(qqqq=1)
    assert said.startswith('lens[0].qqqq ("150-600"): is not a key of a lens; known: name, focal, f_number, ')


@pytest.mark.parametrize(("attribute", "key"), [("start", "from"), ("end", "to")])
def test_a_name_used_only_inside_the_program_is_no_key_of_a_file(attribute: str, key: str) -> None:
    (said,) = of_shot(**{attribute: "07:00"})
    assert said == f'shot[1].{attribute} ("heron"): is not a key of a shot; did you mean "{key}"?'


def test_lists_are_known_by_their_key_alone() -> None:
    assert of_plan(shots=[]) == ['shots: is not a key of a plan; did you mean "shot"?']
    said = problems(Profile, {"fieldplan_profile": 1, "name": "mine", "bodies": []})
    assert said == ['bodies: is not a key of a profile; did you mean "body"?']


def test_one_bracket_instead_of_two() -> None:
    assert of_plan(shot={"name": "heron"}) == [
        "shot: is one table where a list belongs; write [[shot]] with two brackets above each"
    ]


def test_a_value_where_a_table_belongs() -> None:
    assert of_plan(site=3) == ["site: 3 is not a site; write a table [site]"]
    assert of_plan(shot=["heron"]) == ['shot[0]: "heron" is not a shot; write a table [[shot]]']
    assert of_plan(shot="heron") == ['shot: "heron" is not a list; write a table [[shot]] for each']


def test_every_problem_is_told_at_once() -> None:
    assert len(of_shot(distance="28 q", fill="much", aim="south", time="noon")) == 4


def test_choices_are_listed_with_the_nearest_first() -> None:
    (said,) = of_shot(hold="uprigth")
    assert 'shot[1].hold ("heron"): "uprigth" is not a way to hold the camera; did you mean "upright"?' in said
    assert said.endswith("known: level, upright, either")


def test_plain_numbers_say_their_limits() -> None:
    (said,) = of_shot(panned=3)
    assert said == ('shot[1].panned ("heron"): 3: a share of the motion followed must be 0 to 1; write for example 0.9')
    (said,) = of_lens(closest_focus="0")
    assert "a distance must be greater than 0; write for example" in said


def test_problems_inside_a_subject_have_their_full_path() -> None:
    (said,) = of_shot(subject={"name": "post", "hight": "1 m"})
    assert said == 'shot[1].subject.hight ("heron"): is not a key of a subject; did you mean "height"?'
    (said,) = of_shot(subject={"sky": "venus"})
    assert said.startswith('shot[1].subject.sky ("heron"): "venus" is not a body of the sky')
    (said,) = of_shot(subject=3)
    assert said.startswith('shot[1].subject ("heron"): 3 is not a subject; write the name of one, or { name = ')


def test_rules_between_records_name_the_record_to_mend() -> None:
    assert of_plan(shot=[{"name": "a"}, {"name": "b"}, {"name": "a"}]) == [
        'shot[2].name ("a"): two of the shots are called "a"; give each its own name'
    ]
    assert of_shot(subject={"landmark": "chapel"}) == [
        'shot[1].subject ("heron"): wants the landmark "chapel"; the site has none'
    ]
    marks = [{"name": "mill", "position": "52.3, 4.9"}]
    said = of_plan(
        site={"name": "lake", "landmark": marks}, shot=[{"name": "a", "subject": {"sky": "moon", "behind": "chapel"}}]
    )
    assert said == ['shot[0].subject ("a"): wants the landmark "chapel"; the site has mill']


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"time": "07:00", "from": "07:00", "to": "08:00"}, '.time ("heron"): give either time, or from and to'),
        ({"from": "07:00"}, '.to ("heron"): from and to go together; give both or neither'),
        ({"sharp_from": "3 m", "sharp_to": "2 m"}, '.sharp_to ("heron"): "2 m" must lie behind sharp_from, "3 m"'),
        ({"sharp_to": "2 m"}, '.sharp_from ("heron"): is missing, and sharp_to wants it; write for example sharp_from'),
        ({"depth_of_field": "1 m", "sharp_from": "2 m"}, '.depth_of_field ("heron"): give either depth_of_field, or'),
    ],
)
def test_rules_between_fields_name_the_field_to_mend(keys: dict[str, Any], said: str) -> None:
    (found,) = of_shot(**keys)
    assert found.startswith(f"shot[1]{said}")


HOSTILE = ["[/b]", "\x1b[31mred", "a\u202ecod", "\x9b31m", "[link=x]y[/link]", "a\x00b", "\u2028"]


@pytest.mark.parametrize("name", HOSTILE)
def test_no_message_holds_a_character_that_a_terminal_obeys(name: str) -> None:
    said = of_plan(
        shot=[{"name": name, "distance": name, "subject": {name: name}, name: 3, "hold": name, "light": name}],
        site={"name": "x", "landmark": [{"name": name, "position": name}]},
        title=name,
    )
    assert said
    assert all(char.isprintable() for text in said for char in text)


def test_names_in_brackets_are_plain_text() -> None:
    assert validated({"fieldplan_plan": 1, "title": "[AF-S] [/b]"}, Plan).title == "[AF-S] [/b]"


ANYTHING: list[Any] = [
    None, True, 0, -1, 10**400, 10**5000, float("nan"), float("inf"), -float("inf"), "", " ", "x" * 5000, "-", "1e999",
    "9" * 150, [], [[]], {}, {"a": {}}, [None], [1, "x"], dt.date(2027, 3, 14), dt.time(7, 20),
    dt.datetime(2027, 3, 14, 7, 20), dt.time(7, 20, tzinfo=dt.UTC), "\ud800", "1/0", "f/", "\u00b2", "{}", "0x10",
]  # fmt: skip
RECORDS: list[type[Record]] = [
    Plan, Site, Shot, Reading, OwnSubject, SkySubject, LandmarkSubject, RigChoice, Profile,
    *(record for _, record in LISTS.values()),
]  # fmt: skip


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_whatever_stands_in_a_field_is_read_or_explained(record: type[Record]) -> None:
    for key, slot in slots_of(record).items():
        for found in ANYTHING:
            data = {key: found}
            try:
                record.model_validate(data, by_alias=True, by_name=False)
            except ValidationError as error:
                said = [p for p in explain(error, data, record) if p.path.startswith(key)]
                for problem in said:
                    assert len(problem.message) < 600
                    assert not any(words in problem.message for words in PYDANTIC_WORDS), (key, found, problem)
                    assert slot.attribute == key or slot.attribute not in problem.path
