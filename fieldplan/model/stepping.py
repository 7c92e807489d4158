"""One natural step up or down for a value as text: a metre, a third of a stop, the next word of a list."""

from __future__ import annotations

import datetime as dt
import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from functools import cache

from fieldplan.model.forms import FormField
from fieldplan.notation import quantity as q
from fieldplan.notation import words
from fieldplan.notation.marks import f_mark, iso_mark, time_mark
from fieldplan.notation.numbers import plain, read_number, trimmed
from fieldplan.notation.scales import next_scale

_TOLERANCE = 1e-9
_DAY_MIN = 24 * 60
_CLOCK_STEP_MIN = 5
_DIRECTION_STEP_DEG = 15
_LONG_TIMES = ("40 s", "50 s", "60 s", "80 s", "100 s", "2 min", "2.5 min", "3 min", "4 min", "5 min", "6 min", "8 min",
               "10 min", "13 min", "15 min", "20 min", "25 min", "30 min")  # fmt: skip
# (below this size, the step): SI units of each kind; the last step goes on.
Ladder = tuple[tuple[float, float], ...]
_LENGTH: Ladder = ((3e-4, 1e-5), (3e-3, 1e-4), (0.03, 1e-3), (0.3, 0.01), (3.0, 0.1), (100.0, 1.0), (1000.0, 10.0),
                   (1e4, 100.0), (math.inf, 1000.0))  # fmt: skip
_FOCAL: Ladder = ((0.01, 1e-4), (0.1, 1e-3), (1.0, 0.01), (math.inf, 0.1))
_HEIGHT: Ladder = ((3.0, 0.1), (100.0, 1.0), (math.inf, 10.0))
_SPEED: Ladder = ((0.1, 0.01), (3.0, 0.1), (100.0, 1.0), (math.inf, 10.0))
_WEIGHT: Ladder = ((0.3, 0.01), (10.0, 0.1), (math.inf, 1.0))
_SHARE: Ladder = ((0.01, 0.001), (0.05, 0.01), (math.inf, 0.05))
_ANGLE: Ladder = ((math.inf, 1.0),)
_LADDERS = {
    q.FOCAL: _FOCAL, q.SMALL: _FOCAL, q.HEIGHT: _HEIGHT, q.SPEED: _SPEED, q.WEIGHT: _WEIGHT, q.SHARE: _SHARE,
    q.ANGLE: _ANGLE, q.CLOSEST: _LENGTH, q.SIZE: _LENGTH, q.DEPTH: _LENGTH, q.DISTANCE: _LENGTH[3:],
    q.BEHIND: _LENGTH[3:],
}  # fmt: skip
_NUMBER_LADDERS: dict[str, Ladder] = {
    "factor": ((math.inf, 0.1),), "converterfactor": ((math.inf, 0.1),), "pupilratio": ((math.inf, 0.05),),
    "magnification": ((0.01, 0.001), (1.0, 0.01), (math.inf, 0.1)), "panned": ((math.inf, 0.1),),
    "dioptres": ((1.0, 0.1), (10.0, 0.5), (math.inf, 1.0)), "degrees": ((math.inf, 1.0),),
    "skyline": ((math.inf, 0.1),), "money": ((100.0, 1.0), (1000.0, 10.0), (math.inf, 100.0)),
}  # fmt: skip
_THIRDS = ("ev", "stops")
_END = re.compile(r"([+-]?[\d.,]+(?:e[+-]?\d+)?)\s*(.*)")


def step(text: str, field: FormField, up: bool, units: str = "metric") -> str:
    """The text one step up or down; unchanged where there is no step, or it would leave what is allowed.

    An empty text becomes the default, or else the example. units: of bare numbers, "metric" or "imperial".
    """
    if field.nested or field.sort in ("name", "names", "place", "pixels", "sensor", "formats", "subject"):
        return text
    if not text.strip():
        return field.default_text or field.example
    try:
        return _stepped(text, field, up, units)
    except (ValueError, OverflowError, KeyError):
        return text


def _stepped(text: str, field: FormField, up: bool, units: str) -> str:
    if field.choices:
        return _cycled(plain(text).replace("_", " "), field.choices, up)
    if field.sort in _BY_SORT:
        return _BY_SORT[field.sort](text, up)
    if field.kind is q.TIME:
        return _next_mark(_time_marks(), float(q.read_value(text, q.TIME)), up, text)
    if field.kind is q.F_NUMBER:
        return _f_numbers(text, up)
    if field.kind is not None:
        return _quantity(text, field.kind, up, units)
    return _number(text, field, up) if field.bounds else text


def _cycled(word: str, known: tuple[str, ...], up: bool) -> str:
    if word not in known:
        return known[0]
    return known[(known.index(word) + (1 if up else -1)) % len(known)]


