"""A record that a form edits and no file holds: what is seen on the spot, what is known of a clock."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from pydantic import ValidationError

from fieldplan.model.fields import Record
from fieldplan.model.forms import fields_of, text_of
from fieldplan.model.problems import explain
from fieldplan.model.schema import KeyPath
from fieldplan.tui.form import Entry

Loose = TypeVar("Loose", bound=Record)


class LooseSource(Generic[Loose]):
    """Edits one record in memory. units: of bare numbers, asked each time. kept: told of every record that is kept."""

    def __init__(
        self, record: Loose, units: Callable[[], str], kept: Callable[[Loose], None] = lambda record: None
    ) -> None:
        self.record, self._units, self._kept = record, units, kept
        self.trial: Loose | None = None
        self.drafts: dict[KeyPath, str] = {}

    @property
    def shown(self) -> Loose:
        """The record, with the text that is being typed where it can be read."""
        return self.trial or self.record

    @property
    def units(self) -> str:
        """Of bare numbers."""
        return self._units()

    def entries(self) -> Sequence[Entry]:
        """Every field of the record."""
        return [Entry((field.key,), field, field.label) for field in fields_of(type(self.record))]

    def text(self, path: KeyPath) -> str:
        """The text of a field."""
        return self.drafts.get(path, text_of(self.record, str(path[0])))

    def problem(self, path: KeyPath) -> str:
        """Why the text of a field could not be read."""
        draft = self.drafts.get(path)
        return "" if draft is None else self._read(path, draft)[1]

    def attempt(self, path: KeyPath, text: str) -> str:
        """Reckon with a text."""
        found, problem = self._read(path, text)
        if found is not None:
            self.trial = found
        return problem

    def keep(self, path: KeyPath, text: str) -> str:
        """Put a text into the record; one that cannot be read is held aside."""
        found, problem = self._read(path, text)
        if found is None:
            self.drafts[path] = text
            return problem
        self.drafts.pop(path, None)
        self.record, self.trial = found, None
        self._kept(found)
        return ""

    def restore(self, path: KeyPath) -> None:
        """Forget what was not kept."""
        self.drafts.pop(path, None)
        self.trial = None

    def words(self, path: KeyPath) -> Sequence[str]:
        """Known words for a field."""
        return next((entry.field.choices for entry in self.entries() if entry.path == path), ())

    def hint(self, path: KeyPath) -> str:
        """Nothing beside the example."""
        return ""

    def put(self, **fields: object) -> None:
        """Set fields from what the program knows."""
        self.record = self.record.model_copy(update=fields)

    def _read(self, path: KeyPath, text: str) -> tuple[Loose | None, str]:
        root = type(self.record)
        data: dict[str, object] = {entry.field.key: text_of(self.record, entry.field.key) for entry in self.entries()}
        data[str(path[0])] = text.strip()
        filled = {key: found for key, found in data.items() if found != ""}
        try:
            return root.model_validate(filled, context={"units": self.units}), ""
        except ValidationError as error:
            return None, "; ".join(problem.message for problem in explain(error, filled, root))
