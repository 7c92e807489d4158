"""The search for fonts, against reportlab's own reader of character maps."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest
import reportlab
from reportlab.pdfbase.ttfonts import TTFontFile

from fieldplan.card.fontsearch import faces_for, font_files
from fieldplan.card.typeface import BOLD, BOX, Typeface

FOLDER = Path(str(resources.files("fieldplan.card") / "fonts"))


@pytest.mark.parametrize("path", font_files([FOLDER]), ids=lambda p: p.stem)
def test_a_character_map_is_read_as_reportlab_reads_it(path: Path) -> None:
    known = {code for code, glyph in TTFontFile(str(path)).charToGlyph.items() if glyph}
    asked = {chr(code) for code in range(0x20, 0x3000)}
    faces = {face.path: found for face, found in faces_for(asked, [FOLDER])}
    best = next(iter(faces))
    if path == best:
        assert faces[path] == {chr(code) for code in known} & asked
    else:
        assert {chr(code) for code in known} & asked <= set().union(*faces.values())


def test_the_shipped_font_writes_the_languages_it_should() -> None:
    known = TTFontFile(str(FOLDER / "DejaVuSansCondensed.ttf")).charToGlyph
    # letters of French, German, Polish, Turkish, Vietnamese, Greek, Russian, Ukrainian, Georgian, and signs of the card
    for char in "éœßłĞışạữΩώЖѓїლ°×−′″≈≤→□●\N{NO-BREAK SPACE}":
        assert ord(char) in known, char


def test_damaged_and_foreign_files_are_passed_over(tmp_path: Path) -> None:
    whole = (FOLDER / "DejaVuSansCondensed.ttf").read_bytes()
    (tmp_path / "a.ttf").write_bytes(b"")
    (tmp_path / "b.ttf").write_bytes(whole[:200])
    (tmp_path / "c.ttc").write_bytes(b"ttcf\x00\x01\x00\x00\x00\x00\x00\x02" + b"\xff" * 8)
    (tmp_path / "d.ttf").write_text("not a font", encoding="utf-8")
    assert faces_for({"a", "b"}, [tmp_path]) == []
    (tmp_path / "e.ttf").write_bytes(whole)
    assert [(face.path.name, sorted(found)) for face, found in faces_for({"a", "b", "漢"}, [tmp_path])] == [
        ("e.ttf", ["a", "b"])
    ]


def test_no_folder_is_no_error(tmp_path: Path) -> None:
    assert faces_for({"a"}, [tmp_path / "none"]) == []
    assert faces_for(set(), [FOLDER]) == []


def test_a_font_of_the_machine_writes_what_the_shipped_one_cannot() -> None:
    # reportlab carries a small test font with five Khmer letters
    folder = Path(reportlab.__file__).parent / "fonts"
    face = Typeface(["\u1786\u1793", "\u05d0 \u4e00"], [folder])
    name = f"{folder / 'hb-test.ttf'}#0"
    assert face.marked("a\u1786<", BOLD) == f'a<font name="{name}">\u1786</font>&lt;'
    # Hebrew runs from right to left and is not set here; the other sign is in none of the fonts
    assert face.plain("\u05d0\u4e00") == BOX * 2 and face.has_boxes
    assert not Typeface(["\u1786\u1793"], [folder]).has_boxes
