"""Parts of a close-up: the room before the lens, and the f-number between depth and diffraction."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.notation.display import circle_text, figures, length_text
from fieldplan.notation.marks import f_mark
from fieldplan.optics.formats import wider_than_circle
from fieldplan.planner.leave import Leave

HOOD, LENS, SENSOR = "the front of the hood", "the front of the lens", "the sensor plane"


class Room(NamedTuple):
    """The room before the lens. working_m is measured from ``measured_from``; at most that, see ``text``.

    planned_m: the nearest that the shot says the subject lets one come, from the sensor plane; None where it does not.
    """

    distance_m: float
    working_m: float
    measured_from: str
    planned_m: float | None
    leave: Leave | None
    units: str
    uncounted: tuple[str, ...]

    @property
    def enough(self) -> bool:
        """Whether there is room at all, and the subject is not nearer than the shot says it allows."""
        near = self.planned_m is not None and self.distance_m < self.planned_m * (1.0 - 1e-9)
        return self.working_m > 0.0 and not near

    @property
    def text(self) -> str:
        room = length_text(max(self.working_m, 0.0), self.units)
        told = f"{room} from {self.measured_from}"
        if self.working_m <= 0.0:
            told = f"no room: the subject would lie behind {self.measured_from}"
        if self.uncounted:
            told += f" at most: {' and '.join(self.uncounted)} not counted"
        if self.planned_m is not None and not self.enough and self.working_m > 0.0:
            told += (
                f"; nearer than planned: {length_text(self.distance_m, self.units)} from the sensor plane, the subject "
                f"is planned at {length_text(self.planned_m, self.units)}"
            )
        return told + (f"; {self.leave.text}" if self.leave is not None and self.leave.text else "")


class BestStop(NamedTuple):
    """The f-number for a wanted depth. needed: marked, thirds, by the circle; None past the smallest of the lens.

    sharpest: at which blur at the ends and Airy disc are least together (marked, exact, kept within the lens), with
    the blur disc at the ends and the Airy disc there [m]. A rule of thumb: the two do not truly add by squares.
    """

    wanted_m: float
    needed: float | None
    needed_airy_m: float | None
    sharpest: float
    end_blur_m: float
    airy_m: float
    circle_m: float
    units: str

    @property
    def holds(self) -> bool:
        """Whether one frame holds the depth to the circle, diffraction included."""
        return math.hypot(self.end_blur_m, self.airy_m) <= self.circle_m * math.sqrt(2.0)

    @property
    def text(self) -> str:
        deep = length_text(self.wanted_m, self.units)
        if self.needed is None:
            return (
                f"{deep} deep is more than this lens gives at its smallest stop ({circle_text(self.circle_m)}): square "
                "up, or several frames"
            )
        airy = self.needed_airy_m or 0.0
        told = (
            f"{deep} deep takes {f_mark(self.needed)}; Airy disc there {figures(airy * 1e6)} um, "
            f"{circle_text(self.circle_m)}"
        )
        if wider_than_circle(airy, self.circle_m):
            best = f"sharpest at about {f_mark(self.sharpest)}, or several frames"
            return f"{told}: softer all over than the circle allows; {best}"
        return told
