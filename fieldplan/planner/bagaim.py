"""What makes one bag better than another: pictures, the supports that they name, and light on the subject.

In this order, musts before the others each time: pictures taken; pictures nearly or partly taken; those of them whose
support, as the shot names it, is along; light on the subject against the whole kit, to a third of a stop. Weight comes
after all of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fieldplan.planner.answers import Answer
from fieldplan.planner.bagbest import Worth
from fieldplan.planner.packing import Packing, Want, Way

MOST_THIRDS = 90  # of a stop lost; more counts as this much
PARTS = 9  # bodies insisted on, then four pairs of musts and others
_AT = {"taken": 1, "in_part": 3, "support": 5, "light": 7}


def light_on_subject(answer: Answer) -> float | None:
    """Light on the subject in stops, from a zero that is the same for every answer to one picture.

    Light a unit of area of the sensor goes as 1/ISO, and the subject's image as the magnification squared: that is
    the area ratio where the frame is filled again, and nothing where one lens from one place serves another format.
    """
    if not answer.iso or not answer.magnification:
        return None
    return 2.0 * math.log2(answer.magnification) - math.log2(answer.iso)


def full_light(want: Want, allowed: int) -> float | None:
    """The most light that a picture gets of the allowed items with the support that it names, or by hand [stops]."""
    ways = [way for way in want.ways if way.items & ~allowed == 0]
    named = [way for way in ways if way.answer.support in (None, want.support)]
    lights = [light for way in named or ways if (light := light_on_subject(way.answer)) is not None]
    return max(lights, default=None)


def thirds_lost(way: Way, full: float | None) -> int:
    """Thirds of a stop of light that a way loses; 0 where the light is not known."""
    light = light_on_subject(way.answer)
    return 0 if light is None or full is None else min(MOST_THIRDS, max(0, round(3.0 * (full - light))))


def _worth(must: bool, **counts: int) -> Worth:
    """A worth with these parts, of a must or of another picture."""
    worth = [0] * PARTS
    for part, count in counts.items():
        worth[_AT[part] if must else _AT[part] + 1] = count
    return tuple(worth)


def _graded(want: Want, allowed: int, support: int) -> list[tuple[int, Worth]]:
    """The ways to one picture; each also with the support that it names packed besides. support: its bit, or 0."""
    full = full_light(want, allowed)
    graded: list[tuple[int, dict[str, int]]] = []
    for way in want.ways:
        graded.append((way.items, {"taken": 1, "light": MOST_THIRDS - thirds_lost(way, full)}))
    graded += [(items, {"in_part": 1}) for items, _ in want.parts]
    found = []
    for items, counts in graded:
        if items & ~allowed == 0:
            found.append((items, _worth(want.must, support=int(items & support != 0), **counts)))
            if support and not items & support:
                found.append((items | support, _worth(want.must, support=1, **counts)))
    return found


def graded_wishes(packing: Packing, allowed: int, bodies: Sequence[int] = ()) -> list[list[tuple[int, Worth]]]:
    """Every picture, with the support that it names, and the bodies insisted on (sets of them), as graded wishes."""
    supports = {packing.things[i].name: 1 << i for i in packing.of_kind("support", allowed)}
    wishes = [_graded(want, allowed, supports.get(want.support or "", 0)) for want in packing.wants]
    if bodies:
        wishes.append([(group, (1,) + (0,) * (PARTS - 1)) for group in bodies])
    return wishes
