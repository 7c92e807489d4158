"""What stands in the way, in words, with the number that cures it; and no text that only a machine would print."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.planner.shortfalls import KINDS, Shortfall

from .invented import some_plan
from .shots import gear, only, plan_answers, shot_answers, thing

STEADY = {"support": "tripod"}


def test_over_the_ceiling_is_told_in_stops() -> None:
    shot = {"distance": "infinity", **STEADY}
    # f/4, 1/500: ISO 16000 at EV 8.97 - 7.33 = 1.644, 1.3 stops over 6400
    ev = math.log2(16 * 500) - math.log2(160)
    said = only({**shot, "light": f"EV {ev + 0.01:.6f}"}, gear(None, {"longest_shutter": "1/500"})).shortfalls[0]
    assert said.text == "ISO 16000: over the ISO ceiling by 1.3 stops"
    assert said.cure == "1/198 would keep ISO 6400, with more blur"  # 1/500 as typed, 1.33 stops longer


def test_depth_wanting_is_told_with_the_stop_that_gives_it_and_its_cost() -> None:
    shot = {"subject": thing(height="1 m"), "distance": "20 m", "fill": "50-100 %", **STEADY}
    # far - near is near enough to grow with N: 30 cm at f/21 are 5.7 cm at f/4, five stops from f/22
    lens = {"focal": "400 mm", "f_number": 4}
    at_four = only({**shot, "light": "EV 12"}, gear(lens)).depth_m or 0.0
    wanted = at_four * 21 / 4
    moving = {**shot, "speed": "1 m/s", "depth_of_field": f"{wanted} m", "light": "EV 7"}
    answer = only(moving, gear(lens))
    assert answer.f_number == 4.0
    said = next(s for s in answer.shortfalls if s.kind == "depth")
    assert re.fullmatch(r"depth [\d.]+ c?m of the [\d.]+ m wanted", said.text)
    assert said.cure == "f/22 would give it and cost 5 stops"
    beyond = only({**moving, "depth_of_field": f"{wanted * 4} m"}, gear(lens))
    said = next(s for s in beyond.shortfalls if s.kind == "depth")
    assert re.fullmatch(r"it would take f/(72|81), beyond this lens's f/22: step back, or several frames", said.cure)


def test_too_fast_a_subject_is_told() -> None:
    shot = {"subject": thing(height="1 m", speed="9 m/s"), "distance": "40 m", "fill": "50-100 %"}
    said = only(shot).shortfalls[0]
    # thin lens: m = 0.0155, 9 m/s draw 0.139 m/s; d/1500 = 0.0288 mm in 1/4830 s
    assert said.text == "1/5000 wanted, the body's fastest is 1/4000"
    assert only({**shot, "panned": 0.9}).verdict == "works"


def test_limits_of_sharpness_are_told() -> None:
    shot = {"sharp_from": "1.5 m", "sharp_to": "infinity", "light": "EV 12", "focal": "100 mm", **STEADY}
    said = only(shot, gear({"focal": "100 mm", "f_number": 2.8})).shortfalls[0]
    assert said.text.endswith("wanted from 1.5 m to infinity")
    # near limit at half the focused distance: N = f^2 / (c H), 0.1^2 / (0.0288 mm x 3 m) = f/116 and a little
    assert said.cure.startswith("it would take f/1")
    wide = only({**shot, "focal": "24 mm"}, gear({"focal": "24 mm", "f_number": 2.8}))
    assert wide.verdict == "works"
    assert (wide.near_m or 9) <= 1.5 and wide.far_m == math.inf


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_words_even_where_a_number_is_missing(kind: str, units: str) -> None:
    for numbers in ((0.3, 0.6, 12.0, 2.0, 22.0, 0.5, 8.0), (0.3, 0.6, None, None, 22.0, 0.5, 8.0)):
        if None in numbers and kind not in ("short", "cut off", "part of the range"):
            continue
        said = Shortfall(kind, numbers, units)
        assert clean(said.text) and clean(said.cure)


def clean(text: str) -> bool:
    """No word for a number that is none, and no figure of more than six digits after the point or in a row."""
    wrong = re.search(r"\bnan\b|\binf\b|None|e[+-]\d\d|\d\.\d{5,}|\d{10,}", re.sub(r"ISO \d+", "ISO", text))
    return wrong is None


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.integers(1000, 100000), st.sampled_from(["metric", "imperial"]))
def test_no_text_holds_what_only_a_machine_would_print(seed: int, units: str) -> None:
    plan, profile = some_plan(seed)
    answers = plan_answers(plan["shot"], profile, units=units)
    texts = [c.text for s in answers.shots for c in s.cautions] + [n for s in answers.shots for n in s.notes]
    texts += [s.why_first for s in answers.shots]
    for shot in answers.shots:
        texts += [line for a in shot.rigs for said in a.shortfalls for line in (said.text, said.cure)]
    assert [text for text in texts if not clean(text)] == []


def test_the_words_of_a_light_that_is_given() -> None:
    answers = shot_answers({"distance": "20 m", "light": "open shade", "light_offset": -2})
    assert answers.light is not None
    assert answers.light.ev100 == 10.0  # ANSI PH2.7: open shade 12
    assert answers.light.reason == "given: open shade (EV 12, ANSI PH2.7), offset -2"
    lux = shot_answers({"distance": "20 m", "light": "2560 lux"}).light
    assert lux is not None and lux.ev100 == pytest.approx(10.0)  # Wikipedia, "Exposure value", table 3
    none = shot_answers({"distance": "20 m"})
    assert none.light is None
    assert any("add the site's position and a date and a time" in note for note in none.notes)
