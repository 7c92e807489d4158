"""Save then load is identity; metric and imperial input give the same plan; the text is TOML that tomllib reads."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldplan.files.edits import with_value
from fieldplan.files.reading import has_comments, load_plan, load_profile, validated
from fieldplan.files.writing import to_toml
from fieldplan.model.forms import fields_of, text_of
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Shot
from fieldplan.model.tomltext import literal

from .generated import plans, profiles

TREE = Path(__file__).parent.parent.parent
SLOW = settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))


def back(value: Plan | Profile) -> Any:
    return validated(tomllib.loads(to_toml(value)), type(value))


@SLOW
@given(plans())
def test_a_plan_saved_and_loaded_is_the_same_plan(data: dict[str, Any]) -> None:
    plan = validated(data, Plan)
    assert back(plan) == plan
    assert to_toml(back(plan)) == to_toml(plan)


@SLOW
@given(profiles())
def test_a_profile_saved_and_loaded_is_the_same_profile(data: dict[str, Any]) -> None:
    profile = validated(data, Profile)
    assert back(profile) == profile
    assert to_toml(back(profile)) == to_toml(profile)


@SLOW
@given(plans())
def test_the_text_of_every_field_reads_back_as_the_field(data: dict[str, Any]) -> None:
    from fieldplan.files.edits import with_value

    plan = validated(data, Plan)
    for index, shot in enumerate(plan.shots):
        for field in fields_of(Shot):
            text = text_of(shot, field.key)
            if text and not field.nested:
                assert with_value(plan, ("shot", index, field.key), text) == plan, field.key


@given(st.recursive(st.one_of(st.booleans(), st.integers(-(2**63), 2**63 - 1), st.floats(allow_nan=False), st.text()),
                    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(
                        st.from_regex(r"\A[A-Za-z0-9_-]+\Z"), inner, max_size=3)), max_leaves=8))  # fmt: skip
def test_values_written_as_toml_are_what_tomllib_reads(value: Any) -> None:
    assert tomllib.loads(f"x = {literal(value)}")["x"] == value


@pytest.mark.parametrize("path", sorted((TREE / "demo").glob("*.toml")), ids=lambda path: path.stem)
def test_demo_plans_load_and_survive_a_round_trip(path: Path) -> None:
    loaded = load_plan(path)
    assert back(loaded.value) == loaded.value
    assert loaded.had_comments
    assert tomllib.loads(loaded.text)["title"] == loaded.value.title


@pytest.mark.parametrize("path", sorted((TREE / "profiles").glob("*.toml")), ids=lambda path: path.stem)
def test_starter_profiles_load_and_survive_a_round_trip(path: Path) -> None:
    loaded = load_profile(path)
    assert back(loaded.value) == loaded.value
    assert loaded.value.name == path.stem


# 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 yd = 0.9144 m (international yard and pound agreement, 1959);
# 1 mi = 1609.344 m; 1 lb = 0.45359237 kg.
SAME_SHOT = [
    ({"distance": "28 m"}, {"distance": "91.8635170603675 ft"}),
    ({"distance": "25.908-30.48 m"}, {"distance": "85-100 ft"}),
    ({"distance": "9.144 m"}, {"distance": "10 yd"}),
    ({"subject": {"name": "friend", "height": "1.7272 m"}}, {"subject": {"name": "friend", "height": "5'8\""}}),
    ({"subject": {"name": "friend", "height": "172.72 cm"}}, {"subject": {"name": "friend", "height": "5 ft 8 in"}}),
    ({"depth_of_field": "304.8 mm"}, {"depth_of_field": "12 in"}),
    ({"background": "1.609344 km"}, {"background": "1 mi"}),
    ({"speed": "4.4704 m/s"}, {"speed": "10 mph"}),
    ({"distance": "30,48 m"}, {"distance": 100}),
]  # fmt: skip


@pytest.mark.parametrize(("metric", "imperial"), SAME_SHOT)
def test_metric_and_imperial_input_give_the_same_shot(metric: dict[str, Any], imperial: dict[str, Any]) -> None:
    plain = {"fieldplan_plan": 1, "title": "x"}
    first = validated({**plain, "units": "metric", "shot": [{"name": "a", **metric}]}, Plan)
    second = validated({**plain, "units": "imperial", "shot": [{"name": "a", **imperial}]}, Plan)
    for field in ("distance", "subject", "depth_of_field", "background", "speed"):
        ours, theirs = getattr(first.shots[0], field), getattr(second.shots[0], field)
        if field == "subject" and ours is not None:
            ours, theirs = ours.height, theirs.height
        assert numbers(ours) == pytest.approx(numbers(theirs), rel=1e-14)


def numbers(value: Any) -> list[float]:
    return [] if value is None else [value.low, value.high] if hasattr(value, "low") else [float(value)]


def test_a_bare_number_keeps_the_unit_it_was_read_in_when_the_units_change_later() -> None:
    from fieldplan.files.edits import with_value

    bare = {"name": "a", "distance": 28, "sharp_from": 2, "sharp_to": "infinity", "speed": "8-12"}
    metric = validated({"fieldplan_plan": 1, "title": "x", "shot": [bare]}, Plan)
    imperial = back(with_value(metric, ("units",), "imperial"))
    assert imperial.shots == metric.shots
    assert text_of(imperial.shots[0], "distance") == "28 m"
    assert text_of(imperial.shots[0], "speed") == "8-12 m/s"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a = 1 # x", True),
        ('a = "# no"', False),
        ("a = '# no'", False),
        ('a = """\n# no\n"""', False),
        ("a = '''\n# no\n''' # yes", True),
        ('a = "\\"# no"', False),
        ('a = "x" # yes', True),
        ("", False),
    ],
)
def test_comments_are_told_from_text(text: str, found: bool) -> None:
    assert tomllib.loads(text) is not None
    assert has_comments(text) is found


def test_tables_of_a_list_keep_their_double_brackets_and_the_version_comes_first() -> None:
    data = {"fieldplan_profile": 1, "name": "x", "converter": [{"name": "1.4x", "factor": 1.4, "mount": "A"}]}
    text = to_toml(validated(data, Profile))
    assert text.startswith("fieldplan_profile = 1\n")
    assert "[[converter]]\n" in text
    assert to_toml(Profile(name="made in code")).startswith("fieldplan_profile = 1\n")


@pytest.mark.parametrize("name", ["{", "[", '"', '""', '"a"', "{ x", '{ name = "b" }'])
def test_a_subject_named_like_a_table_reads_back_from_its_own_text(name: str) -> None:
    plan = validated({"fieldplan_plan": 1, "title": "x", "shot": [{"name": "a", "subject": name}]}, Plan)
    shown = text_of(plan.shots[0], "subject")
    assert with_value(plan, ("shot", 0, "subject"), shown).shots[0].subject == name
