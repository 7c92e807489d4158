"""What the terminal can show, as far as the environment tells, and how it is taken again after a stop."""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from fieldplan.pictures.cells import Level

if TYPE_CHECKING:
    from textual.app import App

_NAMES = ("LC_ALL", "LC_CTYPE", "LANG")
_COERCED = ("C.UTF-8", "C.utf8", "UTF-8")  # what Python itself puts into LC_CTYPE in a plain locale (PEP 538)


def level_of_terminal(env: Mapping[str, str] = os.environ) -> Level:
    """Block characters, unless the locale names an encoding that has none (POSIX.1-2017, 8.2: LC_ALL comes first, then
    LC_CTYPE, then LANG)."""
    names = ("LC_ALL", "LANG") if env.get("LANG") and env.get("LC_CTYPE") in _COERCED else _NAMES
    locale = next((found for name in names if (found := env.get(name))), "")
    return "block" if not locale or "utf" in locale.lower() else "ascii"


def continue_once(app: App[Any]) -> None:
    """Take the terminal again, once, when the process goes on after it was stopped from outside.

    The toolkit takes it a second time then, without having given it back: two threads would read the same keys, and
    one of them for ever. Stopped by its own key it has given it back, and goes on as it does.
    """
    driver, loop = app._driver, asyncio.get_running_loop()
    if driver is None or not hasattr(driver, "_sigcont_application"):
        return

    def again() -> None:
        driver.suspend_application_mode()
        driver.resume_application_mode()
        app.refresh(layout=True)

    def continued(*_: object) -> None:
        if getattr(driver, "_must_signal_resume", True):
            driver._sigcont_application()
        else:
            loop.call_soon_threadsafe(again)

    signal.signal(signal.SIGCONT, continued)
