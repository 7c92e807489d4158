"""The marks on cameras: f/5.6, 1/500, 2 s, ISO 3200, and other figures as people read them.

A value on an exact third of a stop is shown as its conventional mark (ISO 517 and common practice for the
thirds between). A figure that somebody wrote down, 1/1250, 1/3, ISO 1250, f/1.25, is shown as it was written; any other
value, such as a limit that was reckoned, to two or three figures.
"""

from __future__ import annotations

import math

from fieldplan.notation.numbers import trimmed

_F = ("1", "1.1", "1.2", "1.4", "1.6", "1.8", "2", "2.2", "2.5", "2.8", "3.2", "3.5", "4", "4.5", "5", "5.6", "6.3",
      "7.1", "8", "9", "10", "11", "13", "14", "16", "18", "20", "22", "25", "29", "32", "36", "40", "45", "51", "57",
      "64", "72", "81", "91", "102", "114", "128")  # fmt: skip
_BELOW_ONE = ("0.9", "0.8", "0.7", "0.63", "0.56", "0.5")
_T = ("1", "1.3", "1.6", "2", "2.5", "3.2", "4", "5", "6", "8", "10", "13", "15", "20", "25", "30")
_T_FRACTION = ("1", "0.8", "0.6", "0.5", "0.4", "0.3", "1/4", "1/5", "1/6", "1/8", "1/10", "1/13", "1/15", "1/20",
               "1/25", "1/30", "1/40", "1/50", "1/60", "1/80", "1/100", "1/125", "1/160", "1/200", "1/250", "1/320",
               "1/400", "1/500", "1/640", "1/800", "1/1000", "1/1250", "1/1600", "1/2000", "1/2500", "1/3200",
               "1/4000", "1/5000", "1/6400", "1/8000", "1/10000", "1/13000", "1/16000", "1/20000", "1/25000",
               "1/32000")  # fmt: skip
_ISO = ("100", "125", "160", "200", "250", "320", "400", "500", "640", "800", "1000", "1250", "1600", "2000", "2500",
        "3200", "4000", "5000")  # fmt: skip
_ISO_BELOW = ("100", "80", "64", "50", "40", "32", "25", "20", "16", "12", "10", "8", "6")
_NEAR = 0.06  # a tenth of a second is figure enough where it is as near as this, a tenth of a stop
_LONGEST_S = 30.0  # from here on a shutter is held open by the second
_SAME = 1e-6  # a value this close to a third (in thirds) is that third


def _third(steps: float) -> int | None:
    nearest = round(steps)
    return nearest if abs(steps - nearest) < _SAME else None


def f_mark(f_number: float) -> str:
    """ "f/5.6" for an exact third, else the number itself: "f/5.8"."""
    k = _third(6.0 * math.log2(f_number))
    if k is not None and 0 <= k < len(_F):
        return f"f/{_F[k]}"
    if k is not None and -len(_BELOW_ONE) <= k < 0:
        return f"f/{_BELOW_ONE[-k - 1]}"
    return f"f/{trimmed(f_number, 2 if f_number < 2 else 1 if f_number < 10 else 0)}"


def time_mark(time_s: float) -> str:
    """ "1/500", "0.5 s", "30 s", "4 min"."""
    k = _third(3.0 * math.log2(time_s))
    if k is not None and 0 <= k < len(_T):
        return f"{_T[k]} s"
    if k is not None and 0 < -k < len(_T_FRACTION):
        mark = _T_FRACTION[-k]
        return mark if "/" in mark else f"{mark} s"
    if time_s >= 90.0:
        return _long_time(time_s)
    below = 1.0 / time_s
    if below >= 2.9 and _whole(below):
        return f"1/{below:.0f}"
    if time_s >= 0.29:
        return f"{trimmed(time_s, 1 if abs(round(time_s, 1) / time_s - 1.0) < _NEAR else 2)} s"
    return f"1/{trimmed(below, 0)}" if below < 1000 else f"1/{float(f'{below:.3g}'):.0f}"


