"""An invented nest that must not be found: a plan full of its place, and a search for every trace of it in a card."""

from __future__ import annotations

import io
import math
import re
from typing import Any

import pypdf

from fieldplan.card import render
from fieldplan.notation.position import STYLES, write_position
from fieldplan.opening import Opened, setting_of
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.rigs import prepare
from fieldplan.planner.withheld import without_place

PLACES = {"site": (53.4312, 12.7503), "landmark": (53.4296, 12.7711), "viewpoint": (53.4418, 12.7641)}
NAMES = ("Alder hide", "Saint Ottilia", "east dam", "Berlin")
PLAN = """
fieldplan_plan = 1
title = "Nest near alder hide, 53.4312, 12.7503"
date = 2027-03-24
leave = 05:10:00
arrive = 06:00:00
profile = "two-bodies"
[site]
name = "Alder hide"
position = "53.4312, 12.7503"
time_zone = "Europe/Berlin"
elevation = "62 m"
sky = "clear"
magnetic_variation = 4.5
skyline = [{ bearing = 60, altitude = 1.5 }]
[[site.landmark]]
name = "Saint Ottilia"
position = "53.4296, 12.7711"
foot = "70 m"
height = "31 m"
[[site.viewpoint]]
name = "east dam"
position = "53.4418, 12.7641"
note = "behind the second gate"
[[reading]]
time = 07:12:00
ev = 9.5
of = "sign of Alder hide"
[[shot]]
name = "moon behind SAINT OTTILIA"
time = 19:40:00
subject = { sky = "moon", behind = "Saint Ottilia" }
note = "from 53 26.508 N, 12 45.846 E"
aim = 92
[[shot]]
name = "Saint Ottilia at dawn (N 53 25.776 E 12 46.266)"
time = 06:10:00
subject = { landmark = "Saint Ottilia" }
aim = 92
[[shot]]
name = "sea eagle from the East Dam geo:53.4418,12.7641"
from = 07:00:00
to = 09:00:00
subject = { name = "eagle of Alder hide", width = "2 m", height = "0.8 m", living = true }
distance = "80 m"
note = "park at the chapel, 300 m along the dike"
aim = 133
support = "tripod"
[[taken]]
shot = "eagle long ago at east dam"
picture = "alder-hide-0001.jpg"
note = "Alder hide again"
time = 07:01:00
why = "missed, 53.4296, 12.7711 at Saint Ottilia"
support = "east dam post"
body = "Alder hide camera"
"""


def shared_of(opened: Opened, **changes: Any) -> PlanAnswers:
    """The plan with other fields, without its place."""
    plan = opened.plan.value.model_copy(update=changes)
    return without_place(plan, opened.profile.value, setting_of(plan.site), prepare(opened.profile.value)).answers


def as_words(answers: PlanAnswers, form: str) -> str:
    """What a reader or a search gets out of a form of the card."""
    made = render(answers, form)
    if isinstance(made, bytes):
        reader = pypdf.PdfReader(io.BytesIO(made))
        pages = "\n".join(page.extract_text() for page in reader.pages)
        return f"{pages}\n{reader.metadata}"
    return made.replace("\r\n ", "") if form == "ics" else made


def bare(text: str) -> str:
    """Letters, digits and signs only, so that line ends and blanks hide nothing."""
    return re.sub(r"[\s\u00a0\u2009]+", "", text).casefold()


def near(text: str) -> list[str]:
    """Pairs of decimal numbers that follow each other closely and lie within 2 km of a place of the plan."""
    numbers = [(m.start(), abs(float(m.group().replace(",", ".")))) for m in re.finditer(r"\d+[.,]\d+", text)]
    found = []
    for i, (at, lat) in enumerate(numbers):
        for to, lon in numbers[i + 1 : i + 4]:
            for place, (north, east) in PLACES.items():
                if to - at < 80 and abs(lat - north) < 0.02 and abs(lon - east) < 0.02:
                    found.append(f"{place}: {text[at : to + 8]}")
    return found


def notations(north: float, east: float) -> list[str]:
    """A position in every notation that the program writes; and parts of it long enough to lead there."""
    texts = [write_position(north, east, style) for style in STYLES]
    parts = [f"{value:.{digits}f}" for value in (north, east) for digits in (3, 4)]
    parts += [f"{math.trunc(value * 1000) / 1000:.3f}" for value in (north, east)]
    return [*texts, *parts]


def leaks(text: str) -> list[str]:
    plain = bare(text)
    found = [n for place in PLACES.values() for n in notations(*place) if bare(n) in plain]
    found += [name for name in NAMES if bare(name) in plain]
    found += [word for word in ("true north", "second gate", "park at the chapel", "62 m above") if bare(word) in plain]
    return [*found, *near(text)]
