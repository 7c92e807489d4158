"""The clock: what this computer's shows, how far that is ahead of the true time, and so what time it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable


def computer_time() -> dt.datetime:
    """This computer's clock, in its own zone."""
    return dt.datetime.now().astimezone()


class Clock:
    """One clock for every page. read: this computer's; ahead: by how much it is ahead of the true time."""

    def __init__(self, read: Callable[[], dt.datetime] = computer_time, ahead: dt.timedelta = dt.timedelta()) -> None:
        self.read, self.ahead = read, ahead

    def computer(self) -> dt.datetime:
        """What this computer shows, with the offset of its own zone."""
        return self.read().astimezone()

    def now(self) -> dt.datetime:
        """The true time."""
        return self.computer() - self.ahead

    def to_next_minute_s(self) -> float:
        """Seconds until the next whole minute of the true time, and a little, so that it has begun."""
        now = self.now()
        return 60.05 - now.second - now.microsecond / 1e6
