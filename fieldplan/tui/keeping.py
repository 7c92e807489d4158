"""Keeps aside, at every key, what is not on disk, and brings back what a crash left."""

from __future__ import annotations

from pathlib import Path

from fieldplan.files.journal import Journal, Left
from fieldplan.files.places import is_starter
from fieldplan.files.problems import visible
from fieldplan.model.schema import KeyPath
from fieldplan.tui.desk import AnyDocument, Desk
from fieldplan.tui.form import Form


class Keeper:
    """The journals of the documents on a desk."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._journals: dict[Path, Journal] = {}
        self._shared: list[str] = []
        for document in desk.documents:
            self._journal(document)
        self._tell_shared()

    def keep(self, form: Form | None) -> None:
        """Put down what is not on disk; form: the one that may be open."""
        for document in self.desk.documents:
            self._journal(document).keep(document.left(_typed(form, document)))
        self._drop_former()
        self._tell_shared()

    def _drop_former(self) -> None:
        """A document that was saved under another name (a starter, a copy) leaves nothing behind under its old one."""
        there = {document.path for document in self.desk.documents}
        for path in [path for path in self._journals if path not in there]:
            journal = self._journals.pop(path)
            journal.keep(Left("", "", {}))
            journal.close()

    def _tell_shared(self) -> None:
        """Which of the files another window has open too; once."""
        if self._shared:
            names, verb = " and ".join(self._shared), "are" if len(self._shared) > 1 else "is"
            self.desk.notices.append(
                f"{names} {verb} open in another window too; the later of two saves is asked about"
            )
            self._shared.clear()

    def close(self) -> None:
        """The program ends in good order: what does not read yet is kept with the state, what is not saved stays."""
        for document in self.desk.documents:
            left = document.left()
            if left.text:
                self.desk.notices.append(
                    f"edits of {visible(document.path.name)} are not saved; they wait for the next start"
                )
            self._journal(document).keep(left if left.text else left._replace(drafts={}))
        for journal in self._journals.values():
            journal.close()

    def _journal(self, document: AnyDocument) -> Journal:
        """The journal of where the document lies now."""
        journal = self._journals.get(document.path)
        if journal is None:
            journal = self._journals[document.path] = Journal(document.path)
            if journal.left is not None:
                self._bring_back(document, journal)
            if journal.elsewhere and not is_starter(document.path):
                self._shared.append(visible(document.path.name))
        return journal

    def _bring_back(self, document: AnyDocument, journal: Journal) -> None:
        left = journal.left

        def take(held: AnyDocument) -> None:
            if left is not None:
                self.desk.notices += held.take_left(left)

        problem = self.desk.edit(document, take)
        if problem:
            self.desk.notices.append(problem)
            journal.close()  # what it holds stays for another start


def _typed(form: Form | None, document: AnyDocument) -> dict[KeyPath, str]:
    """The text of an open field of the document, where it is not the one kept already."""
    if form is None or form.line is None or form.entry is None:
        return {}
    if getattr(form.source, "document", None) is not document:
        return {}
    path, text = form.entry.path, form.line.text
    return {} if text == form.source.text(path) else {path: text}
