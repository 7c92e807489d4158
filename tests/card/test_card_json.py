"""The JSON card: exactly the keys agreed on, SI, and numbers that agree with textbook forms worked out here.

Forms: thin lens D = f (2 + m + 1/m), u = f (1 + 1/m), v = f (1 + m) (OpenStax University Physics 3, ch. 2); hyperfocal
distance f^2/(N c) + f and exact limits of sharpness (Wikipedia, "Hyperfocal distance", "Depth of field"); effective
f-number N (1 + m) (Wikipedia, "F-number"); Airy disc 2.44 x wavelength x N (Born and Wolf, sec. 8.5.2) at 0.55 um;
hand-held limit 0.063 rad/s (ISO 19093 cl. 3.1 with ISO 20954-1 cl. 3.5); exposure N^2/t = 2^EV x ISO/100 (ISO 2720).
"""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from fieldplan.card import render

from .invented import GEAR, PLAN, answers, changed, hostile

Table = dict[str, Any]

KEYS = {
    "top": "format plan shots cautions",
    "plan": "title date time_zone profile site",
    "site": "name latitude_deg longitude_deg elevation_m sky",
    "shot": "name must viewpoint cannot_be time subject distance_m wanted_fill light rigs needed times",
    "needed": "focal distance",
    "light": "ev100 ev100_low ev100_high illuminance_lux source lit sun_altitude_deg sun_azimuth_deg moon_altitude_deg "
             "moon_azimuth_deg moon_lit_fraction",
    "subject": "name height_m width_m front_to_back_m activity speed_mps",
    "rig": "label body lens converter tube close_up_lens support hold focal_mm acting_focal_mm magnification fill "
           "fill_axis fills_from_m fills_to_m pixels_on_subject frame_width_mm frame_height_mm field_width_m "
           "field_height_m f_number f_number_mark effective_f_number circle_mm near_m far_m far_infinite depth_m "
           "hyperfocal_m background_blur_mm background_smear_m airy_um shake_limit_s motion_limit_s shutter_s "
           "shutter_mark iso iso_low iso_high iso_ceiling verdict shortfalls weight_kg",
}  # fmt: skip
MORE = {  # added within version 1
    "top": "kit weight_kg bag_limit_kg carried",
    "plan": "units leave arrive",
    "shot": "fill_assumed distance_infinite why_first gains ladder notes problem stand star_trails "
            "close_up sway stack sweep both_ends gap "
            "aslant flash converters formats wanted_magnification",
    "needed": "missing size",
    "light": "reason",
    "subject": "height_range_m width_range_m direction_deg panned",
    "rig": "distance_m magnification_assumed fill_near fill_far focus_m shake_blur_pixels rule_of_thumb_s iso_mark "
           "needs_ev100 soft_by_diffraction",
}  # fmt: skip


def has_keys(found: Table, kind: str) -> bool:
    return found.keys() == set(f"{KEYS[kind]} {MORE.get(kind, '')}".split())


def read(**parts: Any) -> Table:
    found: Table = json.loads(str(render(answers(**parts), "json")))
    return found


def test_the_keys_are_those_agreed_on() -> None:
    data = read()
    assert data["format"] == "fieldplan-answers/1"
    assert has_keys(data, "top") and has_keys(data["plan"], "plan") and has_keys(data["plan"]["site"], "site")
    for shot in data["shots"]:
        assert all(has_keys(shot[kind], kind) for kind in ("subject", "light", "needed")) and has_keys(shot, "shot")
        for rig in shot["rigs"]:
            assert has_keys(rig, "rig")
            assert all(s.keys() == {"kind", "text", "cure"} for s in rig["shortfalls"])
    assert data["shots"][0]["rigs"] and data["cautions"]
    assert all(c.keys() == {"kind", "text", "source", "shot"} for c in data["cautions"])
    assert {c["shot"] for c in data["cautions"]} == {"fox at the fence", None}


def test_dates_times_and_marks_are_text() -> None:
    data = read()
    assert data["plan"]["date"] == "2027-05-02" and data["plan"]["time_zone"] == "Europe/Berlin"
    assert [s["time"] for s in data["shots"]] == ["2027-05-02T19:30:00+02:00", "2027-05-02T20:15:00+02:00", None]
    rig = data["shots"][0]["rigs"][0]
    assert rig["f_number_mark"].startswith("f/") and rig["shutter_mark"].startswith("1/")
    assert data["shots"][0]["light"]["source"] == "given" and data["shots"][2]["light"]["ev100"] is None
    assert data["shots"][0]["needed"]["focal"][0].keys() >= {"body", "mm"}


def test_infinity_is_null_beside_its_flag_and_nothing_is_nan() -> None:
    plan = changed(PLAN)
    plan["shot"] = [{"name": "stars", "distance": "infinity", "focal": "28 mm", "light": "EV 0"}]
    shot = read(plan=plan)["shots"][0]
    best = shot["rigs"][0]
    assert shot["distance_m"] == [None, None] and shot["distance_infinite"]
    assert best["far_infinite"] and best["far_m"] is None and best["depth_m"] is None and best["near_m"] > 0
    assert best["motion_limit_s"] is None and best["field_width_m"] is None

    def refuse(constant: str) -> None:
        raise AssertionError(constant)

    for given in (answers(plan), hostile(), answers({"title": "bare"}, {"name": "empty"}, None)):
        json.loads(str(render(given, "json")), parse_constant=refuse)


