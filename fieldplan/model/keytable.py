"""A person's own key table: commands of the screen, and the keys that do them in the place of the built-in ones."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from fieldplan.model import fields as t
from fieldplan.model.fields import Misplaced, Reader, Record, entry, needed
from fieldplan.notation.keynames import read_key
from fieldplan.notation.numbers import shown


def _keys(found: object) -> tuple[str, ...]:
    """A list of keys, or one alone; none is refused, so that nothing is left without a key."""
    named = [found] if isinstance(found, str) else found
    if not isinstance(named, (list, tuple)) or not named:
        raise ValueError(f'{shown(found)} is not a list of keys; write at least one, such as ["u", "F8"]')
    return tuple(dict.fromkeys(read_key(key) for key in named))


class OwnKey(Record):
    """does: the command by its name in the list of keys. page: the one page that the entry is for, else every one."""

    does: t.Name = needed("command", "undo")
    page: t.Name | None = entry("page", "Shot", help="left out: wherever there is such a command")
    keys: Annotated[tuple[str, ...], Reader(_keys)] = needed("keys", "F8")


class KeyTable(Record):
    """The whole of keys.toml."""

    keys: tuple[OwnKey, ...] = Field((), alias="key", title="keys")

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        seen: set[tuple[str, str]] = set()
        for index, own in enumerate(self.keys):
            told = (command_id(own.does), (own.page or "").casefold())
            if told in seen:
                raise Misplaced(f'{shown(own.does)} has two entries for one place; put all its keys into one', "key",
                                index, "does")  # fmt: skip
            seen.add(told)
        return self


def command_id(name: str) -> str:
    """The id of a command from its name as a person reads it: "previous answer" gives previous_answer."""
    return "_".join(name.casefold().replace("_", " ").split())


def command_name(id: str) -> str:
    """The name of a command from its id."""
    return id.replace("_", " ")
