"""The HTML card, read back by the XML and HTML readers of the standard library."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from fieldplan.card import render
from fieldplan.card.drawing import draw
from fieldplan.card.markup import escaped
from fieldplan.card.sheet import Frame, sheet_of
from fieldplan.planner.answers import PlanAnswers

from .invented import answers, hostile

SPACE = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"


def tree(given: PlanAnswers) -> ElementTree.Element:
    page = str(render(given, "html"))
    return ElementTree.fromstring(page.removeprefix("<!DOCTYPE html>\n"))


def words(element: ElementTree.Element) -> str:
    return re.sub(r"\s+", " ", "\n".join(element.itertext()))


@pytest.mark.parametrize("given", [answers(), hostile()])
def test_it_is_well_formed_and_holds_everything(given: PlanAnswers) -> None:
    whole, sheet = words(tree(given)), sheet_of(given)
    parts = [sheet.title, *(text for _, text in sheet.heading), *sheet.cautions, *sheet.blanks]
    for block in sheet.blocks:
        parts += [block.title, *(text for _, text in block.lines)]
        parts += [cell for table in block.tables for row in (table.head, *table.rows) for cell in row]
    for table in (*sheet.opening, *sheet.closing):
        parts += [table.title, table.note, *(cell for row in table.rows for cell in row)]
    assert not [part for part in parts if " ".join(part.split()) not in whole]


@pytest.mark.parametrize("given", [answers(), hostile()])
def test_names_are_text_and_nothing_is_fetched_or_run(given: PlanAnswers) -> None:
    seen: list[tuple[str, dict[str, str | None]]] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            seen.append((tag, dict(attrs)))

    Reader().feed(str(render(given, "html")))
    tags = {tag for tag, _ in seen}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "a", "b", "base", "form"}
    for _, attributes in seen:
        assert not {"src", "href", "data", "action"} & attributes.keys()
        assert not any(name.startswith("on") for name in attributes)
    assert ("meta", {"http-equiv": "Content-Security-Policy",
                     "content": "default-src 'none'; style-src 'unsafe-inline'"}) in seen  # fmt: skip
    assert "url(" not in str(render(given, "html")) and "@import" not in str(render(given, "html"))


@pytest.mark.parametrize(("paper", "size"), [("a6", "105mm 148mm"), ("a4", "A4")])
def test_it_prints_on_its_paper(paper: str, size: str) -> None:
    assert f"@page {{ size: {size}; margin: 6.5mm }}" in str(render(answers(), "html", paper))


def test_another_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="known: a6, a4"):
        render(answers(), "html", "a5")


def test_the_frame_is_drawn_to_scale() -> None:
    best = answers().shots[0].best
    assert best is not None and best.fill is not None
    picture = tree(answers()).find(f".//{SVG}svg")
    assert picture is not None
    subject, frame = picture.findall(f"{SVG}rect")
    wide, tall = (float(frame.get(side, 0)) for side in ("width", "height"))
    long, short = (36, 24) if best.hold == "level" else (24, 36)
    assert wide / tall == pytest.approx(long / short, rel=0.01)
    # the invented fox is 70 cm wide and 40 cm high
    assert float(subject.get("width", 0)) / float(subject.get("height", 0)) == pytest.approx(7 / 4, rel=0.01)
    share = float(subject.get(best.fill_axis or "", 0)) / (wide if best.fill_axis == "width" else tall)
    assert share == pytest.approx(best.fill, rel=0.01)


def test_a_subject_that_is_cut_off_shows_beyond_the_frame() -> None:
    drawing = draw(Frame(36, 24, 1.2, 0.5), 27, 21)
    assert drawing.outside is not None and drawing.inside is not None
    assert drawing.outside.width / drawing.frame.width == pytest.approx(1.2)
    assert drawing.inside.width == pytest.approx(drawing.frame.width)
    assert drawing.outside.left >= 0 and drawing.outside.left + drawing.outside.width <= 27 + 1e-9
    huge = draw(Frame(36, 24, 50.0, 80.0), 27, 21)
    assert huge.outside is not None and huge.outside.width <= 27 and huge.outside.height <= 21
    assert huge.frame.width > 15


def test_where_one_extent_is_known_a_measure_stands_for_the_subject() -> None:
    drawing = draw(Frame(36, 24, None, 0.5), 27, 21)
    assert drawing.inside is None and drawing.bar is not None
    x0, y0, x1, y1 = drawing.bar
    assert x0 == x1 == 13.5 and y1 - y0 == pytest.approx(drawing.frame.height / 2)
    assert draw(Frame(36, 24, None, None), 27, 21).bar is None


def test_signs_that_no_markup_may_hold_are_replaced() -> None:
    # XML 1.0 section 2.2; HTML living standard, preprocessing the input stream: noncharacters
    assert escaped("a\x00b\ufffe\x9b<\"'&") == "a\ufffdb\ufffd\ufffd&lt;&quot;&#x27;&amp;"
    assert escaped("漢 é \U0001f98a") == "漢 é \U0001f98a"
