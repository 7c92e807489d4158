"""Says in which fields two versions of a plan or profile differ, record by record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from fieldplan.model.fields import Record
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.model.tomltext import literal

_MARKS = ("name", "time", "at")  # by which two lists are laid beside each other: the first that all their records have


class Difference(NamedTuple):
    """Where two versions differ, in words of the file, and what stands there; "" for nothing."""

    where: str
    mine: str
    theirs: str


def differences(mine: Plan | Profile, theirs: Plan | Profile) -> tuple[Difference, ...]:
    """Every field in which two versions differ, in the order of the file; records are matched by name."""
    return tuple(_between("", _data(mine), _data(theirs)))


def _data(record: Record) -> dict[str, Any]:
    return record.model_dump(by_alias=True, exclude_unset=True, exclude_none=True)


def _between(where: str, mine: Any, theirs: Any) -> Iterator[Difference]:
    if mine == theirs:
        return
    if isinstance(mine, Mapping) and isinstance(theirs, Mapping):
        for key in dict.fromkeys([*mine, *theirs]):
            yield from _between(f"{where} {key}".strip(), mine.get(key), theirs.get(key))
    elif _are_records(mine) and _are_records(theirs) and (mine or theirs):
        ours, others = _by_mark(mine or (), theirs or ()), _by_mark(theirs or (), mine or ())
        for key in dict.fromkeys([*ours, *others]):
            yield from _between(f"{where} {key}", ours.get(key), others.get(key))
        if list(ours) != list(others) and set(ours) == set(others):
            yield Difference(where, ", ".join(ours), ", ".join(others))
    else:
        yield Difference(where, _text(mine), _text(theirs))


def _are_records(found: Any) -> bool:
    return found is None or (isinstance(found, (list, tuple)) and all(isinstance(row, Mapping) for row in found))


def _by_mark(rows: Any, others: Any) -> dict[str, Any]:
    """Records by what they are called, else by their place."""
    both = [*rows, *others]
    mark = next((word for word in _MARKS if all(word in row for row in both)), None)
    if mark is not None:
        found = {f'"{row[mark]}"': row for row in rows}
        if len(found) == len(rows):
            return found
    return {str(number): row for number, row in enumerate(rows, 1)}


def _text(found: Any) -> str:
    if found is None:
        return ""
    return found if isinstance(found, str) else literal(found)
