"""The fonts of the PDF card: the shipped one, one of this machine for what it lacks, a box for what none draws."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from importlib import resources
from itertools import groupby
from pathlib import Path
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFError, TTFont

from fieldplan.card.fontsearch import faces_for
from fieldplan.pictures.cells import clean

PLAIN, BOLD = "Card", "CardBold"
BOX = "\N{WHITE SQUARE}"
BOX_NOTE = f"{BOX} stands for a character that cannot be drawn here; the text and HTML cards have it"
_FILES = {PLAIN: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}


def _register(name: str, path: str, index: int = 0) -> TTFont | None:
    """The font under that name, read once for each process; None where the file cannot be embedded."""
    if name not in pdfmetrics.getRegisteredFontNames():
        try:
            pdfmetrics.registerFont(TTFont(name, path, subfontIndex=index))
        except (TTFError, OSError, ValueError, KeyError, IndexError):
            return None
    return pdfmetrics.getFont(name)


def _right_to_left(char: str) -> bool:
    """Whether a character belongs to a script that runs from right to left: setting those takes more than glyphs."""
    return unicodedata.bidirectional(char) in ("R", "AL")


class Typeface:
    """Marks texts up for reportlab's paragraphs with fonts that have their glyphs.

    texts: everything that will be set. folders: where to look for further fonts; None: this platform's.
    """

    def __init__(self, texts: Iterable[str], folders: list[Path] | None = None) -> None:
        shipped = resources.files("fieldplan.card") / "fonts"
        for name, file in _FILES.items():
            with resources.as_file(shipped / file) as path:
                _register(name, str(path))
        known = pdfmetrics.getFont(PLAIN).face.charToGlyph
        missing = {c for text in texts for c in clean(text) if ord(c) not in known and not c.isspace()}
        self._other: dict[str, str] = {}
        for face, characters in faces_for({c for c in missing if not _right_to_left(c)}, folders):
            name = f"{face.path}#{face.number}"
            font = _register(name, str(face.path), face.number)
            if font is not None:
                self._other.update({c: name for c in characters if ord(c) in font.face.charToGlyph})
        self._boxed = missing - self._other.keys()
        self.has_boxes = bool(self._boxed)

    def plain(self, text: str) -> str:
        """The text with a box for each character that cannot be drawn."""
        return "".join(BOX if c in self._boxed else c for c in clean(text))

    def marked(self, text: str, font: str = PLAIN) -> str:
        """Paragraph markup of a text; nothing in it is taken as markup."""
        parts = []
        for name, run in groupby(self.plain(text), lambda c: self._other.get(c, font)):
            piece = escape("".join(run))
            parts.append(piece if name == font else f'<font name="{escape(name, {chr(34): "&quot;"})}">{piece}</font>')
        return "".join(parts)
