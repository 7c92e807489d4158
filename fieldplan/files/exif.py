"""Reads from a picture file how it was taken: Exif 2.32 (CIPA DC-008) and TIFF/EP (ISO 12234-2) tags.

A general library walks the tags; here lie the limits on what it may read, and what is believed of what it found.
Nothing is ever written to a picture.
"""

from __future__ import annotations

import datetime as dt
import math
import os
import re
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Any, BinaryIO

from fieldplan.notation.words import read_name
from fieldplan.planner.seen import LensRange, Seen

MOST_BYTES = 4 * 1024 * 1024  # read of one file in all
MOST_AT_ONCE = 256 * 1024  # bytes that one tag may ask for
MOST_CALLS = 20_000  # reads of one file; the fullest files met with ask for a few thousand
LONGEST_TEXT = 60
_HEADS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"\0\0\0\x0cJXL \r\n\x87\n")
_BOXES = (b"ftypheic", b"ftypavif", b"ftypmif1")
_ESCAPES = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)?|.)", re.DOTALL)
_TIME = re.compile(r"(\d{4})[:-](\d{2})[:-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})")
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")
_UNITS_M = {2: 0.0254, 3: 0.01, 4: 0.001, 5: 1e-6}  # FocalPlaneResolutionUnit; 4 and 5: TIFF/EP
_STANDARD_OUTPUT = "Tag 0x8831"  # StandardOutputSensitivity, which the library has no name for
_INFINITE = 0xFFFFFFFF  # numerator of SubjectDistance for infinity


class Unreadable(Exception):
    """A picture file that cannot be read; the text says why."""


class _Refused(Exception):
    """The library asked for more than any sound file needs."""


