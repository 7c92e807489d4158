"""Reads the ready lists of the package, and a person's own additions laid over them by name."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from fieldplan.files.places import OWN_LISTS
from fieldplan.model.catalogue import Catalogue


def _own(folder: Path | None, stem: str) -> list[dict[str, Any]]:
    """A person's own list beside the profiles; empty where there is none. Raises FileProblem."""
    if folder is None:
        return []
    from fieldplan.files.problems import file_there

    path = folder / f"{stem}.toml"
    return _read(path) if file_there(path) else []


def _read(path: Path) -> list[dict[str, Any]]:
    """The entries of one list of a person's own. Raises FileProblem."""
    from fieldplan.files.problems import FileProblem, plain_problem
    from fieldplan.files.reading import in_order, read_toml
    from fieldplan.model.problems import explain

    raw = read_toml(path)
    try:
        Catalogue.model_validate(raw, by_alias=True, by_name=False)
    except ValidationError as wrong:
        raise FileProblem(path, in_order(explain(wrong, raw, Catalogue))) from None
    for other, table in OWN_LISTS.items():
        if other != path.stem and table in raw:
            raise plain_problem(path, f"belongs in a list of its own, {other}.toml; put it there", table)
    return list(raw.get(OWN_LISTS[path.stem], ()))


def is_list(path: Path) -> bool:
    """Whether a file bears the name of one of the lists: subjects.toml, fills.toml ..."""
    return path.suffix == ".toml" and path.stem in OWN_LISTS


def check_list(path: Path) -> int:
    """How many entries a list of a person's own holds. Raises FileProblem where it is not sound."""
    return len(_read(path))


def _merged(stock: list[dict[str, Any]], own: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Own rows replace stock rows of the same name (kind for cautions); rules are only added."""

    def key(row: dict[str, Any]) -> Any:
        return row.get("name") or (row.get("kind") if "text" in row else None)

    names = {key(row) for row in own} - {None}
    return [row for row in stock if key(row) not in names] + own


def _subject_texts(text: str) -> dict[str, str]:
    """The tables of the list of subjects by name, not read yet: reading them all takes longer than reading a plan.

    Each must begin with [[subject]] and its name, a line each, as in the list of the package; none are found else.
    """
    tables = re.split(r"^(?=\[\[)", text, flags=re.MULTILINE)[1:]
    named = [re.match(r'\[\[subject\]\]\nname = "([^"\\]+)"\n', table) for table in tables]
    texts = {name[1]: table for name, table in zip(named, tables, strict=True) if name is not None}
    return texts if len(texts) == len(tables) else {}


@cache
def load_catalogue(folder: Path | None = None, *only: str) -> Catalogue:
    """All lists. folder: where a person's own subjects.toml, approach.toml ... lie, if anywhere. Raises FileProblem.

    only: the lists that are wanted ("bands"), the others stay empty.
    """
    data: dict[str, Any] = {}
    subjects: dict[str, str] = {}
    stock = resources.files("fieldplan.data")
    for stem, table in OWN_LISTS.items():
        if only and stem not in only:
            continue
        text, own = (stock / f"{stem}.toml").read_text(encoding="utf-8"), _own(folder, stem)
        if table == "subject" and (texts := _subject_texts(text)):
            named = {row.get("name") for row in own}
            subjects = {name: one for name, one in texts.items() if name not in named}
            data[table] = own
        else:
            data[table] = _merged(tomllib.loads(text)[table], own)
    return Catalogue.model_validate(data).with_ready(subjects)
