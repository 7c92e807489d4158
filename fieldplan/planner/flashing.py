"""Flash close up: reach by guide number and effective f-number, power and duration, sync, and the ambient ghost."""

from __future__ import annotations

import math
from typing import NamedTuple

from fieldplan.model.gear import Flash
from fieldplan.notation.display import length_text
from fieldplan.notation.marks import f_mark, iso_mark, stops_text, time_mark
from fieldplan.optics.blurlimits import image_speed_m_s
from fieldplan.optics.exposure import f_number_third_nearest, iso_third_up
from fieldplan.optics.flash import ambient_share, ambient_stops, duration_s, power_share, reach_m
from fieldplan.optics.formats import wider_than_circle
from fieldplan.planner.closeparts import SENSOR
from fieldplan.planner.closeup import CloseUp
from fieldplan.planner.trip import TripShot

GHOST_STOPS = -3.0  # the other light this far under leaves no ghost to speak of, common practice
LEAST_POWER = 1.0 / 128.0  # most flashes go no lower, common practice
SHORTEST_S = 1.0 / 20000.0  # duration below which that at full power is not carried on, common practice


class FlashAnswer(NamedTuple):
    """One flash at one f-number (marked) and ISO.

    reach_m: farthest that it lights fully; distance_m: to the subject, from where the flash is taken to stand;
    power: share of full power wanted, over 1 where it does not reach; duration_s, no less than SHORTEST_S, its blur
    and that of the ambient light in circles, None where not known; ambient: stops by which the other light over- or
    underexposes by itself.
    """

    flash: str
    f_number: float
    iso: float
    reach_m: float
    distance_m: float
    power: float
    duration_s: float | None
    flash_blur: float | None
    shutter_s: float | None
    ambient: float | None
    ambient_share: float | None
    ghost_blur: float | None
    caution: str | None
    units: str

    @property
    def lines(self) -> tuple[str, ...]:
        """In words: reach and power, duration, shutter and ghost, the caution for animals."""
        told = [f"{self.flash} at {self._settings()}: reaches {length_text(self.reach_m, self.units)}"]
        if self.power > 1.0:
            told[0] += (
                f", {length_text(self.distance_m, self.units)} wanted: {stops_text(math.log2(self.power))} short; "
                f"ISO {iso_mark(iso_third_up(self.iso * self.power))} reaches"
            )
        elif self.power < LEAST_POWER:
            told[0] += ", far more than wanted: move it away, turn it down or cover it"
        else:
            told[0] += (
                f"; about 1/{round(1.0 / self.power)} of full power at {length_text(self.distance_m, self.units)}"
            )
        if self.duration_s is not None and self.flash_blur is not None:
            stopped = "stops it" if self.flash_blur <= 1.0 else f"blurs it by {self.flash_blur:.1f} circles"
            told.append(f"{self._lasts(self.duration_s)} at that power: {stopped}")
        elif self.duration_s is None:
            told.append("how long it lasts is not in the profile")
        told += self._shutter()
        return (*told, *([self.caution] if self.caution else []))

    @property
    def brief(self) -> str:
        """One line: settings, power, and how far the other light is under."""
        told = f"{self.flash}: {self._settings()}"
        if self.power > 1.0:
            told += f", {stops_text(math.log2(self.power))} short at {length_text(self.distance_m, self.units)}"
        elif self.power < LEAST_POWER:
            told += ", too strong at its least power: move it away or cover it"
        else:
            told += f", about 1/{round(1.0 / self.power)} of full power"
        if self.ambient is not None:
            told += f"; the other light {stops_text(abs(self.ambient))} {'under' if self.ambient < 0.0 else 'over'}"
        return told

    def _settings(self) -> str:
        time = "" if self.shutter_s is None else f", {time_mark(self.shutter_s)}"
        return f"{f_mark(self.f_number)}{time}, ISO {iso_mark(self.iso)}"

    @staticmethod
    def _lasts(duration: float) -> str:
        if duration <= SHORTEST_S:
            return f"lasts {time_mark(SHORTEST_S)} or less (its time at full power is not carried on below that)"
        return f"lasts about {time_mark(duration)}"

    def _shutter(self) -> list[str]:
        if self.shutter_s is None:
            return ["its sync time is not in the profile"]
        told = [f"shutter no faster than {time_mark(self.shutter_s)} (sync)"]
        if self.ambient is None:
            return told
        under = stops_text(abs(self.ambient))
        if self.ambient <= GHOST_STOPS:
            return [f"{told[0]}; the other light is {under} under: no ghost to speak of"]
        side = "under" if self.ambient < 0.0 else "over"
        if self.ghost_blur is not None and self.ghost_blur > 1.0:
            return [f"{told[0]}; the other light is only {under} {side}: a ghost of {self.ghost_blur:.0f} circles; "
                    "stop down, lower the ISO or shade it" if self.ambient < 0.0 else
                    f"{told[0]}; the other light is {under} over: too bright for flash at these settings"]  # fmt: skip
        return [f"{told[0]}; the other light is {under} {side}, and the subject moves less than a circle in it"]


