"""A few hundred hostile inputs for every reader; ``python -m tests.faults.fuzz 100000`` feeds as many as one likes."""

from __future__ import annotations

import datetime as dt
import os
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.files.exif import read_picture
from fieldplan.files.places import plans_folder
from fieldplan.files.problems import FileProblem, expanded, no_home
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.files.savedplaces import saved_places
from fieldplan.files.state import State, load_state
from fieldplan.files.waypoints_in import load_waypoints
from fieldplan.notation.position import read_position
from fieldplan.notation.quantity import DISTANCE, read_value
from fieldplan.notation.words import read_date

from .commands import said
from .edges import Edge, look_at
from .fuzz import feed, run
from .kept import KEPT
from .readers import readers
from .seeds import FOLDER, PLACES

COUNT = 250
HUGE = 100 * 1024 * 1024


@pytest.mark.parametrize("name", [name for name in readers() if name != "answers"])
def test_no_reader_trips(name: str) -> None:
    assert run(readers()[name], COUNT, 20270314).inputs == COUNT


@pytest.mark.parametrize(("name", "data"), KEPT)
def test_what_once_hurt_a_reader_hurts_it_no_more(name: str, data: bytes) -> None:
    feed(readers()[name], readers()[name].of(data))


def test_a_position_of_two_readings_is_refused_with_an_example() -> None:
    with pytest.raises(ValueError, match=r"read in two ways.*; write for example \"52\.3"):
        read_position("1,000 4.9711")


@pytest.mark.parametrize("number", ["\u00b2", "9" * 5000, "\u4e09", "0", "-1", "1e3"])
def test_a_number_of_hits_is_no_other_number(number: str) -> None:
    status, told = said(f"lineup\0lake\0--limit\0{number}")
    assert (status, "is no number of hits; write for example --limit 10" in told) == (2, True)


@pytest.mark.parametrize(("altitude", "sound"), [("-360", False), ("90.1", False), ("-90", True), ("90", True)])
def test_an_aim_is_no_higher_than_straight_up(altitude: str, sound: bool) -> None:
    assert look_at(Edge("plan", "[[shot]]", "aim_altitude", altitude)) is sound


def test_values_at_the_edges_are_answered_with_sense() -> None:
    assert run(readers()["answers"], 40, 20270314).taken == 40


def memory_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def huge(path: Path, head: bytes = b"") -> Path:
    """A sparse file of 100 MB."""
    path.write_bytes(head)
    os.truncate(path, HUGE)
    return path


@pytest.mark.parametrize("name", ["plan.toml", "gear.toml", "places.toml", "w.gpx", "state.json", "p.jpg"])
def test_a_file_of_100_megabytes_is_refused_before_it_is_read(tmp_path: Path, name: str) -> None:
    reading = {
        "plan.toml": load_plan, "gear.toml": load_profile, "places.toml": lambda path: saved_places(path.parent),
        "w.gpx": load_waypoints, "state.json": load_state, "p.jpg": read_picture,
    }  # fmt: skip
    path = huge(tmp_path / name, b"\xff\xd8\xff\xe1" if name == "p.jpg" else b"")
    before, began = memory_mb(), time.monotonic()
    try:
        found = reading[name](path)
    except FileProblem as problem:
        assert " MB" in str(problem)
    else:
        assert found == State() if name == "state.json" else found is None or not found.says_anything
    assert time.monotonic() - began < 1.0
    assert memory_mb() - before < 80.0


@pytest.mark.parametrize("opening", ["[", "{a=", "a.", "[[a]]\n", "'''", "[a.b]\n[a.b.c]\n", "x = [{y = "])
@pytest.mark.parametrize("depth", [200, 20_000])
def test_deep_nesting_is_refused(tmp_path: Path, opening: str, depth: int) -> None:
    path = tmp_path / "plan.toml"
    path.write_text(f'fieldplan_plan = 1\ntitle = "x"\nx = {opening * depth}')
    began = time.monotonic()
    with pytest.raises(FileProblem):
        load_plan(path)
    assert time.monotonic() - began < 5.0


def test_deep_and_wide_xml_is_refused_or_read(tmp_path: Path) -> None:
    path = tmp_path / "w.gpx"
    for text in ("<gpx>" + "<a>" * 100_000, "<gpx>" + "<a>" * 20_000 + "</a>" * 20_000 + "</gpx>",
                 "<!DOCTYPE gpx [" + "".join(f'<!ENTITY a{n + 1} "{f"&a{n};" * 10}">' for n in range(30)) + "]>",
                 "<gpx " + " ".join(f'a{n}="x"' for n in range(20_000)) + "/>"):  # fmt: skip
        path.write_text(text)
        began = time.monotonic()
        with pytest.raises(FileProblem):
            load_waypoints(path)
        assert time.monotonic() - began < 5.0


def test_many_records_take_no_more_than_their_share(tmp_path: Path) -> None:
    """Time to read grows no faster than the file: eight times the records, less than twenty times the time."""
    path, took = tmp_path / "plan.toml", []
    for count in (250, 2000):
        shots = "".join(f'[[shot]]\nname = "s{n}"\nsubject = "mallard"\n' for n in range(count))
        path.write_text(f'fieldplan_plan = 1\ntitle = "x"\n{shots}')
        times = []
        for _ in range(4):
            began = time.process_time()
            assert len(load_plan(path).value.shots) == count
            times.append(time.process_time() - began)
        took.append(min(times))
    assert took[1] < 20.0 * took[0]


