"""Light on the subject, reckoned from sun, moon and sky, and mended by meter readings.

A reading says how much the true light differed from the estimate for the same subject at that moment. The difference
is laid over the estimate and fades: whole for half an hour, then halved every hour, and dropped when the sun has come
out of or gone behind the ground line since. Its own uncertainty is a third of a stop.
"""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fieldplan.model.plan import Plan, Reading, Shot
from fieldplan.notation.display import ev_text
from fieldplan.notation.marks import stops_text
from fieldplan.notation.signed import signed
from fieldplan.optics.exposure import ev100_of_lux, exposure_value, illuminance_lux
from fieldplan.planner.answers import Light
from fieldplan.planner.skybook import SkyBook, SkyState, seconds
from fieldplan.sky.illuminance import (
    SKY_STOPS,
    horizontal_lux,
    lit_from_aim,
    lit_offset_stops,
    moon_lux,
    sun_lux,
    uncertainty_stops,
)
from fieldplan.sky.lighting import CASTS_SHADOWS, NO_DISC_DEG, casts_shadows
from fieldplan.sky.positions import moon_phase

WHOLE_FOR_S = 1800.0  # a reading counts whole for so long
HALVED_EVERY_S = 3600.0  # and is halved in so long after that
READING_STOPS = 1.0 / 3.0  # a meter's own uncertainty, common practice
ASTRAY_STOPS = 3.0  # a reading farther than this from the estimate is asked about
LIT_SLACK_DEG = 10.0  # the limits between front-, side- and back-lit are this program's own; nature has none
MOON_SHADE = 1.0 / 7.0  # what the sky alone gives of moonlight where the ground hides the moon; common practice
NIGHT_DEG = -18.0
DUSK_DEG = -4.0  # below it lamps, where there are any, count for more than the sky; common practice
NEGLIGIBLE = 0.05  # weight below which a reading is not mentioned
# How well the moment is known at which the sun clears a ground line: refraction near the horizon scatters by 0.16 deg
# (standard deviation; Schaefer and Liller, PASP 102, 1990, from memory), and a line is seldom measured better than 0.2.
GROUND_SLACK_DEG = 0.25


class Conditions(NamedTuple):
    """What turns the light on level ground into light on the subject."""

    sky: str
    lit: str
    aim_deg: float | None
    offset_stops: float


OPEN_GROUND = Conditions("clear", "level ground", None, 0.0)


class Estimate(NamedTuple):
    """EV 100 with its bounds, illuminance on the subject [lx], and how the subject is lit."""

    ev100: float
    low: float
    high: float
    lux: float
    lit: str


def conditions(plan: Plan, shot: Shot) -> Conditions:
    """Sky, lighting, aim and offset of a shot."""
    sky = plan.site.sky if plan.site is not None else "clear"
    return Conditions(sky, shot.lit, shot.aim, shot.light_offset)


def _lit(state: SkyState, given: Conditions, turned_deg: float = 0.0) -> str:
    """How the subject is lit: as written, from the aim, in shade behind the ground line; level ground otherwise."""
    if given.sky not in CASTS_SHADOWS or state.sun_altitude_deg <= NO_DISC_DEG:
        return "level ground"
    if not state.sun_clear:
        return "open shade"
    if given.lit != "auto":
        return given.lit
    if given.aim_deg is None:
        return "level ground"
    return lit_from_aim(given.aim_deg + turned_deg, state.sun_azimuth_deg)


class LevelLight(NamedTuple):
    """The light on level ground, and by how many stops it may be off; the same for every subject of a site."""

    lux: float
    ev100: float
    below: float
    above: float


def level_light(state: SkyState, sky: str) -> LevelLight:
    """The light on level ground at an instant under a sky (a word of SKY_STOPS)."""
    share = 1.0 if state.moon_clear else MOON_SHADE
    lux = horizontal_lux(state.sun_altitude_deg, state.moon_altitude_deg, state.elongation_deg, state.parallax_deg,
                         SKY_STOPS[sky], share)  # fmt: skip
    below, above = uncertainty_stops(state.sun_altitude_deg, sky)
    if _by_moonlight(state, share):
        night = uncertainty_stops(NIGHT_DEG, sky)
        below, above = max(below, night.below_stops), max(above, night.above_stops)
    return LevelLight(lux, ev100_of_lux(lux), below, above)


