"""What answers rest on besides the plan and the gear."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.model.catalogue import Catalogue
from fieldplan.planner.skybook import SkyBook


class Setting(NamedTuple):
    """What the answers rest on besides the plan: the lists, the zone, the countries and the sky of the site.

    light_step: stops to which the light of the sky is rounded before anything rests on it; None: not at all.
    """

    catalogue: Catalogue
    time_zone: str | None = None
    countries: tuple[str, ...] = ()
    book: SkyBook | None = None
    light_step: float | None = None
