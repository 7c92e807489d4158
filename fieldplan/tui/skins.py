"""Colours. A role has one look in each skin; nothing is told by colour alone, so every skin may drop its colours.

Contrast is the ratio of WCAG 2.2: 7 and better in "sun", 4.5 and better in "plain". "night" holds red light only.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from rich.style import Style

Rgb = tuple[int, int, int]


class Look(NamedTuple):
    """Text colour, ground colour (None: the skin's), weight and shape."""

    ink: Rgb
    ground: Rgb | None = None
    bold: bool = False
    underline: bool = False
    reverse: bool = False


class Skin(NamedTuple):
    """A named set of looks. coloured False: bold, underline and reverse alone, in the terminal's own colours."""

    name: str
    about: str
    dark: bool
    ground: Rgb
    looks: tuple[tuple[str, Look], ...]
    coloured: bool = True

    def look(self, role: str) -> Look:
        """The look of a role; an unknown one looks like plain text."""
        return _table(self).get(role) or _table(self)[""]

    def style(self, role: str) -> Style:
        """The look of a role as the toolkit wants it."""
        return _style(self, role)


@cache
def _table(skin: Skin) -> dict[str, Look]:
    return dict(skin.looks)


@cache
def _style(skin: Skin, role: str) -> Style:
    look = skin.look(role)
    if not skin.coloured:
        return Style(bold=look.bold, underline=look.underline, reverse=look.reverse)
    ground = look.ground or skin.ground
    return Style(bold=look.bold, underline=look.underline, color=hex_of(look.ink), bgcolor=hex_of(ground))


def hex_of(rgb: Rgb) -> str:
    """ "#d70000"."""
    return "#{:02x}{:02x}{:02x}".format(*rgb)


class _Paints(NamedTuple):
    """The few colours of a skin. picked and typed: (ink, ground) of what is selected and of an open field."""

    text: Rgb
    quiet: Rgb
    strong: Rgb
    alarm: Rgb
    picked: tuple[Rgb, Rgb]
    typed: tuple[Rgb, Rgb]
    subject: Rgb
    sharp: Rgb
    sky: Rgb
    figure: Rgb  # of large figures, whose lit area is large: dim at night


def _skin(name: str, about: str, dark: bool, ground: Rgb, p: _Paints) -> Skin:
    """Every role in the colours of a skin; bold, underline and reverse tell the same where there is no colour."""
    looks = {
        "": Look(p.text), "dim": Look(p.quiet), "title": Look(p.strong, bold=True), "key": Look(p.strong, bold=True),
        "label": Look(p.quiet), "value": Look(p.text), "best": Look(p.strong, bold=True),
        "warn": Look(p.alarm, bold=True), "problem": Look(p.alarm, bold=True, underline=True),
        "picked": Look(*p.picked, bold=True, reverse=True), "tab": Look(*p.picked, bold=True, reverse=True),
        "open": Look(*p.typed, underline=True), "caret": Look(p.typed[1], p.typed[0], bold=True, reverse=True),
        "frame": Look(p.text), "subject": Look(p.subject), "sharp": Look(p.sharp), "blur": Look(p.quiet),
        "axis": Look(p.quiet), "cursor": Look(p.strong, bold=True), "sun": Look(p.sky, bold=True),
        "moon": Look(p.text), "ground": Look(p.quiet), "figure": Look(p.figure),
    }  # fmt: skip
    return Skin(name, about, dark, ground, tuple(looks.items()))


_BLACK, _WHITE = (0, 0, 0), (255, 255, 255)
PLAIN = _skin(
    "plain", "light on dark", True, (16, 20, 24),
    _Paints(
        text=(222, 226, 230), quiet=(160, 172, 182), strong=(255, 208, 120), alarm=(255, 158, 122),
        picked=((12, 16, 20), (255, 208, 120)), typed=(_WHITE, (52, 60, 72)),
        subject=(150, 200, 230), sharp=(150, 220, 160), sky=(255, 208, 120), figure=(222, 226, 230),
    ),
)  # fmt: skip
SUN = _skin(
    "sun", "dark on light, for daylight", False, _WHITE,
    _Paints(
        text=_BLACK, quiet=(56, 56, 56), strong=_BLACK, alarm=(130, 0, 0),
        picked=(_WHITE, _BLACK), typed=(_BLACK, (214, 228, 255)),
        subject=(0, 40, 120), sharp=(0, 70, 20), sky=(110, 40, 0), figure=_BLACK,
    ),
)  # fmt: skip
NIGHT = _skin(
    "night", "dim red, for eyes used to the dark", True, _BLACK,
    _Paints(
        text=(215, 0, 0), quiet=(165, 0, 0), strong=(255, 0, 0), alarm=(255, 0, 0),
        picked=(_BLACK, (200, 0, 0)), typed=((255, 0, 0), (70, 0, 0)),
        subject=(200, 0, 0), sharp=(255, 0, 0), sky=(255, 0, 0), figure=(165, 0, 0),
    ),
)  # fmt: skip
BARE = PLAIN._replace(name="bare", about="the terminal's own colours", coloured=False)

SKINS = {skin.name: skin for skin in (PLAIN, NIGHT, SUN)}


def next_skin(name: str) -> str:
    """The name after this one, round and round."""
    names = list(SKINS)
    return names[(names.index(name) + 1) % len(names)] if name in names else names[0]


def contrast(one: Rgb, other: Rgb) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio" and "relative luminance")."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(rgb: Rgb) -> float:
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in rgb))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