def _on_subject(level: LevelLight, state: SkyState, given: Conditions, lit: str) -> Estimate:
    stops = lit_offset_stops(lit, state.sun_altitude_deg, given.sky) + given.offset_stops  # type: ignore[arg-type]
    ev = level.ev100 + stops
    return Estimate(ev, ev - level.below, ev + level.above, level.lux * 2.0**stops, lit)


def estimate(state: SkyState, given: Conditions) -> Estimate:
    """Light on the subject at an instant, without any reading."""
    return _on_subject(level_light(state, given.sky), state, given, _lit(state, given))


def _by_moonlight(state: SkyState, share: float) -> bool:
    """Whether most of the light is the moon's."""
    if state.sun_altitude_deg > DUSK_DEG or state.moon_altitude_deg <= NO_DISC_DEG:
        return False
    return share * moon_lux(state.moon_altitude_deg, state.elongation_deg, state.parallax_deg) > sun_lux(
        state.sun_altitude_deg
    )


def bounded(state: SkyState, given: Conditions, level: LevelLight | None = None) -> Estimate:
    """The estimate, with bounds that hold however the subject may be lit near the ground line or a limit of the aim.

    level: the light on level ground then, where the caller has it.
    """
    level = level or level_light(state, given.sky)
    here = _on_subject(level, state, given, _lit(state, given))
    near_ground = abs(state.over_ground_deg) < GROUND_SLACK_DEG
    turns = (0.0, LIT_SLACK_DEG, -LIT_SLACK_DEG) if given.lit == "auto" and given.aim_deg is not None else (0.0,)
    if not casts_shadows(given.sky, state.sun_altitude_deg) or (not near_ground and len(turns) == 1):
        return here  # lit one way only
    states = [state, state._replace(sun_clear=not state.sun_clear)] if near_ground else [state]
    ways = {_lit(one, given, turn) for one in states for turn in turns} - {here.lit}
    if not ways:
        return here
    others = [_on_subject(level, state, given, lit) for lit in ways]
    low, high = (pick(value) for pick, value in (
        (min, [here.low, *(o.low for o in others)]), (max, [here.high, *(o.high for o in others)])))  # fmt: skip
    return here._replace(low=low, high=high)


class Metered(NamedTuple):
    """A reading against the estimate: when [s], by how many stops the light differed, whether the sun was clear."""

    ut_s: float
    stops: float
    sun_clear: bool
    what: str
    clock: str


def reading_ev100(reading: Reading) -> float:
    """EV 100 of a meter reading."""
    if reading.ev is not None:
        return reading.ev
    assert reading.f_number is not None and reading.shutter is not None and reading.iso is not None
    return exposure_value(reading.f_number, reading.shutter, reading.iso)


def metered(plan: Plan, given: Conditions, book: SkyBook, date: dt.date) -> list[Metered]:
    """The plan's readings of that date and its neighbours, each against the estimate for this subject at its moment."""
    found = []
    for reading in plan.readings:
        day = reading.date or plan.date
        if day is None or abs((day - date).days) > 1:
            continue
        ut_s = seconds(dt.datetime.combine(day, reading.time, tzinfo=book.zone))
        state = book.day(day).state(ut_s)
        stops = reading_ev100(reading) - estimate(state, given).ev100
        found.append(Metered(ut_s, stops, state.sun_clear, reading.of or "metered", f"{reading.time:%H:%M}"))
    return found


def weight(reading: Metered, state: SkyState) -> float:
    """How much a reading still counts, 1 to 0; before its moment it counts as it does after."""
    if reading.sun_clear != state.sun_clear:
        return 0.0
    age = abs(state.ut_s - reading.ut_s)
    return 1.0 if age <= WHOLE_FOR_S else 0.5 ** ((age - WHOLE_FOR_S) / HALVED_EVERY_S)


