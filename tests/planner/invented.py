"""Random plans and profiles as raw tables, with a fixed seed: formats, lenses, attachments and shots of every kind."""

from __future__ import annotations

import math
import random
from typing import Any

Table = dict[str, Any]
FORMATS = ("53.4x40 mm", "43.8x32.9 mm", "36x24 mm", "23.6x15.6 mm", "22.3x14.9 mm", "17.3x13 mm", "13.2x8.8 mm",
           "6.17x4.55 mm")  # fmt: skip
CROPS = {"36x24 mm": ["24x16 mm", "17.3x13 mm"], "43.8x32.9 mm": ["36x24 mm"]}
CEILINGS = (800, 1250, 3200, 5000, 6400, 10000, 12800, 51200)


def figure(value: float) -> str:
    """Four figures, as a person would write them."""
    return f"{float(f'{value:.4g}'):f}".rstrip("0").rstrip(".")


def between(rng: random.Random, low: float, high: float) -> float:
    return math.exp(rng.uniform(math.log(low), math.log(high)))


def some_body(rng: random.Random, name: str) -> Table:
    sensor = rng.choice(FORMATS)
    wide = rng.choice([2000, 4000, 6000, 8256])
    body: Table = {"name": name, "sensor": sensor, "pixels": f"{wide}x{wide * 2 // 3}", "mount": rng.choice("AB")}
    body["iso_ceiling"] = rng.choice(CEILINGS)
    body["lowest_iso"] = rng.choice([50, 64, 100, 100, 160, 200])
    body["fastest_shutter"] = rng.choice(["1/1000", "1/4000", "1/8000", "1/32000"])
    body["longest_shutter"] = rng.choice(["1 s", "30 s", "30 s", "60 s"])
    body["stabilisation"] = rng.choice([0, 0, 1.5, 3])
    if sensor in CROPS:
        body["cropped_formats"] = CROPS[sensor]
    if rng.random() < 0.3:
        body["also_takes"] = ["A", "B"]
    return body


def some_lens(rng: random.Random, name: str) -> Table:
    short = between(rng, 8, 1200)
    lens: Table = {"name": name, "mount": rng.choice("AB"), "smallest_f_number": rng.choice([11, 16, 22, 32])}
    open_n = rng.choice([1.2, 1.8, 2.8, 4, 5])
    if rng.random() < 0.5:
        long = min(short * rng.uniform(1.5, 5), 1200.0)
        short = min(short, long * 0.8)
        lens["focal"] = f"{figure(short)}-{figure(long)} mm"
        lens["f_number"] = rng.choice([open_n, f"{open_n}-{rng.choice([6.3, 7.1])}"])
    else:
        long = short
        lens["focal"], lens["f_number"] = f"{figure(short)} mm", open_n
    if rng.random() < 0.7:
        largest = between(rng, 0.08, 1.2)
        lens["closest_focus"] = f"{figure(long / 1000 * (2 + largest + 1 / largest) * rng.uniform(0.6, 1.05))} m"
        if rng.random() < 0.7:
            lens["largest_magnification"] = float(figure(largest))
    if rng.random() < 0.4:
        lens["covers"] = rng.choice(["43.8x32.9 mm", "36x24 mm", "24x16 mm", "17.3x13 mm"])
    if rng.random() < 0.3:
        lens["pupil_ratio"] = rng.choice([0.5, 1.6])
    if rng.random() < 0.5:
        lens["converters"] = ["1.4x", "2x"]
    lens["stabilisation"] = rng.choice([0, 0, 2, 4])
    return lens


