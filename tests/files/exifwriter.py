"""Invented pictures for the tests: written by Pillow, a general writer that shares nothing with the reader."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

# Tag numbers of Exif 2.32 (CIPA DC-008), table 4 ff.
MODEL, MAKE, EXIF_TABLE = 0x0110, 0x010F, 0x8769
TIME, DIGITIZED, OFFSET, SUBSEC = 0x9003, 0x9004, 0x9011, 0x9291
EXPOSURE, F_NUMBER, SPEED, APERTURE = 0x829A, 0x829D, 0x9201, 0x9202
ISO, SENSITIVITY, STANDARD_OUTPUT, RECOMMENDED, ISO_SPEED = 0x8827, 0x8830, 0x8831, 0x8832, 0x8833
FOCAL, EQUIVALENT, LENS, LENS_RANGE, DISTANCE = 0x920A, 0xA405, 0xA434, 0xA432, 0x9206
WIDE, HIGH, DENSE_X, DENSE_Y, UNIT = 0xA002, 0xA003, 0xA20E, 0xA20F, 0xA210

USUAL: dict[int, Any] = {
    TIME: "2027:03:14 07:24:31",
    OFFSET: "+01:00",
    SUBSEC: "25",
    EXPOSURE: (1, 640),
    F_NUMBER: (63, 10),
    ISO: 1600,
    FOCAL: (500, 1),
    EQUIVALENT: 763,
    LENS: "Lens B",
    LENS_RANGE: ((150, 1), (600, 1), (5, 1), (63, 10)),
    WIDE: 6000,
    HIGH: 4000,
    DENSE_X: (60000, 236),
    DENSE_Y: (40000, 157),
    UNIT: 4,
    DISTANCE: (285, 10),
}


def ratio(value: Any) -> Any:
    """Pairs of integers as ratios; anything else as it is."""
    if isinstance(value, tuple) and len(value) == 2 and all(isinstance(part, int) for part in value):
        return IFDRational(*value)
    return tuple(ratio(part) for part in value) if isinstance(value, tuple) else value


def exif(tags: dict[int, Any] | None = None, body: Any = "Body A", **main: Any) -> Image.Exif:
    made = Image.Exif()
    if body is not None:
        made[MODEL] = body
    table = made.get_ifd(EXIF_TABLE)
    for tag, value in (USUAL if tags is None else tags).items():
        table[tag] = ratio(value)
    again = Image.Exif()
    again.load(made.tobytes())
    return again


def write(path: Path, tags: dict[int, Any] | None = None, body: Any = "Body A") -> Path:
    """A small picture with the tags, in the format that the name's ending says."""
    Image.new("RGB", (6, 4)).save(path, exif=exif(tags, body))
    return path


def usual_but(**changes: Any) -> dict[int, Any]:
    """The usual tags with others by name: usual_but(FOCAL=(35, 1)); None leaves one out."""
    tags = dict(USUAL)
    for name, value in changes.items():
        tags[globals()[name]] = value
    return {tag: value for tag, value in tags.items() if value is not None}