def _flag(text: str, up: bool) -> str:
    return "no" if words.read_flag(text) else "yes"


def _date(text: str, up: bool) -> str:
    return (words.read_date(text) + dt.timedelta(days=1 if up else -1)).isoformat()


def _clock(text: str, up: bool) -> str:
    """To the next five minutes, round midnight."""
    time = words.read_clock(text)
    minutes = time.hour * 60 + time.minute + time.second / 60
    fives = math.floor(minutes / _CLOCK_STEP_MIN) + 1 if up else math.ceil(minutes / _CLOCK_STEP_MIN) - 1
    hour, minute = divmod(fives * _CLOCK_STEP_MIN % _DAY_MIN, 60)
    return f"{hour:02d}:{minute:02d}"


def _shift(text: str, up: bool) -> str:
    """A minute more or less, in minutes."""
    minutes = float(q.read_value(text, q.SHIFT)) / 60.0 + (1.0 if up else -1.0)
    moved = f"{trimmed(minutes, 3)} min"
    q.read_value(moved, q.SHIFT)
    return moved


def _direction(text: str, up: bool) -> str:
    angle = words.read_direction(text).angle_deg
    way = _DIRECTION_STEP_DEG if up else -_DIRECTION_STEP_DEG
    moved = min(180.0, max(0.0, angle + way))
    return {0.0: "oncoming", 90.0: "crossing"}.get(moved, f"{trimmed(moved)} deg")


def _circle(text: str, up: bool) -> str:
    circle = words.read_circle(text)
    if circle.diameter_m is None:
        return "pixel" if circle.rule == "print" else "print"
    micrometres = round(circle.diameter_m * 1e6, 3) + (1 if up else -1)
    words.read_circle(f"{trimmed(micrometres / 1000)} mm")
    return f"{trimmed(micrometres / 1000)} mm"


def _sway(text: str, up: bool) -> str:
    """The width moves, the rate stays."""
    words.read_sway(text)
    width, gap, rate = text.partition(",") if "," in text else text.partition(";")
    return f"{_quantity(width, q.SIZE, up, 'metric')}{gap}{rate}" if gap else text


def _light(text: str, up: bool) -> str:
    light = words.read_light(text)
    if light.lux is not None:
        moved = light.lux * 2 ** ((1 if up else -1) / 3)
        lux = f"{trimmed(float(f'{moved:.3g}'))} lux"
        words.read_light(lux)
        return lux
    moved_ev = f"EV {_third(light.ev100 or 0.0, up)}"
    words.read_light(moved_ev)
    return moved_ev


def _third(value: float, up: bool) -> str:
    """The next third of a stop, to one place: 12, 12.3, 12.7, 13."""
    near = round(value * 3)
    on_it = abs(value * 3 - near) < 0.11
    if on_it:
        thirds = near + (1 if up else -1)
    else:
        thirds = math.ceil(value * 3) if up else math.floor(value * 3)
    return trimmed(round(thirds / 3, 1) + 0.0, 1)


@cache
def _time_marks() -> tuple[tuple[float, str], ...]:
    short = [time_mark(2.0 ** (k / 3)) for k in range(-45, 16)]
    return tuple((q.read_time(mark, mark), mark) for mark in (*short, *_LONG_TIMES))


@cache
def _f_marks() -> tuple[tuple[float, str], ...]:
    marks = [f_mark(2.0 ** (k / 6)) for k in range(-6, 43)]
    return tuple((read_number(mark.removeprefix("f/")), mark) for mark in marks)


@cache
def _iso_marks() -> tuple[tuple[float, str], ...]:
    marks = [iso_mark(100 * 2.0 ** (k / 3)) for k in range(-12, 49)]
    return tuple((read_number(mark), mark) for mark in marks)


def _next_mark(marks: tuple[tuple[float, str], ...], value: float, up: bool, text: str) -> str:
    """The nearest mark beyond the value; a value within 2 % of a mark stands on it."""
    values = [number for number, _ in marks]
    at = bisect_right(values, value * 1.02) if up else bisect_left(values, value / 1.02) - 1
    return marks[at][1] if 0 <= at < len(marks) else text


def _f_numbers(text: str, up: bool) -> str:
    span = q.read_span(text, q.F_NUMBER)
    ends = [span.low] if not span.is_range else [span.low, span.high]
    moved = [_next_mark(_f_marks(), end, up, "").removeprefix("f/") for end in ends]
    if not all(moved):
        return text
    return ("f/" if plain(text).startswith("f") else "") + "-".join(moved)


