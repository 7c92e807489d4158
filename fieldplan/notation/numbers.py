"""Typed text made plain, and the numbers in it."""

from __future__ import annotations

import math
import re
import unicodedata

_SAME = str.maketrans(
    {
        "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\ufe63": "-",
        "\uff0d": "-", "\u2032": "'", "\u2019": "'", "\u02b9": "'", "\u2033": '"', "\u201d": '"', "\u02ba": '"',
        "\u2044": "/", "\u2215": "/", "\u00d7": "x", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\u2007": " ",
        "\u0192": "f", "\u00ba": "\u00b0",
    }
)  # fmt: skip
LARGEST = 1e300  # beyond it a number is refused rather than reckoned with
LONGEST = 200  # characters: nothing that a person writes in one field is longer
_SORTS = {
    "dict": "a table",
    "list": "a list",
    "tuple": "a list",
    "NoneType": "nothing",
    "datetime": "a date with a time",
    "time": "a time of day",
}
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d{1,3})?")


class TwoReadings(ValueError):
    """A number that could be read in two ways; its words say how to write either."""


def plain(text: str) -> str:
    """Text as on a plain keyboard: one kind of minus, prime, space; lower case; single spaces.

    Raises ValueError when too long.
    """
    if len(text) > LONGEST:
        raise ValueError(f"{shown(text)} is too long: {LONGEST} characters at most")
    kept = text if text.isascii() else unicodedata.normalize("NFKC", text.translate(_SAME)).translate(_SAME)
    return " ".join(kept.split()).lower()


def read_number(text: str) -> float:
    """A finite number; the decimal sign may be a point or a comma. Raises ValueError.

    "1,000" is refused (TwoReadings): a comma before exactly three digits may be a thousand or a decimal sign.
    """
    word = plain(text)
    if not _NUMBER.fullmatch(word):
        raise ValueError(f"{shown(text)} is not a number")
    if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", word):
        raise TwoReadings(
            f"{shown(text)} could mean a thousand or a fraction; write {word.replace(',', '')} or "
            f"{word.replace(',', '.')}"
        )
    value = float(word.replace(",", "."))
    if not math.isfinite(value):
        raise ValueError(f"{shown(text)} is not a finite number")
    return value


def split_number(text: str) -> tuple[float, str]:
    """A leading number and the rest, from text already made ``plain``. Raises ValueError."""
    match = _NUMBER.match(text)
    if not match:
        raise ValueError(f"{shown(text)} does not begin with a number")
    return read_number(match.group()), text[match.end() :].strip()


def obeyed_by_none(text: str) -> str:
    """A text of any length, with a sign in the place of what a terminal would obey."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)


def shown(found: object) -> str:
    """What was found, quoted for a message, shortened, with no control characters."""
    if isinstance(found, bool):
        return "true" if found else "false"
    if isinstance(found, (int, float)):
        return f"{found:.12g}" if isinstance(found, float) or abs(found) < LARGEST else "a number that is too large"
    if not isinstance(found, str):
        return _SORTS.get(type(found).__name__, f"a {type(found).__name__}")
    visible = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in found)
    return '"' + (visible if len(visible) <= 40 else visible[:37] + "...") + '"'


def trimmed(value: float, digits: int = 6) -> str:
    """A number without needless zeros: 28, 0.4, 92.5; "0" for what rounds to nothing, whatever its sign."""
    told = f"{value:.{digits}f}".rstrip("0").rstrip(".") if digits else f"{value:.0f}"
    return "0" if told == "-0" else told
