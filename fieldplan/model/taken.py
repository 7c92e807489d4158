"""The log of a plan: one entry for a picture, or a run of pictures, that was taken. It names its shot; it is no part
of it, so that it stays when the shot is renamed or deleted."""

from fieldplan.model import fields as t
from fieldplan.model.fields import Record, entry, needed

# Why a picture is no good, as the learning counts it; any other words are kept, and counted as something else.
SHAKE = "shake"
MOVED = "subject moved"
NOISE = "noise"
WHYS = (SHAKE, MOVED, "focus", NOISE, "missed")


class LogEntry(Record):
    """What was really done. Everything but the shot's name may be left out."""

    shot: t.Name = needed("shot", "heron at the reeds", help="the name of the shot that it belongs to")
    date: t.Date | None = entry("date", "2027-03-14", help="left out: the shot's or the plan's")
    time: t.Clock | None = entry("time", "07:24:31", help="on the plan's clock")
    body: t.Name | None = entry("body", "full-frame body")
    lens: t.Name | None = entry("lens", "150-600")
    converter: t.Name | None = entry("converter", "1.4x")
    tube: t.Name | None = entry("tube", "25 mm tube")
    close_up_lens: t.Name | None = entry("close-up lens", "+5")
    focal: t.FocalOne | None = entry("focal length", "500 mm", help="with the converter")
    f_number: t.FNumberOne | None = entry("f-number", "6.3", help="with the converter")
    shutter: t.Time | None = entry("shutter", "1/640")
    iso: t.Iso | None = entry("ISO", "1600")
    distance: t.DistanceOne | None = entry("distance", "31 m", help="from the sensor plane")
    planned_distance: t.Distance | None = entry("planned distance", "25-31 m", help="as it was when logged")
    sharp: t.Flag | None = entry("sharp", "yes")
    why: t.Name | None = entry("why not kept", "shake", help=", ".join(WHYS))
    support: t.Name | None = entry("support", "tripod", help="left out: hand-held")
    panned: t.Panned | None = entry("followed", "0.9", help="share of the motion that the camera followed, 0 to 1")
    picture: t.Name | None = entry("picture", "20270314-0012.jpg", help="the file's name")
    note: t.Name | None = entry("note", "stood nearer than planned")