def test_a_shot_that_cannot_be_reckoned_says_why() -> None:
    shot = read()["shots"][2]
    assert shot["rigs"] == [] and "give the distance" in shot["problem"]
    plan = changed(PLAN, shot=[{"name": "x", "subject": "gry heron", "distance": "9 m"}])
    found = read(plan=plan)["shots"][0]
    assert found["subject"]["name"] == "gry heron" and "grey heron" in found["problem"]


CASES = [  # sensor mm, pixels, focal mm, f-number, distance m, height of the subject m, stabilisation
    ("36x24", 6000, 500.0, 5.6, 28.0, 0.9, 3.0),
    ("43.8x32.9", 8256, 110.0, 2.0, 3.0, 0.5, 0.0),
    ("23.5x15.6", 6000, 8.0, 2.8, 0.4, 0.1, 0.0),
    ("17.3x13", 5184, 1200.0, 11.0, 90.0, 1.5, 4.0),
    ("13.2x8.8", 5472, 60.0, 4.0, 0.35, 0.02, 1.0),
    ("6.17x4.55", 4000, 35.0, 3.5, 1500.0, 30.0, 2.0),
]


@pytest.mark.parametrize(("sensor", "pixels", "f", "n", "distance", "height", "stops"), CASES)
def test_numbers_agree_with_the_textbook(
    sensor: str, pixels: int, f: float, n: float, distance: float, height: float, stops: float
) -> None:
    wide, high = (float(side) for side in sensor.split("x"))
    body = {"name": "b", "sensor": f"{sensor} mm", "pixels": f"{pixels}x{pixels * 3 // 4}", "mount": "A",
            "iso_ceiling": 10**6, "lowest_iso": 1, "stabilisation": stops, "fastest_shutter": "1/1000000"}  # fmt: skip
    lens = {"name": "l", "focal": f"{f} mm", "f_number": n, "mount": "A"}
    subject = {"name": "thing", "height": f"{height} m", "speed": "0.5 m/s"}
    shot = {"name": "s", "subject": subject, "distance": f"{distance} m", "focal": f"{f} mm", "hold": "level",
            "background": "2 m", "light": "EV 6"}  # fmt: skip
    data = read(plan={"title": "t", "shot": [shot]}, gear={"name": "g", "body": [body], "lens": [lens]})
    rig = data["shots"][0]["rigs"][0]

    # all in millimetres
    k = distance * 1000.0 / f - 2.0
    m = 2.0 / (k + math.sqrt(k * k - 4.0))
    u, v = f * (1.0 + 1.0 / m), f * (1.0 + m)
    c = math.hypot(wide, high) / 1500.0
    hyperfocal = f * f / (n * c) + f
    near = u * (hyperfocal - f) / (hyperfocal + u - 2.0 * f)
    far = u * (hyperfocal - f) / (hyperfocal - u) if u < hyperfocal else math.inf
    behind = u + 2000.0
    expected = {
        "magnification": m,
        "fill": height * 1000.0 * m / high,
        "pixels_on_subject": height * 1000.0 * m / (wide / pixels),
        "frame_width_mm": wide,
        "field_width_m": wide / m / 1000.0,
        "effective_f_number": n * (1.0 + m),
        "circle_mm": c,
        "near_m": (near + v) / 1000.0,
        "hyperfocal_m": (hyperfocal + v) / 1000.0,
        "background_blur_mm": f * f / n * (behind - u) / (behind * (u - f)),
        "airy_um": 2.44 * 0.55 * n * (1.0 + m),
        "shake_limit_s": c * 2.0**stops / (v * 0.063),
        "motion_limit_s": c / (m * 500.0),
    }
    for key, value in expected.items():
        assert rig[key] == pytest.approx(value, rel=5e-3), key
    assert rig["far_infinite"] == math.isinf(far)
    if math.isfinite(far):
        assert rig["far_m"] == pytest.approx((far + v) / 1000.0, rel=5e-3)
        assert rig["depth_m"] == pytest.approx((far - near) / 1000.0, rel=5e-3)
    # the next faster third of the shorter limit, and ISO to the next third up
    limit = min(expected["shake_limit_s"], expected["motion_limit_s"])
    assert limit / 2.0 ** (1 / 3) * (1 - 1e-9) <= rig["shutter_s"] <= limit * (1 + 1e-9)
    need = 100.0 * expected["effective_f_number"] ** 2 / rig["shutter_s"] / 2.0**6
    assert need * (1 - 5e-3) <= rig["iso"] <= need * 2.0 ** (1 / 3) * (1 + 5e-3)


def test_weights_and_kit_are_there() -> None:
    data = read()
    assert data["weight_kg"] == pytest.approx(0.7 + 0.8 + 0.3 + 2.5) and data["bag_limit_kg"] == 4.0
    assert [line["name"] for line in data["kit"]] == ["body one", "70-300", "28", "tripod", "rain cover"]
    assert data["shots"][0]["rigs"][0]["weight_kg"] in (pytest.approx(1.5), pytest.approx(1.0))
    assert GEAR["name"] == data["plan"]["profile"]
