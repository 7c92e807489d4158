"""A form over any record: fields to select, step and open. It draws rows and takes keys; what it edits is a Source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from fieldplan.model.forms import FormField
from fieldplan.model.schema import KeyPath
from fieldplan.model.stepping import step
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.tui import editor
from fieldplan.tui.commands import TYPING, find
from fieldplan.tui.editor import Line
from fieldplan.tui.rows import crop, left, safe

_LABEL = 21  # cells of mark, label and the sign of a text that could not be read
_OFFERED = 5


@dataclass(frozen=True)
class Entry:
    """One field of a form, and where it lies in its file."""

    path: KeyPath
    field: FormField
    label: str


class Source(Protocol):
    """What a form edits."""

    @property
    def units(self) -> str:
        """Of bare numbers: "metric" or "imperial"."""

    def entries(self) -> Sequence[Entry]:
        """The fields, in the order of the form."""

    def text(self, path: KeyPath) -> str:
        """The text of a field: one that could not be read yet, else the one in the file, else ""."""

    def problem(self, path: KeyPath) -> str:
        """Why the text of a field could not be read; "" when it could."""

    def attempt(self, path: KeyPath, text: str) -> str:
        """Reckon with a text that is being typed; nothing is kept. Returns the problem, or ""."""

    def keep(self, path: KeyPath, text: str) -> str:
        """Put the text in the file. Returns the problem, or ""."""

    def restore(self, path: KeyPath) -> None:
        """Forget what was typed for the field and not kept."""

    def words(self, path: KeyPath) -> Sequence[str]:
        """Known words for the field, to choose from."""

    def hint(self, path: KeyPath) -> str:
        """What may be written here and now, in the place of the field's example; "" where that will do."""


