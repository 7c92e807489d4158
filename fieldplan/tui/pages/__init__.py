"""The pages, in the order of the job; each is imported and made when it is first asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from fieldplan.tui.desk import Desk
    from fieldplan.tui.page import Page

_PLACES = {1: "gear.GearPage", 2: "shot.ShotPage", 3: "light.LightPage", 4: "sky.SkyPage", 5: "card.CardPage"}


def page_kind(number: int) -> type[Page]:
    """The class of a page. Raises KeyError for a number that is none."""
    module, name = _PLACES[number].split(".")
    return cast("type[Page]", getattr(import_module(f"{__name__}.{module}"), name))


class Pages(Mapping[int, "Page"]):
    """The pages of one desk by their numbers."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._made: dict[int, Page | None] = dict.fromkeys(_PLACES)

    def __getitem__(self, number: int) -> Page:
        page = self._made[number]
        if page is None:
            page = self._made[number] = page_kind(number)(self._desk)
        return page

    def __contains__(self, number: object) -> bool:
        return number in self._made

    def __iter__(self) -> Iterator[int]:
        return iter(self._made)

    def __len__(self) -> int:
        return len(self._made)
