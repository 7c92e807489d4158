"""A document under edits: undo and redo, texts that do not read, refusals, renaming."""

from __future__ import annotations

import contextlib
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldplan.files.document import Document, EditProblem, open_plan, open_profile
from fieldplan.files.reading import validated
from fieldplan.files.state import State, load_state, save_state
from fieldplan.files.writing import to_toml
from fieldplan.model.plan import LandmarkSubject, Plan, SkySubject

from .invented import GEAR, LAKE


def fresh() -> Document[Plan]:
    return Document(Path("lake.toml"), validated(tomllib.loads(LAKE), Plan), "x")


SHOT = st.integers(0, 3)
EDITS = st.one_of(
    st.tuples(
        st.just("set"),
        st.tuples(st.just("shot"), SHOT, st.sampled_from(["distance", "fill", "hold", "name", "time", "typo"])),
        st.sampled_from(["28 m", "92 ft", "28 q", "50-75 %", "upright", "07:20", "", "heron", "x", "[/b]", "\x1b"]),
    ),
    st.tuples(st.just("set"), st.just(("site", "landmark", 0, "name")), st.sampled_from(["mill", "tower", ""])),
    st.tuples(st.just("set"), st.just(("title",)), st.sampled_from(["One", "Two", "", "a\x00"])),
    st.tuples(st.just("remove"), st.tuples(st.just("shot"), SHOT)),
    st.tuples(st.just("remove"), st.sampled_from([("site",), ("site", "landmark", 0), ("units",), ("title",)])),
    st.tuples(st.just("copy"), st.tuples(st.just("shot"), SHOT)),
    st.tuples(st.just("move"), st.tuples(st.just("shot"), SHOT), SHOT),
    st.tuples(st.just("insert"), st.just(("shot",)), SHOT, st.sampled_from([{"name": "new"}, {"name": ""}, {}])),
)


def edit(document: Document[Any], what: tuple[Any, ...]) -> None:
    with contextlib.suppress(EditProblem):
        getattr(document, what[0])(*what[1:])


@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(EDITS, max_size=12))
def test_undo_leads_back_to_the_start_and_redo_to_the_end(changes: list[tuple[Any, ...]]) -> None:
    document = fresh()
    start, seen = to_toml(document.value), []
    for change in changes:
        before = to_toml(document.value)
        edit(document, change)
        if to_toml(document.value) != before:
            seen.append(before)
        assert validated(tomllib.loads(to_toml(document.value)), Plan) == document.value
    end = to_toml(document.value)
    for before in reversed(seen):
        assert document.can_undo
        assert to_toml(document.undo()) == before
    assert not document.can_undo
    assert to_toml(document.undo()) == start
    while document.can_redo:
        document.redo()
    assert to_toml(document.value) == end


def test_a_new_edit_ends_what_could_be_redone(lake: Document[Plan]) -> None:
    lake.set(("title",), "One")
    lake.undo()
    lake.set(("title",), "Two")
    assert not lake.can_redo
    assert lake.redo().title == "Two"


def test_an_edit_that_changes_nothing_is_no_step(lake: Document[Plan]) -> None:
    lake.set(("title",), "Lake (invented)")
    assert (lake.can_undo, lake.unsaved) == (False, False)
    lake.set(("title",), "One")
    assert lake.unsaved
    lake.undo()
    assert not lake.unsaved


def test_a_text_that_does_not_read_is_kept_and_the_value_stays(lake: Document[Plan]) -> None:
    path = ("shot", 1, "distance")
    with pytest.raises(EditProblem, match='"q" is not a unit of a distance'):
        lake.set(path, "28 q")
    assert lake.drafts == {path: "28 q"}
    assert not lake.unsaved
    lake.set(path, "28 m")
    assert lake.drafts == {}
    lake.undo()
    assert lake.drafts == {path: "28 q"}


