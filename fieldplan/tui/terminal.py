"""What the terminal can show, as far as the environment tells."""

from __future__ import annotations

import os
from collections.abc import Mapping

from fieldplan.pictures.cells import Level

_NAMES = ("LC_ALL", "LC_CTYPE", "LANG")
_COERCED = ("C.UTF-8", "C.utf8", "UTF-8")  # what Python itself puts into LC_CTYPE in a plain locale (PEP 538)


def level_of_terminal(env: Mapping[str, str] = os.environ) -> Level:
    """Block characters, unless the locale names an encoding that has none (POSIX.1-2017, 8.2: LC_ALL comes first, then
    LC_CTYPE, then LANG)."""
    names = ("LC_ALL", "LANG") if env.get("LANG") and env.get("LC_CTYPE") in _COERCED else _NAMES
    locale = next((found for name in names if (found := env.get(name))), "")
    return "block" if not locale or "utf" in locale.lower() else "ascii"
