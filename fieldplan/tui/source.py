"""What a form edits: records of the plan or the profile on the desk, wherever they lie in their file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from fieldplan.files import edits
from fieldplan.files.document import EditProblem
from fieldplan.model.catalogue import ListedSubject, WantedDepth
from fieldplan.model.fields import Record
from fieldplan.model.forms import FormField, fields_of, text_of
from fieldplan.model.plan import Plan, Shot
from fieldplan.model.schema import KeyPath, records_in, slots_of
from fieldplan.notation.words import ANSI_ROWS
from fieldplan.tui.desk import AnyDocument, Desk, names, said
from fieldplan.tui.form import Entry

_SHOT_ORDER = ("subject", "activity", "distance", "fill", "depth_of_field", "hold", "light", "support", "time", "name")
Part = tuple[KeyPath, type[Record]]


class RecordSource:
    """One or more records of a document in one form. parts: asked each time, for the record looked at may change."""

    def __init__(
        self, desk: Desk, document: AnyDocument, parts: Callable[[], Sequence[Part]], order: tuple[str, ...] = ()
    ) -> None:
        self.desk, self.document, self.order = desk, document, order
        self._parts = parts

    @property
    def units(self) -> str:
        """The document's units of bare numbers."""
        return str(self.document.value.units)

    def entries(self) -> Sequence[Entry]:
        """The fields of all parts; those named in the order first."""
        return _entries(tuple(self._parts()), self.order)

    def text(self, path: KeyPath) -> str:
        """The text of a field."""
        draft = self.document.drafts.get(path)
        return self._written(path) if draft is None else draft

    def _written(self, path: KeyPath) -> str:
        record = edits.child_at(self.document.value, path[:-1])
        return text_of(record, str(path[-1])) if isinstance(record, Record) else ""

    def problem(self, path: KeyPath) -> str:
        """Why a text could not be read, asked anew: what it depends on may have changed."""
        draft = self.document.drafts.get(path)
        if draft is None:
            return ""
        try:
            edits.with_value(self.document.value, path, draft)
        except EditProblem as wrong:
            return said(wrong)
        return "read now; Enter keeps it"

    def attempt(self, path: KeyPath, text: str) -> str:
        """Reckon with a text."""
        return self.desk.attempt(self.document, path, text)

    def keep(self, path: KeyPath, text: str) -> str:
        """Put a text in the file."""
        if path not in self.document.drafts and text.strip() == self._written(path):
            self.desk.drop_trial()
            return ""
        return self.desk.put(self.document, path, text)

    def restore(self, path: KeyPath) -> None:
        """Forget what was not kept."""
        self.document.drafts.pop(path, None)
        self.desk.drop_trial()

    def words(self, path: KeyPath) -> Sequence[str]:
        """Known words for a field."""
        key = str(path[-1])
        if "rig" in path:
            return names(getattr(self.desk.gear.value, _LISTS[key])) if key in _LISTS else ()
        if path[0] == "shot" and key in _SHOT_WORDS:
            return _SHOT_WORDS[key](self.desk)
        if path == ("profile",):
            return _profiles(self.desk)
        field = next((entry.field for entry in self.entries() if entry.path == path), None)
        if field is None:
            return ()
        return ("yes", "no") if field.sort == "flag" else field.choices

    def hint(self, path: KeyPath) -> str:
        """Depths that are wanted of the shot's subject."""
        if path[0] != "shot" or path[-1] != "depth_of_field":
            return ""
        return ", ".join(f"{depth.name} {depth.depth.typed}" for depth in _depths(self.desk))


def _listed(desk: Desk) -> ListedSubject | None:
    subject = desk.shot.subject if desk.shot else None
    return desk.setting().catalogue.subject(subject) if isinstance(subject, str) else None


def _depths(desk: Desk) -> tuple[WantedDepth, ...]:
    listed = _listed(desk)
    return () if listed is None else listed.wanted_depth


def _activities(desk: Desk) -> tuple[str, ...]:
    listed = _listed(desk)
    return names(listed.activities) if listed else ()


def _subjects(desk: Desk) -> tuple[str, ...]:
    return desk.setting().catalogue.subject_names


def _supports(desk: Desk) -> tuple[str, ...]:
    return names(desk.gear.value.supports)


def _viewpoints(desk: Desk) -> tuple[str, ...]:
    site = desk.shown_plan.site
    return () if site is None else (site.name, *names(site.viewpoints))


def _lights(desk: Desk) -> tuple[str, ...]:
    return tuple(ANSI_ROWS)


def _profiles(desk: Desk) -> tuple[str, ...]:
    from fieldplan.files.places import list_profiles

    return tuple(place.name for place in list_profiles(desk.lists))


_SHOT_WORDS: dict[str, Callable[[Desk], tuple[str, ...]]] = {
    "subject": _subjects, "activity": _activities, "support": _supports, "light": _lights,
    "viewpoint": _viewpoints,
}  # fmt: skip
_LISTS = {
    "body": "bodies",
    "lens": "lenses",
    "converter": "converters",
    "tube": "tubes",
    "close_up_lens": "close_up_lenses",
}


@cache
def _entries(parts: tuple[Part, ...], order: tuple[str, ...]) -> tuple[Entry, ...]:
    found = [entry for path, record in parts for entry in _flat(path, record)]
    first = [
        entry for key in order for entry in found if entry.path[-1] == key and len(entry.path) == len(parts[0][0]) + 1
    ]
    return (*first, *(entry for entry in found if entry not in first))


def _flat(path: KeyPath, record: type[Record]) -> list[Entry]:
    """The fields of a record; those of a record in it by its own name, lists of records left to their own pages."""
    found = []
    for field in fields_of(record):
        if field.many:
            continue
        if not field.nested:
            found.append(Entry((*path, field.key), field, field.label))
            continue
        inner = records_in(slots_of(record)[field.key].info)[0]
        found += [
            Entry((*path, field.key, part.key), part, _label(field, part))
            for part in fields_of(inner)
            if not part.nested
        ]
    return found


def _label(field: FormField, part: FormField) -> str:
    """ "site name", but "position": a word of its own tells enough."""
    return f"{field.label} {part.label}" if part.key == "name" else part.label


def shot_source(desk: Desk) -> RecordSource:
    """The form of the shot looked at, what is asked most often first."""

    def parts() -> Sequence[Part]:
        count = len(desk.plan.value.shots)
        return [(("shot", min(desk.shot_index, count - 1)), Shot)] if count else []

    return RecordSource(desk, desk.plan, parts, _SHOT_ORDER)


def plan_source(desk: Desk) -> RecordSource:
    """The form of the plan and its site."""
    return RecordSource(desk, desk.plan, lambda: [((), Plan)])
