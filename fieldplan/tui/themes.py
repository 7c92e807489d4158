"""The toolkit's own idea of a skin: the ground behind the sheets."""

from __future__ import annotations

from textual.theme import Theme

from fieldplan.tui.skins import Skin, hex_of


def theme_of(skin: Skin) -> Theme:
    """A theme whose ground and text are the skin's."""
    ground, text = hex_of(skin.ground), hex_of(skin.look("").ink)
    return Theme(
        name=f"fieldplan-{skin.name}", primary=text, secondary=text, foreground=text, background=ground, surface=ground,
        panel=ground, dark=skin.dark,
    )  # fmt: skip
