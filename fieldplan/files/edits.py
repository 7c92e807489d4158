"""Edits of a plan or profile by key path; each gives a new value and leaves the old one as it was."""

from __future__ import annotations

import contextlib
import re
import tomllib
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import ValidationError

from fieldplan.files.reading import in_order, validated
from fieldplan.model.fields import Record
from fieldplan.model.forms import TABLES, field_of, text_of
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.model.problems import Problem, explain, name_along, unknown_key
from fieldplan.model.schema import KeyPath, child, field_at, path_text, slots_of
from fieldplan.notation.numbers import shown

Written = TypeVar("Written", Plan, Profile)
# Where the name of a record is written elsewhere in the same file: renaming it renames it there too. "*": every record.
_FOLLOWERS: Mapping[tuple[str, ...], tuple[tuple[str, ...], ...]] = {
    ("site", "landmark", "*", "name"): (("shot", "*", "subject", "behind"), ("shot", "*", "subject", "landmark")),
    ("converter", "*", "name"): (("lens", "*", "converters"),),
    ("body", "*", "name"): (("extra", "*", "for"),),
    ("lens", "*", "name"): (("extra", "*", "for"),),
    ("shot", "*", "name"): (("taken", "*", "shot"),),
}


class EditProblem(Exception):
    """An edit that would not leave a valid file; ``problems`` says why. Nothing was changed."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(*problems)
        self.problems = problems

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


def with_value(value: Written, path: KeyPath, found: Any) -> Written:
    """The value with what was found under the path; text is read as in the file, "" takes the key out.

    Tables on the way that are not there yet are made. A renamed record is renamed wherever the file names it. Raises
    EditProblem.
    """
    found = _understood(value, path, found)
    if found is None or found == "":
        return without(value, path)
    data = _changed(value, path, lambda holder, key: _put(holder, key, found))
    former = child_at(value, path)
    if isinstance(former, str) and isinstance(found, str):
        for follower in _followers(path):
            data = _renamed(data, follower, former, found)
    return _checked(value, data)


def without(value: Written, path: KeyPath) -> Written:
    """The value without what lies under the path, nor a table left empty by that. Raises EditProblem."""
    if child_at(value, path) is None:
        _holder_of(value, path)
        return value
    data = _changed(value, path, _take)
    return _checked(value, data)


def with_inserted(value: Written, path: KeyPath, index: int, record: Mapping[str, Any] | Record) -> Written:
    """The value with one more record in the list under the path, before the index. Raises EditProblem."""
    held = list(child_at(value, path) or ())
    held.insert(index, record)
    return _checked(value, _changed(value, path, lambda holder, key: _put(holder, key, held)))


def with_moved(value: Written, path: KeyPath, to: int) -> Written:
    """The value with the record under the path at another place of its list. Raises EditProblem."""
    *where, index = path
    held = list(child_at(value, tuple(where)) or ())
    if not isinstance(index, int) or not 0 <= index < len(held) or not 0 <= to < len(held):
        raise EditProblem(Problem(path_text(path), "", f"cannot be moved to place {to}; there are {len(held)}"))
    held.insert(to, held.pop(index))
    return _checked(value, _changed(value, tuple(where), lambda holder, key: _put(holder, key, held)))


def copy_of(value: Plan | Profile, path: KeyPath) -> dict[str, Any]:
    """The record under a path as data for one more of it, with a name that its list does not hold yet."""
    record = child_at(value, path)
    if not isinstance(record, Record) or not path or not isinstance(path[-1], int):
        raise EditProblem(Problem(path_text(path), "", "is not a record of a list, and cannot be copied"))
    data = shallow(record)
    if "name" in data:
        names = {str(child(other, "name")) for other in child_at(value, path[:-1])}
        data["name"] = free_name(str(data["name"]), names)
    return data


def free_name(name: str, taken: set[str]) -> str:
    """The name, or with the next free number: "heron", "heron 2", "heron 3"."""
    if name not in taken:
        return name
    base = re.sub(r"\s+\d{1,3}$", "", name)[:110]
    return next(word for number in range(2, len(taken) + 3) if (word := f"{base} {number}") not in taken)


def child_at(value: Any, path: KeyPath) -> Any:
    """What lies under a path; None where there is nothing, or it was not set."""
    for key in path:
        if isinstance(value, Record) and not _is_set(value, key):
            return None
        value = child(value, key)
    return value


def is_field(value: Plan | Profile, path: KeyPath) -> bool:
    """Whether a path leads to a field of a record that is there."""
    try:
        _holder_of(value, path)
    except EditProblem:
        return False
    return all(child_at(value, path[: at + 1]) is not None for at, key in enumerate(path) if isinstance(key, int))


def typed_at(value: Plan | Profile, path: KeyPath) -> str:
    """The text of a field as it was typed; "" where it is not set."""
    record = child_at(value, path[:-1])
    return text_of(record, str(path[-1])) if isinstance(record, Record) else ""


def shallow(record: Record) -> dict[str, Any]:
    """A record as a table of what was set; the values stay typed."""
    pairs = ((key, slot.attribute) for key, slot in slots_of(type(record)).items())
    held = {key: getattr(record, attribute) for key, attribute in pairs if attribute in record.model_fields_set}
    return {key: part for key, part in held.items() if part is not None}


def _is_set(record: Record, key: str | int) -> bool:
    slot = slots_of(type(record)).get(str(key))
    return slot is not None and slot.attribute in record.model_fields_set


def _understood(value: Plan | Profile, path: KeyPath, found: Any) -> Any:
    """Text that stands for a table or a list, { ... } or [ ... ], as such."""
    if not isinstance(found, str):
        return found
    text = found.strip()
    holder, _ = field_at(type(value), path, value)
    field = field_of(holder, str(path[-1])) if holder and path else None
    if field is not None and field.sort in TABLES and text[:1] + text[-1:] == '""' and len(text) > 1:
        with contextlib.suppress(tomllib.TOMLDecodeError, ValueError):
            return tomllib.loads(f"x = {text}")["x"]  # a name that begins like a table, in quotation marks
    table = text[:1] == "{" or text[:1] + text[-1:] == "[]"  # half a table is none, and no name either
    if field is None or field.sort not in TABLES or not table:
        return text
    try:
        return tomllib.loads(f"x = {text}")["x"]
    except (tomllib.TOMLDecodeError, ValueError, RecursionError):
        message = f'{shown(text)} is not a table or list; write for example {{ name = "post", height = "1.2 m" }}'
        raise EditProblem(Problem(path_text(path), name_along(value, path), message)) from None


def _holder_of(value: Plan | Profile, path: KeyPath) -> None:
    """Raises EditProblem unless the last key of the path is a key of its record."""
    holder, info = field_at(type(value), path, value)
    if info is None or (path and isinstance(path[-1], int)):
        key = path[-1] if path else ""
        message = unknown_key(str(key), holder) if holder and isinstance(key, str) else "is not there"
        raise EditProblem(Problem(path_text(path), name_along(value, path), message))


def _changed(value: Any, path: KeyPath, change: Callable[[Any, Any], None]) -> Any:
    """A shallow copy along the path, changed at its end; all that lies beside the path is shared, and already typed."""
    return _along(value, path, path, change)


def _along(node: Any, rest: KeyPath, path: KeyPath, change: Callable[[Any, Any], None]) -> Any:
    table: Any
    if isinstance(node, Record):
        table = shallow(node)
    elif isinstance(node, Mapping):
        table = dict(node)
    elif isinstance(node, (list, tuple)):
        table = list(node)
    elif node is None and isinstance(rest[0], str):
        table = {}
    else:
        above = path_text(path[: len(path) - len(rest)])
        raise EditProblem(Problem(path_text(path), "", f"{above} holds no table; set it to one first"))
    key = rest[0]
    if isinstance(table, list) and not (isinstance(key, int) and 0 <= key < len(table)):
        raise EditProblem(Problem(path_text(path), "", f"is not there; the list holds {len(table)}"))
    if isinstance(table, dict) and not isinstance(key, str):
        raise EditProblem(Problem(path_text(path), "", "is not a list"))
    if len(rest) == 1:
        change(table, key)
        return table
    below = _along(child(table, key), rest[1:], path, change)
    if below == {} and isinstance(table, dict):
        table.pop(key, None)
    else:
        table[key] = below
    return table


def _put(holder: Any, key: Any, found: Any) -> None:
    holder[key] = found


def _take(holder: Any, key: Any) -> None:
    if isinstance(holder, dict):
        holder.pop(key, None)
    else:
        del holder[key]


def _followers(path: KeyPath) -> tuple[tuple[str, ...], ...]:
    return _FOLLOWERS.get(tuple("*" if isinstance(key, int) else key for key in path), ())


def _renamed(node: Any, pattern: tuple[str, ...], former: str, name: str) -> Any:
    """The name replaced wherever the pattern leads; what it does not touch stays the same object."""
    if not pattern:
        if isinstance(node, (list, tuple)):
            return [name if part == former else part for part in node] if former in node else node
        return name if node == former else node
    if pattern[0] == "*":
        return [_renamed(part, pattern[1:], former, name) for part in node or ()]
    below = child(node, pattern[0])
    if below is None:
        return node
    changed = _renamed(below, pattern[1:], former, name)
    unchanged = changed is below or (isinstance(changed, list) and list(below) == changed)
    if unchanged:
        return node
    table = shallow(node) if isinstance(node, Record) else dict(node)
    return {**table, pattern[0]: changed}


def _checked(value: Written, data: Any) -> Written:
    root = type(value)
    try:
        return validated(data, root)
    except ValidationError as error:
        raise EditProblem(*in_order(explain(error, data, root))) from None
