"""Layout in terminal cells: rows of (text, role) runs, cropped, padded, wrapped and set side by side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fieldplan.pictures.cells import Picture, Row, Run, clean, fit, text_cells
from fieldplan.pictures.wrapping import broken

CUT = "…"
BLANK: Row = ()


def safe(text: object) -> str:
    """Text typed by a person, fit for the screen: no control or format characters; it is never read as markup."""
    return clean(str(text))


def crop(text: str, width: int) -> str:
    """The text, or its beginning and a mark that something is left out, in at most ``width`` cells."""
    if text_cells(text) <= width:
        return text
    return fit(text, width - 1) + CUT if width > 0 else ""


def left(text: str, width: int) -> str:
    """Cropped and padded to exactly ``width`` cells, at the left."""
    text = crop(text, width)
    return text + " " * (width - text_cells(text))


def right(text: str, width: int) -> str:
    """Cropped and padded to exactly ``width`` cells, at the right."""
    text = crop(text, width)
    return " " * (width - text_cells(text)) + text


def row_cells(row: Row) -> int:
    """Cells that a row takes."""
    return sum(text_cells(text) for text, _ in row)


def crop_row(row: Row, width: int) -> Row:
    """The row in at most ``width`` cells; what is cut is marked."""
    if row_cells(row) <= width:
        return row
    kept: list[Run] = []
    room = width - 1
    for text, role in row:
        part = fit(text, room)
        if part:
            kept.append((part, role))
        room -= text_cells(part)
        if part != text:
            kept.append((CUT, role))
            break
    return tuple(kept)


def pad_row(row: Row, width: int, role: str = "") -> Row:
    """The row in exactly ``width`` cells."""
    row = crop_row(row, width)
    short = width - row_cells(row)
    return (*row, (" " * short, role)) if short > 0 else row


def wrap(text: str, width: int, hang: int = 0) -> list[str]:
    """Lines of at most ``width`` cells broken at blanks; later ones begin with ``hang`` blanks; long words are cut."""
    return broken(text.split(), width, " " * hang, lambda word, cells: [crop(word, cells)])


def wrapped(text: str, width: int, role: str = "", hang: int = 0, most: int | None = None) -> list[Row]:
    """Wrapped text as rows; with ``most`` the last one allowed says by its mark that there is more."""
    lines = wrap(text, width, hang)
    if most is not None and len(lines) > most:
        rest = " ".join(part.strip() for part in lines[most - 1 :])
        lines = [*lines[: most - 1], crop(" " * (hang if most > 1 else 0) + rest, width)] if most > 0 else []
    return [((line, role),) for line in lines]


def beside(first: Sequence[Row], width: int, second: Sequence[Row], gap: int = 2) -> list[Row]:
    """Two blocks side by side; the first padded to ``width`` cells."""
    high = max(len(first), len(second))
    block = []
    for y in range(high):
        one = pad_row(first[y] if y < len(first) else BLANK, width + gap)
        block.append((*one, *second[y]) if y < len(second) else one)
    return block


def columns(cells: Iterable[Row], width: int, count: int, gap: int = 2) -> list[Row]:
    """Cells filled downwards into ``count`` columns of equal width."""
    items = list(cells)
    high = -(-len(items) // count)
    wide = (width - gap * (count - 1)) // count
    block: list[Row] = items[:high]
    for index in range(1, count):
        block = beside(block, wide * index + gap * (index - 1), items[index * high : (index + 1) * high], gap)
    return block


def fitted(rows: Sequence[Row], width: int, height: int) -> Picture:
    """The rows as a picture of exactly ``height`` rows, none wider than ``width``."""
    kept = [crop_row(row, width) for row in rows[:height]]
    return tuple(kept + [BLANK] * (height - len(kept)))
