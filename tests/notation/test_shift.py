"""How far a clock is off, as people write it; seconds by plain arithmetic."""

from __future__ import annotations

import pytest

from fieldplan.notation.shift import read_shift


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("1:00", 3600), ("1 h 5 min", 3900), ("-5 min", -300), ("-1:05", -3900), ("0:02:30", 150), ("40 s", 40),
     ("-355 min", -21300), ("1 h", 3600), ("1 h 0 min 20 s", 3620), ("5 min 3 s", 303)],
)  # fmt: skip
def test_it_reads_what_people_write(text: str, seconds: float) -> None:
    found = read_shift(text)
    assert float(found) == seconds and found.typed.replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize("text", ["", "soon", "1:75", "1 h min", "999:00", "1 h -5 min"])
def test_what_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_shift(text)
