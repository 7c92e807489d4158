"""Which file this is, of which version, and how an older one becomes today's."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

from fieldplan.notation.numbers import shown

Migration: TypeAlias = Callable[[dict[str, Any]], dict[str, Any]]
PLAN_KEY, PROFILE_KEY = "fieldplan_plan", "fieldplan_profile"
WORDS = {PLAN_KEY: "a plan", PROFILE_KEY: "a gear profile"}
CURRENT = {PLAN_KEY: 1, PROFILE_KEY: 1}
# For each sort of file: from which version, and what takes it to the next one. It gets and returns raw TOML data.
MIGRATIONS: Mapping[str, Mapping[int, Migration]] = {PLAN_KEY: {}, PROFILE_KEY: {}}


def sort_of(raw: Mapping[str, Any]) -> str | None:
    """The version key that the data carries, or None."""
    return next((key for key in WORDS if key in raw), None)


def brought_up(
    raw: dict[str, Any], key: str, current: int, migrations: Mapping[int, Migration]
) -> tuple[dict[str, Any], int]:
    """(data as of the current version, the version it was written in). Raises ValueError in plain words.

    Migrations run one after another, from the version found up to the current one; the data given is not changed.
    """
    written = raw[key]
    if isinstance(written, bool) or not isinstance(written, int) or written < 1:
        raise ValueError(f"{shown(written)} is not a version; write {key} = {current}")
    if written > current:
        raise ValueError(
            f"written by a newer fieldplan (version {written}); this one reads up to {current}; get a newer one"
        )
    data = dict(raw)
    for version in range(written, current):
        if version not in migrations:
            raise ValueError(
                f"version {version} is too old for this fieldplan; it reads from {version + 1} to {current}"
            )
        data = {**migrations[version](data), key: version + 1}
    return data, written
