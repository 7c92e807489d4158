"""One rig for one shot: framing, depth, blur, shutter, ISO, and what stands in the way. Called at every key press."""

from __future__ import annotations

import math

from fieldplan.optics import blurlimits, formats
from fieldplan.optics.depth import blur_disc_m, depth, smear_m
from fieldplan.optics.exposure import MARK_SLACK, f_number_third_up
from fieldplan.optics.framing import INFINITY, Focus, Optic, distance_for, focus_at, largest_magnification, optic
from fieldplan.optics.zoom import setting_for, widest_f_number
from fieldplan.planner.answers import Answer, Light, Wanted
from fieldplan.planner.attached import attached_zoom
from fieldplan.planner.exposing import Exposure, Limits, expose, iso_range, least_ev100
from fieldplan.planner.filling import View, aimed, fill_shortfalls, filling
from fieldplan.planner.limits import circle_wanted, depth_wanted, focus_between, set_third
from fieldplan.planner.rigs import Rig
from fieldplan.planner.shortfalls import Shortfall

FOCAL_SLACK = 0.005  # a zoom's printed ends count to this share


def _view(rig: Rig, wanted: Wanted, hold: str) -> View:
    long, short = max(rig.frame_w, rig.frame_h), min(rig.frame_w, rig.frame_h)
    width, height = (long, short) if hold == "level" else (short, long)
    if wanted.distance is None and wanted.sharp_from_m is not None:
        return View(width, height, 0.0, None, 0.0)
    tall = 0.0 if wanted.height is None else (wanted.height[0] + wanted.height[1]) / 2.0
    wide = 0.0 if wanted.width is None else (wanted.width[0] + wanted.width[1]) / 2.0
    up, across = tall / height, wide / width
    if not tall and not wide:
        return View(width, height, 0.0, None, 0.0)
    heights, widths = wanted.height or (0.0, 0.0), wanted.width or (0.0, 0.0)
    least = max(heights[0] / height, widths[0] / width)
    most = max(heights[1] / height, widths[1] / width)
    if up >= across:
        return View(width, height, up, "height", tall, least, most)
    return View(width, height, across, "width", wide, least, most)


def _middle(ends: tuple[float, float]) -> float:
    return (ends[0] + ends[1]) / 2.0


def _set(rig: Rig, wanted: Wanted, view: View, distance: float | None) -> tuple[Optic, float] | Shortfall:
    """The optic at the focal length that the shot asks for, and the lens's own setting."""
    law = rig.law
    if wanted.focal_m is not None:
        setting = wanted.focal_m / rig.factor
        if not law.short_m * (1 - FOCAL_SLACK) <= setting <= law.long_m * (1 + FOCAL_SLACK):
            return Shortfall(
                "no such focal length", (wanted.focal_m, law.short_m * rig.factor, law.long_m * rig.factor)
            )
        if rig.fixed is not None:
            return rig.fixed, law.long_m
        setting = min(max(setting, law.short_m), law.long_m)
    elif rig.fixed is not None:
        return rig.fixed, law.long_m
    elif wanted.fill is not None and view.fill_rate and distance is not None:
        magnification = _middle(wanted.fill) / view.fill_rate
        if rig.prepared:
            o = attached_zoom(rig, distance, magnification)
            return o, o.focal_m / rig.factor
        setting = setting_for(law, distance, magnification, rig.factor)
    else:
        setting = law.long_m if view.fill_rate else law.short_m
    return optic(law, setting, rig.factor, rig.tube_m, rig.power_d), setting


def subject_distance(o: Optic, wanted: Wanted, view: View) -> float | None:
    """The shot's distance, else between its limits of sharpness, else where this optic fills as wanted [m]."""
    if wanted.distance is not None:
        return _middle(wanted.distance)
    if wanted.sharp_from_m is not None:
        far = INFINITY if wanted.sharp_to_m is None else wanted.sharp_to_m
        return focus_between(o, wanted.sharp_from_m, far)[1]
    if wanted.fill is not None and view.fill_rate:
        return distance_for(o, _middle(wanted.fill) / view.fill_rate)
    return None


