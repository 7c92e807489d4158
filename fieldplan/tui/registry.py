"""Every command of every page, by what lives together: for a person's own keys, and for hints that name a key.

A page and its views are imported when they are first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from fieldplan.tui.chrome import TITLES
from fieldplan.tui.commands import CONFLICT, EVERYWHERE, FORM, Command

State = tuple[Command, ...]


def _gear() -> tuple[State, ...]:
    from fieldplan.tui.pages.gear import GearPage
    from fieldplan.tui.pages.usedview import UsedView

    bags = (*GearPage.bag_commands, *GearPage.view_commands)
    return (*GearPage.commands, *FORM), GearPage.view_commands, bags, (UsedView.stopping, *UsedView.commands)


def _shot() -> tuple[State, ...]:
    from fieldplan.tui.pages.shot import ShotPage
    from fieldplan.tui.pages.shotclock import ClockView
    from fieldplan.tui.pages.shotglance import GlanceView
    from fieldplan.tui.pages.shothowfar import HowFarView
    from fieldplan.tui.pages.shotmore import MoreView
    from fieldplan.tui.pages.shottook import LogView
    from fieldplan.tui.pages.shotwhatif import WhatIfView

    views = (GlanceView, WhatIfView, HowFarView, MoreView, LogView, ClockView)
    over = tuple((*view.commands, *(FORM if view.with_form else ())) for view in views)
    return (*ShotPage.commands, *FORM), ShotPage.full_commands, *over, WhatIfView.asked_commands


def _light() -> tuple[State, ...]:
    from fieldplan.tui.pages.light import CURSOR, LightPage

    return (*LightPage.commands, *CURSOR), (*LightPage.commands, *FORM)


def _sky() -> tuple[State, ...]:
    from fieldplan.tui.pages.sky import SkyPage

    return (SkyPage.commands,)


def _card() -> tuple[State, ...]:
    from fieldplan.tui.pages.card import CardPage

    return (CardPage.commands,)


def _keys() -> tuple[State, ...]:
    from fieldplan.tui.keys import KeysPage

    return (KeysPage.commands,)


def _guide() -> tuple[State, ...]:
    from fieldplan.tui.guide import GuidePage

    return (GuidePage.commands,)


_PAGES = dict(zip((name for _, name in TITLES), (_gear, _shot, _light, _sky, _card), strict=True))
_COVERS = {"Keys": _keys, "Guide": _guide}  # laid over a page; nothing else lives then


def titles() -> tuple[str, ...]:
    """The pages by name, and what is laid over them."""
    return (*_PAGES, *_COVERS)


@cache
def states(title: str) -> tuple[State, ...]:
    """What may live on a page at one time: alone, in each of its views, with what lives everywhere.

    What a page does in its own way, under the same id, stands in the place of what lives everywhere. Raises KeyError.
    """
    if title in _COVERS:
        return _COVERS[title]()
    found = []
    for state in _PAGES[title]():
        own = {command.id for command in state}
        found.append((*CONFLICT, *state, *(command for command in EVERYWHERE if command.id not in own)))
    return tuple(found)


@cache
def commands(title: str) -> Mapping[str, Command]:
    """The commands of a page by id: each as the page itself has it, else as the first of its views. Raises KeyError."""
    return {command.id: command for state in reversed(states(title)) for command in reversed(state)}


@cache
def command(id: str, title: str = "") -> Command:
    """A command that lives on every page, or of one page, whose views are then imported. Raises KeyError."""
    general = {one.id: one for one in (*EVERYWHERE, *FORM, *CONFLICT)}
    return general[id] if id in general or not title else commands(title)[id]
