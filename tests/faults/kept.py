"""Inputs that once hurt a reader, as small as they go: (reader, input)."""

from __future__ import annotations

_LONG = b"x" * 5000
KEPT: tuple[tuple[str, bytes], ...] = (
    ("command", b"-\x0f"),
    ("command", b"light\0--at\x0052.3, 4.9\0--on\x002027-03-14\0--zone\0\x1b[31m"),
    ("command", b"lineup\0lake\0--viewpoint\0\x06"),
    ("command", b"lineup\0lake\0--landmark\0\x1b]0;x\x07"),
    ("command", b"lineup\0lake\0--limit\0\x1b[31m"),
    ("command", b"lineup\0lake\0--weekdays\0\x1b[31m"),
    ("command", b"lineup\0lake\0--light\0\x1b[31m"),
    ("command", b"lineup\0lake\0--place\0\x1b[31m"),
    ("command", b"lineup\0lake\0--sort\0\x1b[31m"),
    ("command", b"kit\0lake\0--bodies\0-" + b"9" * 40),
    ("command", b"learn\0" + _LONG),
    ("command", b"learn\0--plans\0" + _LONG),
    ("command", b"places\0--profiles\0" + _LONG),
    ("command", b"check\0plans/lake.toml\0--profiles\0" + _LONG),
    ("command", b"new\0t\0--plans\0" + _LONG),
    ("command", b"light\0--on\x002027-03-14\0--at\0-33.85,151.2\xe2\x80\xae"),
    ("word", b"\xff-33.85,151.2\xe2\x81\xa6"),
    ("command", b"kit\0lake\0--insist\0\x1b[31m"),
)
