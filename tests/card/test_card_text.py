"""The text card: a golden sheet, nothing wider than 80 cells, nothing lost."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fieldplan.card import render
from fieldplan.card.sheet import Sheet, sheet_of
from fieldplan.card.wording import limits_text
from fieldplan.pictures.cells import clean, text_cells
from fieldplan.pictures.wrapping import wrap
from fieldplan.planner.answers import PlanAnswers

from .invented import GEAR, PLAN, answers, changed, hostile

GOLDEN = Path(__file__).parent / "golden" / "mill-pond.txt"


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", clean(text))


def contents(sheet: Sheet) -> list[str]:
    """Everything on a sheet that stands in one piece on paper, whatever the width."""
    found = [sheet.title, *(text for _, text in sheet.heading), *sheet.cautions, *sheet.blanks]
    for block in sheet.blocks:
        found += [block.title, *(text for _, text in block.lines), *(t.title for t in block.tables)]
    return found


def test_the_whole_card_of_a_small_plan_reads_as_it_should() -> None:
    assert render(answers(), "text") == GOLDEN.read_text(encoding="utf-8")


@pytest.mark.parametrize("given", [answers(), hostile(), answers(changed(PLAN, units="imperial"))])
def test_no_line_is_wider_than_80_cells_and_no_content_is_lost(given: PlanAnswers) -> None:
    text = render(given, "text")
    assert isinstance(text, str)
    assert max(text_cells(line) for line in text.split("\n")) <= 80
    whole = squeezed(text)
    assert not [part for part in contents(sheet_of(given)) if squeezed(part) not in whole]


def test_every_packed_body_and_lens_and_every_thing_of_the_kit_is_on_it() -> None:
    text = str(render(answers(), "text"))
    table = text.split("distance against share")[1].split("ISO against shutter")[0]
    assert {"70-300", "28"} <= {line.split(",")[0].strip().removeprefix("body one + ") for line in table.split("\n")}
    for item in ("body one", "70-300", "28", "tripod", "rain cover"):
        assert re.search(rf"^  {item} .*(kg|\?)$", text, re.M)
    assert "total 4.3 kg without 1 of unknown weight, bag limit 4 kg: over by 0.3 kg" in text


def test_iso_over_the_ceiling_is_marked() -> None:
    # ISO N^2 / (t 2^EV) x 100 (ISO 2720 with K = 12.5, common form): one stop of time is one stop of ISO
    lines = str(render(answers(), "text")).split("\n")
    row = next(line for line in lines if line.startswith("  ISO "))
    figures = row.split()[1:]
    assert [f.endswith("!") for f in figures] == [float(f.strip("!*")) > 1600 for f in figures]
    assert any(f.endswith("!") for f in figures)
    assert [f.endswith("*") for f in figures] == [float(f.strip("!*")) < 100 for f in figures]


def test_a_shot_without_light_has_no_iso_and_says_so() -> None:
    plan = changed(PLAN)
    del plan["shot"][0]["light"]
    text = str(render(answers(plan), "text")).split("19:30 fox")[1].split("20:00")[0]
    assert "ISO ?" in text and "not known" in text


def test_a_plan_without_anything_still_makes_a_card() -> None:
    bare = answers({"title": "bare"}, {"name": "empty"}, None)
    text = str(render(bare, "text"))
    assert "zone not known" in text and "total not known" in text
    empty = changed(GEAR, lens=[])
    assert "holds no lens that fits a body" in " ".join(str(render(answers(PLAN, empty), "text")).split())


def test_a_rig_that_cannot_focus_is_named_with_what_would_do() -> None:
    plan = changed(PLAN)
    bee = {"name": "bee", "width": "15 mm"}
    shot = {"name": "too near", "subject": bee, "distance": "0.5 m", "fill": "50 %", "rig": {"lens": "70-300"}}
    plan["shot"] = [shot]
    text = str(render(answers(plan), "text"))
    assert "closer than this lens focuses (1.2 m)" in text and "nothing in this profile takes it" in text
    # thin lens, m = 0.5 x 24 / 15 = 0.8, f = D m / (1 + m)^2 = 0.5 m x 0.8 / 3.24 = 123 mm; held level 124 mm
    assert "123 mm on body one, upright" in text


def test_infinity_is_a_word() -> None:
    plan = changed(PLAN)
    plan["shot"] = [{"name": "stars", "distance": "infinity", "focal": "28 mm", "light": "EV 0"}]
    text = str(render(answers(plan), "text"))
    assert re.search(r"subject +at infinity", text) and "to infinity, hyperfocal distance" in text
    assert " inf" not in text.replace(" infinity", "") and "nan" not in text


def test_limits_are_told_apart_however_near_they_lie() -> None:
    assert limits_text(27.07, 28.97, "metric") == "27.1 m to 29.0 m"
    assert limits_text(0.33424, 0.33576, "metric") == "33.42 cm to 33.58 cm"
    assert limits_text(0.3048 * 172.1, 0.3048 * 194.3, "imperial") == "172 ft to 194 ft"


@pytest.mark.parametrize("width", [12, 20, 69])
def test_wrapping_keeps_every_character(width: int) -> None:
    text = "a 漢字漢字漢字漢字漢字漢字漢字 bb\u0301ccc " + "x" * 70 + " 464 mm ISO 100"
    lines = wrap(text, width, "  ")
    assert all(text_cells(line) <= width for line in lines)
    assert squeezed("".join(lines)) == squeezed(text)


def test_a_number_stays_with_its_unit() -> None:
    assert wrap("fills at 600 mm, ISO 400", 13) == ["fills at", "600 mm,", "ISO 400"]


def test_the_card_is_the_same_each_time() -> None:
    assert render(answers(), "text") == render(answers(), "text")


def test_an_unknown_form_is_refused() -> None:
    with pytest.raises(ValueError, match="known: text, pdf"):
        render(answers(), "docx")