def flash_f_number(close_up: CloseUp) -> float:
    """What one would set with flash: that of the wanted depth, unless diffraction is then wider than the circle; else
    the third nearest to the sharpest for that depth; where no depth is wanted, or none holds it, as far down as
    diffraction lets it."""
    best = close_up.best_stop
    if best is None or not (best.holds or best.needed is not None):
        return close_up.sharp_f_number
    if best.needed is not None and not wider_than_circle(best.needed_airy_m or 0.0, best.circle_m):
        return best.needed
    return max(close_up.widest_f_number, min(f_number_third_nearest(best.sharpest), close_up.smallest_f_number))


def flash_answers(shot: TripShot, close_up: CloseUp, iso: float, flashes: tuple[Flash, ...]) -> tuple[FlashAnswer, ...]:
    """Each flash for a close-up, taken to stand at the front of the lens where that is known, else at the sensor.

    iso: the one chosen. Guide numbers are at ISO 100, full power; duration goes with power (a model).
    """
    return tuple(_answer(shot, close_up, iso, flash) for flash in flashes)


def _answer(shot: TripShot, close_up: CloseUp, iso: float, flash: Flash) -> FlashAnswer:
    room, wanted = close_up.room, shot.found.wanted
    hood = 0.0 if close_up.setup.lens.hood is None else float(close_up.setup.lens.hood)
    distance = room.distance_m if room.measured_from == SENSOR else max(room.working_m + hood, 0.0)
    reach = reach_m(float(flash.guide_number), close_up.effective_f_number, iso)
    power = power_share(reach, distance)
    lasting = None
    if flash.duration is not None:
        lasting = max(duration_s(float(flash.duration), max(power, LEAST_POWER)), SHORTEST_S)
    speed = 0.0
    if wanted is not None:
        acting, m = close_up.acting_focal_m, close_up.magnification
        longest = max(sum(wanted.height or (0.0, 0.0)), sum(wanted.width or (0.0, 0.0))) / 2.0
        speed = image_speed_m_s(m, acting * (1.0 + 1.0 / m), wanted.speed_m_s, wanted.direction_deg, longest)
    circles = speed / close_up.circle_m
    sync = None if flash.sync is None else float(flash.sync)
    shutter = None if sync is None else max(sync, float(close_up.setup.body.fastest_shutter))
    light = shot.found.light
    ambient = None
    if light is not None and shutter is not None:
        ambient = ambient_stops(light.ev100, close_up.effective_f_number, shutter, iso)
    living = wanted is not None and wanted.living and wanted.group != "person"
    text = shot.setting.catalogue.caution("flash near animals") if living else None
    return FlashAnswer(
        flash.name, close_up.f_number, iso, reach, distance, power, lasting,
        None if lasting is None else lasting * circles, shutter, ambient,
        None if ambient is None else ambient_share(ambient), None if shutter is None else shutter * circles,
        None if text is None else text.text, shot.plan.units,
    )  # fmt: skip
