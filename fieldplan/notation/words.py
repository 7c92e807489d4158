"""Words with a meaning of their own in a plan: light, direction, circle, sway, names, dates and times of day."""

from __future__ import annotations

import contextlib
import datetime as dt
import difflib
import re
import unicodedata
from dataclasses import dataclass, field

from fieldplan.notation.numbers import plain, read_number, shown
from fieldplan.notation.quantity import ANGLE, SIZE, SMALL, read_value

# ANSI PH2.7-1973/1986 as tabulated in Wikipedia, "Exposure value", table 2: EV 100 of typical scenes.
ANSI_ROWS = {
    "snow": 16.0, "sun": 15.0, "hazy": 14.0, "cloudy bright": 13.0, "heavy overcast": 12.0, "open shade": 12.0,
}  # fmt: skip
_FIRST_YEAR, _LAST_YEAR = 1900, 2199  # beyond, neither sun and moon nor the rules of clocks are known so well
_NAME_LENGTH = 60
_JOINERS = {"\u200d", "\ufe0f"}
_BLANK = frozenset("\u115f\u1160\u3164\uffa0\u2800")  # Hangul fillers and the Braille cell without dots
_MOST_MARKS = 30  # the Stream-Safe Text Format of Unicode Standard Annex 15


@dataclass(frozen=True, slots=True)
class Light:
    """Light that a person gives: EV at ISO 100, or an illuminance [lx]; exactly one is not None."""

    ev100: float | None
    lux: float | None
    row: str | None
    typed: str = field(compare=False)


@dataclass(frozen=True, slots=True)
class Direction:
    """Angle between a subject's motion and the optical axis [deg]: 90 crossing, 0 oncoming."""

    angle_deg: float
    typed: str = field(compare=False)


_NEAR = 0.58  # likeness of two words (0 to 1) from which one may be meant for the other


@dataclass(frozen=True, slots=True)
class Circle:
    """How the circle of confusion is found: rule "print", "pixel" or "given"; diameter_m for the last."""

    rule: str
    diameter_m: float | None
    typed: str = field(compare=False)


@dataclass(frozen=True, slots=True)
class Sway:
    """A swing: width from end to end [m], full swings a second."""

    width_m: float
    per_second: float
    typed: str = field(compare=False)


def nearest_word(word: str, known: list[str]) -> str | None:
    """The known word that a mistyped one is likeliest to mean: one that holds it whole, else the nearest; or None."""
    holding = [one for one in known if word and word.casefold() in one.casefold().split()]
    close = difflib.get_close_matches(word, known, n=1, cutoff=_NEAR)
    return min(holding, key=len) if holding else close[0] if close else None


def read_choice(found: object, known: tuple[str, ...], what: str) -> str:
    """One of the known words. Raises ValueError naming the nearest one and the whole list."""
    word = plain(found).replace("_", " ") if isinstance(found, str) else ""
    if word in known:
        return word
    near = nearest_word(word, list(known)) if word else None
    guess = f'; did you mean "{near}"?' if near else ";"
    raise ValueError(f"{shown(found)} is not {what}{guess} known: {', '.join(known)}")


def read_light(found: object) -> Light:
    """ "EV 12", 12, "820 lux", or a row of the ANSI table ("open shade"). Raises ValueError."""
    if isinstance(found, (int, float)) and not isinstance(found, bool):
        found = f"EV {found}"
    word = plain(found) if isinstance(found, str) else ""
    for row, ev100 in ANSI_ROWS.items():
        if word == row:
            return Light(ev100, None, row, row)
    match = re.fullmatch(r"(ev\s*)?(?:100\s+)?([+-]?[\d.,]+)\s*(lux|lx|ev)?", word)
    if match and not (match[1] and match[3] in ("lux", "lx")):
        number = read_number(match[2])
        if match[3] in ("lux", "lx"):
            if 0.0 < number <= 1e7:
                return Light(None, number, None, " ".join(str(found).split()))
        elif -20.0 <= number <= 30.0:
            return Light(number, None, None, f"EV {match[2]}")
    rows = ", ".join(f'"{row}"' for row in ANSI_ROWS)
    raise ValueError(
        f'{shown(found)} is not a light; write "EV 12" (at ISO 100, -20 to 30), "820 lux", or one of {rows}'
    )


def read_direction(found: object) -> Direction:
    """ "crossing", "oncoming" or degrees from the axis (0 to 180). Raises ValueError."""
    if isinstance(found, str) and plain(found) in ("crossing", "oncoming"):
        word = plain(found)
        return Direction(90.0 if word == "crossing" else 0.0, word)
    try:
        angle = read_value(found, ANGLE)
    except ValueError:
        angle = None
    if angle is None or not 0.0 <= angle <= 180.0:
        raise ValueError(
            f'{shown(found)} is not a direction; write "crossing", "oncoming", or degrees from the axis '
            "(0 oncoming, 90 crossing)"
        )
    return Direction(float(angle), angle.typed)


