"""Forms and steps: every field has a label, its text reads back as itself, and a step stays within what is allowed."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.files.reading import validated
from fieldplan.model.fields import Record
from fieldplan.model.forms import FormField, field_of, fields_of, text_of
from fieldplan.model.gear import LISTS, Body, Lens, Profile
from fieldplan.model.plan import OwnSubject, Plan, Reading, RigChoice, Shot, Site, SkySubject
from fieldplan.model.stepping import step

RECORDS: list[type[Record]] = [
    Plan, Site, Shot, Reading, OwnSubject, SkySubject, RigChoice, Profile, *(record for _, record in LISTS.values()),
]  # fmt: skip
FIELDS = [(record, field) for record in RECORDS for field in fields_of(record)]
# Third-stop scales as engraved on cameras and meters (common practice; the full stops are those of ISO 517).
TIMES = ["1/500", "1/400", "1/320", "1/250", "1/200", "1/160", "1/125", "1/100", "1/80", "1/60", "1/50", "1/40",
         "1/30", "1/25", "1/20", "1/15", "1/13", "1/10", "1/8", "1/6", "1/5", "1/4"]  # fmt: skip
F_NUMBERS = ["1", "1.1", "1.2", "1.4", "1.6", "1.8", "2", "2.2", "2.5", "2.8", "3.2", "3.5", "4", "4.5", "5", "5.6",
             "6.3", "7.1", "8", "9", "10", "11", "13", "14", "16", "18", "20", "22"]  # fmt: skip
SPEEDS = ["100", "125", "160", "200", "250", "320", "400", "500", "640", "800", "1000", "1250", "1600", "2000", "2500",
          "3200", "4000", "5000", "6400", "8000", "10000", "12800"]  # fmt: skip


def named(record: type[Record], key: str) -> FormField:
    field = field_of(record, key)
    assert field is not None
    return field


def reads(record: type[Record], key: str, text: str, units: str = "metric") -> object:
    """The value of a field read from text, in an otherwise complete record."""
    holder = record.model_construct()
    attribute = key_attribute(record, key)
    record.__pydantic_validator__.validate_assignment(holder, attribute, text, context={"units": units})
    return getattr(holder, attribute)


def key_attribute(record: type[Record], key: str) -> str:
    return next(name for name, info in record.model_fields.items() if (info.alias or name) == key)


@pytest.mark.parametrize(("record", "field"), FIELDS, ids=lambda part: getattr(part, "key", part.__class__.__name__))
def test_every_field_has_a_label_and_an_example_that_reads(record: type[Record], field: FormField) -> None:
    assert field.label
    assert field.nested or field.choices or field.example
    if field.example and not field.nested and field.sort != "subject":
        data = {field.key: field.example}
        loose = [p for p in errors_of(record, data) if p == field.key]
        assert not loose, f"{field.key} = {field.example!r}"


def errors_of(record: type[Record], data: dict[str, object]) -> list[str]:
    from pydantic import ValidationError

    try:
        record.model_validate(data, by_alias=True, by_name=False)
    except ValidationError as error:
        return [str(detail["loc"][0]) for detail in error.errors() if detail["loc"] and detail["type"] != "missing"]
    return []


def test_the_version_is_no_field_and_labels_are_not_attribute_names() -> None:
    assert "fieldplan_plan" not in {field.key for field in fields_of(Plan)}
    assert named(Shot, "from").key == "from"
    assert {field.key for field in fields_of(Shot)}.isdisjoint({"start", "end"})
    assert named(Site, "landmark").nested
    assert named(Site, "landmark").many
    assert not named(Shot, "subject").nested


def test_the_fields_of_an_item_come_before_what_all_items_share() -> None:
    keys = [field.key for field in fields_of(Body)]
    assert keys[:3] == ["name", "sensor", "pixels"]
    assert keys[-4:] == ["weight", "price", "owned", "rent"]


def test_text_is_as_typed_and_empty_when_not_set() -> None:
    plan = validated(
        {
            "fieldplan_plan": 1,
            "title": "x",
            "units": "imperial",
            "shot": [
                {"name": "a", "distance": "92 ft", "fill": 0.6, "aim": 105, "must": True, "from": "7:05",
                 "to": "08:00:30", "subject": {"name": "post", "height": "5'8\""}, "depth_of_field": 2},
            ],
        },
        Plan,
    )  # fmt: skip
    (shot,) = plan.shots
    texts = {field.key: text_of(shot, field.key) for field in fields_of(Shot) if text_of(shot, field.key)}
    assert texts == {
        "name": "a", "distance": "92 ft", "fill": "60 %", "aim": "105", "must": "yes", "from": "07:05",
        "to": "08:00:30", "subject": '{ name = "post", height = "5\'8\\"" }', "depth_of_field": "2 ft",
    }  # fmt: skip


def test_names_with_commas_keep_their_commas() -> None:
    lens = Lens.model_validate({"name": "a", "focal": 50, "f_number": 2, "mount": "A", "converters": ["a, b", "c"]})
    assert text_of(lens, "converters") == '["a, b", "c"]'


def step_through(record: type[Record], key: str, marks: list[str]) -> None:
    field = named(record, key)
    for low, high in pairwise(marks):
        assert step(low, field, True) == high
        assert step(high, field, False) == low


def test_exposure_steps_are_the_third_stops_on_the_scales_of_cameras() -> None:
    step_through(Body, "fastest_shutter", TIMES)
    step_through(Lens, "smallest_f_number", F_NUMBERS)
    step_through(Body, "iso_ceiling", SPEEDS)


@pytest.mark.parametrize(
    ("record", "key", "text", "up", "down"),
    [
        (Shot, "distance", "28 m", "29 m", "27 m"),
        (Shot, "distance", "25-31 m", "26-32 m", "24-30 m"),
        (Shot, "distance", "3 m", "4 m", "2.9 m"),
        (Shot, "distance", "0.3 m", "0.4 m", "0.29 m"),
        (Shot, "distance", "100 m", "110 m", "99 m"),
        (Shot, "distance", "1.4 km", "1.5 km", "1.3 km"),
        (Shot, "distance", "92 ft", "93 ft", "91 ft"),
        (Shot, "distance", "29 to 31 ft", "30-32 ft", "28-30 ft"),
        (Shot, "distance", "6-infinity", "7 m-infinity", "5 m-infinity"),
        (Shot, "distance", "0.01 m", "0.02 m", "0.01 m"),
        (Shot, "background", "0 m", "0.01 m", "0 m"),
        (Shot, "sharp_to", "infinity", "infinity", "infinity"),
        (OwnSubject, "height", "5'8\"", "5'9\"", "5'7\""),
        (OwnSubject, "height", "5'11\"", "6'0\"", "5'10\""),
        (Shot, "distance", "0.4 in", "0.5 in", "0.4 in"),
        (OwnSubject, "height", "12 cm", "13 cm", "11 cm"),
        (Shot, "fill", "50-75 %", "55-80 %", "45-70 %"),
        (Shot, "fill", "0.05 %", "0.15 %", "0.05 %"),
        (Shot, "focal", "500 mm", "510 mm", "490 mm"),
        (Lens, "f_number", "5-6.3", "5.6-7.1", "4.5-5.6"),
        (Lens, "f_number", "f/5.6", "f/6.3", "f/5"),
        (Lens, "smallest_f_number", "5.8", "6.3", "5.6"),
        (Body, "fastest_shutter", "1/450", "1/400", "1/500"),
        (Body, "longest_shutter", "30 s", "40 s", "25 s"),
        (Shot, "light", "EV 12", "EV 12.3", "EV 11.7"),
        (Shot, "light", "EV 30", "EV 30", "EV 29.7"),
        (Shot, "light_offset", "0", "0.3", "-0.3"),
        (Shot, "hold", "either", "level", "upright"),
        (Shot, "must", "yes", "no", "no"),
        (Shot, "time", "23:58", "00:00", "23:55"),
        (Shot, "date", "2028-02-28", "2028-02-29", "2028-02-27"),
        (Shot, "direction", "crossing", "105 deg", "75 deg"),
        (Shot, "direction", "oncoming", "15 deg", "oncoming"),
        (Shot, "aim", "359", "0", "358"),
        (Shot, "aim", "0", "1", "359"),
        (Shot, "panned", "0.95", "1", "0.85"),
        (Shot, "panned", "0", "0.1", "0"),
        (Site, "elevation", "0 m", "0.1 m", "-0.1 m"),
        (Shot, "speed", "25 km/h", "26 km/h", "24 km/h"),
        (Body, "weight", "0.26 kg", "0.27 kg", "0.25 kg"),
        (Shot, "name", "heron", "heron", "heron"),
        (Shot, "distance", "nonsense", "nonsense", "nonsense"),
        (Shot, "hold", "", "either", "either"),
    ],
)
def test_natural_steps(record: type[Record], key: str, text: str, up: str, down: str) -> None:
    field = named(record, key)
    assert (step(text, field, True), step(text, field, False)) == (up, down)


def test_a_bare_number_steps_in_the_units_of_the_file() -> None:
    assert step("29", named(Shot, "distance"), True, "imperial") == "30 ft"


@given(
    chosen=st.sampled_from([(r, f) for r, f in FIELDS if not f.nested and f.sort != "subject"]),
    ways=st.lists(st.booleans(), min_size=1, max_size=40),
)
def test_however_often_one_steps_the_text_still_reads(chosen: tuple[type[Record], FormField], ways: list[bool]) -> None:
    record, field = chosen
    text = field.example or field.choices[0]
    for up in ways:
        text = step(text, field, up)
        assert field.key not in errors_of(record, {field.key: text}), text


@given(
    number=st.integers(1, 99999).map(lambda n: n / 100),
    unit=st.sampled_from(["m", "cm", "km", "ft", "in", "yd", "mi"]),
    up=st.booleans(),
)
def test_a_step_moves_the_way_it_says(number: float, unit: str, up: bool) -> None:
    text = f"{number:g} {unit}"
    if errors_of(Shot, {"distance": text}):
        return
    before, after = reads(Shot, "distance", text), reads(Shot, "distance", step(text, named(Shot, "distance"), up))
    assert (after.low >= before.low) if up else (after.low <= before.low)
    if 0.05 < before.low < 1e5:
        assert after.low != before.low


@given(text=st.text(max_size=30))
def test_any_text_can_be_stepped(text: str) -> None:
    for _, field in FIELDS:
        assert isinstance(step(text, field, True), str)