def faster_mark(limit_s: float) -> str:
    """A longest time that is allowed, as the slowest mark within it: "1/200" for 1/195; whole seconds beyond 30 s."""
    if limit_s >= _LONGEST_S:
        return time_mark(float(math.floor(limit_s)))
    return time_mark(2.0 ** (math.floor(3.0 * math.log2(limit_s) + _SAME) / 3.0))


def nearest_mark(time_s: float) -> str:
    """The mark nearest to a time that was reckoned: "1/80" for 1/87; beyond 30 s the time itself."""
    if time_s >= _LONGEST_S:
        return time_mark(float(round(time_s)))
    return time_mark(2.0 ** (round(3.0 * math.log2(time_s)) / 3.0))


def _whole(value: float) -> bool:
    return abs(value - round(value)) <= _SAME * value


def _long_time(time_s: float) -> str:
    """From 90 s on: minutes or hours to a tenth; whole seconds that are none of these as seconds."""
    tenths = _whole(time_s / 6.0) if time_s < 5400 else _whole(time_s / 360.0)
    if _whole(time_s) and not tenths and time_s < 5400:
        return f"{time_s:.0f} s"
    return f"{trimmed(time_s / 60.0, 1)} min" if time_s < 5400 else f"{trimmed(time_s / 3600.0, 1)} h"


def written_time(time_s: float) -> str:
    """An exposure time as a file or a person gives it, to four figures where it is no mark: "1/1250", "0.6173 s"."""
    mark, below = time_mark(time_s), 1.0 / time_s
    if _third(3.0 * math.log2(time_s)) is not None or (time_s < 5400 and (_whole(below) or _whole(time_s))):
        return mark
    return f"{float(f'{time_s:.4g}'):g} s" if time_s >= 0.29 else f"1/{float(f'{below:.4g}'):g}"


def written_f(f_number: float) -> str:
    """An f-number as a file or a person gives it, to four figures where it is no mark: "1.25", "10.5"."""
    if _third(6.0 * math.log2(f_number)) is not None:
        return f_mark(f_number).removeprefix("f/")
    return f"{float(f'{f_number:.4g}'):g}"


def iso_mark(iso: float) -> str:
    """ "3200" for an exact third; a whole number as it is; else the number to two figures."""
    k = _third(3.0 * math.log2(iso / 100.0))
    if k is not None and k >= 0:
        return _ISO[k] if k < len(_ISO) else _high_iso(k)
    if k is not None and -k < len(_ISO_BELOW):
        return _ISO_BELOW[-k]
    if _whole(iso) and iso < 1e7:
        return f"{iso:.0f}"
    return f"{float(f'{iso:.2g}'):.0f}" if iso >= 10 else trimmed(iso, 1)


def _high_iso(k: int) -> str:
    """ISO marks from 6400 on: 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 ..."""
    doubled, within = divmod(k - 18, 3)
    return str((6400, 8000, 10000)[within] * 2**doubled)


FAR_OVER = 16.0  # an ISO so many times its ceiling is of no use as a number


def iso_words(iso: float, ceiling: float | None) -> str:
    """The mark of an ISO; "over 6400" where it lies far beyond the ceiling, as by night."""
    return f"over {iso_mark(ceiling or iso)}" if far_over(iso, ceiling) else iso_mark(iso)


def iso_figure(iso: float, ceiling: float | None) -> str:
    """The same in the space of one figure: ">6400"."""
    return f">{iso_mark(ceiling or iso)}" if far_over(iso, ceiling) else iso_mark(iso)


def far_over(iso: float, ceiling: float | None) -> bool:
    """Whether an ISO is so far beyond its ceiling that its figure says nothing but that it is dark."""
    return ceiling is not None and iso > ceiling * FAR_OVER


def share_text(share: float) -> str:
    """ "31 %", "0.8 %"."""
    percent = share * 100.0
    return f"{percent:.0f} %" if percent >= 1.95 else f"{percent:.1f} %" if percent >= 0.05 else "0 %"


def stops_text(stops: float) -> str:
    """ "1.3 stops", "1 stop", "+0.7 stops" is the caller's business."""
    rounded = trimmed(abs(stops), 1)
    return f"{'-' if stops <= -0.05 else ''}{rounded} stop{'' if rounded == '1' else 's'}"
