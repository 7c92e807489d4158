"""Exact thirds of a stop and the settings that follow from a blur limit and the light."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from .independent import INF

Table = dict[str, Any]
MARK = 0.06  # stops between a printed mark and its exact third, at most


def seconds(text: str) -> float:
    """ "1/500" or "30 s"."""
    above, _, below = text.removesuffix(" s").partition("/")
    return float(above) / float(below or 1)


def third_time(limit: float) -> float:
    """The longest exact third not over the limit."""
    t = 2.0**30
    while t > limit * (1.0 + 1e-7):
        t /= 2.0 ** (1 / 3)
    return 2.0 ** (round(3 * math.log2(t)) / 3)


def third_iso(need: float) -> float:
    k = -40
    while 100.0 * 2.0 ** (k / 3) < need * (1.0 - 1e-7):
        k += 1
    return 100.0 * 2.0 ** (k / 3)


def third_stops(above: float) -> Iterator[float]:
    """Every exact third of an f-number over a value."""
    for k in range(-12, 200):
        if 2.0 ** (k / 6) > above * (1.0 + 1e-12):
            yield 2.0 ** (k / 6)


def as_third(iso: float) -> float:
    """The exact third that a printed ISO stands for."""
    exact = min((100.0 * 2.0 ** (k / 3) for k in range(-40, 60)), key=lambda s: abs(math.log2(s / iso)))
    return exact if abs(math.log2(exact / iso)) <= MARK else iso


def exposed(n: float, effective: float, limit: float, ev: float | None, body: Table, smallest: float) -> Table:
    """Shutter, ISO, f-number and what is wrong, at a marked f-number whose light is ``effective`` times weaker."""
    fastest = seconds(body.get("fastest_shutter", "1/4000"))
    longest = seconds(body.get("longest_shutter", "30 s"))
    lowest = float(body.get("lowest_iso", 100))
    ceiling = as_third(float(body.get("iso_ceiling", 6400)))
    wrong = []
    time = longest if limit == INF else third_time(limit)
    if time < fastest * 2.0**-MARK:
        wrong.append("shutter")
        time = fastest
    time = min(time, longest)
    if ev is None:
        return {"n": n, "time": None if limit == INF else time, "iso": None, "wrong": wrong}
    light = 2.0**ev / 100.0  # N^2/t at ISO 1
    need = (n * effective) ** 2 / time / light
    if need >= lowest:
        iso = third_iso(need)
        if iso > ceiling * 2.0**MARK:
            wrong.append("iso")
        return {"n": n, "time": time, "iso": iso, "wrong": wrong}
    time = (n * effective) ** 2 / lowest / light
    if time >= fastest:
        return {"n": n, "time": max(third_time(time), fastest), "iso": lowest, "wrong": wrong}
    needed = n * math.sqrt(fastest / time)
    stopped = next(s for s in third_stops(needed * (1.0 - 1e-9)))
    if stopped > smallest * 2.0**MARK:
        wrong.append("too bright")
        stopped = max(smallest, n)
    return {"n": stopped, "time": fastest, "iso": lowest, "wrong": wrong}
