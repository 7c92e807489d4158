"""Draws the pictures of the README: pages of the program on the demo plan, as SVG beside this file.

    python demo/pictures.py

It works on a copy of the demo, and writes nothing else.
"""

from __future__ import annotations

import asyncio
import html
import os
import re
import shutil
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
SIZE = (100, 30)
# name of the picture, theme, keys from the start of the program
PICTURES = (
    ("shot", "plain", ("2", "]")),
    ("glance", "plain", ("2", "]", "g")),
    ("light", "plain", ("3", "]", "]")),
    ("moon-and-sun", "plain", ("4",)),
    ("night", "night", ("2", "]", "g")),
)


_TEXT = re.compile(r'x="([0-9.]+)" y="([0-9.]+)" textLength="([0-9.]+)"([^>]*)>((?:&#160;)*)(.*?)((?:&#160;)*)</text>')
_BLANK = "&#160;"


def _without_blank_ends(found: re.Match[str]) -> str:
    """A run of text without blanks at its ends, which some readers drop, moved to where its first character stands."""
    x, y, length, rest, before, text, after = found.groups()
    if not text:
        return f'x="{x}" y="{y}" textLength="{length}"{rest}>{before}</text>'
    cell = float(length) / len(html.unescape(before + text + after))
    first = float(x) + cell * before.count(_BLANK)
    left = float(length) - cell * (before + after).count(_BLANK)
    return f'x="{first:.1f}" y="{y}" textLength="{left:.1f}"{rest}>{text}</text>'


def own_fonts(svg: str) -> str:
    """The picture without fonts from elsewhere: the reader's own monospaced one serves."""
    svg = _TEXT.sub(_without_blank_ends, svg)
    svg = re.sub(r"@font-face\s*\{[^}]*\}", "", svg)
    return re.sub(r"font-family:\s*[^;]*Fira Code[^;]*;", "font-family: monospace;", svg)


async def draw(name: str, skin: str, keys: tuple[str, ...], plan: Path) -> None:
    """One picture."""
    from fieldplan.tui.app import FieldplanApp
    from fieldplan.tui.launch import open_desk

    app = FieldplanApp(open_desk(str(plan)), skin=skin)
    async with app.run_test(size=SIZE) as pilot:
        for key in keys:
            await pilot.press(key)
        await pilot.pause()
        (HERE / f"{name}.svg").write_text(own_fonts(app.export_screenshot(title="fieldplan")), encoding="utf-8")


def main() -> None:
    """All of them."""
    with tempfile.TemporaryDirectory() as folder:
        for name in ("plans", "profiles"):
            (Path(folder) / name).mkdir()
            os.environ[f"FIELDPLAN_{name.upper()}"] = str(Path(folder) / name)
        os.environ["FIELDPLAN_STATE"] = str(Path(folder) / "state.json")
        plan = shutil.copy(HERE / "lake-and-chapel.toml", Path(folder) / "plans")
        shutil.copy(HERE.parent / "profiles" / "two-bodies.toml", Path(folder) / "profiles")
        for name, skin, keys in PICTURES:
            asyncio.run(draw(name, skin, keys, Path(plan)))


if __name__ == "__main__":
    main()
