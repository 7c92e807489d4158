"""A second set of decisions for a whole shot, on top of ``independent``, straight from the raw tables of the files."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from .independent import (
    AIRY,
    GREEN_MM,
    HAND_RAD_S,
    INF,
    Drawn,
    Gear,
    blur,
    depth_limits,
    drawn_at,
    ends,
    evenly,
    filling,
    focused,
    nearest,
    sides,
    zoomed,
)
from .thirds import exposed, third_stops

Table = dict[str, Any]
ROWS = {"snow": 16, "sun": 15, "hazy": 14, "cloudy bright": 13, "heavy overcast": 12, "open shade": 12}  # ANSI PH2.7


def middle(pair: tuple[float, float]) -> float:
    return (pair[0] + pair[1]) / 2.0


def frame_of(body: Table, lens: Table) -> tuple[float, float] | None:
    """The largest recorded format whose diagonal is at most 1.03 times the one covered."""
    formats = [sides(text) for text in [body["sensor"], *body.get("cropped_formats", [])]]
    if "covers" not in lens:
        return formats[0]
    reach = 1.03 * math.hypot(*sides(lens["covers"]))
    fitting = [f for f in formats if math.hypot(*f) <= reach]
    return max(fitting, key=lambda f: math.hypot(*f)) if fitting else None


def combinations(profile: Table) -> Iterator[tuple[Table, Table, Table | None, Table | None, Table | None]]:
    """body, lens, converter, tube, close-up lens."""
    for body in profile.get("body", []):
        for lens in profile.get("lens", []):
            if lens["mount"] not in [body["mount"], *body.get("also_takes", [])] or frame_of(body, lens) is None:
                continue
            named = [c for c in profile.get("converter", []) if c["name"] in lens.get("converters", [])]
            for converter in [None, *(c for c in named if c["mount"] == lens["mount"])]:
                for tube in [None, *(t for t in profile.get("tube", []) if t["mount"] == lens["mount"])]:
                    for close_up in [None, *profile.get("close_up_lens", [])]:
                        yield body, lens, converter, tube, close_up


def gear_of(lens: Table, converter: Table | None, tube: Table | None, close_up: Table | None) -> Gear:
    short, long = ends(lens["focal"], 1.0)
    return Gear(
        short,
        long,
        ends(lens["closest_focus"], 1000.0)[0] if "closest_focus" in lens else None,
        lens.get("largest_magnification"),
        converter["factor"] if converter else 1.0,
        ends(tube["length"], 1.0)[0] if tube else 0.0,
        close_up["power"] / 1000.0 if close_up else 0.0,
    )


def light_of(shot: Table) -> float | None:
    """EV at ISO 100."""
    text = shot.get("light")
    if text is None:
        return None
    ev: float = float(ROWS[text]) if text in ROWS else 0.0
    if text.startswith("EV "):
        ev = float(text[3:])
    elif text.endswith(" lux"):
        ev = math.log2(float(text[:-4]) / 2.5)
    return ev + float(shot.get("light_offset", 0.0))


def share_range(text: str) -> tuple[float, float]:
    parts = [float(part) / 100.0 for part in text.removesuffix(" %").split("-")]
    return parts[0], parts[-1]


def widest(lens: Table, setting: float, factor: float) -> float:
    text = str(lens["f_number"])
    first, _, second = text.partition("-")
    one, two = float(first), float(second or first)
    short, long = ends(lens["focal"], 1.0)
    if short == long:
        return two * factor
    return one * math.exp(math.log(two / one) * math.log(setting / short) / math.log(long / short)) * factor


def speed_of(shot: Table) -> float:
    speeds = [0.0]
    if "speed" in shot:
        speeds.append(float(shot["speed"].removesuffix(" m/s")))
    elif "speed" in shot["subject"]:
        speeds.append(float(shot["subject"]["speed"].removesuffix(" m/s")))
    if "sway" in shot:
        width, rate = shot["sway"].removesuffix(" per second").split(", ")
        speeds.append(2.0 * math.pi * float(rate) * ends(width, 1.0)[0] / 1000.0 / 2.0)
    return max(speeds) * 1000.0  # mm/s


def assessed(plan: Table, profile: Table, shot: Table) -> dict[tuple[str | None, ...], Table]:
    """Everything about every rig of one shot, by (body, lens, converter, tube, close-up lens, hold)."""
    found = {}
    for body, lens, converter, tube, close_up in combinations(profile):
        holds = {"either": ["level", "upright"]}.get(shot.get("hold", "either"), [shot.get("hold", "")])
        for hold in holds:
            parts = [part and part["name"] for part in (body, lens, converter, tube, close_up)]
            gear = gear_of(lens, converter, tube, close_up)
            found[(*parts, hold)] = one(profile, shot, body, lens, gear, hold)
    return found


def one(profile: Table, shot: Table, body: Table, lens: Table, gear: Gear, hold: str) -> Table:
    subject = shot["subject"]
    frame = frame_of(body, lens)
    assert frame is not None
    width, height = (max(frame), min(frame)) if hold == "level" else (min(frame), max(frame))
    tall = middle(ends(subject["height"], 1000.0)) if "height" in subject else 0.0
    wide = middle(ends(subject["width"], 1000.0)) if "width" in subject else 0.0
    rate = max(tall / height, wide / width)
    wanted = share_range(shot["fill"]) if "fill" in shot else None
    setting = gear.long
    if "focal" in shot:
        setting = ends(shot["focal"], 1.0)[0] / gear.factor
        if not gear.short * 0.995 <= setting <= gear.long * 1.005:
            return {"verdict": "cannot"}
        setting = min(max(setting, gear.short), gear.long)
    elif wanted is not None and "distance" in shot:
        setting = zoomed(gear, middle(ends(shot["distance"], 1000.0)), middle(wanted) / rate)
    if "distance" in shot:
        span = ends(shot["distance"], 1000.0)
    else:
        assert wanted is not None
        way = filling(gear, setting, middle(wanted) / rate)
        if way is None:
            return {"verdict": "cannot"}
        span = (way, way)
    drawn = focused(gear, setting, middle(span))
    if not gear.plain and gear.short < gear.long and "focal" not in shot and "distance" in shot:
        assert wanted is not None
        m = middle(wanted) / rate
        if drawn is None or not math.isclose(drawn.m, m, rel_tol=1e-6):
            return {"verdict": "nearest", "miss": least_miss(gear, middle(span), m), "m": m}
    if drawn is None:
        return {"verdict": "cannot"}
    out = framed(gear, setting, drawn, rate, span, wanted)
    out.update(exposing(profile, shot, body, lens, gear, setting, drawn, frame, max(tall, wide), middle(span)))
    out["pixels"] = drawn.m * (tall if tall / height >= wide / width else wide) * sides(body["pixels"])[0] / sides(
        body["sensor"]
    )[0]  # fmt: skip
    out["kinds"] = sorted(out["fill_wrong"] + out["wrong"])
    out["verdict"] = "short" if out["kinds"] else "works"
    return out


def least_miss(gear: Gear, distance: float, m: float) -> float:
    """The least miss in magnification, as a logarithm, over 41 settings of a zoom; infinite where none focuses."""
    tried = [gear.short * (gear.long / gear.short) ** (i / 40) for i in range(41)]
    ways = [focused(gear, setting, distance) for setting in tried]
    return min((INF if w is None or not w.m else abs(math.log(w.m / m)) for w in ways), default=INF)


def framed(gear: Gear, setting: float, drawn: Drawn, rate: float, span: tuple[float, float], wanted: Any) -> Table:
    out: Table = {"focal": setting * gear.factor, "acting": drawn.focal, "m": drawn.m, "fill": drawn.m * rate}
    out["fill_wrong"] = []
    if wanted is None:
        out["fill_wrong"] = ["cut off"] if out["fill"] > 1.005 else []
        return out
    low, high = wanted
    far = filling(gear, setting, low / rate)
    near = filling(gear, setting, high / rate)
    if far is None and not gear.plain:
        # at its farthest focus a tube or close-up lens may still draw larger than the least wanted
        at_infinity = drawn_at(gear, setting)
        far = at_infinity.distance if low < at_infinity.m * rate <= high else None
    out["from"] = None if far is None else nearest(gear, setting) if near is None else near
    out["to"] = far
    at_ends = [focused(gear, setting, end) for end in span]
    fills = [None if end is None else end.m * rate for end in at_ends]
    if out["fill"] < low - 0.005:
        out["fill_wrong"] = ["short"]
    elif out["fill"] > high + 0.005:
        out["fill_wrong"] = ["cut off"]
    elif any(f is None or not low - 0.005 <= f <= high + 0.005 for f in fills):
        out["fill_wrong"] = ["part of the range"]
    return out


def reckoned(d: Drawn) -> tuple[float, float, float, float]:
    """Acting focal length, acting over marked f-number, object and image distance."""
    return d.focal, d.share, INF if d.m == 0.0 else d.focal * (1.0 + 1.0 / d.m), d.focal * (1.0 + d.m)


def exposing(
    profile: Table, shot: Table, body: Table, lens: Table, gear: Gear, setting: float, drawn: Drawn,
    frame: tuple[float, float], extent: float, distance: float,
) -> Table:  # fmt: skip
    f, m, share = drawn.focal, drawn.m, drawn.share
    u = INF if m == 0.0 else f * (1.0 + 1.0 / m)
    v = f * (1.0 + m)
    pitch = sides(body["sensor"])[0] / sides(body["pixels"])[0]
    rule = shot.get("circle", "print")
    c = math.hypot(*frame) / 1500.0 if rule == "print" else 2.0 * pitch if rule == "pixel" else ends(rule, 1.0)[0]
    hand = profile.get("photographer", {}).get("shake", 1.0)
    if "support" in shot:
        hand *= next(s["shake"] for s in profile["support"] if s["name"] == shot["support"])
    stops = max(body.get("stabilisation", 0.0), lens.get("stabilisation", 0.0))
    shake = c * 2.0**stops / (v * HAND_RAD_S * hand) if hand else INF
    angle = math.radians({"crossing": 90.0, "oncoming": 0.0}.get(shot.get("direction", "crossing"), 0.0))
    if isinstance(shot.get("direction"), (int, float)):
        angle = math.radians(shot["direction"])
    speed = speed_of(shot)
    moved = max(
        m * speed * abs(math.sin(angle)), 0.0 if u == INF else extent * m / 2 * speed * abs(math.cos(angle)) / u
    )
    moved *= 1.0 - shot.get("panned", 0.0)
    motion = c / moved if moved > 0.0 else INF
    open_n = widest(lens, setting, gear.factor)
    smallest = float(lens.get("smallest_f_number", 22)) * gear.factor
    pupil = lens.get("pupil_ratio", 1.0)
    effective = share * (1.0 + m / pupil)
    limit, ev = min(shake, motion), light_of(shot)
    out = exposed(open_n, effective, limit, ev, body, smallest)
    depth_wanted = ends(shot["depth_of_field"], 1000.0)[1] if "depth_of_field" in shot else 0.0

    limits = None
    if "sharp_from" in shot:
        limits = ends(shot["sharp_from"], 1000.0)[0], ends(shot["sharp_to"], 1000.0)[1]
    at = drawn

    def deep(n: float) -> bool:
        f, share, u, v = reckoned(at)
        near, far, _ = depth_limits(f, n * share, c, u)
        if limits is not None:
            return near + v <= limits[0] * (1.0 + 1e-9) and far + v >= limits[1] * (1.0 - 1e-9)
        return far - near >= depth_wanted * (1.0 - 1e-9)

    def first() -> float:
        return open_n if deep(open_n) else next((s for s in third_stops(open_n) if deep(s)), INF)

    if limits is not None and not deep(open_n):
        on_it, other = first(), evenly(gear, setting, *limits)
        within = limits[0] <= distance <= limits[1]
        if other is not None and (within or on_it > smallest * 1.03):
            at = other
            at = at if first() < on_it or not within else drawn
    if not deep(open_n):
        stop = first()
        if stop <= smallest * 1.03:
            tried = exposed(stop, effective, limit, ev, body, smallest)
            out = out if "iso" in tried["wrong"] else tried
        if not deep(out["n"]):
            out["wrong"].append("depth" if limits is None else "limits")
    f, share, u, v = reckoned(at)
    near, far, hyperfocal = depth_limits(f, out["n"] * share, c, u)
    behind = (u if at is drawn else distance - v) + (
        ends(shot["background"], 1000.0)[0] if "background" in shot else INF
    )
    out.update(
        shake=shake, motion=motion, circle=c, near=near + v, far=far + v, hyperfocal=hyperfocal + v,
        blur=blur(f, out["n"] * share, u, behind), n_eff=out["n"] * effective,
        airy_um=AIRY * GREEN_MM * out["n"] * effective * 1000.0, acting=f,
        smear=f / (out["n"] * share) * (1.0 if u == INF else abs(behind / u - 1.0)),
    )  # fmt: skip
    return out
