"""The text of an open field."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldplan.pictures.cells import text_cells
from fieldplan.tui.editor import Line, insert, press, shown


@pytest.mark.parametrize(
    ("text", "caret", "keys", "wanted"),
    [
        ("25-31 m", 7, ["backspace", "backspace", "backspace"], ("25-3", 4)),
        ("28 m", 0, ["delete"], ("8 m", 0)),
        ("grey heron", 10, ["ctrl+w"], ("grey ", 5)),
        ("grey heron", 10, ["home", "right", "ctrl+k"], ("g", 1)),
        ("grey heron", 5, ["ctrl+u"], ("heron", 0)),
        ("cafe\u0301", 5, ["left"], ("cafe\u0301", 3)),  # the accent goes with its letter
        ("cafe\u0301", 5, ["backspace"], ("caf", 3)),
        ("", 0, ["backspace", "delete", "left", "right"], ("", 0)),
    ],
)
def test_editing_keys(text: str, caret: int, keys: list[str], wanted: tuple[str, int]) -> None:
    line = Line(text, caret)
    for key in keys:
        changed = press(line, key)
        assert changed is not None
        line = changed
    assert tuple(line) == wanted


def test_what_is_pasted_loses_control_characters_and_line_ends() -> None:
    assert insert(Line("", 0), "\x1b[31m28\r\nm\x07").text == "[31m28  m"


def test_other_keys_are_none_of_the_editors() -> None:
    assert press(Line("28 m", 4), "f1") is None


@given(st.text(max_size=30), st.integers(0, 40), st.integers(4, 30))
def test_the_line_fills_its_cells_exactly_with_the_caret_in_sight(text: str, caret: int, width: int) -> None:
    line = insert(Line("", 0), text)
    runs = shown(Line(line.text, min(caret, len(line.text))), width)
    assert sum(text_cells(part) for part, _ in runs) == width
    assert [role for _, role in runs] == ["open", "caret", "open"]
