"""Names that a person may type, on every screen: they are text, never markup, never orders to the terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldplan.files.document import EditProblem
from fieldplan.pictures.cells import text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.launch import open_desk
from fieldplan.tui.rows import safe

from .conftest import lines

NAMES = [
    "[/b] [red]x[/]",
    "[AF-S] 85",
    "$name {0} %s",
    "\\[bold",
    "写真 レンズ",
    "e\u0301toile",
    "[@click=quit]go[/]",
    "a" * 58,
    "e" + "\u0301" * 30 + "\u200d" * 5 + "\ufdfd\u05d0\u0627",
]


@pytest.mark.parametrize("name", NAMES)
async def test_on_all_screens(plan_file: Path, own_folders: Path, name: str) -> None:
    desk = open_desk(str(plan_file))
    assert desk.edit(desk.plan, lambda plan: plan.set(("title",), name)) == ""
    assert desk.edit(desk.plan, lambda plan: plan.set(("shot", 1, "name"), name)) == ""
    assert desk.edit(desk.gear, lambda gear: gear.set(("body", 0, "name"), name)) == ""
    assert desk.edit(desk.gear, lambda gear: gear.set(("lens", 3, "name"), name)) == ""
    desk.shot_index = 1
    app = FieldplanApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        for keys in (
            ["space"],
            ["f"],
            ["space"],
            ["p"],
            ["p"],
            ["5"],
            ["1"],
            ["3"],
            ["4"],
            ["2"],
            ["question_mark"],
            ["escape"],
        ):
            await pilot.press(*keys)
            shown = lines(app)
            assert all(text_cells(line) <= 80 for line in shown)
        begin = safe(name)[:5]
        assert begin in "\n".join(lines(app)), "the name itself is shown"


def test_control_characters_never_come_so_far(plan_file: Path) -> None:
    """ECMA-48 control functions (ESC, CSI, OSC, BEL) and bidirectional overrides (UAX 9) are refused by the model."""
    desk = open_desk(str(plan_file))
    for name in ("a\x1b[31mb", "a\x07", "a\x9b31m", "a\u202eb", "a\x1b]0;x\x07"):
        before = desk.plan.value
        with pytest.raises(EditProblem):
            desk.plan.set(("title",), name)
        assert desk.plan.value is before
        assert not any(ord(c) < 32 or 127 <= ord(c) < 160 or c == "\u202e" for c in safe(name))
