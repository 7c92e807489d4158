"""Places that a person keeps: an editable list of names and positions."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from fieldplan.model import fields as t
from fieldplan.model.fields import Record, entry, needed
from fieldplan.model.gear import names_unique


class SavedPlace(Record):
    name: t.Name = needed("name", "reed hide")
    position: t.Place = needed("position", "52.3012, 4.9711")
    elevation: t.Height | None = entry("elevation", "3 m")
    note: t.Name | None = entry("note", "key at the farm")


class SavedPlaces(Record):
    places: tuple[SavedPlace, ...] = Field((), alias="place", title="places")

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        names_unique(self.places, "places", "place")
        return self
