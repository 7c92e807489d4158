"""The gear profile: what a photographer owns, or thinks of owning."""

from collections.abc import Iterable
from typing import Annotated, Self

from pydantic import Field, model_validator

from fieldplan.model import fields as t
from fieldplan.model.fields import Misplaced, Record, entry, needed
from fieldplan.notation.quantity import Value

UNITS = ("metric", "imperial")


def names_unique(records: Iterable[Record], what: str, key: str) -> None:
    """Raise Misplaced when two of a list share a name; key: of the list in the file."""
    seen: set[str] = set()
    for index, record in enumerate(records):
        name = str(getattr(record, "name", ""))
        if name in seen:
            raise Misplaced(f'two of the {what} are called "{name}"; give each its own name', key, index, "name")
        seen.add(name)


class Item(Record):
    """Anything with a name that can be packed, bought or rented."""

    name: t.Name = needed("name", "150-600")
    weight: t.Weight | None = entry("weight", "1.2 kg")
    price: t.Money | None = entry("price", "900")
    owned: t.Flag = entry("owned", "yes", True, help="no: a candidate to buy or rent")
    rent: t.Money | None = entry("rent per trip", "90")


class Body(Item):
    sensor: t.Sensor = needed("sensor", "36x24 mm")
    pixels: t.Pixels = needed("pixels", "6000x4000")
    mount: t.Name = needed("mount", "A")
    also_takes: t.Names = entry("also takes mounts", "B, C", (), help="other mounts, by adapter")
    lowest_iso: t.Iso = entry("lowest ISO", "100", 100.0)
    iso_ceiling: t.Iso = entry("ISO ceiling", "6400", 6400.0, help="the highest that you accept")
    fastest_shutter: t.Time = entry("fastest shutter", "1/4000", Value(1 / 4000, "1/4000"))
    longest_shutter: t.Time = entry("longest shutter", "30 s", Value(30.0, "30 s"))
    stabilisation: t.Stops = entry("stabilisation", "3", 0.0, help="stops counted on, not advertised")
    cropped_formats: t.Formats = entry("cropped formats", "24x16 mm", (), help="what it can record with a smaller lens")
    latitude: t.Stops | None = entry("latitude", "8", help="stops that one frame can hold")
    known_as: t.Names = entry("known as", "Full One", (), help="how picture files name it")


class Lens(Item):
    focal: t.Focal = needed("focal length", "150-600 mm")
    f_number: t.FNumber = needed("widest f-number", "5-6.3", help="at the short and the long end")
    smallest_f_number: t.FNumberOne = entry("smallest f-number", "22", Value(22.0, "22"))
    closest_focus: t.Closest | None = entry("closest focus", "2.2 m", help="from the sensor plane")
    largest_magnification: t.Magnification | None = entry(
        "largest magnification", "0.2", help="closest, at the long end"
    )
    covers: t.Sensor | None = entry("covers", "36x24 mm", help="left out: any format")
    mount: t.Name = needed("mount", "A")
    stabilisation: t.Stops = entry("stabilisation", "4", 0.0, help="with the body's, the larger counts")
    length: t.Small | None = entry("length", "260 mm")
    hood: t.Small | None = entry("hood", "100 mm")
    converters: t.Names = entry("converters", "1.4x", (), help="names of those that fit it")
    pupil_ratio: t.PupilRatio = entry("pupil ratio", "1", 1.0, help="exit over entrance pupil")
    known_as: t.Names = entry("known as", "Tele 500 F4", (), help="how picture files name it")


class Converter(Item):
    factor: t.ConverterFactor = needed("factor", "1.4")
    mount: t.Name = needed("mount", "A")


class Tube(Item):
    length: t.Small = needed("length", "25 mm")
    mount: t.Name = needed("mount", "A")


class CloseUpLens(Item):
    power: t.Dioptres = needed("power", "5", help="dioptres")


class Flash(Item):
    guide_number: t.DistanceOne = needed("guide number", "24 m", help="at ISO 100")
    duration: t.Time | None = entry("duration", "1/1000", help="at full power")
    sync: t.Time | None = entry("sync", "1/200", help="fastest shutter with flash")


class Support(Item):
    shake: t.Factor = entry("shake factor", "0.3", 0.0, help="share of the hand's shake left while on it")


class Bag(Item):
    pass


class Extra(Item):
    for_body: t.Name | None = entry("for", "full-frame body", alias="for")


class Photographer(Record):
    shake: t.Factor = entry("shake factor", "1.0", 1.0, help="on the reference hand: 2 = twice as shaky")
    bag_limit: t.Weight | None = entry("bag limit", "8 kg")
    arm: t.Small | None = entry("arm, eye to hand", "62 cm", help="stretched; with your hand's widths: your own angles")
    finger: t.Small | None = entry("little finger", "13 mm", help="its width; left out: 1 degree")
    thumb: t.Small | None = entry("thumb", "22 mm", help="its width; left out: 2 degrees")
    fist: t.Small | None = entry("fist", "95 mm", help="across the knuckles; left out: 10 degrees")
    spread: t.Small | None = entry("spread hand", "22 cm", help="thumb to little finger; left out: 20 degrees")
    pace: t.SizeOne | None = entry("one step", "0.75 m", help="how far one takes you; left out: 0.75 m")


def _items(alias: str, label: str) -> object:
    return Field((), alias=alias, title=label)


class Profile(Record):
    fieldplan_profile: t.Version = Field(1)
    name: t.Name = needed("name", "two-bodies")
    units: Annotated[str, *t.choice(UNITS, "a system of units")] = entry("units", "metric", "metric")
    photographer: Photographer = Field(Photographer(), title="photographer")
    bodies: tuple[Body, ...] = Field((), alias="body", title="bodies")
    lenses: tuple[Lens, ...] = Field((), alias="lens", title="lenses")
    converters: tuple[Converter, ...] = Field((), alias="converter", title="converters")
    tubes: tuple[Tube, ...] = Field((), alias="tube", title="extension tubes")
    close_up_lenses: tuple[CloseUpLens, ...] = Field((), alias="close_up_lens", title="close-up lenses")
    flashes: tuple[Flash, ...] = Field((), alias="flash", title="flashes")
    supports: tuple[Support, ...] = Field((), alias="support", title="supports")
    bags: tuple[Bag, ...] = Field((), alias="bag", title="bags")
    extras: tuple[Extra, ...] = Field((), alias="extra", title="extras")

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        for key, (attribute, _) in LISTS.items():
            names_unique(getattr(self, attribute), attribute.replace("_", " ").replace("close up", "close-up"), key)
        return self


LISTS: dict[str, tuple[str, type[Item]]] = {
    "body": ("bodies", Body),
    "lens": ("lenses", Lens),
    "converter": ("converters", Converter),
    "tube": ("tubes", Tube),
    "close_up_lens": ("close_up_lenses", CloseUpLens),
    "flash": ("flashes", Flash),
    "support": ("supports", Support),
    "bag": ("bags", Bag),
    "extra": ("extras", Extra),
}
