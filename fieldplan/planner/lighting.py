"""The light of a shot, as given by a person. Without one there is no ISO to be told."""

from __future__ import annotations

import math

from fieldplan.model.plan import Shot
from fieldplan.notation.display import ev_text
from fieldplan.optics.exposure import ev100_of_lux, illuminance_lux
from fieldplan.planner.answers import Light


def given_light(shot: Shot) -> Light | None:
    """The light written into the shot, with its offset in stops; None where there is none."""
    if shot.light is None:
        return None
    ev = shot.light.ev100 if shot.light.ev100 is not None else ev100_of_lux(shot.light.lux or 0.0)
    ev += shot.light_offset
    reason = f"given: {shot.light.typed}"
    if shot.light.row is not None:
        reason = f"given: {shot.light.row} ({ev_text(shot.light.ev100)}, ANSI PH2.7)"
    if shot.light_offset:
        reason += f", offset {shot.light_offset:+g}"
    return Light(ev, ev, ev, illuminance_lux(ev), "given", reason)


def stepped(light: Light, step: float | None) -> Light:
    """The light rounded to steps of so many stops, its bounds with it; one that a person gave stays as it is."""
    if step is None or light.source == "given" or not math.isfinite(light.ev100):
        return light
    ev, low, high = (round(value / step) * step for value in (light.ev100, light.ev100_low, light.ev100_high))
    return light._replace(ev100=ev, ev100_low=low, ev100_high=high, illuminance_lux=illuminance_lux(ev))
