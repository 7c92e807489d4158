"""How keys of a keyboard are written: "F8", "Ctrl+K", "PgUp", "u". A letter as itself, a large one with Shift."""

from __future__ import annotations

from fieldplan.notation.numbers import shown
from fieldplan.notation.words import nearest_word

_NAMES = {
    "space": "Space", "enter": "Enter", "escape": "Esc", "tab": "Tab", "backspace": "Backspace", "insert": "Ins",
    "delete": "Del", "up": "Up", "down": "Down", "left": "Left", "right": "Right", "home": "Home", "end": "End",
    "pageup": "PgUp", "pagedown": "PgDn", **{f"f{number}": f"F{number}" for number in range(1, 13)},
}  # fmt: skip
_SAID = {"esc": "escape", "return": "enter", "pgup": "pageup", "pgdn": "pagedown", "del": "delete", "ins": "insert"}
_WITH_SHIFT = ("tab", "up", "down", "left", "right", "home", "end", "delete", "insert", "pageup", "pagedown")
_MOVES = ("up", "down", "left", "right", "home", "end", "delete", "insert", "pageup", "pagedown")
# What a terminal sends for these is another key: XTerm Control Sequences, "VT100 Mode, single-character functions".
_SAME_AS = {"ctrl+h": "Backspace", "ctrl+i": "Tab", "ctrl+j": "Enter", "ctrl+m": "Enter"}
_KEYS = frozenset(
    [*_NAMES, *(f"shift+{key}" for key in _WITH_SHIFT), *(f"ctrl+{key}" for key in _MOVES)]
    + [f"ctrl+{letter}" for letter in "abcdefghijklmnopqrstuvwxyz" if f"ctrl+{letter}" not in _SAME_AS]
)


def key_name(key: str) -> str:
    """A key, as the terminal names it, as a person reads it: "ctrl+g" gives "Ctrl+G"."""
    *held, last = key.split("+") if len(key) > 1 else [key]
    name = _NAMES.get(last, last.upper() if held else last)
    return "+".join([*(one.capitalize() for one in held), name])


def read_key(found: object) -> str:
    """A key as a person writes it, however its name is cased, as the terminal names it. Raises ValueError."""
    text = found.strip() if isinstance(found, str) and found != " " else found
    if text == " ":
        return "space"
    if isinstance(text, str) and len(text) == 1 and text.isprintable():
        return text
    word = "+".join(_SAID.get(part.strip(), part.strip()) for part in str(text).casefold().split("+"))
    if isinstance(text, str) and word in _KEYS:
        return word
    if word in _SAME_AS:
        raise ValueError(f"{shown(found)} is {_SAME_AS[word]} to a terminal; write that, or another key")
    near = nearest_word(word, sorted(_KEYS)) if isinstance(text, str) else None
    guess = f'did you mean "{key_name(near)}"? ' if near else ""
    raise ValueError(
        f'{shown(found)} is no key; {guess}write a letter or sign as itself ("u", "<"), or a name: "F8", "Space", '
        '"Enter", "Tab", "PgUp", "Home", "Del", "Ctrl+K", "Shift+Up"'
    )
