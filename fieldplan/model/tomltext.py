"""Values as TOML text on one line: "28 m", 07:20:00, true, ["B", "C"], { sky = "moon" }."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any


def literal(value: Any) -> str:
    """One value as TOML 1.0: text, number, truth, date, time, list, table (inline). Keys must be bare keys."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        # A JSON string is a TOML basic string, but for U+007F, which TOML wants escaped.
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key} = {literal(part)}" for key, part in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(literal(part) for part in value) + "]"
    return value.isoformat() if isinstance(value, (dt.date, dt.time)) else repr(value)
