"""The present moment in words: the light now, the minutes left, what to give up first, and whose clock says so."""

from __future__ import annotations

import datetime as dt

from fieldplan.card.wording import offset_text
from fieldplan.notation.display import ev_text
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.shift import shift_words, signed_shift
from fieldplan.notation.signed import signed
from fieldplan.pictures.cells import text_cells
from fieldplan.planner.answers import Light
from fieldplan.planner.rightnow import GiveUp, Left, RightNow
from fieldplan.tui.rows import crop

_HOURS_FROM = 100.0  # minutes


def light_text(light: Light | None, sun: bool = True) -> str:
    """ "EV 12.9-14.9, sun +8.6 deg"."""
    if light is None:
        return "light not known"
    low, high = trimmed(light.ev100_low, 1), trimmed(light.ev100_high, 1)
    to = " to " if light.ev100_low < 0.0 else "-"
    text = ev_text(light.ev100) if low == high else f"EV {low}{to}{high}"
    return text + (f", sun {signed(light.sun_altitude_deg)} deg" if sun and light.sun_altitude_deg is not None else "")


def span_minutes(early: float, late: float) -> str:
    """ "36-51 min", "10.6-10.9 h"."""
    hours = late >= _HOURS_FROM
    ends = [f"{m / 60.0:.1f}" if hours else f"{m:.0f}" for m in (early, late)]
    return ("-".join(ends) if ends[0] != ends[1] else ends[0]) + (" h" if hours else " min")


def left_text(left: Left | None, reason: bool = True) -> str:
    """ "36-51 min left (light below EV 7.7)"; "" where nothing is known."""
    if left is None:
        return ""
    why = f" ({left.reason})" if reason and left.reason else ""
    minutes = span_minutes(left.early_min, left.late_min)
    match left.state:
        case "works":
            return f"{minutes} and longer" if left.longer else f"{minutes} left{why}"
        case "perhaps":
            return f"perhaps {minutes} left{why}"
        case "later":
            return f"works in {minutes}{why}"
        case "over":
            return f"over since {minutes}{why}"
        case _:
            return "works at no time today"


def give_up_text(offers: tuple[GiveUp, ...], long: bool = True) -> str:
    """ "give up first: one stop more ISO (+7 min)", or without the first words; "" where nothing helps."""
    if not offers:
        return ""
    first = offers[0]
    what = "works now" if first.works_now else f"+{first.minutes:.0f} min"
    return f"{'give up first' if long else 'first'}: {first.what} ({what})"


def now_line(now: RightNow, width: int) -> str:
    """The moment in one line of so many cells; what matters least is left out first."""
    clock = f"now {now.here:%H:%M}"
    give = give_up_text(now.give_up)
    light, short = light_text(now.light), light_text(now.light, sun=False)
    left, bare = left_text(now.left), left_text(now.left, False)
    for parts in ((clock, light, left, give), (clock, light, bare, give), (clock, short, bare, give),
                  (clock, short, bare, give_up_text(now.give_up, long=False)),
                  (clock, short, bare)):  # fmt: skip
        text = "; ".join(part for part in parts if part)
        if text_cells(text) <= width:
            return text
    return crop(text, width)


def planned_text(now: RightNow | None) -> str:
    """ "in 15 min", "5 min ago": when the shot is planned for; "" where that is not known."""
    if now is None or now.planned_min is None:
        return ""
    if now.planned_min == 0.0:
        return "now"
    minutes = span_minutes(abs(now.planned_min), abs(now.planned_min))
    return f"in {minutes}" if now.planned_min >= 0.0 else f"{minutes} ago"


def clock_rows(computer: dt.datetime, here: dt.datetime, zone: str | None, ahead: dt.timedelta) -> list[str]:
    """This computer's clock against the site's: zone and offset of both, and how far the computer's is off."""
    own = computer.tzname() or ""
    where = zone or "zone not known: as this computer"
    rows = [
        f"this computer  {computer:%a %Y-%m-%d %H:%M:%S}  {offset_text(computer)}" + (f"  {own}" if own else ""),
        f"at the site    {here:%a %Y-%m-%d %H:%M:%S}  {offset_text(here)}  {where}",
    ]
    apart = (here.utcoffset() or dt.timedelta()) - (computer.utcoffset() or dt.timedelta())
    if apart:
        rows.append(f"the site's clock is {signed_shift(apart.total_seconds())} from this computer's zone")
    if ahead:
        way = "behind" if ahead < dt.timedelta() else "ahead"
        off = f"{shift_words(ahead.total_seconds())} {way}"
        rows.append(f"this computer's clock counts as {off}; the site's time is mended by that")
    return rows