def test_texts_that_do_not_read_move_with_their_record(lake: Document[Plan]) -> None:
    with pytest.raises(EditProblem):
        lake.set(("shot", 1, "distance"), "28 q")
    lake.insert(("shot",), 0, {"name": "first"})
    assert lake.drafts == {("shot", 2, "distance"): "28 q"}
    lake.move(("shot", 2), 0)
    assert lake.drafts == {("shot", 0, "distance"): "28 q"}
    lake.move(("shot", 3), 0)
    assert lake.drafts == {("shot", 1, "distance"): "28 q"}
    lake.remove(("shot", 0))
    assert lake.drafts == {("shot", 0, "distance"): "28 q"}
    lake.remove(("shot", 0))
    assert lake.drafts == {}


def test_texts_that_do_not_read_outlive_the_program(lake: Document[Plan]) -> None:
    with pytest.raises(EditProblem):
        lake.set(("shot", 1, "distance"), "28 q")
    save_state(State().with_drafts(lake.path, lake.digest, lake.drafts))
    again = open_plan(lake.path)
    assert load_state().drafts_for(again.path, again.digest) == {("shot", 1, "distance"): "28 q"}
    lake.set(("title",), "Other")
    assert load_state().drafts_for(lake.path, lake.save().path.name) == {}
    assert load_state().drafts_for(lake.path, lake.digest) == {}


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        (("shot", 1, "distnace"), "3 m", 'is not a key of a shot; did you mean "distance"?'),
        (("shot", 9, "distance"), "3 m", "is not there; the list holds 3"),
        (("shot", 1, "name"), "dawn", 'two of the shots are called "dawn"'),
        (("shot", 1, "name"), "", "is missing; write for example"),
        (("shot", 1, "subject"), "{ sky = ", "is not a"),
        (("shot", 1, "subject"), '{ landmark = "mill" }', 'wants the landmark "mill"; the site has chapel'),
        (("title", "deeper"), "x", "title holds no table; set it to one first"),
    ],
)
def test_an_edit_that_would_not_leave_a_valid_file_is_refused(
    lake: Document[Plan], path: tuple[str | int, ...], text: str, words: str
) -> None:
    with pytest.raises(EditProblem) as raised:
        if text:
            lake.set(path, text)
        else:
            lake.remove(path)
    assert words in str(raised.value)
    assert not lake.can_undo


def test_text_of_a_table_becomes_a_table(lake: Document[Plan]) -> None:
    lake.set(("shot", 1, "subject"), '{ name = "post", height = "5\'8\\"" }')
    assert lake.value.shots[1].subject.height.low == pytest.approx(1.7272, rel=1e-15)  # 5 ft 8 in, foot of 1959
    lake.set(("shot", 1, "rig", "lens"), "150-600")
    assert lake.value.shots[1].rig.lens == "150-600"
    lake.set(("shot", 1, "rig", "lens"), "")
    assert lake.value.shots[1].rig is None


def test_a_landmark_renamed_is_renamed_in_the_shots(lake: Document[Plan]) -> None:
    lake.set(("site", "landmark", 0, "name"), "mill")
    assert lake.value.shots[0].subject == LandmarkSubject(landmark="mill")
    assert lake.value.shots[2].subject == SkySubject(sky="moon", behind="mill")
    assert lake.undo().shots[0].subject == LandmarkSubject(landmark="chapel")


def test_gear_renamed_is_renamed_where_it_is_named(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(GEAR)
    document = open_profile(path)
    document.set(("converter", 0, "name"), "x1.4")
    document.set(("body", 0, "name"), "big body")
    assert document.value.lenses[0].converters == ("x1.4",)
    assert document.value.extras[0].for_body == "big body"
    document.save()
    assert open_profile(path).value == document.value


def test_a_copy_gets_a_name_of_its_own(lake: Document[Plan]) -> None:
    lake.copy(("shot", 1))
    lake.copy(("shot", 2))
    assert [shot.name for shot in lake.value.shots] == ["dawn", "heron", "heron 2", "heron 3", "moon"]
    assert lake.value.shots[2].distance == lake.value.shots[1].distance
    with pytest.raises(EditProblem, match="is not a record of a list, and cannot be copied"):
        lake.copy(("site",))
    with pytest.raises(EditProblem, match="cannot be moved to place 7; there are 5"):
        lake.move(("shot", 0), 7)
