"""The pages, in the order of the job."""

from __future__ import annotations

from fieldplan.tui.page import Page
from fieldplan.tui.pages.card import CardPage
from fieldplan.tui.pages.gear import GearPage
from fieldplan.tui.pages.light import LightPage
from fieldplan.tui.pages.shot import ShotPage
from fieldplan.tui.pages.sky import SkyPage

PAGES: tuple[type[Page], ...] = (GearPage, ShotPage, LightPage, SkyPage, CardPage)
