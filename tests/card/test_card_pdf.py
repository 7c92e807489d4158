"""The PDF card, read back by pypdf, a general PDF library. Paper sizes: ISO 216."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader

from fieldplan.card import render
from fieldplan.card.pdf import lay_out
from fieldplan.card.sheet import sheet_of
from fieldplan.card.typeface import BOX, Typeface
from fieldplan.planner.answers import PlanAnswers

from .invented import PLAN, answers, changed, hostile

POINT_MM = 25.4 / 72
A6, A4 = (105.0, 148.0), (210.0, 297.0)


def read(given: PlanAnswers, paper: str = "a6") -> PdfReader:
    made = render(given, "pdf", paper)
    assert isinstance(made, bytes)
    return PdfReader(io.BytesIO(made))


def words(reader: PdfReader) -> str:
    return re.sub(r"\s+", "", "".join(page.extract_text() for page in reader.pages))


@pytest.mark.parametrize(("paper", "size"), [("a6", A6), ("a4", A4)])
def test_pages_have_the_size_of_their_paper(paper: str, size: tuple[float, float]) -> None:
    for page in read(answers(), paper).pages:
        assert (float(page.mediabox.width) * POINT_MM, float(page.mediabox.height) * POINT_MM) == pytest.approx(size)


@pytest.mark.parametrize("paper", ["a6", "a4"])
@pytest.mark.parametrize("given", [answers(), answers(changed(PLAN, units="imperial"))])
def test_everything_on_the_sheet_is_in_the_pdf(given: PlanAnswers, paper: str) -> None:
    whole, sheet = words(read(given, paper)), sheet_of(given)
    parts = [sheet.title, *(text for _, text in sheet.heading), *sheet.blanks, *sheet.cautions]
    for block in sheet.blocks:
        parts += [block.title]
        parts += [cell for table in block.tables for row in table.rows for cell in row]
        parts += [word for _, text in block.lines for word in text.split()]  # a line may run over a page's number
    for table in (*sheet.opening, *sheet.closing):
        parts += [table.title, table.note, *(cell for row in table.rows for cell in row)]
    assert not [part for part in parts if re.sub(r"\s+", "", part) not in whole]


def test_hostile_names_come_out_as_they_are() -> None:
    whole = words(read(hostile()))
    assert "<script>alert(1)</script>[b]bag[/b]" in whole
    assert "]]><!--pond,north;east" in whole
    assert "Ωμέγα" in whole and "ლინზა" in whole and "W" * 20 in whole


@pytest.mark.parametrize("given", [answers(), hostile()])
@pytest.mark.parametrize("paper", ["a6", "a4"])
def test_text_stays_on_its_pocket_page_and_is_large_enough(given: PlanAnswers, paper: str) -> None:
    sizes: set[float] = set()
    places: set[tuple[float, float]] = set()

    def note(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        if text.strip():
            sizes.add(size)
            places.add((tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]))

    pages = read(given, paper).pages
    for page in pages[:8]:
        page.extract_text(visitor_text=note)
    assert min(sizes) >= 7.5  # points
    high = A4[1] / 2 if paper == "a4" else A6[1]
    for x, y in places:
        assert 6.0 < (x * POINT_MM) % A6[0] < A6[0] - 6.0
        assert 6.0 < (y * POINT_MM) % high < high - 6.0


def test_four_pocket_pages_on_a_sheet_hold_what_the_pocket_pages_hold() -> None:
    small, large = read(answers()), read(answers(), "a4")
    assert len(large.pages) == -(-len(small.pages) // 4)
    assert sorted(words(small)) == sorted(words(large))


def test_pages_are_numbered_to_the_last() -> None:
    reader = read(answers())
    for number, page in enumerate(reader.pages, 1):
        assert f"{number} of {len(reader.pages)}" in page.extract_text()


def test_fonts_are_in_the_file() -> None:
    for page in read(answers()).pages:
        for font in page["/Resources"]["/Font"].values():
            assert "/FontFile2" in font.get_object()["/FontDescriptor"].get_object()


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert render(answers(), "pdf") == render(answers(), "pdf")


def test_what_no_font_draws_is_a_box_with_a_word_about_it() -> None:
    sheet = sheet_of(hostile())
    texts = [block.title for block in sheet.blocks] + [text for b in sheet.blocks for _, text in b.lines]
    face = Typeface(texts, folders=[])
    assert face.plain("鷺 at <dawn>") == f"{BOX} at <dawn>"
    assert face.marked("鷺 & <b>") == f"{BOX} &amp; &lt;b&gt;"
    whole = words(PdfReader(io.BytesIO(lay_out(sheet, "a6", face))))
    assert f"{BOX * 10}" in whole and f"{BOX}standsforacharacterthatcannotbedrawnhere" in whole


def test_another_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="known: a6, a4"):
        render(answers(), "pdf", "a5")
