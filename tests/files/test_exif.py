"""Tags are read back as a general writer (Pillow) put them in; what cannot be is left out; broken files are named."""

from __future__ import annotations

import datetime as dt
import math
import os
import struct
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldplan.files.exif import MOST_BYTES, Unreadable, cleaned, read_picture
from fieldplan.files.folderpictures import gather
from fieldplan.planner.seen import LensRange, Seen, sensor_of

from .exifwriter import usual_but, write

PER_FILE = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def seen(path: Path) -> Seen:
    found = read_picture(path)
    assert found is not None
    return found


@pytest.mark.parametrize("ending", ["jpg", "tif", "png"])
def test_every_tag_is_read_back(tmp_path: Path, ending: str) -> None:
    found = seen(write(tmp_path / f"a.{ending}"))
    assert found == Seen(
        f"a.{ending}", dt.datetime(2027, 3, 14, 7, 24, 31, 250_000), 3600, "Body A", "Lens B", 0.5, 0.763, 6.3,
        1 / 640, 1600.0, (pytest.approx(0.0236), pytest.approx(0.0157)), (6000, 4000), 28.5,
        LensRange(0.15, 0.6, 5.0, 6.3),
    )  # fmt: skip


@PER_FILE
@given(
    focal=st.tuples(st.integers(5, 120_000), st.integers(1, 100)),
    f_number=st.tuples(st.integers(10, 640), st.just(10)),
    exposure=st.tuples(st.integers(1, 300), st.integers(1, 32_000)),
    iso=st.integers(1, 65_534),
)
def test_numbers_equal_what_was_written(
    tmp_path: Path, focal: tuple[int, int], f_number: tuple[int, int], exposure: tuple[int, int], iso: int
) -> None:
    path = write(tmp_path / "n.jpg", usual_but(FOCAL=focal, F_NUMBER=f_number, EXPOSURE=exposure, ISO=iso))
    found = seen(path)
    mm = focal[0] / focal[1]
    assert found.focal_m == (pytest.approx(mm / 1000.0) if 0.5 <= mm <= 10_000 else None)
    assert found.f_number == pytest.approx(f_number[0] / 10)
    assert found.shutter_s == pytest.approx(exposure[0] / exposure[1])
    assert found.iso == iso


@pytest.mark.parametrize("value", [(0, 0), (1, 0), (0, 1), (4_000_000_000, 1), (1, 4_000_000_000)])
def test_what_no_lens_or_camera_has_is_left_out(tmp_path: Path, value: tuple[int, int]) -> None:
    tags = usual_but(FOCAL=value, F_NUMBER=value, EXPOSURE=value, DISTANCE=value, SPEED=None, APERTURE=None)
    found = seen(write(tmp_path / "a.jpg", tags))
    assert (found.focal_m, found.f_number) == (None, None)
    assert found.distance_m is None
    assert found.shutter_s is None or 1e-7 <= found.shutter_s <= 864_000.0
    assert found.iso == 1600.0, "one silly tag takes nothing else with it"


def test_exposure_time_falls_back_on_apex(tmp_path: Path) -> None:
    """Tv = -log2 t, Av = 2 log2 N: Exif 2.32, annex C: 1/125 s is Tv 7 (as 1/128), f/5.6 is Av 5 (as 5.657)."""
    tags = usual_but(EXPOSURE=None, SPEED=(7, 1), F_NUMBER=None, APERTURE=(5, 1))
    found = seen(write(tmp_path / "a.jpg", tags))
    assert found.shutter_s == 1 / 128
    assert found.f_number == pytest.approx(2**2.5)


@pytest.mark.parametrize(
    ("tags", "iso"),
    [
        ({"ISO": 65535, "SENSITIVITY": 2, "RECOMMENDED": 102_400, "STANDARD_OUTPUT": 99_000}, 102_400),
        ({"ISO": 65535, "SENSITIVITY": 1, "RECOMMENDED": 102_400, "STANDARD_OUTPUT": 99_000}, 99_000),
        ({"ISO": None, "SENSITIVITY": 3, "ISO_SPEED": 204_800, "RECOMMENDED": 5}, 204_800),
        ({"ISO": None, "STANDARD_OUTPUT": 800}, 800),
        ({"ISO": 65535}, 65535),
        ({"ISO": 0}, None),
        ({"ISO": None}, None),
    ],
)
def test_iso_of_all_its_tags(tmp_path: Path, tags: dict[str, int | None], iso: float | None) -> None:
    """Exif 2.32, 4.6.5.10 ff.: 65535 stands for "65535 or more", and SensitivityType names the tag that holds it."""
    assert seen(write(tmp_path / "a.jpg", usual_but(**tags))).iso == iso


