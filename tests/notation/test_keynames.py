"""Keys as people write them, against what the toolkit calls them."""

from __future__ import annotations

import pytest
from textual.keys import Keys

from fieldplan.notation import keynames
from fieldplan.notation.keynames import key_name, read_key


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("u", "u"), ("U", "U"), ("é", "é"), ("+", "+"), (" ", "space"), ("Space", "space"), ("F8", "f8"),
        ("Esc", "escape"), ("PgUp", "pageup"), ("pgdn", "pagedown"), ("DEL", "delete"),
        ("Return", "enter"), ("Ctrl+K", "ctrl+k"), ("ctrl + k", "ctrl+k"), ("Shift+Tab", "shift+tab"),
        ("f12", "f12"), ("Ctrl+PgUp", "ctrl+pageup"),
    ],
)  # fmt: skip
def test_keys_are_read_however_they_are_cased(written: str, key: str) -> None:
    assert read_key(written) == key


def test_every_named_key_is_one_of_the_toolkit_and_is_read_back_from_its_name() -> None:
    known = {key.value for key in Keys}
    assert set(keynames._KEYS) <= known
    for key in keynames._KEYS:
        assert read_key(key_name(key)) == key


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("F88", 'did you mean "F8"'), ("pageupp", 'did you mean "PgUp"'), ("", "is no key"), (8, "is no key"),
        ("Ctrl+M", "is Enter to a terminal"), ("Ctrl+I", "is Tab to a terminal"), ("\x1b", "is no key"),
        ("uu", "is no key"), ("Alt+x", "is no key"),
    ],
)  # fmt: skip
def test_what_is_no_key_is_told_with_what_would_do(written: object, told: str) -> None:
    with pytest.raises(ValueError, match=r"is no key|to a terminal") as wrong:
        read_key(written)
    assert told in str(wrong.value)
    assert "write" in str(wrong.value)
