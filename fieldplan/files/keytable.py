"""The keys that a person chose, in keys.toml beside the gear profiles. Read when the screen starts, never written.

Which commands there are is known to the screen alone; here it is only read.
"""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from fieldplan.files.problems import FileProblem, file_there
from fieldplan.files.reading import in_order, read_toml
from fieldplan.model.keytable import KeyTable
from fieldplan.model.problems import explain

NAME = "keys.toml"


def key_file(folder: Path | None) -> Path | None:
    """The key table in the folder of the profiles; None where there is none. Raises FileProblem."""
    path = None if folder is None else folder / NAME
    return path if path is not None and file_there(path) else None


def read_key_table(path: Path) -> KeyTable:
    """The table as it is written. Raises FileProblem."""
    raw = read_toml(path)
    try:
        return KeyTable.model_validate(raw, by_alias=True, by_name=False)
    except ValidationError as error:
        raise FileProblem(path, in_order(explain(error, raw, KeyTable))) from None
