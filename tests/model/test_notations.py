"""The notations that people use give the same value in every field that takes them."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from fieldplan.files.reading import validated
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Shot
from fieldplan.notation.quantity import Span


def shot(units: str = "metric", **keys: Any) -> Shot:
    raw = {"fieldplan_plan": 1, "title": "x", "units": units, "shot": [{"name": "a", **keys}]}
    return validated(raw, Plan).shots[0]


def distance(found: Any, units: str = "metric") -> tuple[float, float]:
    span = shot(units, distance=found).distance
    assert isinstance(span, Span)
    return span.low, span.high


def test_92_feet_are_28_0416_metres_to_the_last_digit() -> None:
    # 1 ft = 0.3048 m exactly (international yard and pound agreement, 1959)
    assert distance("92 ft") == distance("28.0416 m") == (28.0416, 28.0416)
    assert distance(92, "imperial") == distance(28.0416) == (28.0416, 28.0416)


@pytest.mark.parametrize(
    "text",
    ["2.5-3.5 m", "2,5-3,5 m", "2.5 - 3.5 m", "2.5\u20133.5 m", "2.5\u22123.5m", "2.5 to 3.5 m", "2.5 m to 3.5 m",
     "2.5..3.5 m", "250-350 cm", "2.5\u00a0m\u20143.5\u202fm", "\uff12.5-3.5 M"],
)  # fmt: skip
def test_ranges_in_every_notation(text: str) -> None:
    assert distance(text) == pytest.approx((2.5, 3.5), rel=1e-14)


@pytest.mark.parametrize(
    "text",
    ["5'8\"", "5\u2032 8\u2033", "5\u20198\u201d", "5 ft 8 in", "5ft 8in", "5 feet 8 inches", "5' 8''", "68 in", '68"',
     "68\u2033", "1.7272 m", "1,7272 m", "172,72 cm"],
)  # fmt: skip
def test_feet_and_inches_with_plain_and_typographic_primes(text: str) -> None:
    subject: Any = shot(subject={"name": "friend", "height": text}).subject
    assert subject.height.low == pytest.approx(1.7272, rel=1e-14)  # 68 in of 25.4 mm


@pytest.mark.parametrize("text", ["-2.7", "\u22122.7", "\u20132,7", "\uff0d2.7", -2.7])
def test_every_minus_is_a_minus(text: Any) -> None:
    assert shot(light_offset=text).light_offset == -2.7


@pytest.mark.parametrize("text", ["50-75 %", "0.5-0.75", "50%-75%", "50 to 75 %", "50\u201375\u2009%"])
def test_shares(text: str) -> None:
    fill = shot(fill=text).fill
    assert fill is not None
    assert (fill.low, fill.high) == pytest.approx((0.5, 0.75), rel=1e-14)


@pytest.mark.parametrize("text", ["1,000 m", "12,345 ft"])
def test_a_comma_before_three_digits_is_asked_about(text: str) -> None:
    with pytest.raises(ValueError, match="could mean a thousand or a fraction"):
        distance(text)


def body(**keys: Any) -> Any:
    raw = {"name": "b", "sensor": "36x24 mm", "pixels": "6000x4000", "mount": "A", **keys}
    return validated({"fieldplan_profile": 1, "name": "x", "body": [raw]}, Profile).bodies[0]


@pytest.mark.parametrize(
    ("written", "seconds"),
    # ISO 516 and the short form on cameras: 60 stands for 1/60 s (common practice); whole seconds are marked
    [("60", 1 / 60), ("60 s", 60.0), ("1/60", 1 / 60), ("30", 30.0), (30, 30.0), (0.5, 0.5), ('60"', 60.0)],
)
def test_times_as_cameras_and_people_write_them(written: Any, seconds: float) -> None:
    assert float(body(longest_shutter=written, fastest_shutter="1/8000").longest_shutter) == pytest.approx(seconds)


@pytest.mark.parametrize("bare", [60, 4000, 30.5])
def test_a_bare_number_that_could_be_a_time_or_its_fraction_is_asked_about(bare: float) -> None:
    with pytest.raises(ValidationError) as told:
        body(longest_shutter=bare)
    assert f'write "{bare} s" or "1/{bare}"' in str(told.value)
