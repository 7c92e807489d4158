"""A person's own keys, laid over those of the registry; for the keyboard, the footer, the key screen and the hints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from fieldplan.files.keytable import key_file, read_key_table
from fieldplan.files.problems import FileProblem
from fieldplan.model.keytable import KeyTable, OwnKey, command_id, command_name
from fieldplan.model.problems import Problem
from fieldplan.notation.keynames import key_name
from fieldplan.notation.numbers import shown
from fieldplan.notation.words import nearest_word
from fieldplan.tui import registry
from fieldplan.tui.commands import TYPING, Command

ANYWHERE = ""
# These stay with what they do, so that nobody is locked in or out and the header and the footer stay true.
FIXED = frozenset(("escape", "ctrl+g", "ctrl+c", "ctrl+q", "?", "up", "down", "left", "right", *"12345"))
_PAIRS = (("previous_", "next_"), ("next_", "previous_"))
_Chosen = Mapping[tuple[str, str], tuple[str, ...]]


class OwnKeys:
    """The keys in use. chosen: (page or ANYWHERE, id of a command) with its keys; none: the built-in ones."""

    def __init__(self, chosen: _Chosen = MappingProxyType({})) -> None:
        self.chosen = chosen

    def _own(self, title: str, id: str) -> tuple[str, ...] | None:
        own = self.chosen.get((title, id))
        return own if own is not None else self.chosen.get((ANYWHERE, id))

    def _keys(self, title: str, command: Command) -> tuple[str, ...]:
        own = self._own(title, command.id)
        if own is None:
            return command.keys
        fixed = [key for key in command.keys if key in FIXED]
        return tuple(dict.fromkeys([*(key for key in own if key not in FIXED), *fixed])) or command.keys

    def of(self, title: str, commands: tuple[Command, ...]) -> tuple[Command, ...]:
        """The same commands with the keys in use on the page of that title."""
        if not self.chosen:
            return commands
        laid = [replace(command, keys=self._keys(title, command)) for command in commands]
        for at, command in enumerate(laid):
            if command.opener and self._own(title, command.id) is None:
                laid[at] = self._closing(title, command, laid)
        return tuple(self._paired(title, command, laid) for command in laid)

    def _closing(self, title: str, command: Command, among: Sequence[Command]) -> Command:
        """What closes a view: by the keys that opened it, where nothing else there wants them."""
        opener = registry.command(command.opener, title)
        others = {key for other in among if other is not command for key in other.keys}
        now = tuple(key for key in self._keys(title, opener) if key not in others)
        keys = [key for old in command.keys for key in (now if old in opener.keys else (old,))]
        return replace(command, keys=tuple(dict.fromkeys(keys)))

    def _paired(self, title: str, command: Command, among: Sequence[Command]) -> Command:
        """One of two commands that the footer tells together, by the first key of each where either has its own."""
        if not command.shown:
            return command
        partners = {other + command.id.removeprefix(one) for one, other in _PAIRS if command.id.startswith(one)}
        pair = [command, *(other for other in among if other.id in partners)]
        if all(self._own(title, one.id) is None for one in pair):
            return command
        return replace(command, shown=" ".join(dict.fromkeys(key_name(one.keys[0]) for one in pair)))

    def name(self, id: str, title: str = "") -> str:
        """The first key of a command as a person reads it, for a hint. title: of the page that the hint stands on."""
        return key_name(self._keys(title, registry.command(id, title))[0])


def load_own_keys(folder: Path | None) -> OwnKeys:
    """The person's keys beside the profiles; the built-in ones where there is no table. Raises FileProblem."""
    path = key_file(folder)
    return OwnKeys() if path is None else checked(path)


def checked(path: Path) -> OwnKeys:
    """A key table that is sound in itself and against every page. Raises FileProblem that tells all that is not."""
    table = read_key_table(path)
    problems = [problem for at, own in enumerate(table.keys) for problem in _entry_problems(at, own)]
    if problems:
        raise FileProblem(path, problems)
    chosen = {_place(own): own.keys for own in table.keys}
    keys = OwnKeys(MappingProxyType(chosen))
    clashes = list(dict.fromkeys(_clashes(table, keys)))
    if clashes:
        raise FileProblem(path, clashes)
    return keys


def _place(own: OwnKey) -> tuple[str, str]:
    return (ANYWHERE if own.page is None else _title(own.page) or own.page), command_id(own.does)


def _title(page: str) -> str | None:
    return next((title for title in registry.titles() if title.casefold() == page.casefold()), None)


def _problem(at: int, key: str, message: str) -> Problem:
    return Problem(f"key[{at}].{key}", "", message)


def _entry_problems(at: int, own: OwnKey) -> Iterator[Problem]:
    """What is wrong with one entry for itself."""
    title, id = _place(own)
    pages = registry.titles()
    if title and title not in pages:
        near = nearest_word(title, list(pages))
        guess = f'did you mean "{near}"? ' if near else ""
        yield _problem(at, "page", f"{shown(title)} is no page; {guess}known: {', '.join(pages)}")
        return
    with_it = [page for page in pages if id in registry.commands(page)]
    if title and title not in with_it and with_it:
        yield _problem(at, "page", f"there is no {shown(own.does)} on that page; it is on: {', '.join(with_it)}")
    elif not with_it:
        yield _problem(at, "does", _no_command(own.does, id))
    places = [registry.commands(page)[id] for page in with_it]
    for key in own.keys:
        if key in FIXED and not any(key in command.keys for command in places):
            yield _problem(at, "keys", f"{key_name(key)} stays with what it does; take another key")


def _no_command(does: str, id: str) -> str:
    if id in {command.id for command in TYPING}:
        return f"{shown(does)} belongs to an open field, where the keys stay as they are; take the entry out"
    names = sorted({command_name(one) for page in registry.titles() for one in registry.commands(page)})
    near = nearest_word(command_name(id), names)
    guess = f'did you mean "{near}"? ' if near else ""
    return f"{shown(does)} is no command; {guess}the list of keys (?) tells the names"


def _clashes(table: KeyTable, keys: OwnKeys) -> Iterator[Problem]:
    """Keys that two commands want that live at one time. It is the entry in the table that is to be changed."""
    places = {_place(own): at for at, own in enumerate(table.keys)}
    for title in registry.titles():
        for state in registry.states(title):
            holders: dict[str, Command] = {}
            for command in keys.of(title, state):
                for key in command.keys:
                    other = holders.setdefault(key, command)
                    if other.id == command.id:
                        continue
                    found = [places.get((title, one.id), places.get((ANYWHERE, one.id))) for one in (command, other)]
                    at = max(place for place in found if place is not None)
                    mine, its = (command, other) if found[0] == at else (other, command)
                    yield _problem(
                        at,
                        "keys",
                        f"{key_name(key)} for {shown(command_name(mine.id))} is the key of "
                        f"{shown(command_name(its.id))} on the page {title}; take another, or give that one other keys",
                    )
