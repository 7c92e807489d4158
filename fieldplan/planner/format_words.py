"""The trade's questions about formats, answered in sentences that say when each thing is true."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fieldplan.notation.display import focal_text, length_text, size_text, weight_text
from fieldplan.notation.marks import f_mark, iso_mark, share_text, stops_text
from fieldplan.notation.numbers import trimmed

if TYPE_CHECKING:
    from fieldplan.planner.format_pictures import Picture
    from fieldplan.planner.formats_compared import FormatsCompared

_ALIKE = 0.02  # formats whose diagonals differ by less are one
_NO_WEIGHT_KG = 0.005
_NO_BLUR = 1e-6  # of the diagonal
_SEEN = 0.05  # stops


def plain_answers(c: FormatsCompared, units: str) -> tuple[str, ...]:
    """Sentences: equivalent settings; is it closer; does it blur more; how much less noise, and when; weight, price."""
    return (*_equivalent(c, units), *_closer(c), *_blur(c), *_noise(c), *_detail(c), *_carried(c, units), *_own(c))


def _equivalent(c: FormatsCompared, units: str) -> list[str]:
    one, two = c.same_picture.first, c.same_picture.second
    if abs(c.ratio - 1.0) < _ALIKE:
        return [f"{c.first.body} and {c.second.body} record frames of one size: every setting is the same."]
    iso = f", ISO {iso_mark(one.iso)}" if one.iso else ""
    matched_iso = f", ISO {iso_mark(two.iso)}" if two.iso else ""
    blur = _blur_times(c)
    alike = ", background blur" if abs(blur - 1.0) < _ALIKE else ""
    said = [
        f"By diagonal (ratio {c.ratio:.2f}), {_focal(one)}, {f_mark(one.f_number)}{iso} on {c.first.body} "
        f"is matched by {_focal(two)}, {f_mark(two.f_number)}{matched_iso} on {c.second.body}: "
        f"the same framing, depth ({_depth(two.depth_m, units)}){alike}, shutter and light."
    ]
    if not alike:
        said.append(f"So close the background blur is not the same: {blur:.2f} times as large on {c.second.body}.")
    if one.fill and two.fill and abs(two.fill / one.fill - 1.0) > 0.01:
        said.append(
            f"The frames differ in shape: the subject takes {share_text(one.fill)} on the first, "
            f"{share_text(two.fill)} on the second."
        )
    if c.second_lowest_iso is not None and two.iso and two.iso < c.second_lowest_iso * 0.97:
        said.append(
            f"ISO {iso_mark(two.iso)} is below the lowest of {c.second.body}, {iso_mark(c.second_lowest_iso)}: a "
            "shorter "
            "time or a grey filter."
        )
    lenses = c.same_picture
    if lenses.lenses:
        said.append(f"In the profile that is {lenses.lenses[0]}.")
    elif lenses.nearest_lenses:
        said.append(f"In the profile {lenses.nearest_lenses[0]} has the focal length, but not {f_mark(two.f_number)}.")
    else:
        said.append(f"Nothing in the profile has {focal_text(two.focal_m)} on {c.second.body}.")
    return said


def _focal(picture: Picture) -> str:
    """ "100 mm", and as what it acts where that differs."""
    told = focal_text(picture.focal_m)
    if math.isclose(picture.acting_m, picture.focal_m, rel_tol=0.01):
        return told
    return f"{told} (acting like {focal_text(picture.acting_m)} there)"


def _blur_times(c: FormatsCompared) -> float:
    """Background blur of the matched picture as a share of the frame, second over first; 1 where there is none."""
    one, two = c.same_picture.first.blur_share, c.same_picture.second.blur_share
    return 1.0 if min(one, two) < _NO_BLUR else two / one


def _depth(depth_m: float, units: str) -> str:
    return "to infinity" if math.isinf(depth_m) else length_text(depth_m, units)


def _sizes(c: FormatsCompared) -> tuple[str, str]:
    """Names of (the larger, the smaller) format's body."""
    return (c.first.body, c.second.body) if c.ratio >= 1.0 else (c.second.body, c.first.body)