@pytest.mark.parametrize(
    ("text", "offset", "taken", "offset_s"),
    [
        ("2027:03:14 07:24:31", "-05:30", dt.datetime(2027, 3, 14, 7, 24, 31, 250_000), -19800),
        ("2027:03:14 07:24:31", "nonsense", dt.datetime(2027, 3, 14, 7, 24, 31, 250_000), None),
        ("2027:02:30 07:24:31", "+01:00", None, None),
        ("0000:00:00 00:00:00", "+01:00", None, None),
        ("    :  :     :  :  ", "+01:00", None, None),
        ("\x1b[2J", "+01:00", None, None),
    ],
)
def test_times(tmp_path: Path, text: str, offset: str, taken: dt.datetime | None, offset_s: int | None) -> None:
    found = seen(write(tmp_path / "a.jpg", usual_but(TIME=text, OFFSET=offset)))
    assert (found.taken, found.offset_s) == (taken, offset_s)


def test_distance_infinite_and_unknown(tmp_path: Path) -> None:
    """Exif 2.32, 4.6.5.22: a numerator of FFFFFFFF is infinity, 0 is unknown."""
    assert seen(write(tmp_path / "a.jpg", usual_but(DISTANCE=(0xFFFFFFFF, 10)))).distance_m == math.inf
    assert seen(write(tmp_path / "b.jpg", usual_but(DISTANCE=(0, 10)))).distance_m is None


@pytest.mark.parametrize(("unit", "size"), [(2, 25.4), (3, 10.0), (4, 1.0)])
def test_sensor_from_focal_plane_resolution(tmp_path: Path, unit: int, size: float) -> None:
    """5472 pixels on 22.3 mm, 3648 on 14.9 mm, in pixels an inch, a cm, a mm (units: Exif 2.32, TIFF/EP)."""
    dense = [(round(pixels / mm * size * 1000), 1000) for pixels, mm in ((5472, 22.3), (3648, 14.9))]
    tags = usual_but(WIDE=5472, HIGH=3648, DENSE_X=dense[0], DENSE_Y=dense[1], UNIT=unit, EQUIVALENT=None)
    found = seen(write(tmp_path / "a.jpg", tags))
    assert found.sensor == (pytest.approx(0.0223, rel=1e-3), pytest.approx(0.0149, rel=1e-3))
    assert sensor_of(found) is not None


def test_a_picture_made_smaller_does_not_make_the_sensor_smaller(tmp_path: Path) -> None:
    """The resolution is left as it was while the sides are halved; the equivalent focal length tells."""
    found = seen(write(tmp_path / "a.jpg", usual_but(WIDE=3000, HIGH=2000)))
    believed = sensor_of(found)
    assert believed is not None and believed[1].startswith("equivalent")
    assert believed[0][0] == pytest.approx(0.0236, rel=0.01)


@PER_FILE
@given(st.text(max_size=200))
def test_hostile_names_come_out_harmless(tmp_path: Path, text: str) -> None:
    found = cleaned(text)
    assert found is None or (found.isprintable() and 0 < len(found) <= 60 and found == found.strip())


def test_escape_sequences_and_markup(tmp_path: Path) -> None:
    body = "\x1b]0;title\x07Body\x1b[31;1m A\x1b[0m [red]<b>&\x00after"
    found = seen(write(tmp_path / "a.jpg", usual_but(LENS="\x1b[2J\x1b[H"), body))
    assert found.body == "Body A [red]<b>&"
    assert found.lens is None


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), ending=st.sampled_from(["jpg", "tif", "png"]))
def test_mutated_bytes_never_break_anything(tmp_path: Path, data: st.DataObject, ending: str) -> None:
    sound = tmp_path / f"sound.{ending}"
    if not sound.exists():
        write(sound)
    bytes_ = bytearray(sound.read_bytes())
    for _ in range(data.draw(st.integers(1, 12))):
        at = data.draw(st.integers(0, len(bytes_) - 1))
        bytes_[at : at + 1] = data.draw(st.binary(max_size=3))
        if not bytes_:
            break
    path = tmp_path / f"mutated.{ending}"
    path.write_bytes(bytes(bytes_[: data.draw(st.integers(0, len(bytes_)))]))
    try:
        found = read_picture(path)
    except Unreadable as why:
        assert str(why)
        return
    if found is not None:
        numbers = (found.focal_m, found.f_number, found.shutter_s, found.iso)
        assert all(n is None or (math.isfinite(n) and n > 0) for n in numbers)
        assert all(t is None or t.isprintable() for t in (found.body, found.lens))


