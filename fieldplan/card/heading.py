"""The head of the card: date, site, clock, the sun and moon of the day, and the order of the day."""

from __future__ import annotations

from fieldplan.card import wording as w
from fieldplan.card.daywords import day_lines
from fieldplan.card.jsonparts import FORMAT
from fieldplan.card.tables import Table
from fieldplan.notation.display import length_text
from fieldplan.notation.position import write_position
from fieldplan.planner.answers import PlanAnswers
from fieldplan.planner.order import DayLine, order_of_day


def heading(answers: PlanAnswers) -> tuple[tuple[str, str], ...]:
    """Lines of (label, text) for the plan as a whole."""
    plan, site = answers.plan, answers.plan.site
    lines = [("date", "not given" if plan.date is None else f"{plan.date:%A %Y-%m-%d}")]
    if site is not None:
        lines.append(("site", site.name))
        if site.position is not None:
            place = write_position(site.position.latitude_deg, site.position.longitude_deg, "decimal")
            height = f"{length_text(float(site.elevation), plan.units)} above the sea"
            lines.append(("position", f"{place} (WGS 84), {height}"))
        lines.append(("sky", site.sky))
        if site.magnetic_variation is not None:
            way = "east" if site.magnetic_variation >= 0 else "west"
            lines.append(("compass", f"magnetic north lies {abs(site.magnetic_variation):g} deg {way} of true north"))
    zoned = [s.when for s in answers.shots if s.when is not None and s.when.tzinfo is not None]
    offsets = " and ".join(dict.fromkeys(offset for when in zoned if (offset := w.offset_text(when))))
    zone = answers.time_zone or ("" if offsets else "zone not known")
    lines.append(("clock", ", ".join(part for part in (zone, offsets) if part)))
    if answers.day is not None:
        date = answers.day.day.date
        several = len({s.when.date() for s in answers.shots if s.when is not None} - {date}) > 0
        lines += [(f"{label} {date:%d %b}" if several else label, text) for label, text in day_lines(answers.day)]
    lines.append(("gear", answers.profile.name))
    lines.append(("sheet", f"{FORMAT}, {plan.units} units, distances from the sensor plane"))
    return tuple(lines)


def _day_text(line: DayLine) -> str:
    wish = "" if line.must or line.kind != "shot" else " (nice to have)"
    return f"{line.shot}{wish}{f'; clash: {line.why}' if line.why else ''}"


def day_table(answers: PlanAnswers) -> tuple[Table, ...]:
    """The order of the day; with the day of the week where it runs over several; none without times."""
    lines = order_of_day(answers)
    dates = {line.start.date() for line in lines}
    apart = (max(dates) - min(dates)).days if dates else 0
    clock = "%H:%M" if not apart else "%a %H:%M" if apart < 7 else "%a %d %b %H:%M"
    rows = tuple(
        (f"{line.start:{clock}}", "" if line.end is None else f"{line.end:%H:%M}", _day_text(line)) for line in lines
    )
    return (Table("order of the day", "llw", ("from", "to", "shot"), rows),) if rows else ()