def assess_rig(rig: Rig, wanted: Wanted, hold: str, light: Light | None, units: str) -> Answer:
    """Everything about one rig, held one way, for one shot; verdict "works", "short" or "cannot"."""
    view = _view(rig, wanted, hold)
    wanted = aimed(wanted, view)
    known = None if wanted.distance is None else _middle(wanted.distance)
    chosen = _set(rig, wanted, view, known)
    if isinstance(chosen, Shortfall):
        return _nothing(rig, wanted, hold, chosen._replace(units=units), known)
    o, setting = chosen
    distance = subject_distance(o, wanted, view)
    if distance is None:
        return _nothing(rig, wanted, hold, Shortfall("fill out of reach", _reached(o, wanted), units), None)
    focus = focus_at(o, distance)
    if focus is None:
        return _nothing(
            rig, wanted, hold, Shortfall("cannot focus", (distance, o.nearest_m, o.farthest_m), units), distance
        )
    return _answer(rig, wanted, hold, light, units, view, o, setting, distance, focus)


def _reached(o: Optic, wanted: Wanted) -> tuple[float, ...]:
    if wanted.magnification is None:
        return (o.nearest_m,)
    return o.nearest_m, largest_magnification(o), wanted.magnification


def _nothing(rig: Rig, wanted: Wanted, hold: str, why: Shortfall, distance: float | None) -> Answer:
    return Answer(
        rig.label,
        rig.body,
        rig.lens,
        rig.converter,
        rig.tube,
        rig.close_up_lens,
        wanted.support,
        hold,
        rig.weight_kg,
        "cannot",
        (why,),
        distance,
        iso_ceiling=wanted.iso_ceiling or rig.iso_ceiling,
        pixel_m=rig.pixel_m,
    )


def circle_for(rig: Rig, wanted: Wanted) -> float:
    """Circle of confusion at the sensor [m]: by print, by pixel, or as given."""
    return circle_wanted(wanted, rig.print_circle, rig.pixel_m)


def _settings(
    needed: float, widest: float, factor: float, limit: float, ev100: float | None, limits: Limits, fixed: float | None
) -> tuple[Exposure, float]:
    """Settings at the first third from the widest that gives the depth with ISO within the ceiling, otherwise at the
    widest (or at the fixed f-number); and that f-number, before any stopping down for want of a shorter time."""
    if fixed is not None:
        return expose(fixed, factor, limit, ev100, limits), fixed
    if needed > widest:
        third = f_number_third_up(needed)
        if third <= limits.smallest_n * MARK_SLACK:
            deep = expose(third, factor, limit, ev100, limits)
            if deep.over_ceiling == 0.0:
                return deep, third
    return expose(widest, factor, limit, ev100, limits), widest


