"""What is seen and counted on the spot when nobody has a range finder. It is typed into a form and kept in no file."""

from __future__ import annotations

from typing import Annotated

from fieldplan.model import fields as t
from fieldplan.model.fields import Record, entry

SIDES = ("width", "height")
HOLDS = ("level", "upright")
HANDS = ("little finger", "thumb", "three fingers", "fist", "spread hand")


class Sighting(Record):
    """One look at a subject; what is not seen or counted stays out."""

    size: t.Size | None = entry("its size", "0.9-1 m", help="along the side that you measure; a range where unsure")
    share: t.Share | None = entry("share of the frame", "30-35 %", help="that this size takes along that side")
    along: Annotated[str, *t.choice(SIDES, "a side of the frame")] | None = entry(
        "along the frame's", "height", help="as the camera is held; left out: the side that fills first"
    )
    held: Annotated[str, *t.choice(HOLDS, "a way to hold the camera")] | None = entry(
        "camera held", "upright", help="while you judge the share; left out: as in the picked answer"
    )
    focal: t.FocalOne | None = entry("focal length", "600 mm", help="in hand, with the converter")
    hand: Annotated[str, *t.choice(HANDS, "a part of the hand")] | None = entry(
        "held up", "thumb", help="arm stretched, the other eye shut"
    )
    spans: t.Factor | None = entry("it spans so many", "1.5", help="of what is held up: 0.5 for half")
    steps: t.Count | None = entry("steps", "40", help="counted up to the subject, or over a distance you know")
    known: t.DistanceOne | None = entry("over a known", "50 m", help="to find the length of your step")
