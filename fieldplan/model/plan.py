"""A plan: a title, a date, a site, and the pictures wanted there."""

from typing import Annotated, Any, Self

from pydantic import Field, ValidationInfo, model_validator

from fieldplan.model import fields as t
from fieldplan.model.fields import Misplaced, Reader, Record, entry, needed
from fieldplan.model.gear import UNITS, names_unique
from fieldplan.model.taken import LogEntry
from fieldplan.notation import words
from fieldplan.notation.numbers import shown
from fieldplan.notation.quantity import Value

SKIES = ("clear", "hazy", "thin cloud", "cloudy bright", "average cloud", "heavy overcast", "dark stratus")
LIT = ("auto", "level ground", "front-lit", "side-lit", "back-lit", "open shade")
HOLDS = ("level", "upright", "either")
BODIES = ("moon", "sun")


class SkylinePoint(Record):
    bearing: t.Degrees = needed("bearing", "95")
    altitude: t.Skyline = needed("altitude", "2.5")


class Landmark(Record):
    name: t.Name = needed("name", "chapel")
    position: t.Place = needed("position", "52.3105, 4.9880")
    foot: t.Height | None = entry("foot above sea level", "12 m")
    height: t.SizeOne | None = entry("height of the top above the foot", "31 m")
    width: t.SizeOne | None = entry("width", "8 m")


class Viewpoint(Record):
    name: t.Name = needed("name", "dike")
    position: t.Place = needed("position", "52.3105, 4.9880")
    elevation: t.Height | None = entry("ground above sea level", "3 m")
    eye_height: t.Height | None = entry("height of the eye", "1.6 m")
    note: t.Name | None = entry("note", "private, ask at the farm")


class Site(Record):
    name: t.Name = needed("name", "reed hide")
    position: t.Place | None = entry("position", "52.3012, 4.9711")
    time_zone: t.Name | None = entry("time zone", "Europe/Amsterdam", help="left out: found from the position")
    elevation: t.Height = entry("elevation", "3 m", Value(0.0, "0 m"))
    eye_height: t.Height = entry("height of the eye", "1.6 m", Value(1.6, "1.6 m"))
    sky: Annotated[str, *t.choice(SKIES, "a sky")] = entry("sky", "clear", "clear")
    magnetic_variation: t.Degrees | None = entry("magnetic variation", "2.1", help="degrees, east +")
    country: t.Name | None = entry("country", "NL", help="two letters; left out: from the time zone")
    skyline: tuple[SkylinePoint, ...] = Field((), title="skyline")
    landmarks: tuple[Landmark, ...] = Field((), alias="landmark", title="landmarks")
    viewpoints: tuple[Viewpoint, ...] = Field((), alias="viewpoint", title="viewpoints")

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        names_unique(self.landmarks, "landmarks", "landmark")
        names_unique(self.viewpoints, "viewpoints", "viewpoint")
        return self


class Reading(Record):
    """A meter reading: an exposure value at ISO 100, or the three settings that gave it."""

    time: t.Clock = needed("time", "07:12")
    date: t.Date | None = entry("date", "2027-03-14")
    ev: t.Ev | None = entry("EV at ISO 100", "9.5")
    f_number: t.FNumberOne | None = entry("f-number", "5.6")
    shutter: t.Time | None = entry("shutter", "1/125")
    iso: t.Iso | None = entry("ISO", "400")
    of: t.Name | None = entry("what was metered", "grey card")

    @model_validator(mode="after")
    def _complete(self) -> Self:
        settings = (self.f_number, self.shutter, self.iso)
        if self.ev is None and any(part is None for part in settings):
            raise ValueError("a reading wants ev, or f_number with shutter and iso")
        if self.ev is not None and any(part is not None for part in settings):
            raise ValueError("a reading wants either ev or f_number with shutter and iso, not both")
        return self


class OwnSubject(Record):
    """A subject that a person describes."""

    name: t.Name = needed("name", "carved post")
    height: t.Size | None = entry("height", "1.2 m")
    width: t.Size | None = entry("width", "0.4 m")
    front_to_back: t.Size | None = entry("front to back", "0.4 m")
    speed: t.Speed | None = entry("speed", "0.4 m/s")
    living: t.Flag = entry("living", "no", False)
    group: t.Name | None = entry("group", "bird")


