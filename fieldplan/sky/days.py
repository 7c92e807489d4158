"""Where a local civil day begins and ends on the scale of instants."""

import datetime as dt
from zoneinfo import ZoneInfo

EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
ONE_DAY = dt.timedelta(days=1)


def local_day(date: dt.date, zone: ZoneInfo) -> tuple[float, float]:
    """Start and end of the half-open local civil day, in seconds since 1970 with UTC standing for UT1.

    Usually 24 hours, 23 or 25 where clocks change. A day whose midnight is skipped starts when the clocks jump; a date
    that a zone never had (it moved across the date line) starts and ends at the same instant; where midnight comes
    twice the first one counts. So the days of a zone follow each other without gap. Raises OverflowError for the last
    date that datetime knows.
    """
    return _first_instant(date, zone), _first_instant(date + ONE_DAY, zone)


def _first_instant(date: dt.date, zone: ZoneInfo) -> float:
    midnight = dt.datetime(date.year, date.month, date.day)
    early = _seconds(midnight.replace(tzinfo=zone))
    late = _seconds(midnight.replace(tzinfo=zone, fold=1))
    if early <= late:
        return early
    # The clocks jump over midnight: read backwards from both offsets the order turns, and the jump lies between.
    low, high = late, early
    while high - low > 1.0:
        middle = (low + high) // 2.0
        if _wall(middle, zone) >= midnight:
            high = middle
        else:
            low = middle
    return low if _wall(low, zone) >= midnight else high


def _seconds(moment: dt.datetime) -> float:
    return (moment - EPOCH).total_seconds()


def _wall(ut_s: float, zone: ZoneInfo) -> dt.datetime:
    return (EPOCH + dt.timedelta(seconds=ut_s)).astimezone(zone).replace(tzinfo=None)
