"""Field types: each reads what a person writes (text or a bare number) once, and writes it back as it was written.

The units of bare numbers come through pydantic's validation context as ``{"units": "metric" | "imperial"}``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial
from typing import Annotated, Any, NamedTuple

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from fieldplan.notation import quantity as q
from fieldplan.notation import scales, words
from fieldplan.notation.numbers import LARGEST, plain, read_number, shown, trimmed
from fieldplan.notation.position import Position, read_position, without_unseen
from fieldplan.notation.quantity import Kind, Pair, Span, Value
from fieldplan.notation.shift import read_shift


class Record(BaseModel):
    """Base of everything a person writes down: immutable, no unknown keys; each field has its own strict reader."""

    # defer_build: a record's own validator is made when it is first read alone; within a plan it needs none.
    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, arbitrary_types_allowed=True, defer_build=True
    )


class Misplaced(ValueError):
    """A rule between fields or records is broken; ``where`` is the path from the checking record to what to mend."""

    def __init__(self, message: str, *where: str | int) -> None:
        super().__init__(message)
        self.where = where


class Bounds(NamedTuple):
    """What a plain number may be."""

    low: float
    high: float


class Reader:
    """Among the marks of a field type: how it is read from what a person writes, and how it is put back into a file.

    read: raises ValueError; informed: it is told the units as well; write: left out, the value goes back as it is.
    pydantic makes the same of a PlainValidator and a PlainSerializer, but anew for each field, and that is most of what
    the record classes cost at every start.
    """

    __slots__ = ("_schema",)

    def __init__(self, read: Callable[..., Any], write: Callable[[Any], Any] | None = None, informed: bool = False):
        back = None if write is None else core_schema.plain_serializer_function_ser_schema(write)
        made = (core_schema.with_info_plain_validator_function if informed
                else core_schema.no_info_plain_validator_function)  # fmt: skip
        self._schema: Callable[[], CoreSchema] = partial(made, read, serialization=back)

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> CoreSchema:
        return self._schema()


class Spot(Position):
    """A position that remembers how it was written."""

    typed: str

    @classmethod
    def read(cls, found: object) -> Spot:
        if not isinstance(found, str):
            raise ValueError(f'{shown(found)} is not a position; write it as text: "52.3012, 4.9711"')
        spot = cls(*read_position(found))
        spot.typed = " ".join(without_unseen(found).split())
        return spot


def _units(info: ValidationInfo) -> str:
    return str((info.context or {}).get("units", "metric"))


def _typed(value: Any) -> Any:
    return value.typed


def _quantity(kind: Kind, read: Callable[[object, Kind, str], Any], done: type) -> list[Any]:
    """Validator and serializer of one kind of quantity."""

    def validate(found: Any, info: ValidationInfo) -> Any:
        return found if isinstance(found, done) and hasattr(found, "typed") else read(found, kind, _units(info))

    return [Reader(validate, _typed, informed=True), kind]


def _word(read: Callable[[object], Any], done: type, write: Callable[[Any], Any] = _typed) -> list[Any]:
    def validate(found: Any) -> Any:
        return found if type(found) is done and done is not str else read(found)

    return [Reader(validate, write)]


def _pair(kind: Kind) -> list[Any]:
    return [Reader(lambda found: found if isinstance(found, Pair) else q.read_pair(found, kind), _typed), kind]


def _read_pixels(found: object) -> Pair:
    pair = q.read_pair(found, PIXELS)
    if pair.width != int(pair.width) or pair.height != int(pair.height):
        raise ValueError(f'{shown(found)}: pixels are whole numbers; write for example "6000x4000"')
    return pair


def _number(low: float, high: float, what: str, example: str) -> list[Any]:
    """A plain number within bounds, from a number or text; kept as a number in the file."""

    def read(found: object) -> float:
        if isinstance(found, bool) or not isinstance(found, (int, float, str)):
            raise ValueError(f"{shown(found)} is not {what}; write for example {example}")
        if isinstance(found, (int, float)) and not abs(found) < LARGEST:
            raise ValueError(f"{shown(found)} is not {what}; write for example {example}")
        text = plain(found).removeprefix("iso").strip().rstrip("x").strip() if isinstance(found, str) else repr(found)
        try:
            number = read_number(text)
        except ValueError as wrong:
            if "could" in str(wrong):
                raise
            raise ValueError(f"{shown(found)} is not {what}; write for example {example}") from None
        if not low <= number <= high:
            limits = f"{trimmed(low)} to {trimmed(high)}"
            raise ValueError(f"{shown(found)}: {what} must be {limits}; write for example {example}")
        return number

    return [Reader(read, lambda v: int(v) if v == int(v) else v), Bounds(low, high)]


def _names(found: object) -> tuple[str, ...]:
    """A list of names, or one text with commas between them."""
    if isinstance(found, str):
        found = [part for part in found.split(",") if part.strip()]
    if not isinstance(found, (list, tuple)):
        raise ValueError(f'{shown(found)} is not a list of names; write ["..."]')
    return tuple(words.read_name(name) for name in found)


def _formats(found: object) -> tuple[Pair, ...]:
    if isinstance(found, str):
        found = [part for part in found.split(",") if part.strip()]
    if not isinstance(found, (list, tuple)):
        raise ValueError(f'{shown(found)} is not a list of formats; write ["24x16 mm"]')
    return tuple(f if isinstance(f, Pair) else q.read_pair(f, q.SENSOR) for f in found)


def choice(known: tuple[str, ...], what: str) -> list[Any]:
    """Validator of one of the known words."""
    return [Reader(lambda found: words.read_choice(found, known, what)), known]


PIXELS = Kind("a number of pixels", {}, "", "", 16, 200000, '"6000x4000"')

Name = Annotated[str, *_word(words.read_name, str, str)]
Names = Annotated[tuple[str, ...], Reader(_names, list)]
Focal = Annotated[Span, *_quantity(q.FOCAL, q.read_span, Span)]
FocalOne = Annotated[Value, *_quantity(q.FOCAL, q.read_value, Value)]
FNumber = Annotated[Span, *_quantity(q.F_NUMBER, q.read_span, Span)]
FNumberOne = Annotated[Value, *_quantity(q.F_NUMBER, q.read_value, Value)]
Sensor = Annotated[Pair, *_pair(q.SENSOR)]
Formats = Annotated[tuple[Pair, ...], Reader(_formats, lambda v: [p.typed for p in v])]
Pixels = Annotated[Pair, *_word(_read_pixels, Pair)]
Small = Annotated[Value, *_quantity(q.SMALL, q.read_value, Value)]
Closest = Annotated[Value, *_quantity(q.CLOSEST, q.read_value, Value)]
Distance = Annotated[Span, *_quantity(q.DISTANCE, q.read_span, Span)]
DistanceOne = Annotated[Value, *_quantity(q.DISTANCE, q.read_value, Value)]
Size = Annotated[Span, *_quantity(q.SIZE, q.read_span, Span)]
SizeOne = Annotated[Value, *_quantity(q.SIZE, q.read_value, Value)]
Depth = Annotated[Span, *_quantity(q.DEPTH, q.read_span, Span)]
Behind = Annotated[Value, *_quantity(q.BEHIND, q.read_value, Value)]
Height = Annotated[Value, *_quantity(q.HEIGHT, q.read_value, Value)]
Speed = Annotated[Span, *_quantity(q.SPEED, q.read_span, Span)]
Weight = Annotated[Value, *_quantity(q.WEIGHT, q.read_value, Value)]
Angle = Annotated[Value, *_quantity(q.ANGLE, q.read_value, Value)]
Time = Annotated[Value, *_quantity(q.TIME, q.read_value, Value)]
Share = Annotated[Span, *_quantity(q.SHARE, q.read_span, Span)]
Scale = Annotated[Value, *_word(scales.read_scale, Value)]
Light = Annotated[words.Light, *_word(words.read_light, words.Light)]
Direction = Annotated[words.Direction, *_word(words.read_direction, words.Direction)]
Circle = Annotated[words.Circle, *_word(words.read_circle, words.Circle)]
Sway = Annotated[words.Sway, *_word(words.read_sway, words.Sway)]
Place = Annotated[Spot, *_word(Spot.read, Spot)]
Date = Annotated[dt.date, Reader(words.read_date)]
Clock = Annotated[dt.time, Reader(words.read_clock)]
Flag = Annotated[bool, Reader(words.read_flag)]
Iso = Annotated[float, *_number(1, 10_000_000, "an ISO speed", "6400")]
Stops = Annotated[float, *_number(-30, 30, "a number of stops", "3")]
Factor = Annotated[float, *_number(0, 100, "a factor", "1.4")]
ConverterFactor = Annotated[float, *_number(0.2, 10, "a converter factor", "1.4")]
Magnification = Annotated[float, *_number(1e-4, 100, "a magnification", "0.25")]
PupilRatio = Annotated[float, *_number(0.05, 20, "a pupil ratio", "1.2")]
Panned = Annotated[float, *_number(0, 1, "a share of the motion followed", "0.9")]
Dioptres = Annotated[float, *_number(0.01, 100, "a power in dioptres", "5")]
Count = Annotated[float, *_number(0, 1_000_000, "a count", "40")]
Shift = Annotated[Value, *_quantity(q.SHIFT, read_shift, Value)]
Money = Annotated[float, *_number(0, 1e9, "a price", "900")]
Ev = Annotated[float, *_number(-20, 30, "an exposure value", "9.5")]
Degrees = Annotated[float, *_number(-360, 360, "an angle in degrees", "2.1")]
Skyline = Annotated[float, *_number(-90, 90, "an altitude in degrees", "2.5")]
Version = Annotated[int, Reader(lambda v: v)]


def entry(label: str, example: str, default: Any = None, *, alias: str | None = None, help: str = "") -> Any:
    """A field with a label for people, an example of what to write, and its default (None: nothing)."""
    return Field(default, title=label, examples=[example], alias=alias, description=help)


def needed(label: str, example: str, *, help: str = "") -> Any:
    """A field that must be given."""
    return Field(title=label, examples=[example], description=help)
