"""Text made safe inside HTML and XML."""

from __future__ import annotations

from html import escape

_LOST = "\N{REPLACEMENT CHARACTER}"


def _allowed(char: str) -> bool:
    """Char of XML 1.0 (fifth edition), section 2.2, without the noncharacters of Unicode that HTML forbids."""
    code = ord(char)
    if code < 0x20:
        return char in "\t\n\r"
    return not (0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 or 0xFDD0 <= code < 0xFDF0 or code & 0xFFFE == 0xFFFE)


def escaped(text: str) -> str:
    """The text with markup signs written out, so that nothing in it is read as markup."""
    return escape("".join(c if _allowed(c) else _LOST for c in text))
