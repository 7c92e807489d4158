"""What a name typed into a field may become: subjects, activities, supports, bodies and lenses of the profile."""

from __future__ import annotations

from fieldplan.notation.words import ANSI_ROWS
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import FieldAt

MOST = 12


def _known(desk: Desk, at: FieldAt) -> list[str]:
    profile, shot = desk.profile, desk.shot
    catalogue = desk.setting.catalogue
    match at.path[-1]:
        case "subject":
            return [s.name for s in catalogue.subjects]
        case "activity":
            subject = catalogue.subject(shot.subject) if shot is not None and isinstance(shot.subject, str) else None
            return [a.name for a in subject.activities] if subject is not None else []
        case "fill":
            return [f.fill.typed for f in catalogue.fills]
        case "support":
            return [s.name for s in profile.supports]
        case "light":
            return list(ANSI_ROWS)
        case "body":
            return [b.name for b in profile.bodies]
        case "lens":
            return [b.name for b in profile.lenses]
        case "converter":
            return [b.name for b in profile.converters]
        case "tube":
            return [b.name for b in profile.tubes]
        case "close_up_lens":
            return [b.name for b in profile.close_up_lenses]
    return []


def suggest(desk: Desk, at: FieldAt, text: str) -> list[str]:
    """Known names that begin with the text, then those that hold it."""
    known, word = _known(desk, at), text.lower()
    if text in known:
        return []
    begin = [name for name in known if name.lower().startswith(word)]
    hold = [name for name in known if word in name.lower() and name not in begin]
    return (begin + hold)[:MOST]
