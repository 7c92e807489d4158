"""The guide that ships with the program: one short text for each page, one for the files, one for the fields
that they may hold, one for the formulas."""

from __future__ import annotations

from functools import cache
from importlib import resources

PAGES = ("gear", "shot", "light", "moon-and-sun", "card")  # in the order of the pages, from 1
FIELDS = "fields"  # told from the declarations themselves
CHAPTERS = (*PAGES, "files", FIELDS, "formulas")


@cache
def read_chapter(name: str) -> str:
    """The text of a chapter, as it was written. Raises KeyError for a name that is none."""
    if name not in CHAPTERS:
        raise KeyError(name)
    if name == FIELDS:
        from fieldplan.model.fieldlist import field_list

        return field_list()
    return (resources.files("fieldplan") / "guide" / f"{name}.md").read_text(encoding="utf-8")