class SkySubject(Record):
    """The moon or the sun, alone or with a landmark in front."""

    sky: Annotated[str, *t.choice(BODIES, "a body of the sky")] = needed("sky", "moon")
    behind: t.Name | None = entry("behind", "chapel")


class LandmarkSubject(Record):
    landmark: t.Name = needed("landmark", "chapel")


Subject = str | OwnSubject | SkySubject | LandmarkSubject


def _subject(found: Any, info: ValidationInfo) -> Any:
    """A name of the list, or a table whose keys tell what it is."""
    if isinstance(found, (OwnSubject, SkySubject, LandmarkSubject)):
        return found
    if isinstance(found, str):
        return words.read_name(found)
    if not isinstance(found, dict):
        raise ValueError(
            f'{shown(found)} is not a subject; write the name of one, or {{ name = "...", height = "..." }}'
        )
    kind = SkySubject if "sky" in found else LandmarkSubject if "landmark" in found else OwnSubject
    return kind.model_validate(found, context=info.context)


def _dump_subject(subject: Any) -> Any:
    return subject if isinstance(subject, str) else subject.model_dump(by_alias=True, exclude_unset=True)


class RigChoice(Record):
    body: t.Name | None = entry("body", "full-frame body")
    lens: t.Name | None = entry("lens", "150-600")
    converter: t.Name | None = entry("converter", "1.4x")
    tube: t.Name | None = entry("tube", "25 mm tube")
    close_up_lens: t.Name | None = entry("close-up lens", "+5")


class Shot(Record):
    name: t.Name = needed("name", "heron at the reeds")
    must: t.Flag = entry("must", "yes", False, help="no: nice to have")
    date: t.Date | None = entry("date", "2027-03-15", help="left out: the plan's")
    time: t.Clock | None = entry("time", "07:20")
    start: t.Clock | None = entry("from", "07:00", alias="from")
    end: t.Clock | None = entry("to", "08:00", alias="to")
    subject: Annotated[Subject, Reader(_subject, _dump_subject, informed=True)] | None = entry("subject", "grey heron")
    activity: t.Name | None = entry("activity", "wading")
    speed: t.Speed | None = entry("speed", "0.4 m/s", help="instead of an activity")
    sway: t.Sway | None = entry("sway", "4 cm, 1 per second", help="width from end to end, swings a second")
    direction: t.Direction = entry("direction", "crossing", words.Direction(90.0, "crossing"))
    panned: t.Panned | None = entry("followed", "0.9", help="share of the motion that the camera follows, 0 to 1")
    distance: t.Distance | None = entry("distance", "25-31 m", help="from the sensor plane; one value or a range")
    fill: t.Share | None = entry("share of frame", "50-75 %")
    hold: Annotated[str, *t.choice(HOLDS, "a way to hold the camera")] = entry("hold", "either", "either")
    focal: t.FocalOne | None = entry("focal length", "500 mm", help="only to leave size, distance or share out")
    depth_of_field: t.Depth | None = entry("depth wanted", "0.3 m", help="in all")
    sharp_from: t.DistanceOne | None = entry("sharp from", "1.5 m")
    sharp_to: t.DistanceOne | None = entry("sharp to", "infinity")
    circle: t.Circle = entry(
        "circle",
        "print",
        words.Circle("print", None, "print"),
        help="print (diagonal / 1500), pixel (2 pixels) or a diameter",
    )
    f_number: t.FNumberOne | None = entry(
        "f-number", "8", help="only to fix it, as far as the lens goes; left out: the widest that gives the depth"
    )
    iso_ceiling: t.Iso | None = entry("ISO ceiling", "12800", help="for this shot; left out: the body's")
    magnification: t.Scale | None = entry("magnification", "1:1", help="of a close-up, instead of a share of the frame")
    background: t.Behind | None = entry("background behind", "15 m", help="behind the subject; left out: infinity")
    lit: Annotated[str, *t.choice(LIT, "a way to be lit")] = entry("lit", "auto", "auto")
    light: t.Light | None = entry("light", "EV 12", help="EV at ISO 100, lux, or a row of the ANSI table")
    band: t.Name | None = entry("only in", "golden hour", help="a band of light: golden hour, blue hour, night ...")
    light_offset: t.Stops = entry("light offset", "0", 0.0, help="stops: snow +1, woodland -2 ...")
    viewpoint: t.Name | None = entry("viewpoint", "harbour wall", help="of the site; left out: the site itself")
    aim: t.Degrees | None = entry("aim", "105", help="bearing of the lens, from true north")
    aim_altitude: t.Skyline = entry("aim altitude", "0", 0.0)
    support: t.Name | None = entry("support", "tripod", help="left out: hand-held")
    rig: RigChoice | None = Field(None, title="body and lens")
    planned_distance: t.Distance | None = entry(
        "planned distance", "25-31 m", help="before the day; kept when the distance is changed on the day"
    )
    note: t.Name | None = entry("note", "quietly, before the dog walkers")

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.time is not None and (self.start is not None or self.end is not None):
            raise Misplaced("give either time, or from and to, not both", "time")
        if (self.start is None) != (self.end is None):
            raise Misplaced("from and to go together; give both or neither", "from" if self.start is None else "to")
        if self.sharp_from is not None and self.sharp_to is not None and self.sharp_to <= self.sharp_from:
            raise Misplaced(
                f"{shown(self.sharp_to.typed)} must lie behind sharp_from, {shown(self.sharp_from.typed)}", "sharp_to"
            )
        if self.sharp_to is not None and self.sharp_from is None:
            raise Misplaced('is missing, and sharp_to wants it; write for example sharp_from = "1.5 m"', "sharp_from")
        if self.fill is not None and self.magnification is not None:
            raise Misplaced("give either a share of the frame (fill) or magnification, not both", "magnification")
        if self.depth_of_field is not None and self.sharp_from is not None:
            raise Misplaced("give either depth_of_field, or sharp_from and sharp_to, not both", "depth_of_field")
        return self


