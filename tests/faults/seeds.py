"""Real inputs of every sort, all invented, of which hostile ones are made."""

from __future__ import annotations

import atexit
import io
import shutil
import tempfile
from functools import cache
from pathlib import Path

from fieldplan.files.places import starters_folder

FOLDER = Path(tempfile.mkdtemp(prefix="fieldplan-hostile-", dir="/dev/shm" if Path("/dev/shm").is_dir() else None))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)
DATA = starters_folder("demo").parent / "fieldplan" / "data"
POSITIONS = (
    "52.3012, 4.9711", "52 18.07 N, 4 58.27 E", "52\u00b018'04.3\"N 4\u00b058'16\"E", "+52.3012+004.9711/",
    "geo:52.3012,4.9711;u=5", "31U 633674 5796260", "31UFT3367496260", "9F468XWC+F8", "S33 51.0 E151 12.0",
)  # fmt: skip
QUANTITIES = (
    "28 m", "92 ft", "5'8\"", "25-31 m", "12 km/h", "f/5.6", "50-75 %", "1/4000", "2 s", "36x24 mm", "2,8 m",
    "infinity", "1 h 30 min", "-5 min", "1.5 kg", "3 lb 4 oz", "0.4 m/s", "1:30", "7 to 9 cm",
)  # fmt: skip
WORDED = (
    "EV 12", "sunny", "crossing", "45", "print", "0.02 mm", "4 cm, 1 per second", "heron", "2027-03-14", "07:20",
    "yes", "a", "overcast", "12:59:59",
)  # fmt: skip
SKYWORDS = ("2 left, 0.5 above at 21:04", "one disc left", "21:00-04:30", "16:00 to 22:00", "90 %", "30-60 %",
            "1.5 discs too low, 2,5 right 0730", "20 to 60 %")  # fmt: skip
GPX = b"""<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1">
 <wpt lat="52.3012" lon="4.9711"><ele>3.5</ele><time>2027-03-14T07:20:00Z</time><name>reed hide</name></wpt>
 <wpt lat="-33.85" lon="151.2"><name>far away &amp; invented</name><sym>Flag</sym></wpt>
 <trk><trkseg><trkpt lat="52.3" lon="4.97"><ele>1</ele></trkpt></trkseg></trk>
</gpx>
"""
PLACES = b"""[[place]]
name = "reed hide"
position = "52.3012, 4.9711"
elevation = "3 m"
note = "invented"
"""
KEYS = b"""[[key]]
does = "undo"
keys = ["F8", "U"]
[[key]]
does = "next answer"
page = "Shot"
keys = "Ctrl+K"
"""
STATE = b'{"plan": "x.toml", "page": "light", "drafts": {"/x": {"digest": "a", "texts": [[["shot", 0, "name"], "x"]]}}}'
JOURNAL = b'\n{"digest": "a", "text": "fieldplan_plan = 1", "drafts": [[["shot", 0, "distance"], "28"]]}\n'


@cache
def pictures() -> tuple[bytes, ...]:
    """Small invented pictures with all the usual tags, in the byte order of either sort; and the tags alone."""
    from tests.files import exifwriter

    held = io.BytesIO()
    exifwriter.Image.new("RGB", (4, 4)).save(held, "JPEG", exif=exifwriter.exif(exifwriter.USUAL))
    whole = held.getvalue()
    return whole, whole[whole.index(b"Exif\0\0") + 6 :]


def tables(folder: Path) -> tuple[bytes, ...]:
    """All TOML files of a folder."""
    return tuple(path.read_bytes() for path in sorted(folder.glob("*.toml")))


def list_parts(name: str, most: int = 2000) -> tuple[bytes, ...]:
    """A list of the program, and pieces of it a few records long: a short file is read, and changed, more often."""
    whole = (DATA / f"{name}.toml").read_bytes()
    first, *records = whole.split(b"\n[[")
    pieces, piece = [whole], first
    for record in records:
        piece += b"\n[[" + record
        if len(piece) > most:
            pieces.append(piece)
            piece = first
    return (*pieces, piece)