@pytest.mark.parametrize(
    "text",
    [
        "0",
        "-1",
        "nan",
        "inf",
        "1e308",
        "-1e308",
        "1e999",
        "5e-324",
        "9" * 40,
        "0." + "0" * 40 + "1",
        "1e-320",
        "--5",
        "",
    ],
)
def test_numbers_at_the_edge_get_a_message(text: str) -> None:
    """IEEE 754 binary64: the largest is about 1.8e308, the smallest subnormal about 4.9e-324. A distance lies within
    neither."""
    with pytest.raises(ValueError) as raised:
        read_value(f"{text} m", DISTANCE)
    assert "write for example" in str(raised.value) or "too large" in str(raised.value)


@pytest.mark.parametrize("text", ["0001-01-01", "1899-12-31", "2200-01-01", "9999-12-31"])
def test_a_date_at_the_end_of_what_is_known_gets_a_message(text: str) -> None:
    """ISO 8601 knows the years 0000 to 9999; the day after the last one cannot be reckoned."""
    for found in (text, dt.date.fromisoformat(text)):
        with pytest.raises(ValueError, match="is not within 1900 and 2199"):
            read_date(found)


def test_a_file_with_a_thousand_mistakes_tells_the_first_of_them(tmp_path: Path) -> None:
    path = tmp_path / "gear.toml"
    path.write_text('fieldplan_profile = 1\nname = "x"\n' + "[[body]]\n" * 400)
    with pytest.raises(FileProblem) as raised:
        load_profile(path)
    assert len(raised.value.problems) > 1000
    assert str(raised.value).count("\n") == 40
    assert str(raised.value).endswith(f"and {len(raised.value.problems) - 40} more of them")


def test_a_unit_with_an_escape_sequence_is_shown_as_a_sign() -> None:
    with pytest.raises(ValueError) as raised:
        read_value("3 \x1b[31m", DISTANCE)
    assert "\x1b" not in str(raised.value)


@pytest.mark.parametrize("name", ["~no-such-person-here", "~\x00", "~\x1b[31m/x"])
def test_a_home_that_nobody_has_is_no_fault(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert str(expanded(name)) == name
    assert main(["check", name]) == 1
    assert main(["card", name]) == 1
    said = capsys.readouterr().err
    assert all(char.isprintable() or char == "\n" for char in said)


@pytest.mark.parametrize(
    "words",
    [
        ["card", "~nobody-here/x.toml"],
        ["card", "lake", "-o", "~nobody-here/x.txt"],
        ["card", "lake", "--profile", "~nobody-here/x"],
        ["card", "lake", "--plans", "~nobody-here"],
        ["card", "lake", "--profiles", "~nobody-here"],
        ["new", "Dawn", "--plans", "~nobody-here/plans"],
        ["check", "~nobody-here/x.toml"],
        ["check", "~nobody-here"],
        ["kit", "~nobody-here/x.toml"],
        ["lineup", "~nobody-here/x.toml"],
        ["light", "--at", "~nobody-here/x.gpx#a", "--on", "2027-03-14"],
        ["places", "~nobody-here/x.gpx"],
        ["pictures", "~nobody-here"],
        ["learn", "~nobody-here"],
    ],
)
def test_a_home_that_nobody_has_is_named_by_every_command(
    words: list[str], own_folders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    (own_folders / "plans" / "lake.toml").write_text('fieldplan_plan = 1\ntitle = "lake"\nprofile = "two-bodies"\n')
    empty = tmp_path / "empty"
    empty.mkdir()
    monkeypatch.chdir(empty)
    assert main(words) == 1
    assert 'there is no user "nobody-here" here' in capsys.readouterr().err
    assert list(empty.iterdir()) == [], "nothing is made in the place of a home"


def test_a_folder_that_is_called_so_is_no_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "~nobody-here").mkdir()
    assert no_home(Path("~nobody-here/x")) == ""
    assert plans_folder("~nobody-here") == Path("~nobody-here")


def test_no_name_leads_to_a_file_outside_the_folders(tmp_path: Path, own_folders: Path) -> None:
    """A plan names its profile; whatever it names, only a profile is opened, and nothing of another file is told."""
    secret = tmp_path / "secret.txt"
    secret.write_text("a word that nobody may see")
    plan = own_folders / "plans" / "lake.toml"
    for name in ("../secret.txt", str(secret), "/etc/passwd", "../../../../etc/passwd", "/dev/zero", "/dev/tty"):
        plan.write_text(f'fieldplan_plan = 1\ntitle = "x"\nprofile = "{name}"\n')
        done = subprocess.run(
            [sys.executable, "-m", "fieldplan", "card", str(plan)],
            capture_output=True, text=True, timeout=20, check=False, cwd=Path(__file__).parents[2],
        )  # fmt: skip
        assert done.returncode == 1
        assert "Traceback" not in done.stderr
        assert "nobody may see" not in done.stderr and "root:" not in done.stderr


def test_own_places_are_read_from_the_folder_of_the_test() -> None:
    (FOLDER / "places.toml").write_bytes(PLACES)
    assert [place.name for place in saved_places(FOLDER)] == ["reed hide"]
