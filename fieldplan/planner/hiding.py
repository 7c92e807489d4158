"""Stand-ins in texts for what leads to a place: its names, single words of them, and positions in any notation.

Which notations are looked for is a choice: all that the program reads, and besides pairs of long decimals, grid
coordinates, locators, short codes and links. It rather takes a number too many than one too few.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import NamedTuple

from fieldplan.model.plan import Site
from fieldplan.notation.position import read_position

Hide = Callable[[str], str]
HIDDEN = "(place)"
_MOST_WORDS = 8  # words that one position takes at most, in degrees, minutes and seconds with their letters
_LEAST_DIGITS = 6  # digits below which two numbers are no position that anybody could go to
_LEAST_LETTERS = 3  # a word of a name shorter than this is found in everything
_INSIDE_LETTERS = 4  # a word of a name shorter than this is not looked for inside other words
# Words of names that stand in front of thousands of places: kept, or no sentence would be left.
_COMMON = (
    "the and near from with upon over under north south east west upper lower great little old new big small hide nest",
    "pond pool lake river stream brook sea bay coast shore beach cliff rock hill mountain valley wood woods forest",
    "field meadow marsh reeds reed bank dam dike island bridge road path trail gate wall tower church chapel farm",
    "garden park house hut camp site place spot point view first second left right morning evening light dawn dusk",
    "moon sun",
)
COMMON = frozenset(word for line in _COMMON for word in line.split())

_SIGNS = r"[\u00b0\u00ba\u02da]"
_LETTER = r"(?:[NSEWOnsewo]\b)"
_DECIMAL = rf"(?:{_LETTER}\s*)?[-+\u2212]?(?<!\d)(?:\d{{1,3}}\s*(?:{_SIGNS}|\s)\s*)?\d{{1,3}}\s?[.,]\s?\d{{%s,}}(?:\s*['\u2032\u2019{_SIGNS[1:-1]}])?(?:\s*{_LETTER})?"  # noqa: E501
_LONG = re.compile(_DECIMAL % "4")
_LONGISH = re.compile(_DECIMAL % "3")
_CODE = "23456789CFGHJMPQRVWXcfghjmpqrvwx"  # the digits of Open Location Code
_OTHERS = re.compile(
    "|".join((
        r"\b(?:https?://|www\.|geo:)\S+",  # links, most of which hold a position
        r"///?\w+\.\w+\.\w+",  # an address of three words
        rf"(?<![{_CODE}\w])[{_CODE}]{{4}}(?:[{_CODE}]{{2}}){{0,2}}\+(?:[{_CODE}]{{2,3}}\b)?",  # plus codes
        r"(?<!\w)[A-Ra-r]{2}\d{2}[A-Xa-x]{2}(?:\d{2})?(?!\w)",  # locators of radio amateurs
        r"(?<!\w)[A-HJ-Z]{2} ?\d{3,5} ?\d{3,5}(?!\w)",  # national grids by letters
        r"(?<![\d.])\d{6,8}(?:[.,]\d+)?\D{1,6}\d{6,8}(?:[.,]\d+)?(?!\d)",  # eastings and northings
        rf"(?:[NSEWO]\s*)?\d{{1,3}}\s*{_SIGNS}\s*\d{{1,2}}(?:[.,]\d+)?\s*['\u2032\u2019]?"
        r"(?:\s*\d{1,2}(?:[.,]\d+)?\s*(?:\"|\u2033|\u201d|''))?(?:\s*[NSEWO]\b)?",  # degrees, minutes, seconds
    ))
)  # fmt: skip


class Hider(NamedTuple):
    """names: puts stand-ins for whole names and for positions; words: also for single words of the names."""

    names: Hide
    words: Hide


def hider(site: Site | None, spared: Iterable[str] = ()) -> Hider:
    """What to hide for a site. spared: texts whose words stay, such as the kinds of animal in the plan."""
    names: dict[str, str] = {}
    if site is not None:
        names[site.name] = "the site"
        names |= {mark.name: f"landmark {i}" for i, mark in enumerate(site.landmarks, 1)}
        names |= {view.name: f"viewpoint {i}" for i, view in enumerate(site.viewpoints, 1)}
    longest = sorted(names, key=len, reverse=True)
    known = [(_pattern(name), names[name]) for name in longest if _parts(name)]
    single = [re.compile(_alone(re.escape(word)), re.IGNORECASE) for word in sorted(told_words(site, spared))]

    def hide_names(text: str) -> str:
        text = without_positions(text)
        for pattern, stand_in in known:
            text = pattern.sub(stand_in, text)
        return text

    def hide_words(text: str) -> str:
        text = hide_names(text)
        for pattern in single:
            text = pattern.sub(HIDDEN, text)
        return text

    return Hider(hide_names, hide_words)


def shared_words(texts: Iterable[str], site: Site | None, spared: Iterable[str] = ()) -> list[str]:
    """What texts that are given out still have in common with the names of a place, a line each.

    Words that were hidden are told too: what is left of the sentence may say the rest.
    """
    lines: list[str] = []
    words = {word for word in _site_words(site) if len(word) >= _INSIDE_LETTERS}
    hidden = told_words(site, spared)
    for text in dict.fromkeys(texts):
        for word in sorted(words):
            if re.search(_alone(re.escape(word)), text, re.IGNORECASE):
                what = "is hidden" if word in hidden else "is common and stays"
                lines.append(f'"{word}" in "{text}" {what}')
            elif word not in COMMON and word in text.casefold():
                lines.append(f'"{text}" holds "{word}" inside a word and STAYS')
    return lines


def told_words(site: Site | None, spared: Iterable[str] = ()) -> frozenset[str]:
    """Words of the names of a place that tell it: no common ones, no short ones, none of what is spared."""
    kept = {word for text in spared for word in _parts(text)}
    return frozenset(_site_words(site)) - COMMON - kept


def _site_words(site: Site | None) -> set[str]:
    if site is None:
        return set()
    names = (site.name, *(mark.name for mark in site.landmarks), *(view.name for view in site.viewpoints))
    return {word for name in names for word in _parts(name) if len(word) >= _LEAST_LETTERS and not word.isdigit()}


def _parts(name: str) -> list[str]:
    """The words of a name in lower case, whatever stands between them."""
    return [word for word in re.split(r"[\W_]+", name.casefold()) if word]


def _pattern(name: str) -> re.Pattern[str]:
    """The name with anything or nothing between its words: two blanks, a line, none."""
    return re.compile(_alone(r"[\W_]*".join(map(re.escape, _parts(name)))), re.IGNORECASE)


def _alone(pattern: str) -> str:
    return rf"(?<![^\W_]){pattern}(?![^\W_])"


def without_positions(text: str) -> str:
    """The text with a stand-in for everything that reads as a position, in any notation that is known."""
    if sum(char.isdigit() for char in text) < _LEAST_DIGITS and "+" not in text and "/" not in text:
        return _OTHERS.sub(HIDDEN, text)
    text = _by_words(text)
    text = _OTHERS.sub(HIDDEN, text)
    if len(_LONGISH.findall(text)) >= 2:
        text = _LONGISH.sub(HIDDEN, text)
    return _LONG.sub(HIDDEN, text)


def _by_words(text: str) -> str:
    """Every run of words that reads as a position, in any notation that the program reads."""
    words = text.split(" ")
    at, kept = 0, []
    while at < len(words):
        length = next(
            (n for n in range(min(_MOST_WORDS, len(words) - at), 0, -1) if _is_position(words[at : at + n])), 0
        )
        kept.append(HIDDEN if length else words[at])
        at += length or 1
    return " ".join(kept)


def _is_position(words: list[str]) -> bool:
    run = " ".join(words).strip('()[]{}<>.,;:!?"')
    if sum(char.isdigit() for char in run) < _LEAST_DIGITS and "+" not in run:
        return False
    try:
        read_position(run)
    except ValueError:
        return False
    return True
