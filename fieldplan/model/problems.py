"""What is wrong in a file or an edit, in plain words: which field, what was found, what would do."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import ValidationError
from pydantic.fields import FieldInfo

from fieldplan.model import fields as t
from fieldplan.model.fields import Bounds, Misplaced, Record
from fieldplan.model.schema import KeyPath, child, class_under, field_at, marks_of, noun, path_text, slots_of
from fieldplan.notation.numbers import shown
from fieldplan.notation.words import nearest_word

_FITS = {"string": "text", "float": "a number", "int": "a whole number", "bool": "true or false"}
_FLAG: Any = get_args(t.Flag)[1]  # the mark of a yes-or-no field
_BARE_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")


@dataclass(frozen=True)
class Problem:
    """One thing to mend: where (lens[0].focal), in which record (its name, "" for none), and what would do."""

    path: str
    name: str
    message: str

    def __str__(self) -> str:
        named = f" ({shown(self.name)})" if self.name else ""
        return f"{self.path}{named}: {self.message}" if self.path or named else self.message


def explain(error: ValidationError, raw: Any, root: type[Record]) -> list[Problem]:
    """Every problem that the validation found, in the order of the file's keys. raw: what was validated."""
    problems: list[Problem] = []
    for detail in error.errors(include_url=False):
        path: KeyPath = tuple(detail["loc"])
        cause = detail.get("ctx", {}).get("error")
        if isinstance(cause, Misplaced):
            path = (*path, *cause.where)
        holder, info = field_at(root, path, raw)
        message = _message(detail["type"], path, detail["input"], cause, holder, info)
        problems.append(Problem(path_text(path), name_along(raw, path), message))
    return problems


def name_along(raw: Any, path: KeyPath) -> str:
    """The name of the innermost record of a list on the path, "" where it has none."""
    name = ""
    for key in path:
        raw = child(raw, key)
        if isinstance(key, int):
            found = child(raw, "name")
            name = found if isinstance(found, str) else ""
    return name


def _message(
    sort: str, path: KeyPath, found: Any, cause: object, holder: type[Record] | None, info: FieldInfo | None
) -> str:
    key = str(next((part for part in reversed(path) if isinstance(part, str)), ""))
    if sort == "extra_forbidden" and holder is not None:
        return unknown_key(key, holder)
    if sort == "missing" and info is not None:
        return f"is missing; write {f'for example {key} = {_toml_example(info)}' if _example(info) else f'{key} = ...'}"
    if sort == "value_error":
        return _with_example(str(cause), info)
    if sort == "tuple_type" and info is not None:
        one = isinstance(found, (Mapping, Record))
        return (f"is one table where a list belongs; write [[{key}]] with two brackets above each" if one
                else f"{shown(found)} is not a list; write a table [[{key}]] for each")  # fmt: skip
    if sort in ("model_type", "model_attributes_type", "dict_type") and info is not None:
        record = class_under(info, found)
        brackets = f"[[{key}]]" if isinstance(path[-1], int) else f"[{key}]"
        return f"{shown(found)} is not {noun(record) if record else 'a table'}; write a table {brackets}"
    wanted = _FITS.get(sort.partition("_")[0], "what belongs here")
    return _with_example(f"{shown(found)} is not {wanted}", info)


def unknown_key(key: str, holder: type[Record]) -> str:
    """What to say of a key that a record does not have."""
    slots, word = slots_of(holder), re.sub(r"[\s-]+", "_", key.strip().lower())
    labelled = (name for name, slot in slots.items() if word in (slot.attribute, _underscored(slot.info.title)))
    near = next(labelled, None) or nearest_word(word, list(slots))
    guess = f'did you mean "{near}"?' if near else f"known: {', '.join(slots)}"
    return f"is not a key of {noun(holder)}; {guess}"


def _underscored(label: str | None) -> str:
    return (label or "").lower().replace(" ", "_").replace("-", "_")


def _example(info: FieldInfo | None) -> str:
    return str(info.examples[0]) if info is not None and info.examples else ""


def _toml_example(info: FieldInfo) -> str:
    """The example as it stands in a file: numbers bare, text in quotes, lists in brackets."""
    text, marks = _example(info), marks_of(info)
    plain_number = any(isinstance(mark, Bounds) for mark in marks) and _BARE_NUMBER.fullmatch(text)
    if plain_number or _FLAG in marks:
        return {"yes": "true", "no": "false"}.get(text, text)
    return f'"{text}"'


def _with_example(message: str, info: FieldInfo | None) -> str:
    """A message that says no remedy yet gets the field's example."""
    example = _example(info)
    if not example or re.search(r"; |write |\bknown: |give ", message):
        return message
    return f"{message}; write for example {_toml_example(info) if info else example}"
