"""The toolkit's own idea of a skin: the ground behind the sheets."""

from __future__ import annotations

from textual.theme import Theme

from fieldplan.tui.skins import Rgb, Skin


def _hex(rgb: Rgb) -> str:
    return "#{:02x}{:02x}{:02x}".format(*rgb)


def theme_of(skin: Skin) -> Theme:
    """A theme whose ground and text are the skin's."""
    ground, text = _hex(skin.ground), _hex(skin.look("").ink)
    return Theme(
        name=f"fieldplan-{skin.name}", primary=text, secondary=text, foreground=text, background=ground, surface=ground,
        panel=ground, dark=skin.dark,
    )  # fmt: skip