def _closer(c: FormatsCompared) -> list[str]:
    if abs(c.ratio - 1.0) < _ALIKE:
        return []
    large, small = _sizes(c)
    if c.same_lens is not None and abs(c.same_lens.ratio - 1.0) < 2.0 * _ALIKE:
        return [
            f"Is {small} closer? Not with {c.same_lens.lens}: it covers no more, so both record almost one frame, "
            "and only the number of pixels differs."
        ]
    said = f"Is {small} closer? No: with the same lens from the same place it draws the subject just as large"
    if c.same_lens is None:
        return [f"{said} and only cuts the frame. ({c.no_same_lens}.)"]
    gain = c.same_lens.pixel_ratio if small == c.second.body else 1.0 / c.same_lens.pixel_ratio
    finer = small if gain >= 1.0 else large
    times = max(gain, 1.0 / gain)
    if times < 1.02:
        return [f"{said}, on as many pixels; it only cuts the frame."]
    return [
        f"{said} and only cuts the frame; {finer} lays {times:.2f} times the pixels along it, its pixels being smaller."
    ]


def _blur(c: FormatsCompared) -> list[str]:
    if abs(c.ratio - 1.0) < _ALIKE:
        return []
    large, _ = _sizes(c)
    one, two = c.same_picture.first, c.same_picture.second
    more = max(one.acting_m / two.acting_m, two.acting_m / one.acting_m)
    blur = _blur_times(c)
    matched = "is the same share of the picture" if abs(blur - 1.0) < _ALIKE else (
        f"is {max(blur, 1.0 / blur):.2f} times as large on {(c.second if blur > 1.0 else c.first).body}")  # fmt: skip
    told = (
        f"Does {large} blur the background more? Only through lens and distance: at the matched f-number the blur "
        f"{matched}; at one f-number, frame filled again, {large} blurs {more:.2f} times as much"
    )
    if c.same_lens is None:
        return [f"{told}."]
    cut = max(c.same_lens.ratio, 1.0 / c.same_lens.ratio)
    smaller = c.second.body if c.same_lens.ratio >= 1.0 else c.first.body
    if cut < 1.0 + 2.0 * _ALIKE:
        return [f"{told}; with {c.same_lens.lens}, which covers no more, both blur alike."]
    return [
        f"{told}; with the same lens from the same place a print from {smaller}, being enlarged more, shows "
        f"{cut:.2f} times it."
    ]


def _noise(c: FormatsCompared) -> list[str]:
    stops = abs(c.same_picture.same_f_stops)
    if stops < _SEEN:
        return []
    large, _ = _sizes(c)
    return [
        f"How much less noise? {stops_text(stops)} in favour of {large} (ratio of the areas), and only where the frame "
        "is filled again at the same f-number, time and ISO, with less depth; none where depth must be the same "
        "and the shutter cannot be longer.",
        "With the same lens from the same place no format puts more light on the subject. "
        "How many pixels there are does not enter, at one size of print.",
    ]


def _detail(c: FormatsCompared) -> list[str]:
    one, two = c.same_picture.first.pixels, c.same_picture.second.pixels
    if not one or not two:
        return []
    said = f"Pixels on the subject, same picture: {size_text(one)} and {size_text(two)}"
    if c.same_lens is not None and c.same_lens.second.pixels:
        said += f"; same lens, same place: {size_text(one)} and {size_text(c.same_lens.second.pixels)}"
    return [f"{said}."]


def _carried(c: FormatsCompared, units: str) -> list[str]:
    said = []
    if c.first.weight_kg is not None and c.second.weight_kg is not None:
        heavier = c.second.weight_kg - c.first.weight_kg
        word = "heavier" if heavier > 0.0 else "lighter"
        if abs(heavier) < _NO_WEIGHT_KG:
            said.append(f"{c.second.body} weighs as much")
        else:
            said.append(f"{c.second.body} is {weight_text(abs(heavier), units)} {word}")
    else:
        said.append("the weight of one body is not known")
    if not c.second.owned:
        price = "its price is not known" if c.second.price is None else f"costs {trimmed(c.second.price, 0)}"
        said.append(price)
    return [f"{'; '.join(said)}; lenses not counted."]


def _own(c: FormatsCompared) -> list[str]:
    """What the profile's own best on each body makes of the picture."""
    if c.best_second is None:
        return [f"Nothing in the profile takes this picture on {c.second.body}."]
    told = []
    for answer in (c.best_first, c.best_second):
        iso = f", ISO {iso_mark(answer.iso)}" if answer.iso else ""
        pixels = f", {size_text(answer.pixels_on_subject)} pixels" if answer.pixels_on_subject else ""
        n = f": {f_mark(answer.f_number)}" if answer.f_number else ""
        told.append(f"{answer.label}{n}{iso}{pixels} ({answer.verdict})")
    return [f"With what is in the profile: {told[0]}; {told[1]}."]
