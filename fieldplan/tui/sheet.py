"""The one widget: rows of (text, role) on the screen, each repainted only when it changed."""

from __future__ import annotations

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from fieldplan.pictures.cells import Picture, to_ascii_cells
from fieldplan.tui.skins import PLAIN, Skin
from fieldplan.tui.terminal import level_of_terminal


class Sheet(Widget):
    """Shows a picture by the line API."""

    DEFAULT_CSS = "Sheet { width: 1fr; height: 1fr; overflow: hidden; }"
    can_focus = False

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._picture: Picture = ()
        self._strips: dict[int, Strip] = {}
        self._skin = PLAIN
        self._width = 0
        self._ascii = level_of_terminal() == "ascii"

    def paint(self, picture: Picture, skin: Skin) -> None:
        """Show the rows in a skin; rows that are as before stay as they are."""
        before = self._picture
        self._picture = picture
        if skin is not self._skin:
            self._skin = skin
            self._strips.clear()
            self.refresh()
            return
        changed = [y for y in range(max(len(before), len(picture))) if _at(before, y) != _at(picture, y)]
        for y in changed:
            self._strips.pop(y, None)
        if changed:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in changed))

    def render_line(self, y: int) -> Strip:
        """One row as the toolkit wants it, padded with the ground to the width of the widget."""
        width = self.size.width
        if width != self._width:
            self._width = width
            self._strips.clear()
        strip = self._strips.get(y)
        if strip is None:
            style = self._skin.style
            write = to_ascii_cells if self._ascii else str
            segments = [Segment(write(text), style(role)) for text, role in _at(self._picture, y)]
            strip = Strip(segments).adjust_cell_length(width, style(""))
            self._strips[y] = strip
        return strip


def _at(picture: Picture, y: int) -> tuple[tuple[str, str], ...]:
    return picture[y] if y < len(picture) else ()
