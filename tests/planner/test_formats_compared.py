"""Two bodies, one picture: the trade's arithmetic, ratios of areas, and what does not change on the subject."""

from __future__ import annotations

import math

import pytest

from fieldplan.planner.converting import ConverterOrCrop, converter_or_crop
from fieldplan.planner.formats_compared import FormatsCompared, compare_formats
from fieldplan.planner.rigs import prepare

from .trips import Table, profile, thing, trip

FAR: Table = {"subject": thing("10 m", width="4 m"), "distance": "500 m", "light": "EV 14", "background": "100 m"}


def body(name: str, sensor: str, pixels: str = "6000x4000", **more: object) -> Table:
    return {"name": name, "sensor": sensor, "pixels": pixels, "mount": "A", **more}


def compared(
    focal: float, n: float, second: Table, first: Table | None = None, lenses: tuple[Table, ...] = (), **shot: object
) -> FormatsCompared:
    lens = {"name": "lens", "focal": f"{focal} mm", "f_number": n, "mount": "A", "smallest_f_number": 64}
    kit = prepare(profile(body=[first or body("full", "36x24 mm"), second], lens=[lens, *lenses]), candidates=True)
    wish = {**FAR, "focal": f"{focal} mm", **shot}
    found = compare_formats(trip(kit, wish)[0], kit, "full", second["name"], "lens")
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("focal", "n", "sensor", "like_mm", "like_n"),
    [
        (50, 4, "22.5x15 mm", 31, 2.5),
        (85, 1.8, "24x16 mm", 56, 1.2),
        (160, 6.4, "22.5x15 mm", 100, 4.0),
        (85, 1.2, "24x16 mm", 56, 0.8),
    ],
)
def test_matched_pairs_of_the_trade(focal: float, n: float, sensor: str, like_mm: float, like_n: float) -> None:
    # Common practice, no source: pairs quoted for crop factors of 1.5 and 1.6, cut to whole millimetres.
    second = compared(focal, n, body("crop", sensor), light="EV 6").same_picture.second
    assert math.floor(second.focal_m * 1000 + 1e-6) == like_mm
    assert second.f_number == pytest.approx(like_n, abs=0.01)


@pytest.mark.parametrize(
    ("sensor", "stops"), [("23.5x15.6 mm", 1.24), ("22.3x14.9 mm", 1.38), ("17.3x13 mm", 1.94), ("53.4x40 mm", -1.31)]
)
def test_noise_by_area(sensor: str, stops: float) -> None:
    # Photon noise: at equal exposure the light goes with the area, log2(36 x 24 / area) [derived]; 53.4 x 40 by hand.
    found = compared(100, 4, body("other", sensor))
    assert -found.same_picture.same_f_stops == pytest.approx(stops, abs=0.006)


@pytest.mark.parametrize("sensor", ["24x16 mm", "13.2x8.8 mm", "48x32 mm"])
def test_the_matched_picture_is_the_same_picture(sensor: str) -> None:
    # Matched formats of one shape: framing, depth and blur agree, within 1 % from 200 f on [derived].
    found = compared(200, 5.6, body("other", sensor), distance="60 m", background="40 m")
    one, two = found.same_picture.first, found.same_picture.second
    assert two.fill == pytest.approx(one.fill)
    assert found.second.width_m / two.magnification == pytest.approx(found.first.width_m / one.magnification)
    assert found.second.height_m / two.magnification == pytest.approx(found.first.height_m / one.magnification)
    assert two.depth_m == pytest.approx(one.depth_m, rel=0.01)
    assert two.blur_share == pytest.approx(one.blur_share, rel=0.01)
    # Light over the whole frame: area against the square of the f-numbers.
    gained = found.same_picture.same_f_stops + 2 * math.log2(one.effective_f_number / two.effective_f_number)
    assert gained == pytest.approx(0.0, abs=1e-9)
    assert one.iso is not None and two.iso == pytest.approx(one.iso / found.ratio**2)


def test_equivalents_go_by_diagonal() -> None:
    # CIPA DCG-001 practice: 17.3 x 13 mm is 2.00 by diagonal; by width it would be 2.08.
    found = compared(100, 4, body("small", "17.3x13 mm"))
    assert found.ratio == pytest.approx(2.0, abs=0.002)
    assert found.same_picture.second.focal_m == pytest.approx(0.05, abs=0.0001)
    assert any("By diagonal (ratio 2.00)" in line for line in found.lines)
    # The frames differ in shape, so the share of the height does too, and the sentence says so.
    assert any("differ in shape" in line for line in found.lines)


