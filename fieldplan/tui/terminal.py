"""What the terminal can show, as far as the environment tells."""

from __future__ import annotations

import os
from collections.abc import Mapping

from fieldplan.pictures.cells import Level


def level_of_terminal(env: Mapping[str, str] = os.environ) -> Level:
    """Block characters, unless the locale names an encoding that has none (POSIX.1-2017, 8.2: LC_ALL comes first, then
    LC_CTYPE, then LANG)."""
    locale = next((found for name in ("LC_ALL", "LC_CTYPE", "LANG") if (found := env.get(name))), "")
    return "block" if not locale or "utf" in locale.lower() else "ascii"
