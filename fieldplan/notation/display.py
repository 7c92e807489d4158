"""Figures as people read them on a screen or a card, in metric or imperial units. The value given is SI."""

from __future__ import annotations

import math

from fieldplan.notation.numbers import trimmed
from fieldplan.notation.quantity import FOOT, INCH, MILE, POUND


def figures(value: float, digits: int = 2) -> str:
    """At least ``digits`` significant figures, without an exponent or needless zeros; whole numbers in full."""
    if value == 0.0:
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return trimmed(value, min(places, 9))


def length_text(metres: float | None, units: str = "metric") -> str:
    """ "0.66 mm", "34 cm", "2.4 m", "28.5 m", "1.2 km"; imperial: "0.4 in", "9 in", "7.9 ft", "92 ft", "1.2 mi"."""
    if metres is None:
        return "-"
    if math.isinf(metres):
        return "infinity"
    size = abs(metres)
    if not size:
        return "0 ft" if units == "imperial" else "0 m"
    if units == "imperial":
        if size < FOOT:
            return f"{figures(metres / INCH)} in"
        feet = metres / FOOT
        return f"{figures(feet, 2 if size < 30 else 3)} ft" if size < 1500 else f"{figures(metres / MILE, 2)} mi"
    if size < 0.0095:
        return f"{figures(metres * 1000)} mm"
    if size < 0.995:
        return f"{figures(metres * 100)} cm"
    if size < 9500:
        return f"{figures(metres, 2 if size < 9.95 else 3)} m"
    return f"{figures(metres / 1000)} km" if size < 1e7 else f"{metres / 1000:,.0f} km".replace(",", " ")


def whole_length(metres: float, units: str = "metric") -> str:
    """A length that is known to a few metres at best: whole metres or feet, "19 m", "62 ft", "less than 1 m"."""
    told = rounded_length(metres, units)
    return f"less than 1 {told[2:]}" if told.startswith("0 ") else told


def rounded_length(metres: float, units: str = "metric") -> str:
    """A height or length in whole metres or feet: "19 m", "62 ft", "0 m"."""
    one = FOOT if units == "imperial" else 1.0
    return length_text(math.copysign(math.floor(abs(metres) / one + 0.5) * one, metres), units)


def span_text(low: float, high: float, units: str = "metric") -> str:
    """A range of lengths with one unit where both ends share it: "25-31 m", "34 cm-1.2 m", "12 m-infinity"."""
    first, second = length_text(low, units), length_text(high, units)
    if first == second:
        return first
    number, _, unit = first.rpartition(" ")
    return f"{number}-{second}" if unit and second.endswith(f" {unit}") else f"{first}-{second}"


def circle_text(circle_m: float) -> str:
    """ "circle 29 um": what a depth of field rests on."""
    return f"circle {figures(circle_m * 1e6)} um"


def focal_text(focal_m: float) -> str:
    """ "600 mm", "8.4 mm"."""
    return f"{figures(focal_m * 1000, 2 if focal_m < 0.01 else 3)} mm" if focal_m < 100 else "over 100 m"


def speed_text(m_s: float, units: str = "metric") -> str:
    """ "0.4 m/s", "12 m/s"; imperial "27 mph"."""
    return f"{figures(m_s / MILE * 3600)} mph" if units == "imperial" else f"{figures(m_s)} m/s"


def weight_text(kg: float | None, units: str = "metric") -> str:
    """ "1.85 kg"; imperial "4.1 lb"; "?" when not known."""
    if kg is None:
        return "?"
    return f"{kg / POUND:.1f} lb" if units == "imperial" else f"{trimmed(kg, 2)} kg"


def bearing_text(degrees: float) -> str:
    """Three figures from true north: "105", "007"."""
    return f"{round(degrees) % 360:03d}"


def way_text(metres: float, bearing_deg: float, units: str = "metric") -> str:
    """A way over the ground: "266 m to 007"."""
    return f"{whole_length(metres, units)} to {bearing_text(bearing_deg)}"


def lux_text(lux: float) -> str:
    """Two significant figures: the range of the estimate carries no more."""
    return figures(float(f"{lux:.2g}")) if lux > 0.0 else "0"


def ev_text(ev100: float | None) -> str:
    """ "EV 12", "EV -3.4"; "EV ?" when not known."""
    if ev100 is None:
        return "EV ?"
    return "no light" if math.isinf(ev100) else f"EV {trimmed(ev100, 1)}"


def size_text(pixels: float) -> str:
    """Pixels to two or three figures: "840", "2100", "12 600"."""
    return f"{round(pixels):d}" if pixels < 1000 else f"{round(pixels, -1):.0f}"