def _answer(
    rig: Rig, wanted: Wanted, hold: str, light: Light | None, units: str, view: View, o: Optic, setting: float,
    distance: float, focus: Focus,
) -> Answer:  # fmt: skip
    acting, m, image, u, scale = focus
    circle = circle_for(rig, wanted)
    rate = view.fill_rate
    fill = m * rate if rate else None
    fill_near = fill_far = fills_from = fills_to = None
    shortfalls: list[Shortfall] = []
    if fill is not None:
        if wanted.distance is not None and wanted.distance[0] != wanted.distance[1]:
            ends = [focus_at(o, end) for end in wanted.distance]
            fill_near, fill_far = (None if end is None else end.magnification * rate for end in ends)
        else:
            fill_near = fill_far = fill
        if wanted.fill is not None:
            fills_from, fills_to = filling(o, wanted.fill, rate)
        shortfalls = fill_shortfalls(wanted, view, o, distance, fill, (fill_near, fill_far),
                                      (fills_from, fills_to), units)  # fmt: skip

    shake = blurlimits.shake_limit_s(circle, image, wanted.shake_factor, rig.stabilisation)
    longest = max(0.0 if wanted.height is None else _middle(wanted.height),
                  0.0 if wanted.width is None else _middle(wanted.width))  # fmt: skip
    speed = blurlimits.image_speed_m_s(m, u, wanted.speed_m_s, wanted.direction_deg, longest)
    motion = blurlimits.motion_limit_s(circle, speed, wanted.panned)

    law = rig.law
    widest = widest_f_number(law.short_m, law.long_m, rig.f_short, rig.f_long, setting) * rig.factor
    smallest = rig.f_smallest * rig.factor
    light_factor = scale * (1.0 + m / rig.pupil_ratio)
    deep = depth_wanted(o, wanted, focus, distance, circle, (widest, smallest))
    ceiling = wanted.iso_ceiling or rig.iso_ceiling
    limits = Limits(rig.lowest_iso, ceiling, rig.fastest_s, rig.longest_s, smallest)
    ev100 = None if light is None else light.ev100
    limit = min(shake, motion)
    fixed = None if wanted.f_number is None else max(widest, min(wanted.f_number, smallest))
    exposure, start_n = _settings(deep.needed_n, widest, light_factor, limit, ev100, limits, fixed)
    n, shutter, needed_n = exposure.f_number, exposure.shutter_s, deep.needed_n
    base = set_third(needed_n, widest)
    base = fixed or (base if base <= smallest * MARK_SLACK else widest)
    true_n = n * scale
    if deep.focus is not focus:
        acting, _, image, u, _ = deep.focus
    near, far, hyperfocal = depth(acting, true_n, circle, u)
    if needed_n > n * (1.0 + 1e-9):
        shortfalls.append(
            _depth_shortfall(wanted, near + image, far + image, f_number_third_up(needed_n), n, smallest, units)
        )
    if exposure.shutter_short_of is not None:
        shortfalls.append(Shortfall("shutter", (exposure.shutter_short_of, rig.fastest_s), units))
    if exposure.over_ceiling > 0.0 and exposure.iso is not None:
        time = shutter * 2.0**exposure.over_ceiling
        shortfalls.append(Shortfall("iso", (exposure.iso, ceiling, exposure.over_ceiling, time), units))
    if exposure.too_bright > 0.0:
        shortfalls.append(Shortfall("too bright", (exposure.too_bright,), units))
    iso_low = iso_high = None
    if light is not None and exposure.iso is not None:
        iso_low, iso_high = iso_range(start_n, light_factor, limit, light.ev100_low, light.ev100_high, limits)
    known_time = None if exposure.iso is None and limit == INFINITY else shutter
    behind = (distance - image if deep.focus is not focus else u) + wanted.background_m
    return Answer(
        rig.label, rig.body, rig.lens, rig.converter, rig.tube, rig.close_up_lens, wanted.support, hold, rig.weight_kg,
        "short" if shortfalls else "works", tuple(shortfalls), distance, o.focal_m, acting, m, fill,
        view.axis, fill_near, fill_far, fills_from, fills_to,
        None if fill is None else m * view.extent_m / rig.pixel_m,
        view.width, view.height, view.width / m if m else INFINITY, view.height / m if m else INFINITY,
        n, n * light_factor, circle, near + image, far + image, far - near, hyperfocal + image,
        blur_disc_m(acting, true_n, u, behind), smear_m(acting, true_n, u, behind),
        formats.airy_disc_m(n * light_factor), shake, motion, known_time,
        exposure.iso, iso_low, iso_high, ceiling,
        None if shake == INFINITY else circle * shutter / shake / rig.pixel_m, rig.pixel_m,
        1.0 / (o.focal_m * 1000.0 * rig.crop), deep.distance_m,
        least_ev100(base * light_factor, limit, limits), o.assumed_life_size,
        None if fill is None else m * view.least_rate, None if fill is None else m * view.most_rate,
    )  # fmt: skip


def _depth_shortfall(
    wanted: Wanted, near: float, far: float, needed_n: float, n: float, smallest: float, units: str
) -> Shortfall:
    cost = 2.0 * math.log2(needed_n / n)
    if wanted.depth_m is not None:
        return Shortfall("depth", (far - near, wanted.depth_m, needed_n, cost, smallest), units)
    to = INFINITY if wanted.sharp_to_m is None else wanted.sharp_to_m
    return Shortfall("limits", (near, far, wanted.sharp_from_m, to, needed_n, cost, smallest), units)
