"""A plan or profile under a person's hands: edits, undo and redo, half-typed texts, saving, changes from outside."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from fieldplan.files import edits
from fieldplan.files.comparing import Difference, differences
from fieldplan.files.edits import EditProblem
from fieldplan.files.journal import Left
from fieldplan.files.places import copy_for_editing, free_path, is_starter
from fieldplan.files.problems import ChangedOnDisk, FileProblem, system_problem, visible
from fieldplan.files.reading import Loaded, digest_of, load_plan, load_profile, read_bytes, read_text
from fieldplan.files.saving import NEW_FILE, expect, present_bytes, save_text
from fieldplan.files.writing import to_toml
from fieldplan.model.fields import Record
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.model.problems import Problem
from fieldplan.model.schema import KeyPath
from fieldplan.notation.numbers import shown

__all__ = ["Document", "EditProblem", "Saved", "new_document", "open_plan", "open_profile"]

Written = TypeVar("Written", Plan, Profile)
Drafts = Mapping[KeyPath, str]


class _Moment(NamedTuple):
    """What undo returns to: the value, and the texts that did not read at that time."""

    value: Any
    drafts: Drafts


@dataclass(frozen=True)
class Saved:
    """Where a document now lies, and what the person should be told of it."""

    path: Path
    notices: tuple[str, ...] = ()


@dataclass
class Document(Generic[Written]):
    """A plan or profile being edited. ``value`` is immutable: an edit puts another in its place, or raises EditProblem.

    drafts: by key path, the texts that were given for fields and could not be read; the value does not hold them.
    """

    path: Path
    value: Written
    digest: str
    drafts: dict[KeyPath, str] = field(default_factory=dict)
    _text: str = ""
    _had_comments: bool = False
    _on_disk: Written | None = None
    _past: list[_Moment] = field(default_factory=list)
    _future: list[_Moment] = field(default_factory=list)
    _toml: tuple[Written, str] | None = None  # the value written last, and as what

    @property
    def unsaved(self) -> bool:
        """True when the value is not what the file holds."""
        return self._on_disk is None or not _same(self.value, self._on_disk)

    @property
    def can_undo(self) -> bool:
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        return bool(self._future)

    def set(self, path: KeyPath, found: Any) -> Written:
        """Put text, or a value of a file, under a key path: doc.set(("shot", 2, "distance"), "28 m").

        "" takes the key out. What cannot be read stays in ``drafts``. Raises EditProblem.
        """
        try:
            changed = edits.with_value(self.value, path, found)
        except EditProblem:
            if isinstance(found, str):
                self.drafts[path] = found
            raise
        drafts = {key: text for key, text in self.drafts.items() if key != path}
        return self._step(changed, drafts)

    def remove(self, path: KeyPath) -> Written:
        """Take out a key, or a record of a list. Raises EditProblem."""
        index = path[-1] if path else None
        changed = edits.without(self.value, path)
        if isinstance(index, int):
            return self._step(changed, self._shifted(path[:-1], lambda at: None if at == index else at - (at > index)))
        return self._step(changed, {key: text for key, text in self.drafts.items() if key[: len(path)] != path})

    def insert(self, path: KeyPath, index: int, record: Mapping[str, Any] | Record) -> Written:
        """Put a record into the list under the path, before the index: doc.insert(("shot",), 0, {"name": "heron"})."""
        changed = edits.with_inserted(self.value, path, index, record)
        return self._step(changed, self._shifted(path, lambda at: at + (at >= index)))

    def copy(self, path: KeyPath) -> Written:
        """Put a copy of a record of a list after it, under a name of its own. Raises EditProblem."""
        data = edits.copy_of(self.value, path)
        return self.insert(path[:-1], int(path[-1]) + 1, data)

    def move(self, path: KeyPath, to: int) -> Written:
        """Put a record of a list at another place of it. Raises EditProblem."""
        changed = edits.with_moved(self.value, path, to)
        start = int(path[-1])

        def place(at: int) -> int:
            if at == start:
                return to
            return at - (start < at <= to) + (to <= at < start)

        return self._step(changed, self._shifted(path[:-1], place))

    def undo(self) -> Written:
        """Back by one edit, or nothing where there is none; every edit is kept."""
        return self._travel(self._past, self._future)

    def redo(self) -> Written:
        """Forward again by one edit that was undone."""
        return self._travel(self._future, self._past)

    def changed_on_disk(self) -> bool:
        """True when the file is no longer what was read or last saved."""
        if self.digest == NEW_FILE:
            return os.path.lexists(self.path)
        try:
            return digest_of(read_bytes(self.path)) != self.digest
        except FileProblem:
            return True

    def reload(self) -> Written:
        """Take what is on disk; an edit like others, that undo takes back. Raises FileProblem and changes nothing."""
        loaded: Loaded[Any] = load_plan(self.path) if isinstance(self.value, Plan) else load_profile(self.path)
        self._text, self._had_comments, self.digest = loaded.text, loaded.had_comments, loaded.digest
        self._on_disk = loaded.value
        return self._step(loaded.value, {})

    def save(self, *, over: bool = False) -> Saved:
        """Write the value to its file, if it is not there already. Raises ChangedOnDisk and FileProblem.

        over: also over what another program wrote, which stays beside it as NAME~. A starter or demo is left alone: the
        value goes into a copy in the person's own folder, and the path changes. Comments cannot be kept: before the
        first rewrite the former text is put beside the file.
        """
        if not self.unsaved and not over:
            return Saved(self.path)
        notices: list[str] = []
        if self.digest != NEW_FILE and is_starter(self.path):
            self._leave_starter(notices)
        elif not over:
            expect(self.path, present_bytes(self.path), self.digest)
        if self._had_comments:
            why = f"Comments are not kept when {visible(self.path.name)} is rewritten; its former text is in"
            notices.append(_kept_beside(self.path, self._text, why, "before-fieldplan"))
            self._had_comments = False
        self.digest = save_text(self.path, self._written(), None if over else self.digest)
        self._on_disk = self.value
        return Saved(self.path, tuple(notices))

    def save_copy(self) -> Saved:
        """Put the value in a file of its own beside, and go on there; the file that it came from stays as it is.

        Raises FileProblem, and the document stays where it was.
        """
        path = free_path(self.path.parent, self.path.stem)
        self.digest = save_text(path, self._written(), NEW_FILE)
        former, self.path, self._on_disk, self._had_comments = self.path, path, self.value, False
        return Saved(path, (f"{visible(former.name)} stays as it is; yours is {visible(path.name)} from here on",))

    def differences(self) -> tuple[Difference, ...]:
        """Where the value differs from what is on disk now. Raises FileProblem."""
        loaded: Loaded[Any] = load_plan(self.path) if isinstance(self.value, Plan) else load_profile(self.path)
        return differences(self.value, loaded.value)

    def left(self, typed: Drafts | None = None) -> Left:
        """What would be lost if the program ended now. typed: texts of open fields."""
        text = self._written() if self.unsaved else ""
        return Left(self.digest, text, {**self.drafts, **(typed or {})})

    def take_left(self, left: Left) -> tuple[str, ...]:
        """Bring back what a crash left: edits, that undo takes back, and drafts. Returns what to tell the person.

        Where the file is no longer the one that they were made from, the next save raises ChangedOnDisk. Raises
        FileProblem where edits can neither be read back nor be put beside the file.
        """
        told: list[str] = []
        name = visible(self.path.name)
        if left.text and digest_of(left.text.encode("utf-8")) != self.digest:
            root = type(self.value)
            try:
                value = read_text(left.text, self.path, root)
            except FileProblem:
                why = f"edits of {name} not saved before the program ended cannot be read back; they are in"
                told.append(_kept_beside(self.path, left.text, why, "unsaved"))
            else:
                self._step(value, {})
                self.digest = left.digest
                told.append(f"edits of {name} not saved before the program ended are back; undo takes them away")
        placed = {path: text for path, text in left.drafts.items() if edits.is_field(self.value, path)}
        kept = {path: text for path, text in placed.items() if edits.typed_at(self.value, path) != text.strip()}
        self.drafts.update(kept)
        lost = [text for path, text in left.drafts.items() if path not in placed]
        if kept:
            told.append(f"text typed before the program ended is back: {', '.join(map(shown, kept.values()))}")
        if lost:
            told.append(f"typed for a record of {name} that is gone: {', '.join(map(shown, lost))}")
        return tuple(told)

    def _written(self) -> str:
        if self._toml is None or self._toml[0] is not self.value:
            self._toml = (self.value, to_toml(self.value))
        return self._toml[1]

    def _leave_starter(self, notices: list[str]) -> None:
        copied = copy_for_editing(self.path)
        self.path, self.digest = copied.path, digest_of(read_bytes(copied.path))
        self._had_comments = False  # the starter itself keeps its comments
        notices.append(copied.notice)

    def _step(self, value: Written, drafts: dict[KeyPath, str]) -> Written:
        if not _same(value, self.value):
            self._past.append(_Moment(self.value, dict(self.drafts)))
            self._future.clear()
            self.value = value
        self.drafts = drafts
        return self.value

    def _travel(self, source: list[_Moment], target: list[_Moment]) -> Written:
        if source:
            target.append(_Moment(self.value, dict(self.drafts)))
            moment = source.pop()
            self.value, self.drafts = moment.value, dict(moment.drafts)
        return self.value

    def _shifted(self, path: KeyPath, place: Callable[[int], int | None]) -> dict[KeyPath, str]:
        """The drafts, those of the list under the path at the new places of their records (None: gone)."""
        moved: dict[KeyPath, str] = {}
        for key, text in self.drafts.items():
            rest: KeyPath = key[len(path) :] if key[: len(path)] == path else ()
            index = rest[0] if rest else None
            if not isinstance(index, int):
                moved[key] = text
                continue
            to = place(index)
            if to is not None:
                here: KeyPath = (*path, to)
                moved[here + rest[1:]] = text
        return moved


def open_plan(path: Path) -> Document[Plan]:
    """A plan file, to be edited. Raises FileProblem."""
    return _document(load_plan(path))


def open_profile(path: Path) -> Document[Profile]:
    """A profile file, to be edited. Raises FileProblem."""
    return _document(load_profile(path))


def new_document(path: Path, value: Written) -> Document[Written]:
    """A value that has no file yet; saving makes the file, and the folder it goes into."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise system_problem(path, error) from None
    return Document(path, value, NEW_FILE)


def _document(loaded: Loaded[Written]) -> Document[Written]:
    return Document(
        loaded.path,
        loaded.value,
        loaded.digest,
        _text=loaded.text,
        _had_comments=loaded.had_comments,
        _on_disk=loaded.value,
    )


def _same(a: Plan | Profile, b: Plan | Profile) -> bool:
    """True when both would be written alike; equal values may be written differently, as 1 m and 100 cm are."""
    return a is b or (a == b and to_toml(a) == to_toml(b))


def _kept_beside(path: Path, text: str, why: str, ending: str) -> str:
    """A text put beside a file, never over another; returns what to tell the person. Raises FileProblem."""
    for number in range(1, 1000):
        beside = path.with_name(f"{path.name}.{ending}{'' if number == 1 else f'.{number}'}")
        try:
            save_text(beside, text, NEW_FILE)
        except ChangedOnDisk:
            continue
        return f"{why} {visible(beside.name)}"
    raise FileProblem(path, [Problem("", "", "has too many former texts beside it; move some of them away")])