def corrected(raw: Estimate, state: SkyState, readings: list[Metered]) -> tuple[Estimate, Metered | None, float]:
    """The estimate with the weightiest and nearest reading laid over it; it and its weight, where one counts."""
    if not readings:
        return raw, None, 0.0
    share, _, at = max((weight(r, state), -abs(r.ut_s - state.ut_s), at) for at, r in enumerate(readings))
    if share < NEGLIGIBLE:
        return raw, None, 0.0
    nearest = readings[at]
    ev = raw.ev100 + share * nearest.stops
    below = share * READING_STOPS + (1.0 - share) * (raw.ev100 - raw.low)
    above = share * READING_STOPS + (1.0 - share) * (raw.high - raw.ev100)
    return Estimate(ev, ev - below, ev + above, illuminance_lux(ev), raw.lit), nearest, share


def age_text(seconds_apart: float) -> str:
    """ "40 min ago", "in 2 h"."""
    minutes = round(abs(seconds_apart) / 60.0)
    words = f"{minutes} min" if minutes < 100 else f"{minutes / 60:.1f} h"
    return "just now" if minutes == 0 else f"{words} ago" if seconds_apart > 0 else f"{words} later"


def scene_light(plan: Plan, shot: Shot, book: SkyBook, when: dt.datetime) -> Light:
    """The light of a shot at its moment: estimate, or metered where a reading counts."""
    local = when.astimezone(book.zone)
    day = book.day(local.date())
    state = day.state(seconds(when))
    given = conditions(plan, shot)
    raw = bounded(state, given)
    final, reading, share = corrected(raw, state, metered(plan, given, book, local.date()))
    reason = _reason(state, given, raw.lit)
    if reading is not None:
        sign = "+" if reading.stops >= 0 else "-"
        fading = "" if share > 0.995 else f", counted {share * 100:.0f} %"
        reason = (f"metered {reading.clock}, {reading.what}, {sign}{stops_text(abs(reading.stops))}, "
                  f"{age_text(state.ut_s - reading.ut_s)}{fading}; {reason}")  # fmt: skip
        if abs(reading.stops) >= ASTRAY_STOPS:
            reason += "; that reading is far from the estimate: check its date and time, and what was metered"
    return Light(
        final.ev100, final.low, final.high, final.lux, "estimate" if reading is None else "metered", reason, raw.lit,
        state.sun_altitude_deg, state.sun_azimuth_deg, state.moon_altitude_deg, state.moon_azimuth_deg,
        moon_phase(seconds(when)).lit_fraction,
    )  # fmt: skip


def _reason(state: SkyState, given: Conditions, lit: str) -> str:
    """In words: where the sun is, the sky, how the subject is lit, the person's own stops."""
    parts = [f"sun {signed(state.sun_altitude_deg)} deg"]
    if not state.sun_clear and state.sun_altitude_deg > NO_DISC_DEG:
        parts.append("behind the ground line")
    asked = f" ({given.lit} asked, but there is no direct sun)" if given.lit not in ("auto", lit) else ""
    parts += [given.sky, lit + asked]
    if given.offset_stops:
        parts.append(f"{given.offset_stops:+g} stops of your own")
    if state.sun_altitude_deg < -12.0 and state.moon_altitude_deg > 0.0:
        parts.append(f"moon {state.moon_altitude_deg:.0f} deg high")
    if state.sun_altitude_deg < DUSK_DEG:
        parts.append("no lamps counted")
    return "estimate: " + ", ".join(parts)


def describe(light: Light) -> str:
    """ "EV 9.4 +-1, estimate: ..."."""
    below, above = light.ev100 - light.ev100_low, light.ev100_high - light.ev100
    around = (
        ""
        if light.source == "given"
        else f" +-{above:.1f}"
        if abs(below - above) < 0.05
        else f" -{below:.1f} +{above:.1f}"
    )
    return f"{ev_text(light.ev100)}{around}, {light.reason}"