def some_profile(rng: random.Random) -> Table:
    profile: Table = {"fieldplan_profile": 1, "name": "invented"}
    profile["photographer"] = {"shake": rng.choice([0.5, 1.0, 1.7])}
    profile["body"] = [some_body(rng, f"body {i}") for i in range(2)]
    profile["lens"] = [some_lens(rng, f"lens {i}") for i in range(3)]
    profile["converter"] = [{"name": "1.4x", "factor": 1.4, "mount": "A"}, {"name": "2x", "factor": 2.0, "mount": "B"}]
    if rng.random() < 0.4:
        profile["tube"] = [{"name": "tube", "length": rng.choice(["12 mm", "36 mm"]), "mount": rng.choice("AB")}]
    if rng.random() < 0.3:
        profile["close_up_lens"] = [{"name": "close-up", "power": rng.choice([0.5, 2, 5])}]
    profile["support"] = [{"name": "tripod", "shake": 0.0}, {"name": "monopod", "shake": 0.3}]
    return profile


def some_light(rng: random.Random, shot: Table) -> None:
    kind = rng.random()
    if kind < 0.5:
        shot["light"] = f"EV {figure(rng.uniform(0.1, 16))}"
    elif kind < 0.7:
        shot["light"] = f"{figure(between(rng, 1, 100000))} lux"
    elif kind < 0.9:
        shot["light"] = rng.choice(["snow", "sun", "hazy", "cloudy bright", "heavy overcast", "open shade"])
    if rng.random() < 0.2:
        shot["light_offset"] = rng.choice([1, -2])


def some_shot(rng: random.Random) -> Table:
    """A subject from a bee to a barn, 0.1 m to infinity away."""
    away = between(rng, 0.1, 3000)
    size = away * between(rng, 0.01, 0.6)
    subject: Table = {"name": "thing", "height": f"{figure(size)} m"}
    if rng.random() < 0.5:
        subject["width"] = f"{figure(size * rng.uniform(0.3, 2))}-{figure(size * rng.uniform(2, 3))} m"
    if rng.random() < 0.5:
        subject["speed"] = f"{figure(between(rng, 0.01, 20))} m/s"
    shot: Table = {"name": "one", "subject": subject}
    shot["distance"] = f"{figure(away)} m"
    if rng.random() < 0.4:
        shot["distance"] = f"{figure(away * 0.9)}-{figure(away * rng.uniform(1, 1.3))} m"
    elif rng.random() < 0.08:
        shot["distance"] = "infinity"
    share = rng.uniform(5, 90)
    shot["fill"] = f"{figure(share)}-{figure(share * 1.5)} %" if rng.random() < 0.6 else f"{figure(share)} %"
    if rng.random() < 0.2:
        shot["focal"] = f"{figure(between(rng, 8, 1200))} mm"
        if rng.random() < 0.3:
            del shot["fill"]
    if rng.random() < 0.1 and "fill" in shot:
        del shot["distance"]
    if rng.random() < 0.5:
        shot["depth_of_field"] = f"{figure(size * between(rng, 0.02, 2))} m"
    if rng.random() < 0.3:
        shot["circle"] = rng.choice(["pixel", "print", "0.02 mm"])
    if rng.random() < 0.4:
        shot["background"] = f"{figure(away * rng.uniform(0.1, 5))} m"
    shot["hold"] = rng.choice(["level", "upright", "either"])
    shot["direction"] = rng.choice(["crossing", "oncoming", 45, 120])
    some_motion(rng, shot, size)
    some_light(rng, shot)
    return shot


def some_motion(rng: random.Random, shot: Table, size: float) -> None:
    if rng.random() < 0.3:
        shot["panned"] = rng.choice([0.5, 0.9, 1.0])
    if rng.random() < 0.2:
        shot["speed"] = f"{figure(between(rng, 0.05, 20))} m/s"
    if rng.random() < 0.2:
        shot["sway"] = f"{figure(size * 0.1)} m, {rng.choice([0.5, 1, 2])} per second"
    if rng.random() < 0.5:
        shot["support"] = rng.choice(["tripod", "monopod"])


def some_plan(seed: int) -> tuple[Table, Table]:
    """(plan, profile) with one shot."""
    rng = random.Random(seed)
    profile = some_profile(rng)
    return {"fieldplan_plan": 1, "title": "invented", "shot": [some_shot(rng)]}, profile