def test_same_lens_same_place() -> None:
    found = compared(300, 5.6, body("crop", "24x16 mm", "7200x4800"))
    same = found.same_lens
    assert same is not None
    # Pitches of 36/6000 and 24/7200 mm: 1.8 times the pixels; the image on the sensor is the same.
    assert same.pixel_ratio == pytest.approx(1.8)
    assert same.second.magnification == same.first.magnification
    assert same.second.pixels == pytest.approx(1.8 * (same.first.pixels or 0))
    assert same.second.fill == pytest.approx(1.5 * (same.first.fill or 0))
    assert same.second.blur_m == same.first.blur_m
    assert any("closer? No" in line and "1.80 times the pixels" in line for line in found.lines)


def test_pixels_do_not_follow_the_format() -> None:
    # A crop body of 4000 pixels across 24 mm has the pitch of 36 mm over 6000: nothing is gained at all.
    found = compared(300, 5.6, body("crop", "24x16 mm", "4000x2667"))
    assert found.same_lens is not None and found.same_lens.pixel_ratio == pytest.approx(1.0)
    assert any("on as many pixels" in line for line in found.lines)


def test_blur_follows_lens_and_distance_only() -> None:
    line = next(line for line in compared(85, 1.8, body("crop", "24x16 mm")).lines if "blur the background" in line)
    assert "full" in line and "Only through lens and distance" in line and "1.50 times" in line


def test_another_mount_is_told() -> None:
    other = {**body("other", "24x16 mm"), "mount": "B"}
    lens = {"name": "short", "focal": "60 mm", "f_number": 2, "mount": "B"}
    found = compared(90, 3, other, lenses=(lens,), light="EV 6")
    assert found.same_lens is None and found.no_same_lens == "lens does not fit other (mount A)"
    assert found.same_picture.lenses == ("other + short",)


def test_a_lens_too_slow_for_the_match_is_named() -> None:
    lens = {"name": "slow", "focal": "50-70 mm", "f_number": 4, "mount": "A"}
    found = compared(90, 3, body("crop", "24x16 mm"), lenses=(lens,), light="EV 6")
    assert found.same_picture.lenses == () and found.same_picture.nearest_lenses == ("crop + slow",)


def test_a_matched_iso_below_the_lowest_is_told() -> None:
    # ISO 100 on 36 x 24 is ISO 100/1.5^2 = 44 on 24 x 16 mm, which the second body has not.
    found = compared(100, 4, body("crop", "24x16 mm"), light="EV 15")
    assert found.same_picture.second.iso == pytest.approx(100 / 2.25)
    assert any("ISO 44 is below the lowest of crop, 100" in line for line in found.lines)


def test_weight_and_price_of_a_candidate() -> None:
    second = body("crop", "24x16 mm", weight="0.5 kg", owned=False, price=900)
    found = compared(300, 5.6, second, body("full", "36x24 mm", weight="0.7 kg"))
    assert "crop is 0.2 kg lighter; costs 900; lenses not counted." in found.lines


def test_a_body_that_is_not_there() -> None:
    kit = prepare(profile(body=[body("full", "36x24 mm")]))
    with pytest.raises(ValueError, match="not a body"):
        compare_formats(trip(kit, FAR)[0], kit, "full", "none")


def converted(pixels: str = "6000x4000", n: float = 4.0, factor: float = 2.0, **shot: object) -> ConverterOrCrop:
    lens = {"name": "lens", "focal": "300 mm", "f_number": n, "mount": "A", "converters": ["by"]}
    converter = {"name": "by", "factor": factor, "mount": "A"}
    kit = prepare(profile(body=[body("full", "36x24 mm", pixels)], lens=[lens], converter=[converter]))
    found = converter_or_crop(trip(kit, {**FAR, "fill": "30-60 %", **shot})[0], kit, "full", "lens", "by")
    assert found is not None
    return found


@pytest.mark.parametrize(("factor", "stops"), [(1.4, 0.97), (2.0, 2.0)])
def test_converter_against_cropping(factor: float, stops: float) -> None:
    # Common practice: a 1.4x costs one stop and a 2x two; pixels along the subject by the factor.
    found = converted(factor=factor)
    assert found.stops == pytest.approx(stops, abs=0.01)
    assert found.pixel_ratio == pytest.approx(factor, rel=0.01)
    assert found.shake_s[0] / found.shake_s[1] == pytest.approx(factor, rel=0.01)
    assert found.airy_px[1] / found.airy_px[0] == pytest.approx(factor, rel=0.01)
    assert "No promise" in found.lines[-1]


def test_diffraction_eats_the_gain() -> None:
    # One pupil resolves one angle (Rayleigh), with a converter or without: where its disc spans many pixels already,
    # nothing finer is to be had; where the pixels are coarse, all of the factor is.
    assert converted("36000x24000", 11.0).detail_ratio == pytest.approx(1.0, abs=0.01)
    assert converted("3000x2000", 4.0).detail_ratio == pytest.approx(2.0, abs=0.01)
    assert 1.0 < converted("6000x4000", 11.0).detail_ratio < 2.0
