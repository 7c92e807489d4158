"""The last word on colours before they reach the terminal, whatever widget they come from."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

_FAINTEST = 120  # below this, red text vanishes on terminals of 16 and 256 colours


@lru_cache(1024)
def _red(style: Style) -> Style:
    ink, ground = style.color, style.bgcolor
    return style + Style(
        color=RichColor.from_rgb(max(_light(ink), _FAINTEST) if _light(ink) else 0, 0, 0),
        bgcolor=RichColor.from_rgb(_light(ground), 0, 0),
    )


def _light(colour: RichColor | None) -> int:
    """The brightest channel of a colour; the terminal's own default counts as black."""
    return 0 if colour is None or colour.is_default else max(colour.get_truecolor())


@lru_cache(1024)
def _shape(style: Style) -> Style:
    return Style(bold=style.bold, underline=style.underline, reverse=style.reverse)


class RedOnly(LineFilter):
    """Every colour becomes red of the same strength: no green and no blue light."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The segments in red."""
        return [Segment(text, _red(style or Style()), control) for text, style, control in segments]


class NoColour(LineFilter):
    """No colour at all: bold, underline and reverse stay."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The segments without colours."""
        return [Segment(text, _shape(style or Style()), control) for text, style, control in segments]


FILTERS: Mapping[str, tuple[LineFilter, ...]] = {"night": (RedOnly(),), "bare": (NoColour(),)}  # by skin
