"""For how long of its day, or of its night, a shot works with one answer, and what giving one thing up buys."""

from __future__ import annotations

import datetime as dt

from fieldplan.model.catalogue import LightBand, band_named
from fieldplan.model.plan import Plan, Shot, SkySubject
from fieldplan.notation.words import nearest_word
from fieldplan.planner.answers import Answer, Gain, ShotAnswers, WorkSpan
from fieldplan.planner.curves import Curve, light_curve, night_curve
from fieldplan.planner.moments import moment
from fieldplan.planner.rigs import Kit
from fieldplan.planner.scene import conditions
from fieldplan.planner.setting import Setting
from fieldplan.planner.skybook import SkyBook, seconds
from fieldplan.planner.stars import DARK_DEG
from fieldplan.planner.times import View, gains, half_angle_deg, is_sun, work_spans


def works_by_day(shot: Shot) -> bool:
    """Whether the hours in which a shot works follow from the day's light; the moon and the sun have their own."""
    return not isinstance(shot.subject, SkySubject)


def _curve(plan: Plan, shot: Shot, setting: Setting, nights: bool) -> Curve | None:
    """The light through the day of a shot, or through its night where it is taken in the dark or over midnight and
    ``nights`` is set.

    None where the sky is not known, the light is given, or the subject is moon or sun, which have their own hours.
    """
    date, book = shot.date or plan.date, setting.book
    if book is None or date is None or shot.light is not None or not works_by_day(shot):
        return None
    when = moment(plan, shot, setting.time_zone)
    if nights and when is not None and when.tzinfo is not None:
        return curve_round(plan, shot, when, book, over_midnight(shot))
    return light_curve(plan, conditions(plan, shot), book.day(date), book)


def curve_round(plan: Plan, shot: Shot, when: dt.datetime, book: SkyBook, night: bool) -> Curve:
    """The light through the night round an instant, noon to noon, where it is wanted or dark then; else of its day."""
    day, given = book.day(when.astimezone(book.zone).date()), conditions(plan, shot)
    if night or day.state(seconds(when)).sun_altitude_deg < DARK_DEG:
        return night_curve(plan, given, when, book)
    return light_curve(plan, given, day, book)


def over_midnight(shot: Shot) -> bool:
    """Whether a shot begins on one day and ends on the next."""
    return shot.start is not None and shot.end is not None and shot.end < shot.start


def band_of(shot: Shot, setting: Setting) -> LightBand | None:
    """The band of light that a shot is for, from the list; None where it names none that is known."""
    return None if shot.band is None else band_named(setting.catalogue.bands, shot.band)


def look(shot: Shot, answer: Answer, setting: Setting) -> View:
    """Where the lens of an answer looks, and in which band of light."""
    band = band_of(shot, setting)
    aim = None if is_sun(shot.subject) else shot.aim
    ends = None if band is None else (band.name, band.low_deg, band.high_deg)
    return View(aim, shot.aim_altitude, half_angle_deg(answer), ends)


def band_notes(shot: Shot, setting: Setting) -> list[str]:
    """What to know where the band of light that a shot names is not in the list."""
    if shot.band is None or band_of(shot, setting) is not None:
        return []
    names = [band.name for band in setting.catalogue.bands]
    near = nearest_word(shot.band, names)
    guess = f'did you mean "{near}"?' if near else f"there is {', '.join(names)}"
    return [f'band of light "{shot.band}" is not in the list and not counted; {guess}']


def working(plan: Plan, shot: Shot, answer: Answer, setting: Setting, nights: bool = True) -> list[WorkSpan]:
    """When one answer's rig can take the shot through its day; empty where the light is given or not known.

    nights: for a shot in the dark its night counts, noon to noon, instead of the calendar day.
    """
    curve = _curve(plan, shot, setting, nights)
    return [] if curve is None else work_spans(answer, curve, look(shot, answer, setting))


def gained(
    plan: Plan, shot: Shot, answers: ShotAnswers, answer: Answer, kit: Kit, setting: Setting, nights: bool = True
) -> tuple[Gain, ...]:
    """What giving one thing up buys for one answer, in minutes of the day (or of the night, see working)."""
    curve = _curve(plan, shot, setting, nights)
    rig = next((r for r in kit.rigs if r.label == answer.label), None)
    if curve is None or rig is None or answers.wanted is None:
        return ()
    view = look(shot, answer, setting)
    return tuple(gains(answer, rig, answers.wanted, answers.light, curve, view, plan.units, answers.rigs))
