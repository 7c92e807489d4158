"""What is remembered between runs: it comes back as it was, and nonsense in its file is as good as nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldplan.files.problems import FileProblem
from fieldplan.files.state import State, load_state, save_state, state_file


def test_the_state_comes_back_as_it_was(own_folders: Path, tmp_path: Path) -> None:
    plan = tmp_path / "lake.toml"
    state = State("lake.toml", "light", "[/b] heron \u202e", "night").with_drafts(
        plan, "abc", {("shot", 2, "distance"): "28 q\x1b", ("title",): ""}
    )
    assert load_state() == State()
    save_state(state)
    assert state_file() == own_folders / "state" / "state.json"
    assert load_state() == state
    assert load_state().drafts_for(plan, "abc") == {("shot", 2, "distance"): "28 q\x1b", ("title",): ""}


def test_texts_belong_to_one_content_of_one_file(tmp_path: Path) -> None:
    state = State().with_drafts(tmp_path / "a.toml", "abc", {("title",): "x"})
    assert state.drafts_for(tmp_path / "a.toml", "abd") == {}
    assert state.drafts_for(tmp_path / "b.toml", "abc") == {}
    assert state.with_drafts(tmp_path / "a.toml", "abc", {}) == State()
    (tmp_path / "a.toml").write_text("x")
    (tmp_path / "link.toml").symlink_to(tmp_path / "a.toml")
    assert state.drafts_for(tmp_path / "link.toml", "abc") == {("title",): "x"}


def test_only_the_latest_files_are_remembered(tmp_path: Path) -> None:
    state = State()
    for number in range(60):
        state = state.with_drafts(tmp_path / f"{number}.toml", "abc", {("title",): "x"})
    assert len(state.drafts) == 50
    assert state.drafts_for(tmp_path / "9.toml", "abc") == {}
    assert state.drafts_for(tmp_path / "59.toml", "abc") == {("title",): "x"}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "null",
        "[]",
        "3",
        "[" * 5000,
        "9" * 5000,
        '{"plan": 3, "page": null, "drafts": []}',
        '{"drafts": {"/x": 3, "/y": {"texts": 3}, "/z": {"digest": 1, "texts": [3, [], [[], "x"], [[true], "x"]]}}}',
        '{"drafts": {"/x": {"texts": [[["title"], 3], [[{}], "x"], [["title"]], [null, "x"]]}}}',
    ],
)
def test_nonsense_is_as_good_as_nothing(tmp_path: Path, text: str) -> None:
    path = tmp_path / "state.json"
    path.write_text(text)
    assert load_state(path) == State()


def test_bytes_that_are_no_text_and_a_folder_in_its_place(tmp_path: Path) -> None:
    (tmp_path / "bytes").write_bytes(b"\xff\xfe\x00\x80")
    assert load_state(tmp_path / "bytes") == load_state(tmp_path) == State()


def test_a_state_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(FileProblem, match="a part of its path is a file, not a folder"):
        save_state(State("x"), tmp_path / "file" / "state.json")