class Plan(Record):
    fieldplan_plan: t.Version = Field(1)
    title: t.Name = needed("title", "Lake at dawn")
    date: t.Date | None = entry("date", "2027-03-14")
    leave: t.Clock | None = entry("leave home", "05:10", help="on the plan's date, or the night before it")
    arrive: t.Clock | None = entry("arrive on site", "06:20", help="nothing can be taken before it")
    profile: t.Name | None = entry("profile", "two-bodies", help="a name in the profile folder, or a path from here")
    units: Annotated[str, *t.choice(UNITS, "a system of units")] = entry("units", "metric", "metric")
    carry: t.Names = entry("carry", "crop body, 55-200", (), help="what goes along; left out: everything owned")
    site: Site | None = Field(None, title="site")
    readings: tuple[Reading, ...] = Field((), alias="reading", title="meter readings")
    shots: tuple[Shot, ...] = Field((), alias="shot", title="shots")
    taken: tuple[LogEntry, ...] = Field((), title="log")

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        names_unique(self.shots, "shots", "shot")
        known = {mark.name for mark in self.site.landmarks} if self.site else set()
        for index, shot in enumerate(self.shots):
            wanted = getattr(shot.subject, "behind", None) or getattr(shot.subject, "landmark", None)
            if wanted is not None and wanted not in known:
                there = f"; the site has {', '.join(sorted(known))}" if known else "; the site has none"
                raise Misplaced(f'wants the landmark "{wanted}"{there}', "shot", index, "subject")
            if (unknown := _no_viewpoint(self.site, shot.viewpoint)) is not None:
                raise Misplaced(unknown, "shot", index, "viewpoint")
        return self


def _no_viewpoint(site: Site | None, name: str | None) -> str | None:
    """Why a shot cannot be taken from a viewpoint of that name; None where it can."""
    known = [] if site is None else [site.name, *(view.name for view in site.viewpoints)]
    if name is None or name in known:
        return None
    near = words.nearest_word(name, known)
    guess = f'did you mean "{near}"?' if near else f"there is {', '.join(known)}" if known else "there is no site"
    return f'"{name}" is no viewpoint of the site; {guess}'
