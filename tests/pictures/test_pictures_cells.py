"""Widths in cells and the texts that are let through."""

import pytest

from fieldplan.pictures.cells import clean, fit, plain, plain_rows, roles_by_cell, split_cells, text_cells, to_ascii


# Unicode Standard Annex 11, table of East_Asian_Width: W and F wide, Na, N and H narrow; A is narrow outside its
# legacy context (section 5); Mn and Me marks take no cell of their own.
@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("heron", 5),
        ("\u9dfa", 2),  # CJK ideograph: W
        ("\uff21", 2),  # FULLWIDTH LATIN CAPITAL LETTER A: F
        ("\uff76", 1),  # HALFWIDTH KATAKANA LETTER KA: H
        ("\ud55c\uae00", 4),  # two Hangul syllables: W
        ("\u03b1\u00b0", 2),  # A
        ("e\u0301", 1),  # NFC: one letter
        ("x\u0323", 1),  # no composed form: base and mark
        ("\u0301", 0),  # a mark alone
        ("\u2800\u2588", 2),  # braille and block glyphs: N and A
    ],
)
def test_text_cells(text: str, cells: int) -> None:
    assert text_cells(clean(text)) == cells
    assert len(split_cells(clean(text))) == cells


def test_fit_never_halves_a_wide_character() -> None:
    assert fit("\u9dfa\u9dfa", 3) == "\u9dfa"
    assert fit("a\u9dfa", 3) == "a\u9dfa"
    assert fit("abc", 0) == ""
    assert fit("abc", -1) == ""
    assert fit("x\u0323y", 1) == "x\u0323"


def test_clean_refuses_what_could_steer_a_terminal() -> None:
    assert clean("a\x1b[31mb\u202ec\x9bd") == "a[31mbcd"
    assert clean("two\nlines\t.") == "two lines ."
    assert clean("\u2600\ufe0f") == "\u2600"


@pytest.mark.parametrize(
    ("text", "ascii_text"),
    [
        ("3.5\N{DEGREE SIGN}", "3.5 deg"),
        ("\N{MINUS SIGN}2", "-2"),
        ("Gr\N{LATIN SMALL LETTER U WITH DIAERESIS}n", "Grun"),
        ("\u9dfa", "??"),
        ("\N{LATIN SMALL LETTER O WITH STROKE}", "?"),
        ("\N{INFINITY}", "inf"),
    ],
)
def test_to_ascii(text: str, ascii_text: str) -> None:
    assert to_ascii(text) == ascii_text


def test_plain_and_roles() -> None:
    picture = ((("ab", "frame"), ("  ", "")), (("\u9dfa", "label"), ("  ", "")))
    assert plain(picture) == "ab\n\u9dfa"
    assert plain_rows(picture) == ("ab  ", "\u9dfa  ")
    assert list(roles_by_cell(picture[1])) == ["label", "label", "", ""]
