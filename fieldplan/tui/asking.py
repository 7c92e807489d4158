"""Texts that a page asks for and that belong to no file, edited in a form like any other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from fieldplan.model.forms import FormField
from fieldplan.model.schema import KeyPath
from fieldplan.tui.form import Entry

_EMPTIES = "Ctrl+U empties it"


class Asked(NamedTuple):
    """One thing that can be typed: its key, its label, an example, and what takes the text ("" empties it).

    take raises ValueError, in plain words, for a text that it cannot read.
    """

    key: str
    label: str
    example: str
    take: Callable[[str], None]


def _field(one: Asked) -> FormField:
    return FormField(one.key, one.label, one.example, _EMPTIES, False, (), "", None, False)


class AskSource:
    """Texts that belong to the page and to no file; a form edits them like any other."""

    def __init__(self, asked: Sequence[Asked], kept: Callable[[], None] = lambda: None) -> None:
        """kept: told whenever a text has been taken."""
        self._asked = {one.key: one for one in asked}
        self.texts = dict.fromkeys(self._asked, "")
        self._kept = kept

    @property
    def units(self) -> str:
        """Bare numbers mean nothing here."""
        return "metric"

    def entries(self) -> Sequence[Entry]:
        """The things that can be typed."""
        return [Entry((one.key,), _field(one), one.label) for one in self._asked.values()]

    def text(self, path: KeyPath) -> str:
        """As it was typed last."""
        return self.texts[str(path[0])]

    def problem(self, path: KeyPath) -> str:
        """Nothing is kept that cannot be read."""
        return ""

    def attempt(self, path: KeyPath, text: str) -> str:
        """Nothing is reckoned before the text is whole."""
        return ""

    def keep(self, path: KeyPath, text: str) -> str:
        """Take the text; the problem, where it cannot be read."""
        try:
            self._asked[str(path[0])].take(text.strip())
        except ValueError as wrong:
            return str(wrong)
        self.texts[str(path[0])] = text.strip()
        self._kept()
        return ""

    def restore(self, path: KeyPath) -> None:
        """Nothing was tried."""

    def words(self, path: KeyPath) -> Sequence[str]:
        """None are known."""
        return ()

    def hint(self, path: KeyPath) -> str:
        """Nothing beside the example."""
        return ""
