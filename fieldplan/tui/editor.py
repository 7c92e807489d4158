"""The text of an open field: a line with a caret. Pure; knows nothing of screens."""

from __future__ import annotations

import unicodedata
from typing import NamedTuple

from fieldplan.pictures.cells import Run, clean, fit, text_cells


class Line(NamedTuple):
    """A text and the place of the caret in it: before the character of that index."""

    text: str
    caret: int

    @classmethod
    def at_end(cls, text: str) -> Line:
        """The caret after the last character."""
        return cls(text, len(text))


def insert(line: Line, typed: str) -> Line:
    """What was typed or pasted goes in at the caret; control characters and line ends do not."""
    typed = clean(typed)
    return Line(line.text[: line.caret] + typed + line.text[line.caret :], line.caret + len(typed))


def _step(text: str, caret: int, way: int) -> int:
    """The next place for the caret: never between a character and the marks combined with it."""
    caret += way
    while 0 < caret < len(text) and unicodedata.combining(text[caret]):
        caret += way
    return min(max(caret, 0), len(text))


def _word_left(line: Line) -> int:
    head = line.text[: line.caret].rstrip()
    return head.rfind(" ") + 1


def _cut(line: Line, start: int, end: int) -> Line:
    return Line(line.text[:start] + line.text[end:], start)


def press(line: Line, key: str) -> Line | None:
    """What a key does to the line; None when it is no key of the editor."""
    text, caret = line
    match key:
        case "left" | "ctrl+b":
            return Line(text, _step(text, caret, -1))
        case "right" | "ctrl+f":
            return Line(text, _step(text, caret, 1))
        case "home" | "ctrl+a":
            return Line(text, 0)
        case "end" | "ctrl+e":
            return Line(text, len(text))
        case "ctrl+left":
            return Line(text, _word_left(line))
        case "backspace" | "ctrl+h":
            return _cut(line, _step(text, caret, -1), caret)
        case "delete" | "ctrl+d":
            return _cut(line, caret, _step(text, caret, 1))
        case "ctrl+w":
            return _cut(line, _word_left(line), caret)
        case "ctrl+u":
            return _cut(line, 0, caret)
        case "ctrl+k":
            return _cut(line, caret, len(text))
        case _:
            return None


def shown(line: Line, width: int) -> tuple[Run, ...]:
    """The line in exactly ``width`` cells, the caret always in sight; role "open", the caret's cell "caret"."""
    text, caret = line
    end = _step(text, caret, 1)
    under = text[caret:end] or " "
    room = max(width - text_cells(under), 0)
    head = text[:caret]
    while text_cells(head) > room:
        head = head[_step(head, 0, 1) :]
    tail = fit(text[end:], room - text_cells(head))
    blanks = " " * (room - text_cells(head) - text_cells(tail))
    return (head, "open"), (under, "caret"), (tail + blanks, "open")
