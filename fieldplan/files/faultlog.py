"""A log of faults of the program itself, to go with a report; it holds no positions and no names, unless asked to.

Of each fault it keeps when, on what system, the kind, and the lines of the program that led there; of the message only
its own words: digits and quoted texts are masked, and so is the home folder. FIELDPLAN_LOG=full keeps messages whole.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import platform
import re
import sys
import traceback
from pathlib import Path

from fieldplan.files.problems import visible
from fieldplan.files.state import state_file

_LARGEST = 256 * 1024  # bytes; then the log begins anew, the former one kept once
_MASKED = re.compile(r"\"[^\"]*\"|'[^']*'|\d")
_LONGEST = 300


def log_file() -> Path:
    """Where the log lies: beside the state."""
    return state_file().parent / "fieldplan.log"


def log_fault(fault: BaseException, command: str) -> Path | None:
    """Write a fault down; returns where, or None where nothing can be written. command: the word, without the rest."""
    path = log_file()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with contextlib.suppress(FileNotFoundError):
            if path.stat().st_size > _LARGEST:
                path.replace(path.with_name(path.name + "~"))
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
        with os.fdopen(os.open(path, flags, 0o600), "a", encoding="utf-8") as file:
            file.write(fault_text(fault, command) + "\n")
    except OSError:
        return None
    return path


def fault_text(fault: BaseException, command: str, full: bool | None = None) -> str:
    """A fault as it stands in the log. full: messages whole; left out: as FIELDPLAN_LOG says."""
    whole = os.environ.get("FIELDPLAN_LOG") == "full" if full is None else full
    import fieldplan

    now = dt.datetime.now(dt.UTC).strftime("%Y-%m-%d %H:%M:%SZ")
    about = f"{platform.system()} {platform.release()}, Python {platform.python_version()}"
    terminal = f"TERM={os.environ.get('TERM', '')} LANG={os.environ.get('LC_ALL') or os.environ.get('LANG', '')}"
    lines = [f"{now} fieldplan {fieldplan.__version__} {command}; {about}; {visible(terminal)}"]
    seen: list[BaseException] = []
    cause: BaseException | None = fault
    while cause is not None and cause not in seen and len(seen) < 5:
        seen.append(cause)
        for frame in traceback.extract_tb(cause.__traceback__)[-30:]:
            lines.append(f"  {_short(frame.filename)}:{frame.lineno} {frame.name}")
        lines.append(f"  {type(cause).__name__}: {_message(cause, whole)}")
        cause = cause.__cause__ or (None if cause.__suppress_context__ else cause.__context__)
    return "\n".join(lines)


def tell_fault(fault: BaseException, command: str) -> int:
    """Write a fault down and say so on stderr, in one line; returns the exit status."""
    path = log_fault(fault, command)
    where = f"it is written down in {visible(str(path))}" if path else "it could not be written down"
    print(f"fieldplan: a fault of the program itself ({type(fault).__name__}); {where}, which goes well with a report",
          file=sys.stderr)  # fmt: skip
    return 1


def _message(fault: BaseException, whole: bool) -> str:
    text = visible(" ".join(str(fault).split()))[:_LONGEST]
    return text if whole else _MASKED.sub("#", text).replace(str(Path.home()), "~")


def _short(filename: str) -> str:
    """The file as the package names it, without the folders of this computer."""
    parts = Path(filename).parts
    for top in ("site-packages", "fieldplan"):
        if top in parts:
            at = len(parts) - 1 - parts[::-1].index(top)
            return "/".join(parts[at + (top == "site-packages") :])
    return parts[-1] if parts else ""