def _iso(text: str, up: bool) -> str:
    return _next_mark(_iso_marks(), read_number(plain(text).removeprefix("iso").strip()), up, text)


def _number(text: str, field: FormField, up: bool) -> str:
    """A plain number within its bounds, by its ladder or by thirds of a stop."""
    low, high = field.bounds or (-math.inf, math.inf)
    value = read_number(plain(text).rstrip("x").strip())
    if field.sort in _THIRDS:
        moved = _third(value, up)
    else:
        ladder = _NUMBER_LADDERS.get(field.sort, ((math.inf, 1.0),))
        moved = trimmed(_moved(value, ladder, up), 9)
    if field.key in ("aim", "bearing"):
        moved = trimmed(read_number(moved) % 360.0, 9)
    reached = read_number(moved)
    if low <= reached <= high:
        return moved
    return trimmed(low if reached < low else high, 9) if low < value < high else text


def _moved(value: float, ladder: Ladder, up: bool, unit: float = 1.0) -> float:
    """A value one rung on, in steps round in its unit; in a decimal unit never past a bound of the ladder."""
    size, sign = abs(value), -1.0 if value < 0.0 or (value == 0.0 and not up) else 1.0
    outward = up == (sign > 0.0)
    decimal = abs(math.log10(unit) - round(math.log10(unit))) < _TOLERANCE
    below = 0.0
    for bound, rung in ladder:
        if size < bound * (1.0 - _TOLERANCE) or (not outward and size <= bound * (1.0 + _TOLERANCE)):
            if not decimal:
                rung = unit * 10.0 ** math.floor(math.log10(rung / unit) + _TOLERANCE)
                return value + (rung if up else -rung)
            moved = min(size + rung, bound) if outward else max(size - rung, below or -math.inf)
            return sign * moved
        below = bound
    return value


def _quantity(text: str, kind: q.Kind, up: bool, units: str) -> str:
    """A quantity or a range in its own unit: both ends move by the step of the lower one."""
    span = q.read_span(text, kind, units)
    word = plain(text)
    ends = q.split_range(word) if span.is_range else [word]
    if "ft" in kind.units and all(q.FEET_INCHES.fullmatch(end) for end in ends):
        return _feet_and_inches([span.low, span.high][: len(ends)], kind, up) or text
    unit_words = [found[2] if (found := _END.fullmatch(end)) else "" for end in ends]
    bare = kind.bare_imperial if units == "imperial" else kind.bare
    shared = unit_words[-1] or bare
    sizes = [kind.units[unit or shared] for unit in unit_words]
    change = _moved(span.low, _LADDERS.get(kind, _LENGTH), up, sizes[0]) - span.low
    change = max(change, kind.low - span.low) if change < 0 else change
    moved = [end + change for end in (span.low, span.high)][: len(ends)]
    allowed = all(kind.low <= end <= kind.high or math.isinf(end) for end in moved)
    if math.isinf(span.low) or abs(change) < 1e-12 or not allowed:
        return text
    written = _written(moved, unit_words, sizes, shared)
    q.read_span(written, kind, units)  # a bound that is not round in the unit may be rounded out of what is allowed
    return written


def _written(ends: list[float], unit_words: list[str], sizes: list[float], shared: str) -> str:
    texts = [
        "infinity" if math.isinf(si) else trimmed(float(f"{si / size:.9g}"), 9)
        for si, size in zip(ends, sizes, strict=True)
    ]
    gaps = ["" if unit in ("'", '"', "°") else " " for unit in (*unit_words, shared)]
    if len(ends) == 1:
        return f"{texts[0]}{gaps[-1]}{shared}"
    first = texts[0] + (f"{gaps[0]}{unit_words[0]}" if unit_words[0] and unit_words[0] != shared else "")
    if math.isinf(ends[1]):
        return f"{texts[0]}{gaps[-1]}{unit_words[0] or shared}-infinity"
    return f"{first}-{texts[1]}{gaps[-1]}{shared}"


def _feet_and_inches(ends: list[float], kind: q.Kind, up: bool) -> str:
    """Each end an inch on; "" where that is not allowed."""
    texts = []
    for metres in ends:
        inches = round(metres / q.INCH, 6) + (1 if up else -1)
        if not kind.low <= inches * q.INCH <= kind.high:
            return ""
        feet, rest = divmod(inches, 12)
        texts.append(f"{int(feet)}'{trimmed(rest)}\"")
    return "-".join(texts)


_BY_SORT: dict[str, Callable[[str, bool], str]] = {
    "flag": _flag,
    "date": _date,
    "clock": _clock,
    "shift": _shift,
    "direction": _direction,
    "circle": _circle,
    "sway": _sway,
    "light": _light,
    "iso": _iso,
    "scale": next_scale,
}
