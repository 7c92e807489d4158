"""The places that a person keeps in places.toml beside the gear profiles."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from fieldplan.files.places import profiles_folder
from fieldplan.files.problems import FileProblem, file_there
from fieldplan.files.reading import in_order, read_toml
from fieldplan.model.problems import explain
from fieldplan.model.savedplaces import SavedPlace, SavedPlaces

NAME = "places.toml"


def saved_places(folder: Path | str | None = None) -> tuple[SavedPlace, ...]:
    """The places kept beside the profiles; none where there is no such file. Raises FileProblem."""
    path = profiles_folder(folder) / NAME
    if not file_there(path):
        return ()
    raw = read_toml(path)
    try:
        found = SavedPlaces.model_validate(raw, context={"units": "metric"}, by_alias=True, by_name=False)
    except ValidationError as error:
        raise FileProblem(path, in_order(explain(error, raw, SavedPlaces))) from None
    return found.places


def find_saved(name: str, folder: Path | str | None = None) -> SavedPlace | None:
    """The saved place of that name, however its letters are cased; None where there is none. Raises FileProblem."""
    wanted = " ".join(name.split()).casefold()
    return next((place for place in saved_places(folder) if place.name.casefold() == wanted), None)
