"""Parts of the PDF card: the frame with the subject in it, tables, lines to write on."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.lib.colors import black, white
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import CondPageBreak, Flowable, Paragraph
from reportlab.platypus import Table as Grid

from fieldplan.card.drawing import Box, draw
from fieldplan.card.sheet import Frame
from fieldplan.card.tables import Table
from fieldplan.card.typeface import BOLD, PLAIN, Typeface
from fieldplan.pictures.wrapping import glued

_GAP = 5.0  # points between columns
_MOST_LINES = 3  # of a label beside its figures; a longer one goes above them
_ROOM = 22 * mm  # a table begins where its title, its head and some rows have room
_GREY = 0.82  # of white, for the subject


class Picture(Flowable):  # type: ignore[misc]  # reportlab has no types
    """The frame to scale: the subject grey, what the frame cuts off dashed."""

    def __init__(self, frame: Frame, width_mm: float, height_mm: float) -> None:
        super().__init__()
        self._drawing = draw(frame, width_mm, height_mm)
        self.width, self.height = width_mm * mm, height_mm * mm + 2

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return self.width, self.height

    def _rectangle(self, box: Box, fill: int) -> None:
        bottom = self._drawing.height - box.top - box.height
        self.canv.rect(box.left * mm, bottom * mm, box.width * mm, box.height * mm, stroke=1, fill=fill)

    def draw(self) -> None:
        canvas, drawing = self.canv, self._drawing
        canvas.setStrokeColor(black)
        canvas.setLineWidth(0.5)
        if drawing.inside is not None:
            canvas.setFillGray(_GREY)
            self._rectangle(drawing.inside, 1)
        if drawing.outside is not None:
            canvas.setDash(1.5, 1.5)
            self._rectangle(drawing.outside, 0)
            canvas.setDash()
        if drawing.bar is not None:
            self._bar(*drawing.bar)
        canvas.setLineWidth(1.1)
        self._rectangle(drawing.frame, 0)
        canvas.setFillColor(black)

    def _bar(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """A measure with a tick at each end, for the one extent that is known."""
        high = self._drawing.height
        tick_x, tick_y = (1.2, 0.0) if x0 == x1 else (0.0, 1.2)
        ends = [(x, high - y) for x, y in ((x0, y0), (x1, y1))]
        ticks = [(x - tick_x, y - tick_y, x + tick_x, y + tick_y) for x, y in ends]
        self.canv.lines([tuple(v * mm for v in line) for line in ((*ends[0], *ends[1]), *ticks)])


class Blank(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A word and a line to write on."""

    def __init__(self, label: str, width: float) -> None:
        super().__init__()
        self._label, self.width, self.height = label, width, 7.5 * mm

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setFont(BOLD, 8)
        self.canv.drawString(0, 2, self._label)
        self.canv.setLineWidth(0.5)
        self.canv.line(stringWidth(self._label, BOLD, 8) + 5, 0.5, self.width, 0.5)


def _columns(table: Table, size: float, width: float) -> list[float]:
    """Widths in points: figures and short texts what they need, the text column the rest."""
    rows = (table.head, *table.rows)
    needs = [max(stringWidth(row[i], BOLD if row is table.head else PLAIN, size) for row in rows) + _GAP
             for i in range(len(table.columns))]  # fmt: skip
    if "w" in table.columns:
        text = table.columns.index("w")
        needs[text] = width - sum(need for i, need in enumerate(needs) if i != text)
    return needs


def grid(
    table: Table, face: Typeface, width: float, heading: ParagraphStyle, style: ParagraphStyle
) -> Iterator[Flowable]:
    """A table with its title and its note; it breaks between rows and repeats its head."""
    bold = ParagraphStyle("head", style, fontName=BOLD)
    columns = _columns(table, style.fontSize, width)
    text = table.columns.find("w")
    rows: list[list[object]] = [[Paragraph(face.marked(cell, BOLD), bold) if i == text else cell
                                 for i, cell in enumerate(table.head)]]  # fmt: skip
    above: list[int] = []
    for row in table.rows:
        cells: list[object] = list(row)
        if text >= 0:
            label = Paragraph(face.marked(glued(row[text])), style)
            cells[text] = label
            if label.wrap(columns[text] - _GAP, 1e6)[1] > _MOST_LINES * style.leading and text == 0:
                above.append(len(rows))
                rows.append([label, *[""] * (len(row) - 1)])
                cells[text] = ""
        rows.append(cells)
    made = Grid(rows, colWidths=columns, repeatRows=1, hAlign="LEFT")
    right = [i for i, kind in enumerate(table.columns) if kind == "r"]
    made.setStyle([
        ("FONT", (0, 0), (-1, -1), PLAIN, style.fontSize, style.leading),
        ("FONT", (0, 0), (-1, 0), BOLD, style.fontSize), ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), _GAP),
        ("TOPPADDING", (0, 0), (-1, -1), 0.6), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.9),
        ("LINEBELOW", (0, 0), (-1, 0), 0.5, black), ("BACKGROUND", (0, 0), (-1, -1), white),
        *(("ALIGN", (i, 0), (i, -1), "RIGHT") for i in right), *(("RIGHTPADDING", (i, 0), (i, -1), 0) for i in right),
        *(("LEFTPADDING", (i, 0), (i, -1), _GAP) for i in right),
        *(("SPAN", (0, i), (-1, i)) for i in above),
        *(("LINEBELOW", (0, i), (-1, i), 0.15, black) for i in range(1, len(rows)) if i not in above),
        *(("NOSPLIT", (0, i), (0, i + 1)) for i in above),
    ])  # fmt: skip
    yield CondPageBreak(_ROOM)
    yield Paragraph(face.marked(table.title, heading.fontName), heading)
    yield made
    if table.note:
        yield Paragraph(face.marked(glued(table.note)), style)
