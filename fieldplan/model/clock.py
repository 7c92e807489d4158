"""What a person knows of this computer's clock."""

from __future__ import annotations

from fieldplan.model import fields as t
from fieldplan.model.fields import Record, entry


class ComputerClock(Record):
    """How far it is ahead of the true time; a clock that is behind, or set to a zone further west, has a minus."""

    ahead: t.Shift | None = entry("clock ahead by", "5 min", help="min, h or s; behind: -5 min; left out: it is right")