def tiff(entries: list[tuple[int, int, int, int]], size: int | None = None) -> bytes:
    """A little-endian TIFF with one table: (tag, type, count, value or offset)."""
    table = struct.pack("<H", len(entries)) + b"".join(struct.pack("<HHII", *e) for e in entries) + b"\0\0\0\0"
    return (b"II*\0\x08\0\0\0" + table).ljust(size or 0, b"\0")


@pytest.mark.parametrize(
    "entries",
    [
        [(0x0110, 2, 0x7FFFFFFF, 8)],
        [(0x0110, 2, 0xFFFFFFFF, 8)] * 300,
        [(0x8769, 4, 1, 8)],
        [(0x8769, 4, 1, 8)] * 60,
        [(0x8825, 4, 1, 8)] * 60,
        [(0x9286, 7, 0xFFFFFFFF, 8)],
        [(0x0100, 4, 999, 8)] * 500,
    ],
)
def test_silly_tags_are_refused_in_bounded_memory_and_time(
    tmp_path: Path, entries: list[tuple[int, int, int, int]]
) -> None:
    """Huge counts, and tables that hold themselves, in a (sparse) file of a gigabyte."""
    path = tmp_path / "raw.tif"
    path.write_bytes(tiff(entries))
    os.truncate(path, 2**30)
    tracemalloc.start()
    try:
        found = read_picture(path)
        assert found is not None
        assert not found.says_anything
    except Unreadable as why:
        assert "broken" in str(why)
    finally:
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    assert peak < 4 * MOST_BYTES


def test_folder_with_everything_in_it(tmp_path: Path) -> None:
    folder = tmp_path / "pictures"
    (folder / "in").mkdir(parents=True)
    for number in range(30):
        write(folder / "in" / f"p{number:02}.jpg")
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "notes.txt").write_text("no picture")
    write(folder / "plain.jpg", {})
    (folder / "cut.jpg").write_bytes((folder / "in" / "p00.jpg").read_bytes()[:60])
    (folder / "in" / "loop").symlink_to(folder)
    (folder / "self.jpg").symlink_to(folder / "self.jpg")
    os.mkfifo(folder / "pipe.jpg")
    told: list[tuple[int, int]] = []
    found = gather(folder, lambda done, of: told.append((done, of)))
    assert len(found.pictures) == 30
    assert [name for name, _ in found.broken] == ["cut.jpg"]
    assert (found.silent, found.others, found.stopped) == (1, 2, False)
    assert told[0][0] == 0 and told[-1] == (34, 34)
    assert told == sorted(told)


def test_reading_stops_when_asked(tmp_path: Path) -> None:
    for number in range(50):
        write(tmp_path / f"p{number:02}.jpg")
    asked: list[int] = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) > 12

    found = gather(tmp_path, stop=stop)
    assert found.stopped
    assert 0 < len(found.pictures) < 50


HEADS = (b"\xff\xd8\xff\xe1", b"II*\0", b"MM\0*", b"\x89PNG\r\n\x1a\n",
         b"\0\0\0\x0cJXL \r\n\x87\n\0\0\0\x14ftypjxl \0\0\0\0",
         b"\0\0\0\x18ftypheic\0\0\0\0", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\0\xffmeta")  # fmt: skip


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(head=st.sampled_from(HEADS), rest=st.binary(max_size=400))
def test_anything_behind_a_right_beginning_is_read_or_named(tmp_path: Path, head: bytes, rest: bytes) -> None:
    path = tmp_path / "p"
    path.write_bytes(head + rest)
    try:
        found = read_picture(path)
    except Unreadable as why:
        assert "broken" in str(why)
        return
    assert found is not None


def test_thousands_of_files_in_bounded_memory(tmp_path: Path) -> None:
    """Every picture kept takes about a kilobyte, whatever the files hold."""
    data = write(tmp_path / "a.jpg").read_bytes() + bytes(200_000)
    for number in range(1000):
        path = tmp_path / f"p{number:04}.jpg"
        path.write_bytes(data[: len(data) - 200_000])
        os.truncate(path, len(data))
    tracemalloc.start()
    found = gather(tmp_path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(found.pictures) == 1001
    assert peak < 1001 * 2048 + 8 * 2**20


def test_files_are_left_as_they_were(tmp_path: Path) -> None:
    path = write(tmp_path / "a.jpg")
    path.chmod(0o444)
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    gather(tmp_path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
