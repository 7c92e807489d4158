"""What is typed on the Moon & sun page: hours, weekdays, where one stands, and what one look at the disc showed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from fieldplan.model.forms import FormField
from fieldplan.model.schema import KeyPath
from fieldplan.planner.sightings import Corrected
from fieldplan.sky.aims import Correction
from fieldplan.sky.geocentric import Body
from fieldplan.tui.form import Entry

_EMPTIES = "Ctrl+U empties it"


class Asked(NamedTuple):
    """One thing that can be typed: its key, its label, an example, and what takes the text ("" empties it).

    take raises ValueError, in plain words, for a text that it cannot read.
    """

    key: str
    label: str
    example: str
    take: Callable[[str], None]


def _field(one: Asked) -> FormField:
    return FormField(one.key, one.label, one.example, _EMPTIES, False, (), "", None, False)


class AskSource:
    """Texts that belong to the page and to no file; a form edits them like any other."""

    def __init__(self, asked: Sequence[Asked], kept: Callable[[], None] = lambda: None) -> None:
        """kept: told whenever a text has been taken."""
        self._asked = {one.key: one for one in asked}
        self.texts = dict.fromkeys(self._asked, "")
        self._kept = kept

    @property
    def units(self) -> str:
        """Bare numbers mean nothing here."""
        return "metric"

    def entries(self) -> Sequence[Entry]:
        """The things that can be typed."""
        return [Entry((one.key,), _field(one), one.label) for one in self._asked.values()]

    def text(self, path: KeyPath) -> str:
        """As it was typed last."""
        return self.texts[str(path[0])]

    def problem(self, path: KeyPath) -> str:
        """Nothing is kept that cannot be read."""
        return ""

    def attempt(self, path: KeyPath, text: str) -> str:
        """Nothing is reckoned before the text is whole."""
        return ""

    def keep(self, path: KeyPath, text: str) -> str:
        """Take the text; the problem, where it cannot be read."""
        try:
            self._asked[str(path[0])].take(text.strip())
        except ValueError as wrong:
            return str(wrong)
        self.texts[str(path[0])] = text.strip()
        self._kept()
        return ""

    def restore(self, path: KeyPath) -> None:
        """Nothing was tried."""

    def words(self, path: KeyPath) -> Sequence[str]:
        """None are known."""
        return ()


def kept_of(texts: Mapping[str, str], look: Corrected | None) -> dict[str, str | float]:
    """What is put on disk: the texts, and what the look came to, which the text alone does not tell."""
    kept: dict[str, str | float] = {key: text for key, text in texts.items()
                                   if text and key not in ("look", "here")}  # fmt: skip
    if look is not None and texts.get("look"):
        kept |= {
            "look": texts["look"], "look_landmark": look.landmark, "look_viewpoint": look.viewpoint,
            "look_body": look.body, "look_ut_s": look.ut_s, "look_across_deg": look.correction.across_deg,
            "look_up_deg": look.correction.up_deg, "look_error_deg": look.error_deg,
        }  # fmt: skip
        if look.also:
            kept["look_also"] = "\n".join(look.also)
    return kept


def look_of(kept: Mapping[str, str | float]) -> Corrected | None:
    """The look, read back; None where any part of it is missing."""
    names = [kept.get(f"look_{name}") for name in ("landmark", "viewpoint", "body")]
    numbers = [kept.get(f"look_{name}") for name in ("ut_s", "across_deg", "up_deg")]
    landmark, viewpoint, body = names
    ut_s, across, up = numbers
    if not (isinstance(landmark, str) and isinstance(viewpoint, str) and body in ("moon", "sun")):
        return None
    if isinstance(ut_s, str) or isinstance(across, str) or isinstance(up, str):
        return None
    if ut_s is None or across is None or up is None or max(abs(across), abs(up)) > 10.0:
        return None
    which: Body = "moon" if body == "moon" else "sun"
    error = kept.get("look_error_deg")
    stated = float(error) if isinstance(error, float | int) and error >= 0.0 else 0.0
    also = kept.get("look_also")
    names_too = tuple(also.split("\n")) if isinstance(also, str) else ()
    return Corrected(landmark, viewpoint, which, ut_s, Correction(across, up), stated, names_too)