def read_circle(found: object) -> Circle:
    """ "print" (diagonal / 1500), "pixel" (2 pixels) or a diameter such as "0.02 mm". Raises ValueError."""
    if isinstance(found, str) and plain(found) in ("print", "pixel"):
        return Circle(plain(found), None, plain(found))
    try:
        size = read_value(found, SMALL)
    except ValueError:
        size = None
    if size is None or not 1e-7 <= size <= 1e-3:
        raise ValueError(
            f'{shown(found)} is not a circle of confusion; write "print", "pixel" or a diameter such as "0.02 mm"'
        )
    return Circle("given", float(size), size.typed)


def read_sway(found: object) -> Sway:
    """ "4 cm, 1 per second". Raises ValueError."""
    match = re.fullmatch(r"(.+?)[,;\s]\s*([\d.,]+)\s*(?:x\s*)?(?:per second|a second|/s|hz|per s)", plain(str(found)))
    if match and isinstance(found, str):
        try:
            return Sway(float(read_value(match[1].rstrip(" ,;"), SIZE)), read_number(match[2]), " ".join(found.split()))
        except ValueError:
            pass
    raise ValueError(
        f'{shown(found)} is not a sway; write its width from end to end and its rate: "4 cm, 1 per second"'
    )


def read_name(found: object) -> str:
    """A name typed by a person, as plain text. Raises ValueError for empty, overlong or control characters."""
    if not isinstance(found, str):
        raise ValueError(f"{shown(found)} is not a name; write it in quotes")
    name = unicodedata.normalize("NFC", " ".join(found.split(" ")).strip())
    if not name:
        raise ValueError("the name is empty; write one")
    if len(name) > _NAME_LENGTH * 2:
        raise ValueError(f"{shown(found)} is too long; {_NAME_LENGTH * 2} characters at most")
    bad = next((c for c in name if _unprintable(c)), None)
    if bad is not None:
        raise ValueError(f"{shown(found)} holds the control character U+{ord(bad):04X}; take it out")
    if not name.isascii():
        _seen(name, found)
    return name


def _seen(name: str, found: object) -> None:
    """ValueError for a name that shows nothing, or has more marks on one letter than any writing (UAX 15, 13.1)."""
    marks = most = 0
    shows = False
    for char in name:
        sort = unicodedata.category(char)
        marks = marks + 1 if sort in ("Mn", "Me") else 0
        most = max(most, marks)
        shows = shows or (sort[0] not in "MZC" and char not in _BLANK)
    if not shows:
        raise ValueError(f"{shown(found)} shows nothing on a screen; write a name that can be seen")
    if most > _MOST_MARKS:
        raise ValueError(f"{shown(found)} has {most} marks on one letter, {_MOST_MARKS} at most; take them out")


def _unprintable(char: str) -> bool:
    kind = unicodedata.category(char)
    return kind in ("Cc", "Cs", "Co", "Zl", "Zp") or (kind == "Cf" and char not in _JOINERS)


def read_date(found: object) -> dt.date:
    """A date: TOML's own, or text 2027-03-14; of the years 1900 to 2199. Raises ValueError."""
    date = found if isinstance(found, dt.date) and not isinstance(found, dt.datetime) else None
    if isinstance(found, str):
        with contextlib.suppress(ValueError):
            date = dt.date.fromisoformat(plain(found))
    if date is None:
        raise ValueError(f"{shown(found)} is not a date; write year-month-day, 2027-03-14")
    if not _FIRST_YEAR <= date.year <= _LAST_YEAR:
        raise ValueError(f"{date} is not within {_FIRST_YEAR} and {_LAST_YEAR}; write year-month-day, 2027-03-14")
    return date


def read_clock(found: object) -> dt.time:
    """A time of day: TOML's own, or text 07:20, 7:20, 0720, 07:20:30. Raises ValueError."""
    if isinstance(found, dt.time) and found.tzinfo is None:
        return found
    match = re.fullmatch(r"(\d{1,2})[:.h]?(\d{2})(?:[:.](\d{2}))?", plain(found)) if isinstance(found, str) else None
    if match and int(match[1]) < 24 and int(match[2]) < 60 and int(match[3] or 0) < 60:
        return dt.time(int(match[1]), int(match[2]), int(match[3] or 0))
    raise ValueError(f"{shown(found)} is not a time of day; write 07:20")


def read_flag(found: object) -> bool:
    """true or false; as text also yes and no. Raises ValueError."""
    if isinstance(found, bool):
        return found
    word = plain(found) if isinstance(found, str) else ""
    if word in ("yes", "true", "y", "on"):
        return True
    if word in ("no", "false", "n", "off"):
        return False
    raise ValueError(f"{shown(found)} is neither true nor false")