class Form:
    """The state of a form: which field is selected, and the line in it when it is open."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.index = 0
        self.line: Line | None = None
        self.fresh = False  # just opened: what is typed replaces the text, an arrow key edits it
        self.problem = ""
        self._top = 0

    @property
    def typing(self) -> bool:
        """True while a field is open."""
        return self.line is not None

    @property
    def entry(self) -> Entry | None:
        """The selected field."""
        entries = self.source.entries()
        return entries[min(self.index, len(entries) - 1)] if entries else None

    def select(self, way: int) -> None:
        """The field so many places on, round and round."""
        count = len(self.source.entries())
        self.index = (min(self.index, count - 1) + way) % count if count else 0
        self.problem = ""

    def select_key(self, key: str) -> None:
        """The field of that key, where the form has it."""
        keys = [entry.field.key for entry in self.source.entries()]
        self.index = keys.index(key) if key in keys else self.index

    def open(self) -> None:
        """Open the selected field: typing replaces its text, an arrow key first edits it."""
        entry = self.entry
        if entry is not None:
            self.line = Line.at_end(self.source.text(entry.path))
            self.fresh = True
            self.problem = self.source.problem(entry.path)

    def clear(self) -> None:
        """Empty the selected field."""
        if self.entry is not None:
            self.problem = self.source.keep(self.entry.path, "")

    def step(self, up: bool) -> None:
        """Step the selected field and keep the result."""
        entry = self.entry
        if entry is None:
            return
        before = self.source.text(entry.path)
        after = self._stepped(entry, before, up)
        self.problem = self.source.keep(entry.path, after) if after != before else ""

    def _stepped(self, entry: Entry, text: str, up: bool) -> str:
        words = self.source.words(entry.path)
        if not words or entry.field.choices or entry.field.kind or entry.field.sort in ("flag", "light"):
            return step(text or entry.field.default_text, entry.field, up, self.source.units)
        if text not in words:
            return words[0] if up else words[-1]
        return words[(words.index(text) + (1 if up else -1)) % len(words)]

    def type_key(self, key: str, character: str | None) -> None:
        """A key while the field is open."""
        entry, line = self.entry, self.line
        if entry is None or line is None:
            return
        command = find(TYPING, key)
        if command is not None:
            getattr(self, f"_{command.id}")(entry, line)
            return
        changed = editor.press(line, key)
        if changed is None and character is not None and character.isprintable():
            changed = editor.insert(Line("", 0) if self.fresh else line, character)
        self.fresh = False
        if changed is not None:
            self._typed(entry, changed)

    def paste(self, text: str) -> None:
        """Text pasted into the open field."""
        if self.entry is not None and self.line is not None:
            self._typed(self.entry, editor.insert(Line("", 0) if self.fresh else self.line, text))
            self.fresh = False

    def close(self) -> str:
        """Leave an open field with its text kept aside where it cannot be read, as at the end of the program."""
        entry, line = self.entry, self.line
        self.line = None
        return self.source.keep(entry.path, line.text) if entry is not None and line is not None else ""

    def _typed(self, entry: Entry, line: Line) -> None:
        moved = self.line is not None and self.line.text == line.text
        self.line = line
        if not moved:
            self.problem = self.source.attempt(entry.path, line.text)

    def _keep(self, entry: Entry, line: Line) -> None:
        self.problem = self.source.keep(entry.path, line.text)
        if not self.problem:
            self.line = None

    def _restore(self, entry: Entry, line: Line) -> None:
        self.source.restore(entry.path)
        self.line, self.problem = None, ""

    def _complete(self, entry: Entry, line: Line) -> None:
        offered = self.offered()
        if offered:
            self._typed(entry, Line.at_end(offered[0]))

    def _type_up(self, entry: Entry, line: Line) -> None:
        self._typed(entry, Line.at_end(self._stepped(entry, line.text, True)))

    def _type_down(self, entry: Entry, line: Line) -> None:
        self._typed(entry, Line.at_end(self._stepped(entry, line.text, False)))

    def offered(self) -> list[str]:
        """Known words that the open text may become: those that begin with it, then those that hold it."""
        if self.entry is None or self.line is None:
            return []
        words, text = self.source.words(self.entry.path), self.line.text.strip().lower()
        begin = [word for word in words if word.lower().startswith(text)]
        inside = [word for word in words if text in word.lower() and word not in begin]
        return [word for word in begin + inside if word != self.line.text]

    def rows(self, width: int, height: int, columns: int) -> list[Row]:
        """The fields in row order, scrolled so that the selected one is in sight."""
        entries = self.source.entries()
        high = -(-len(entries) // columns)
        chosen = min(self.index, len(entries) - 1) // columns if entries else 0
        self._top = max(min(self._top, chosen, high - height), chosen - height + 1, 0)
        wide = (width - 2 * (columns - 1)) // columns
        block: list[Row] = []
        for y in range(self._top, min(self._top + height, high)):
            row: list[tuple[str, str]] = []
            for at in range(y * columns, min((y + 1) * columns, len(entries))):
                row += ([("  ", "")] if row else []) + list(self._cell(at, entries[at], wide))
            block.append(tuple(row))
        return block

    def _cell(self, at: int, entry: Entry, width: int) -> Row:
        selected = at == min(self.index, len(self.source.entries()) - 1)
        label = left(entry.label, _LABEL - 3)
        room = width - _LABEL
        if selected and self.line is not None:
            return (("> ", "key"), (label + " ", "title"), *editor.shown(self.line, room))
        text = safe(self.source.text(entry.path))
        wrong = "!" if self.source.problem(entry.path) else " "
        if selected:
            shown = text or entry.field.default_text
            return (("> ", "key"), (label + wrong + left(shown, room), "picked"))
        value = (left(text, room), "value") if text else (left(entry.field.default_text, room), "dim")
        return (("  ", ""), (label, "label"), (wrong, "problem" if wrong == "!" else ""), value)

    def trouble(self) -> str:
        """Why the text of the selected field cannot be read; "" when it can."""
        return self.problem or (self.source.problem(self.entry.path) if self.entry is not None else "")

    def help_row(self, width: int) -> Row:
        """One line on the selected field: the words on offer, or the problem, or what may be written."""
        entry = self.entry
        if entry is None:
            return ()
        offered = self.offered()[:_OFFERED]
        if offered:
            return (("  Tab: ", "key"), (crop(" | ".join(safe(word) for word in offered), width - 7), "dim"))
        wrong = self.trouble()
        if wrong:
            return (("! ", "problem"), (crop(safe(wrong), width - 2), "warn"))
        place = f"{min(self.index, len(self.source.entries()) - 1) + 1}/{len(self.source.entries())} "
        return (("  ", ""), (crop(f"{place}{self._about(entry, width)}", width - 2), "dim"))

    def _about(self, entry: Entry, width: int) -> str:
        text = safe(self.source.text(entry.path))
        if self.line is None and text_cells(text) > width // 3:
            return f"{entry.label}: {text}"
        told = [entry.field.help] if entry.field.help else []
        if entry.field.choices:
            told.append(", ".join(entry.field.choices))
        elif hint := self.source.hint(entry.path):
            told.append(safe(hint))
        elif entry.field.example:
            told.append(f"such as {entry.field.example}")
        return f"{entry.label}: {'; '.join(told)}"