class _Bounded:
    """A file of which only so much may be read; reads past its end are noticed."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._bytes, self._calls = MOST_BYTES, MOST_CALLS
        self.overran = False

    def seek(self, to: int, whence: int = 0) -> int:
        """As of a file. ValueError where the place cannot be."""
        return self._file.seek(to, whence)

    def tell(self) -> int:
        """As of a file."""
        return self._file.tell()

    def read(self, count: int = -1) -> bytes:
        """At most so many bytes, never more than one tag may have. Raises _Refused when the file has had its share."""
        wanted = MOST_AT_ONCE if count < 0 else min(count, MOST_AT_ONCE)
        self._calls -= 1
        found = self._file.read(wanted)
        self._bytes -= len(found)
        if self._calls < 0 or self._bytes < 0:
            raise _Refused
        if len(found) < wanted <= 8:
            self.overran = True
        return found


def looks_like_picture(head: bytes) -> bool:
    """By its first 12 bytes: JPEG, TIFF and the raw files built on it, HEIF, PNG, JPEG XL."""
    tiff = head[:2] in (b"II", b"MM") and (head[2:4] in (b"*\0", b"\0*") or head[:2] == b"II")
    return tiff or head.startswith(_HEADS) or head[4:12] in _BOXES


def read_picture(path: Path, name: str | None = None) -> Seen | None:
    """What a file says of how its picture was taken; None where it is no picture. Raises Unreadable.

    name: what to call it; left out, the file's name.
    """
    called = cleaned(name or path.name) or "?"
    try:
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(descriptor, "rb", buffering=16384) as file:
            if not stat.S_ISREG(os.fstat(descriptor).st_mode):
                return None
            if not looks_like_picture(file.read(12)):
                return None
            bounded = _Bounded(file)
            found = _seen(_tags(bounded), called)
    except OSError as error:
        raise Unreadable(f"cannot be opened: {os.strerror(error.errno or 0).lower()}") from None
    except ValueError:
        raise Unreadable("has a name that cannot be") from None
    if bounded.overran and not found.says_anything:
        raise Unreadable("is broken: it ends before its tags do")
    return found


def _tags(bounded: _Bounded) -> dict[str, Any]:
    """The tags by "EXIF FNumber" and the like. Raises Unreadable."""
    import logging

    import exifread

    logging.getLogger("exifread").setLevel(logging.CRITICAL)  # it warns on stderr, which may be a screen
    bounded.seek(0)
    try:
        tags: dict[str, Any] = exifread.process_file(bounded, details=False, extract_thumbnail=False)  # type: ignore
    except _Refused:
        raise Unreadable("is broken: its tags ask for more than any picture holds") from None
    except (MemoryError, RecursionError):
        raise Unreadable("is broken: its tags lead back to themselves") from None
    except Exception:  # whatever a broken file makes the library trip over
        raise Unreadable("is broken: its tags cannot be read") from None
    return tags


def _seen(tags: dict[str, Any], name: str) -> Seen:
    pixels = _pixels(tags)
    taken, offset_s = _time(tags)
    return Seen(
        name,
        taken,
        offset_s,
        _text(tags, "Model") or _text(tags, "Make"),
        _text(tags, "LensModel"),
        _within(_first(tags, "FocalLength"), 0.5, 10_000.0, 0.001),
        _within(_first(tags, "FocalLengthIn35mmFilm"), 1.0, 10_000.0, 0.001),
        _within(_first(tags, "FNumber"), 0.3, 1024.0) or _apex_f_number(tags),
        _within(_first(tags, "ExposureTime"), 1e-7, 864_000.0) or _apex_time(tags),
        _iso(tags),
        _sensor(tags, pixels),
        pixels,
        _distance(tags),
        _lens_range(tags),
    )


def cleaned(text: object) -> str | None:
    """Text of a file fit for a name: no escape sequences, no control characters, not too long; None: nothing left."""
    if isinstance(text, bytes):
        text = text.decode("utf-8", "replace")
    if not isinstance(text, str):
        return None
    plain = _ESCAPES.sub("", text[: 8 * LONGEST_TEXT])
    kept = "".join(c if c.isprintable() else " " for c in plain)
    short = " ".join(kept.split())[:LONGEST_TEXT].strip()
    try:
        return read_name(short)
    except ValueError:
        return None


def _values(tags: dict[str, Any], name: str) -> list[Any]:
    """The values of a tag, of the Exif table before the main one."""
    for table in ("EXIF", "Image"):
        found = tags.get(f"{table} {name}")
        if found is not None:
            values = getattr(found, "values", None)
            return list(values) if isinstance(values, (list, tuple)) else [values]
    return []


def _text(tags: dict[str, Any], name: str) -> str | None:
    values = _values(tags, name)
    return cleaned(values[0]) if values else None


def _number(value: Any) -> float | None:
    """A finite number of whatever a tag holds: an integer, a float in a tuple, a ratio; None for a ratio over zero."""
    if isinstance(value, tuple) and len(value) == 1:
        value = value[0]
    if isinstance(value, bool) or not hasattr(value, "__float__"):
        return None
    try:
        number = float(value)
    except (ZeroDivisionError, OverflowError, ValueError):
        return None
    return number if math.isfinite(number) else None


def _first(tags: dict[str, Any], name: str) -> float | None:
    values = _values(tags, name)
    return _number(values[0]) if values else None


def _within(number: float | None, low: float, high: float, scale: float = 1.0) -> float | None:
    """The number times the scale where it lies within bounds, else None."""
    return number * scale if number is not None and low <= number <= high else None


def _apex_time(tags: dict[str, Any]) -> float | None:
    """From ShutterSpeedValue, Tv = -log2(t) (APEX, Exif 2.32 annex C)."""
    speed = _within(_first(tags, "ShutterSpeedValue"), -19.0, 23.0)
    return None if speed is None else 2.0**-speed


def _apex_f_number(tags: dict[str, Any]) -> float | None:
    """From ApertureValue, Av = 2 log2(N) (APEX, Exif 2.32 annex C)."""
    aperture = _within(_first(tags, "ApertureValue"), -3.0, 20.0)
    return None if aperture is None else 2.0 ** (aperture / 2.0)


def _iso(tags: dict[str, Any]) -> float | None:
    """PhotographicSensitivity; where it is absent or at its largest, the tag that SensitivityType names, else any."""
    short = _within(_first(tags, "ISOSpeedRatings"), 1.0, 10_000_000.0)
    if short is not None and short < 65535.0:
        return short
    sort = int(_within(_first(tags, "SensitivityType"), 0.0, 7.0) or 0)
    named = {1: 0, 2: 1, 3: 2, 4: 1, 5: 0, 6: 1, 7: 1}.get(sort, 1)
    names = [_STANDARD_OUTPUT, "RecommendedExposureIndex", "ISOSpeed"]
    for name in (names[named], *names):
        found = _within(_first(tags, name), 1.0, 10_000_000.0)
        if found is not None:
            return found
    return short


def _pixels(tags: dict[str, Any]) -> tuple[int, int] | None:
    """The picture's own sides; not those of the main table, which in raw files are a preview's."""
    sides = [_within(_first(tags, name), 16.0, 200_000.0) for name in ("ExifImageWidth", "ExifImageLength")]
    return None if sides[0] is None or sides[1] is None else (int(sides[0]), int(sides[1]))


def _sensor(tags: dict[str, Any], pixels: tuple[int, int] | None) -> tuple[float, float] | None:
    """Sides of the sensor [m]: pixels over the focal-plane resolution, the long side first."""
    if pixels is None:
        return None
    unit = _UNITS_M.get(int(_within(_first(tags, "FocalPlaneResolutionUnit"), 0.0, 100.0) or 2))
    dense = [_within(_first(tags, f"FocalPlane{axis}Resolution"), 1e-6, 1e9) for axis in "XY"]
    if unit is None or dense[0] is None or dense[1] is None:
        return None
    short, long = sorted((pixels[0] / dense[0] * unit, pixels[1] / dense[1] * unit))
    return (long, short) if short >= 0.0008 and long <= min(0.15, 3.0 * short) else None


def _distance(tags: dict[str, Any]) -> float | None:
    """SubjectDistance [m]; 0 means unknown, and a numerator of all ones infinity (Exif 2.32, 4.6.5)."""
    values = _values(tags, "SubjectDistance")
    ones = getattr(values[0], "num", 0) if values else 0
    if isinstance(ones, int) and ones > 10_000_000 and _INFINITE % ones == 0:  # the ratio has been reduced
        return math.inf
    return _within(_number(values[0]), 0.01, 1e8) if values else None


def _lens_range(tags: dict[str, Any]) -> LensRange | None:
    """LensSpecification: shortest and longest focal length [mm], widest f-number at either (0/0: not known)."""
    values = [_number(value) for value in _values(tags, "LensSpecification")[:4]]
    if len(values) < 4:
        return None
    short, long = (_within(value, 0.5, 10_000.0, 0.001) for value in values[:2])
    if short is None or long is None or short > long:
        return None
    return LensRange(short, long, *(_within(value, 0.3, 128.0) for value in values[2:]))


def _time(tags: dict[str, Any]) -> tuple[dt.datetime | None, int | None]:
    """What the clock showed and its offset from UTC [s]: DateTimeOriginal, else DateTimeDigitized, with their own."""
    for name, kin in (("DateTimeOriginal", "Original"), ("DateTimeDigitized", "Digitized")):
        taken = _clock(_values(tags, name), _values(tags, f"SubSecTime{kin}"))
        if taken is not None:
            return taken, _offset([*_values(tags, f"OffsetTime{kin}"), *_values(tags, "OffsetTime")])
    return None, None


def _clock(values: Iterable[Any], fractions: Iterable[Any]) -> dt.datetime | None:
    match = next((_TIME.match(value.strip()) for value in values if isinstance(value, str)), None)
    if match is None:
        return None
    parts = [int(part) for part in match.groups()]
    digits = next((f.strip()[:6] for f in fractions if isinstance(f, str)), "")
    micro = int(digits.ljust(6, "0")) if digits.isascii() and digits.isdigit() else 0
    try:
        found = dt.datetime(*parts[:6], microsecond=micro)  # type: ignore[arg-type,misc]
    except ValueError:
        return None
    return found if 1900 <= found.year <= 2200 else None


def _offset(values: Iterable[Any]) -> int | None:
    for value in values:
        text = value.strip() if isinstance(value, str) else ""
        match = _OFFSET.fullmatch(text)
        if match and int(match[2]) <= 15 and int(match[3]) < 60:
            return (int(match[2]) * 3600 + int(match[3]) * 60) * (-1 if match[1] == "-" else 1)
        if text == "Z":
            return 0
    return None
