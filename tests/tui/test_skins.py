"""Colours: enough contrast in daylight, nothing but red at night, none at all where they are not wanted."""

from __future__ import annotations

import re

import pytest

from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.skins import BARE, NIGHT, PLAIN, SKINS, SUN, Skin, contrast, next_skin

from .conftest import text

# The window that the exported picture is framed with; not part of the screen.
WINDOW = {"#292929", "#c5c8c6", "#ff5f57", "#febc2e", "#28c840"}


def test_contrast_is_that_of_wcag() -> None:
    """WCAG 2.2: black on white is 21; the standard's own example of the 4.5 border is #767676 on white."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)
    assert contrast((255, 0, 0), (255, 255, 255)) == pytest.approx(3.998, abs=0.005)


@pytest.mark.parametrize(("skin", "least"), [(SUN, 7.0), (PLAIN, 4.5), (NIGHT, 2.4)], ids=["sun", "plain", "night"])
def test_every_role_is_readable(skin: Skin, least: float) -> None:
    """7 in the sun (WCAG 1.4.6, level AAA), 4.5 in the plain theme (1.4.3); at night, dim on purpose, 2.4."""
    for role, look in skin.looks:
        assert contrast(look.ink, look.ground or skin.ground) >= least, role


def test_night_has_neither_green_nor_blue() -> None:
    colours = [NIGHT.ground] + [c for _, look in NIGHT.looks for c in (look.ink, look.ground) if c is not None]
    assert all(green == blue == 0 for _, green, blue in colours)


@pytest.mark.parametrize("page", ["1", "2", "3", "4", "5", "question_mark"])
async def test_night_screens_give_red_light_only(desk: Desk, page: str) -> None:
    app = FieldplanApp(desk, skin="night")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(page)
        colours = set(re.findall(r"#[0-9a-fA-F]{6}\b", app.export_screenshot())) - WINDOW
        assert colours, "the picture holds colours"
        assert all(colour[3:] == "0000" for colour in colours), colours


async def test_night_is_there_from_the_first_frame_and_changes_at_a_key(desk: Desk) -> None:
    app = FieldplanApp(desk, skin="night")
    async with app.run_test(size=(80, 24)) as pilot:
        assert app.skin is NIGHT
        assert app.screen.styles.background.rgb == (0, 0, 0)
        await pilot.press("t")
        assert app.skin is SUN and "theme sun" in text(app)
        await pilot.pause()
        assert app.screen.styles.background.rgb == (255, 255, 255)


def test_themes_go_round() -> None:
    assert [next_skin(name) for name in SKINS] == ["night", "sun", "plain"] and next_skin("unheard of") == "plain"


async def test_without_colours_shape_alone_tells_what_is_selected(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """no-color.org: no added colour when NO_COLOR is set and not empty."""
    monkeypatch.setenv("NO_COLOR", "1")
    app = FieldplanApp(desk, skin="night")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t")
        assert app.skin is BARE and "NO_COLOR" in text(app)
        styles = [s.style for strip in app.screen._compositor.render_strips() for s in strip if s.style is not None]
        assert all(style.color is None and style.bgcolor is None for style in styles)
        assert any(style.reverse for style in styles)


def test_nothing_is_told_by_colour_alone() -> None:
    """A role that stands for a state has a weight, a line or a reversal of its own besides its colour."""
    for role in ("picked", "tab", "open", "caret", "warn", "problem", "best"):
        look = BARE.look(role)
        assert look.bold or look.underline or look.reverse, role
