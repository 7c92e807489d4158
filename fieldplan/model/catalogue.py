"""The ready lists: subjects, approach distances, shares of the frame, bands of light, cautions; each value has a mark.

Marks: S read in the source named, P common practice, M from memory and to be checked.
"""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Annotated, Self

from pydantic import Field, PrivateAttr

from fieldplan.model import fields as t
from fieldplan.model.fields import Reader, Record
from fieldplan.notation.words import nearest_word, read_choice

Mark = Annotated[str, Reader(lambda v: read_choice(v, ("s", "p", "m"), "a mark").upper())]


class Activity(Record):
    name: t.Name
    speed: t.Speed | None = None
    sway: t.Sway | None = None
    height: t.Size | None = None
    width: t.Size | None = None
    front_to_back: t.Size | None = None
    panned: t.Panned | None = None
    mark: Mark = "M"
    source: t.Name | None = None


class WantedDepth(Record):
    name: t.Name
    depth: t.Depth
    mark: Mark = "M"
    source: t.Name | None = None


class ListedSubject(Record):
    name: t.Name
    group: t.Name
    approach: t.Names = ()
    height: t.Size | None = None
    width: t.Size | None = None
    front_to_back: t.Size | None = None
    living: t.Flag = False
    mark: Mark = "M"
    source: str = "from memory"
    wanted_depth: tuple[WantedDepth, ...] = ()
    fill: t.Name | None = None
    activities: tuple[Activity, ...] = Field((), alias="activity")
    note: str | None = None

    def activity(self, name: str | None) -> Activity | None:
        """The activity of that name; the first one ("still") when none is named; None when unknown."""
        if name is None:
            return self.activities[0] if self.activities else None
        return next((a for a in self.activities if a.name == name), None)


class FillPreset(Record):
    name: t.Name
    fill: t.Share
    axis: str
    mark: Mark = "M"
    source: str | None = None


class ApproachRule(Record):
    key: t.Name
    countries: t.Names = ()
    place: str
    part: bool = False
    distance: t.DistanceOne | None = None
    kind: str
    wording: str
    source: str
    season: str | None = None
    mark: Mark = "M"


class LightBand(Record):
    name: t.Name
    low_deg: float = Field(alias="from")
    high_deg: float = Field(alias="to")
    kind: str
    mark: Mark = "M"
    source: str | None = None


def band_named(bands: Iterable[LightBand], name: str) -> LightBand | None:
    """The band of light of that name, whatever the case of its letters; None where there is none."""
    wanted = name.strip().casefold()
    return next((band for band in bands if band.name.casefold() == wanted), None)


class CautionText(Record):
    kind: t.Name
    text: str
    source: str
    mark: Mark = "P"


class Catalogue(Record):
    """All lists, as one value. The ready subjects are kept as text and read one by one, when they are asked for."""

    own_subjects: tuple[ListedSubject, ...] = Field((), alias="subject")
    fills: tuple[FillPreset, ...] = Field((), alias="fill")
    rules: tuple[ApproachRule, ...] = Field((), alias="rule")
    bands: tuple[LightBand, ...] = Field((), alias="band")
    cautions: tuple[CautionText, ...] = Field((), alias="caution")

    _ready: Mapping[str, str] = PrivateAttr({})

    def with_ready(self, texts: Mapping[str, str]) -> Self:
        """The same lists, with ready subjects before one's own; texts: the TOML table [[subject]] of each, by name."""
        made = self.model_copy()
        made._ready = texts
        return made

    @property
    def subjects(self) -> tuple[ListedSubject, ...]:
        """All subjects. Reading them takes as long as a whole start: where names or one will do, ask for those."""
        return (*map(_ready_subject, self._ready.values()), *self.own_subjects)

    @property
    def subject_names(self) -> tuple[str, ...]:
        """The names of all subjects."""
        return (*self._ready, *(s.name for s in self.own_subjects))

    def subject(self, name: str) -> ListedSubject | None:
        """The subject of that name, or None."""
        if name in self._ready:
            return _ready_subject(self._ready[name])
        return next((s for s in self.own_subjects if s.name == name), None)

    def nearest_subject(self, name: str) -> str | None:
        """The listed name that a mistyped one is likeliest to mean."""
        return nearest_word(name, list(self.subject_names))

    def fill(self, name: str | None) -> FillPreset | None:
        """The share preset of that name, or None."""
        return next((f for f in self.fills if f.name == name), None)

    def caution(self, kind: str) -> CautionText | None:
        """The caution text of that kind, or None."""
        return next((c for c in self.cautions if c.kind == kind), None)


@cache
def _ready_subject(text: str) -> ListedSubject:
    (table,) = tomllib.loads(text)["subject"]
    return ListedSubject.model_validate(table)
