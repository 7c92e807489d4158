"""Reads the ready lists of the package, and a person's own additions laid over them by name."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from fieldplan.model.catalogue import Catalogue

_LISTS = {"subjects": "subject", "fills": "fill", "approach": "rule", "bands": "band", "cautions": "caution"}
_FIELDS = {"subjects": "subjects", "fills": "fills", "approach": "rules", "bands": "bands", "cautions": "cautions"}


def _own(folder: Path | None, stem: str) -> list[dict[str, Any]]:
    """A person's own list beside the profiles; empty where there is none."""
    if folder is None or not (folder / f"{stem}.toml").is_file():
        return []
    from fieldplan.files.reading import FileProblem
    from fieldplan.model.problems import Problem

    path = folder / f"{stem}.toml"
    try:
        rows = tomllib.loads(path.read_text(encoding="utf-8")).get(_LISTS[stem], [])
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as wrong:
        raise FileProblem(path, [Problem("", "", f"cannot be read: {wrong}")]) from None
    return list(rows)


def _merged(stock: list[dict[str, Any]], own: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Own rows replace stock rows of the same name (kind for cautions); rules are only added."""

    def key(row: dict[str, Any]) -> Any:
        return row.get("name") or (row.get("kind") if "text" in row else None)

    names = {key(row) for row in own} - {None}
    return [row for row in stock if key(row) not in names] + own


@cache
def load_catalogue(folder: Path | None = None) -> Catalogue:
    """All lists. folder: where a person's own subjects.toml, approach.toml ... lie, if anywhere. Raises FileProblem."""
    data: dict[str, Any] = {}
    stock = resources.files("fieldplan.data")
    for stem, table in _LISTS.items():
        rows = tomllib.loads((stock / f"{stem}.toml").read_text(encoding="utf-8"))[table]
        data[_FIELDS[stem]] = _merged(rows, _own(folder, stem))
    try:
        return Catalogue.model_validate(data)
    except ValidationError as wrong:
        from fieldplan.files.reading import FileProblem
        from fieldplan.model.problems import explain

        raise FileProblem(folder or Path("fieldplan/data"), explain(wrong, data, Catalogue)) from None
