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
    shape = {"bold": look.bold, "underline": look.underline}
    if not skin.coloured:
        return Style(**shape, reverse=look.reverse)
    return Style(**shape, color=_hex(look.ink), bgcolor=_hex(look.ground or skin.ground))


def _hex(rgb: Rgb) -> str:
    return "#{:02x}{:02x}{:02x}".format(*rgb)


def _skin(
    name: str, about: str, dark: bool, ground: Rgb, text: Rgb, quiet: Rgb, strong: Rgb, alarm: Rgb, picked: tuple[Rgb, Rgb],
    typed: tuple[Rgb, Rgb], picture: tuple[Rgb, Rgb, Rgb],
) -> Skin:  # fmt: skip
    """A skin from a few colours: picked and typed are (ink, ground); picture is (subject, sharp, sky)."""
    subject, sharp, sky = picture
    looks = {
        "": Look(text), "dim": Look(quiet), "title": Look(strong, bold=True), "key": Look(strong, bold=True),
        "label": Look(quiet), "value": Look(text), "best": Look(strong, bold=True), "warn": Look(alarm, bold=True),
        "problem": Look(alarm, bold=True, underline=True), "picked": Look(*picked, bold=True, reverse=True),
        "picked answer": Look(*picked, bold=True, reverse=True), "tab": Look(*picked, bold=True, reverse=True),
        "open": Look(*typed, underline=True), "caret": Look(typed[1], typed[0], bold=True, reverse=True),
        "frame": Look(text), "subject": Look(subject), "sharp": Look(sharp), "blur": Look(quiet), "axis": Look(quiet),
        "cursor": Look(strong, bold=True), "sun": Look(sky, bold=True), "moon": Look(text), "ground": Look(quiet),
    }  # fmt: skip
    return Skin(name, about, dark, ground, tuple(looks.items()))


PLAIN = _skin("plain", "light on dark", True, (16, 20, 24), (222, 226, 230), (160, 172, 182), (255, 208, 120), (255, 158, 122),
              ((12, 16, 20), (255, 208, 120)), ((255, 255, 255), (52, 60, 72)),
              ((150, 200, 230), (150, 220, 160), (255, 208, 120)))  # fmt: skip
SUN = _skin("sun", "dark on light, for daylight", False, (255, 255, 255), (0, 0, 0), (56, 56, 56), (0, 0, 0), (130, 0, 0),
            ((255, 255, 255), (0, 0, 0)), ((0, 0, 0), (214, 228, 255)),
            ((0, 40, 120), (0, 70, 20), (110, 40, 0)))  # fmt: skip
NIGHT = _skin("night", "dim red, for eyes used to the dark", True, (0, 0, 0), (215, 0, 0), (165, 0, 0), (255, 0, 0), (255, 0, 0),
              ((0, 0, 0), (200, 0, 0)), ((255, 0, 0), (70, 0, 0)),
              ((200, 0, 0), (255, 0, 0), (255, 0, 0)))  # fmt: skip
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
