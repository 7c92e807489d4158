"""What the record classes know of themselves: their TOML keys, and which record lies under a key."""

from __future__ import annotations

import re
import types
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Annotated, Any, NamedTuple, TypeAlias, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from fieldplan.model.fields import Record

KeyPath: TypeAlias = tuple[str | int, ...]
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


class Slot(NamedTuple):
    """One field of a record class: its name in Python and what is declared of it."""

    attribute: str
    info: FieldInfo


@cache
def slots_of(record: type[Record]) -> Mapping[str, Slot]:
    """The fields of a record class by TOML key: the name, the fields of the class itself, then the inherited."""
    fields = record.model_fields
    own = [name for name in fields if name in record.__annotations__]
    shared_name = ["name"] if "name" in fields and "name" not in own else []
    order = dict.fromkeys([*shared_name, *own, *fields])
    return {fields[name].alias or name: Slot(name, fields[name]) for name in order}


def parts_of(annotation: Any) -> Iterator[Any]:
    """The plain types and the marks inside an annotation, whatever unions and Annotated surround them."""
    origin = get_origin(annotation)
    if origin in (Union, types.UnionType) or origin is Annotated:
        for part in get_args(annotation):
            yield from parts_of(part)
    else:
        yield annotation


def marks_of(info: FieldInfo) -> list[Any]:
    """Types and marks (Kind, choices, bounds, validators) of a field."""
    return [*parts_of(info.annotation), *info.metadata]


def records_in(info: FieldInfo) -> tuple[type[Record], ...]:
    """The record classes that a field may hold, in a list or alone; empty for plain fields."""
    return _held(_Declared(info))[0]


def is_list_of_records(info: FieldInfo) -> bool:
    """True for [[tables]]."""
    return _held(_Declared(info))[1]


class _Declared:
    """The declaration of a field as the key of a cache: the same object, for it has no hash of its own."""

    __slots__ = ("info",)

    def __init__(self, info: FieldInfo) -> None:
        self.info = info

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Declared) and other.info is self.info

    def __hash__(self) -> int:
        return id(self.info)


@cache
def _held(declared: _Declared) -> tuple[tuple[type[Record], ...], bool]:
    """(record classes, whether in a list) of a declaration; they are looked for once."""
    info = declared.info
    found: list[type[Record]] = []
    for part in parts_of(info.annotation):
        inner = get_args(part)[0] if get_origin(part) is tuple else part
        if isinstance(inner, type) and issubclass(inner, Record):
            found.append(inner)
    return tuple(found), bool(found) and any(get_origin(part) is tuple for part in parts_of(info.annotation))


def child(holder: Any, key: str | int) -> Any:
    """What lies under a key of a table, a list or a record; None where there is nothing."""
    if isinstance(holder, Record):
        slot = slots_of(type(holder)).get(str(key))
        return getattr(holder, slot.attribute) if slot else None
    if isinstance(holder, Mapping):
        return holder.get(key)
    if isinstance(holder, (list, tuple)) and isinstance(key, int) and -len(holder) <= key < len(holder):
        return holder[key]
    return None


def class_under(info: FieldInfo, found: Any) -> type[Record] | None:
    """The record class meant by what was found; of several, the one whose first key is there, else the first."""
    known = records_in(info)
    if isinstance(found, known):
        return type(found)
    for record in known[1:]:
        if isinstance(found, Mapping) and next(iter(slots_of(record))) in found:
            return record
    return known[0] if known else None


def field_at(root: type[Record], path: KeyPath, raw: Any) -> tuple[type[Record] | None, FieldInfo | None]:
    """(record class that holds the last key, its declaration or None when the class has no such key)."""
    record: type[Record] | None = root
    holder: type[Record] | None = None
    info: FieldInfo | None = None
    for key in path:
        raw = child(raw, key)
        if isinstance(key, int):
            record = class_under(info, raw) if info else None
            continue
        slot = slots_of(record).get(key) if record else None
        holder, info = record, slot.info if slot else None
        record = class_under(info, raw) if info else None
    return holder, info


def path_text(path: KeyPath) -> str:
    """("lens", 0, "focal") as lens[0].focal; a key that is no plain word stands in quotes."""
    text = ""
    for key in path:
        if isinstance(key, int):
            text += f"[{key}]"
            continue
        word = key if _BARE_KEY.fullmatch(key) else '"' + "".join(c if c.isprintable() else "\ufffd" for c in key) + '"'
        text += f".{word}" if text else word
    return text


def noun(record: type[Record]) -> str:
    """What a record is called in a message: "a lens", "an extra", "a close-up lens"."""
    words = re.sub(r"(?<!^)(?=[A-Z])", " ", record.__name__).lower().replace("close up", "close-up")
    words = words.removeprefix("own ")
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
