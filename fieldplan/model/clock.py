"""What a person knows of this computer's clock."""

from __future__ import annotations

from fieldplan.model import fields as t
from fieldplan.model.fields import Record, entry


class ComputerClock(Record):
    """How far it is ahead of the true time; a clock that is behind, or set to a zone further west, has a minus."""

    ahead: t.Shift | None = entry("clock ahead by", "5 min", help="or 1:05, 1 h 5 min; behind: -5 min; left out: right")
    true_time: t.Clock | None = entry("true time now", "14:32:10", help="at the site: the difference follows")
