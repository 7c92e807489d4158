"""The card as one HTML file that needs nothing else: no scripts, no network, black on white, prints on A6."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fieldplan.card.drawing import Box, draw
from fieldplan.card.markup import escaped
from fieldplan.card.sheet import Block, Frame, Sheet, sheet_of
from fieldplan.card.tables import Table
from fieldplan.pictures.wrapping import glued
from fieldplan.planner.answers import PlanAnswers

PAPERS = ("a6", "a4")
_PICTURE = (27.0, 21.0)  # mm
_STYLE = """
@page { size: %s; margin: 6.5mm }
html { background: #fff; color: #000; font: 8pt/1.25 "DejaVu Sans Condensed", "DejaVu Sans", "Noto Sans", sans-serif }
body { %s margin: 0 auto; overflow-wrap: anywhere }
h1 { font-size: 13pt; margin: 0 0 1mm } h2 { font-size: 10pt; margin: 3mm 0 1mm; break-after: avoid }
h3 { font-size: 8pt; margin: 2mm 0 0.5mm; break-after: avoid }
dl { display: grid; grid-template-columns: 15mm 1fr; margin: 0 } dt { font-weight: bold } dd { margin: 0 }
dt, dd { break-inside: avoid } dd.set { font-size: 11pt; font-weight: bold }
.answer { display: flex; gap: 2mm; break-inside: avoid } .answer dl { flex: 1; align-content: start }
svg { flex: none }
table { border-collapse: collapse; font-size: 7.5pt; width: 100%% }
thead { display: table-header-group } tr { break-inside: avoid }
th, td { text-align: left; vertical-align: top; padding: 0 0 0 1.5mm; border-bottom: 0.1mm solid #000 }
th:first-child, td:first-child { padding-left: 0 }
.r { text-align: right; white-space: nowrap } .l { white-space: nowrap }
p, ul { font-size: 7.5pt; margin: 0.5mm 0 0; padding: 0 } ul { list-style: "- " outside; padding-left: 2.5mm }
.blank { display: flex; align-items: end; font-size: 8pt; font-weight: bold; height: 7.5mm; break-inside: avoid }
.blank::after { content: ""; flex: 1; border-bottom: 0.2mm solid #000; margin-left: 2mm }
"""
_PAGES = {"a6": ("105mm 148mm", "max-width: 92mm;"), "a4": ("A4", "columns: 2; column-gap: 8mm; max-width: 197mm;")}


def _text(text: str) -> str:
    return escaped(glued(text))


def _rectangle(box: Box, more: str) -> str:
    place = f'x="{box.left:.2f}" y="{box.top:.2f}" width="{box.width:.2f}" height="{box.height:.2f}"'
    return f'<rect {place} {more} stroke="#000"/>'


def _picture(frame: Frame) -> str:
    """The frame to scale: the subject grey, what the frame cuts off dashed."""
    drawing = draw(frame, *_PICTURE)
    parts = []
    if drawing.inside is not None:
        parts.append(_rectangle(drawing.inside, 'fill="#d1d1d1" stroke-width="0.2"'))
    if drawing.outside is not None:
        parts.append(_rectangle(drawing.outside, 'fill="none" stroke-width="0.2" stroke-dasharray="0.6 0.6"'))
    if drawing.bar is not None:
        x0, y0, x1, y1 = drawing.bar
        dx, dy = (1.2, 0.0) if x0 == x1 else (0.0, 1.2)
        path = f"M{x0:.2f} {y0:.2f}L{x1:.2f} {y1:.2f}" + "".join(
            f"M{x - dx:.2f} {y - dy:.2f}L{x + dx:.2f} {y + dy:.2f}" for x, y in ((x0, y0), (x1, y1)))  # fmt: skip
        parts.append(f'<path d="{path}" fill="none" stroke="#000" stroke-width="0.2"/>')
    parts.append(_rectangle(drawing.frame, 'fill="none" stroke-width="0.4"'))
    wide, high = _PICTURE
    view = f"-0.5 -0.5 {wide + 1:g} {high + 1:g}"
    return (f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="the subject in the frame, to scale" '
            f'width="{wide + 1:g}mm" height="{high + 1:g}mm" viewBox="{view}">{"".join(parts)}</svg>')  # fmt: skip


def _lines(lines: Iterable[tuple[str, str]]) -> str:
    rows = []
    for label, text in lines:
        kind = "set" if label == "set" else "line"
        rows.append(f'<dt>{_text(label)}</dt><dd class="{kind}">{_text(text)}</dd>')
    return f"<dl>{''.join(rows)}</dl>"


def _table(table: Table) -> Iterator[str]:
    def row(cells: tuple[str, ...], tag: str) -> str:
        pairs = zip(cells, table.columns, strict=True)
        marked = (f'<{tag} class="{kind}">{_text(cell)}</{tag}>' for cell, kind in pairs)
        return f"<tr>{''.join(marked)}</tr>"

    yield f"<h3>{_text(table.title)}</h3>"
    yield f"<table><thead>{row(table.head, 'th')}</thead><tbody>"
    yield from (row(cells, "td") for cells in table.rows)
    yield "</tbody></table>"
    if table.note:
        yield f"<p>{_text(table.note)}</p>"


def _block(block: Block) -> Iterator[str]:
    yield f"<section><h2>{_text(block.title)}</h2>"
    yield _lines(block.before)
    picture = "" if block.frame is None else _picture(block.frame)
    yield f'<div class="answer">{_lines(block.answer)}{picture}</div>'
    yield _lines(block.after)
    for table in block.tables:
        yield from _table(table)
    yield "</section>"


def _body(sheet: Sheet) -> Iterator[str]:
    yield f"<h1>{_text(sheet.title)}</h1>"
    yield _lines(sheet.heading)
    for table in sheet.opening:
        yield from _table(table)
    for block in sheet.blocks:
        yield from _block(block)
    for table in sheet.closing:
        yield from _table(table)
    if sheet.cautions:
        yield f"<h3>{_text(sheet.cautions_title)}</h3><ul>"
        yield from (f"<li>{_text(caution)}</li>" for caution in sheet.cautions)
        yield "</ul>"
    yield f"<h3>{_text(sheet.blanks_title)}</h3>"
    yield from (f'<div class="blank">{_text(blank)}</div>' for blank in sheet.blanks)


def lay_out(sheet: Sheet, paper: str = "a6") -> str:
    """A sheet as HTML. ValueError for an unknown paper."""
    if paper not in PAPERS:
        raise ValueError(f"{paper} is not a paper of the card; known: {', '.join(PAPERS)}")
    lines = [
        "<!DOCTYPE html>",
        '<html lang="en" xmlns="http://www.w3.org/1999/xhtml"><head><meta charset="utf-8"/>',
        """<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"/>""",
        '<meta name="viewport" content="width=device-width, initial-scale=1"/>',
        f"<title>{escaped(sheet.title)}</title><style>{_STYLE % _PAGES[paper]}</style></head><body>",
        *_body(sheet),
        "</body></html>",
    ]
    return "\n".join(lines) + "\n"


def as_html(answers: PlanAnswers, paper: str = "a6") -> str:
    """The card of a plan as HTML."""
    return lay_out(sheet_of(answers), paper)
