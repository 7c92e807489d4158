"""The card as PDF: pages of pocket size (A6), or four of them on a sheet of A4 with marks where to cut."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Flowable, Frame, PageTemplate, Paragraph, Spacer
from reportlab.platypus import Table as Grid

from fieldplan.card.pdfparts import Blank, Picture, grid
from fieldplan.card.sheet import Block, Sheet, sheet_of
from fieldplan.card.typeface import BOLD, BOX_NOTE, PLAIN, Typeface
from fieldplan.pictures.cells import text_cells
from fieldplan.pictures.wrapping import glued
from fieldplan.planner.answers import PlanAnswers

A6 = (105.0, 148.0)  # mm, ISO 216
A4 = (210.0, 297.0)  # mm, ISO 216
PAPERS = ("a6", "a4")
_MARGIN, _FOOT, _CUT = 6.5, 4.0, 4.0  # mm
_TEXT_WIDTH = (A6[0] - 2 * _MARGIN) * mm
_PICTURE = (27.0, 21.0)  # mm
_BESIDE = 260  # cells of text that fit beside the picture with room to spare
_LABEL = 47.0  # points

_BODY = ParagraphStyle("body", fontName=PLAIN, fontSize=8, leading=9.8, leftIndent=_LABEL, bulletFontName=BOLD,
                       bulletFontSize=8, bulletIndent=0, spaceAfter=0.8)  # fmt: skip
_SETTINGS = ParagraphStyle("settings", _BODY, fontName=BOLD, fontSize=11, leading=13)
_TITLE = ParagraphStyle("title", fontName=BOLD, fontSize=13, leading=15.5, spaceAfter=3)
_SHOT = ParagraphStyle("shot", fontName=BOLD, fontSize=10, leading=12, spaceBefore=7, spaceAfter=2, keepWithNext=1)
_SMALL = ParagraphStyle("small", fontName=PLAIN, fontSize=7.5, leading=9.2)
_PART = ParagraphStyle("part", _SMALL, fontName=BOLD, fontSize=8, leading=10, spaceBefore=5, spaceAfter=1)
_CAUTION = ParagraphStyle("caution", _SMALL, leftIndent=7, bulletFontName=PLAIN, bulletFontSize=7.5, spaceAfter=1.5)


class _Pages(BaseDocTemplate):  # type: ignore[misc]  # reportlab has no types
    """Pocket pages in their places on the paper, each with its number."""

    def __init__(self, target: io.BytesIO, paper: str, title: str, total: int) -> None:
        size = A6 if paper == "a6" else A4
        super().__init__(target, pagesize=(size[0] * mm, size[1] * mm), invariant=1, title=title, creator="fieldplan")
        self.initialFontName = PLAIN  # so that no font outside the file is named
        self.used, self._total = 0, total
        places = [(0.0, 0.0)] if paper == "a6" else [(x, y) for y in (A4[1] / 2, 0.0) for x in (0.0, A4[0] / 2)]
        frames = [
            Frame((x + _MARGIN) * mm, (y + _MARGIN + _FOOT) * mm, _TEXT_WIDTH, (A6[1] - 2 * _MARGIN - _FOOT) * mm,
                  leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
            for x, y in places
        ]  # fmt: skip
        self.addPageTemplates([PageTemplate("card", frames, onPage=_cut_marks if paper == "a4" else _nothing)])

    def handle_frameBegin(self, *args: Any, **named: Any) -> None:
        super().handle_frameBegin(*args, **named)
        self.used += 1
        of = f" of {self._total}" if self._total else ""
        self.canv.setFont(PLAIN, 7.5)
        self.canv.drawRightString(self.frame._x1 + _TEXT_WIDTH, self.frame._y1 - _FOOT * mm, f"{self.used}{of}")


def _nothing(canvas: Any, document: Any) -> None:
    """A6 needs no marks."""


def _cut_marks(canvas: Any, document: Any) -> None:
    """Short lines at the edges and a cross in the middle."""
    wide, high = A4[0] * mm, A4[1] * mm
    x, y, long = wide / 2, high / 2, _CUT * mm
    canvas.setLineWidth(0.3)
    canvas.lines([(x, 0, x, long), (x, high - long, x, high), (0, y, long, y), (wide - long, y, wide, y),
                  (x - long / 2, y, x + long / 2, y), (x, y - long / 2, x, y + long / 2)])  # fmt: skip


class _Setter:
    """Turns a sheet into the things that flow down the pages."""

    def __init__(self, face: Typeface) -> None:
        self.face = face

    def text(self, text: str, style: ParagraphStyle, label: str | None = None) -> Paragraph:
        return Paragraph(self.face.marked(glued(text), style.fontName), style, bulletText=label)

    def lines(self, lines: tuple[tuple[str, str], ...]) -> list[Flowable]:
        return [self.text(text, _SETTINGS if label == "set" else _BODY, label) for label, text in lines]

    def answer(self, block: Block) -> list[Flowable]:
        """The answer with the picture beside it; below it where the names are too long for that."""
        lines = self.lines(block.answer)
        if block.frame is None:
            return lines
        picture = Picture(block.frame, *_PICTURE)
        if sum(text_cells(text) for _, text in block.answer) > _BESIDE:
            return [*lines, picture]
        beside = Grid([[lines, picture]], colWidths=[_TEXT_WIDTH - picture.width - 4, picture.width + 4])
        sides = ("LEFT", "RIGHT", "TOP", "BOTTOM")
        beside.setStyle([("FONT", (0, 0), (-1, -1), PLAIN, 8), ("VALIGN", (0, 0), (-1, -1), "TOP"),
                         ("ALIGN", (1, 0), (1, 0), "RIGHT"),
                         *((f"{side}PADDING", (0, 0), (-1, -1), 0) for side in sides)])  # fmt: skip
        return [beside]

    def block(self, block: Block) -> Iterator[Flowable]:
        yield CondPageBreak(40 * mm)
        yield self.text(block.title, _SHOT)
        yield from self.lines(block.before)
        yield from self.answer(block)
        yield from self.lines(block.after)
        for table in block.tables:
            yield from grid(table, self.face, _TEXT_WIDTH, _PART, _SMALL)

    def sheet(self, sheet: Sheet) -> Iterator[Flowable]:
        yield self.text(sheet.title, _TITLE)
        yield from self.lines(sheet.heading)
        for table in sheet.opening:
            yield from grid(table, self.face, _TEXT_WIDTH, _PART, _SMALL)
        for block in sheet.blocks:
            yield from self.block(block)
        for table in sheet.closing:
            yield from grid(table, self.face, _TEXT_WIDTH, _PART, _SMALL)
        if sheet.cautions:
            yield CondPageBreak(15 * mm)
            yield self.text(sheet.cautions_title, _PART)
        yield from (self.text(caution, _CAUTION, "-") for caution in sheet.cautions)
        yield CondPageBreak(45 * mm)
        yield self.text(sheet.blanks_title, _PART)
        yield from (Blank(blank, _TEXT_WIDTH) for blank in sheet.blanks)
        if self.face.has_boxes:
            yield Spacer(0, 4)
            yield self.text(BOX_NOTE, _SMALL)


def _texts(sheet: Sheet) -> Iterator[str]:
    """Every text of the sheet that can hold a person's own words."""
    yield sheet.title
    yield from (text for _, text in sheet.heading)
    yield from sheet.cautions
    for block in sheet.blocks:
        yield block.title
        yield from (text for _, text in block.lines)
    for table in (*sheet.opening, *sheet.closing, *(t for b in sheet.blocks for t in b.tables)):
        yield from (table.title, *table.head, table.note)
        yield from (cell for row in table.rows for cell in row)


def lay_out(sheet: Sheet, paper: str = "a6", face: Typeface | None = None) -> bytes:
    """A sheet as PDF; the same bytes for the same sheet and fonts. ValueError for an unknown paper."""
    if paper not in PAPERS:
        raise ValueError(f"{paper} is not a paper of the card; known: {', '.join(PAPERS)}")
    setter = _Setter(face or Typeface(_texts(sheet)))
    total = 0
    while True:  # the first time to count the pages
        target = io.BytesIO()
        document = _Pages(target, paper, setter.face.plain(sheet.title), total)
        document.build(list(setter.sheet(sheet)))
        if document.used == total:
            return target.getvalue()
        total = document.used


def as_pdf(answers: PlanAnswers, paper: str = "a6") -> bytes:
    """The card of a plan as PDF."""
    return lay_out(sheet_of(answers), paper)
