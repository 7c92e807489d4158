"""Waypoints read from GPX (schema of GPX 1.1: wpt with lat, lon, ele, name), saved places, and their command."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.files.places import list_profiles
from fieldplan.files.reading import FileProblem
from fieldplan.files.savedplaces import find_saved, saved_places
from fieldplan.files.waypoints_in import find_waypoint, load_waypoints

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
TWO = '<wpt lat="53.43" lon="12.75"><ele>62.5</ele><name>hide</name></wpt><wpt lat="-33.5" lon="180"/>'
PLACES = """
[[place]]
name = "Reed hide (invented)"
position = "52 18.072 N 4 58.266 E"
elevation = "10 ft"
note = "key at the farm"
"""


def gpx(folder: Path, body: str, head: str = HEAD) -> Path:
    path = folder / "points.gpx"
    path.write_text(f"{head}{body}</gpx>", encoding="utf-8")
    return path


def problem(path: Path) -> str:
    with pytest.raises(FileProblem) as told:
        load_waypoints(path)
    return str(told.value)


def test_waypoints_come_with_name_position_and_elevation(tmp_path: Path) -> None:
    first, second = load_waypoints(gpx(tmp_path, TWO))
    assert (first.name, first.position[:2], first.elevation_m) == ("hide", (53.43, 12.75), 62.5)
    assert (second.name, second.position[:2], second.elevation_m) == ("waypoint 2", (-33.5, -180.0), None)


def test_what_gpxpy_writes_is_read_back(tmp_path: Path) -> None:
    from gpxpy.gpx import GPX, GPXWaypoint

    made = GPX()
    made.waypoints.append(GPXWaypoint(latitude=69.6496, longitude=18.956, elevation=12.0, name="quay & <stone>"))
    path = tmp_path / "made.gpx"
    path.write_text(made.to_xml(version="1.0"), encoding="utf-8")
    (point,) = load_waypoints(path)
    assert (point.name, *point.position[:2], point.elevation_m) == ("quay & <stone>", 69.6496, 18.956, 12.0)


def test_hostile_names_are_made_safe_and_told_apart(tmp_path: Path) -> None:
    names = ["hide", "hide", "a\u202eb\u200bc\n  d", "\u009b31mred", "n" * 5000, " "]
    body = "".join(f'<wpt lat="1" lon="2"><name>{name}</name></wpt>' for name in names)
    found = [point.name for point in load_waypoints(gpx(tmp_path, body))]
    assert found == ["hide", "hide (2)", "abc d", "31mred", "n" * 120, "waypoint 6"]
    assert all(name.isprintable() for name in found)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("", "holds no waypoints"),
        ("<trk><trkseg><trkpt lat='1' lon='2'/></trkseg></trk>", "holds no waypoints"),
        ('<wpt lat="91" lon="0"><name>x</name></wpt>', "waypoint 1: x: latitude 91 is beyond 90 degrees"),
        ('<wpt lat="0" lon="-181"/>', "longitude -181 is beyond 180 degrees"),
        ('<wpt lat="nan" lon="0"/>', "finite"),
        ('<wpt lat="1" lon="0"><ele>99999</ele></wpt>', "an elevation of 99999 m"),
        ('<wpt lat="abc" lon="0"/>', "is not GPX that can be read"),
        ('<wpt lon="0"/>', "is not GPX that can be read"),
        ("<wpt", "is not GPX that can be read"),
    ],
)
def test_what_cannot_be_used_is_told_plainly(tmp_path: Path, body: str, said: str) -> None:
    text = problem(gpx(tmp_path, body))
    assert text.startswith("points.gpx: ") and said in text


def test_what_is_no_gpx_at_all_is_told_plainly(tmp_path: Path) -> None:
    path = tmp_path / "notes.gpx"
    path.write_text("just some notes")
    assert "is not GPX that can be read" in problem(path)
    path.write_bytes(b"\x89PNG\xff\xfe")
    assert "is not UTF-8 text" in problem(path)
    path.write_text('<!DOCTYPE gpx [<!ENTITY a "aaaa">]><gpx><wpt lat="1" lon="1"><name>&a;</name></wpt></gpx>')
    assert "entities of its own" in problem(path)
    assert "is not there" in problem(tmp_path / "none.gpx")
    assert "is a folder" in problem(tmp_path)


def test_a_waypoint_is_found_by_its_name(tmp_path: Path) -> None:
    path = gpx(tmp_path, TWO)
    assert find_waypoint(path, "HIDE").elevation_m == 62.5
    with pytest.raises(FileProblem, match=r'no waypoint "nest"; it has: hide, waypoint 2'):
        find_waypoint(path, "nest")


def test_saved_places_lie_beside_the_profiles_and_are_no_profile(tmp_path: Path) -> None:
    assert saved_places(tmp_path) == ()
    (tmp_path / "places.toml").write_text(PLACES)
    (place,) = saved_places(tmp_path)
    assert place.position[:2] == pytest.approx((52.3012, 4.9711))
    assert place.elevation == pytest.approx(3.048)
    assert find_saved("reed  HIDE (invented)", tmp_path) == place
    assert find_saved("nowhere", tmp_path) is None
    assert "places" not in [p.name for p in list_profiles(tmp_path)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[place]]\nname = "x"\nposition = "north"\n', "place[0].position"),
        ('[[place]]\nname = "x"\nposition = "1, 2"\nheigt = 3\n', "heigt"),
        (PLACES + PLACES, "two of the places are called"),
        ("[[place]\n", "is not TOML"),
    ],
)
def test_a_list_of_places_that_is_not_sound_is_explained(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "places.toml").write_text(text)
    with pytest.raises(FileProblem) as told:
        saved_places(tmp_path)
    assert said in str(told.value)


def test_the_command_lists_one_place_to_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "places.toml").write_text(PLACES)
    assert main(["places", "--profiles", str(tmp_path), "--find", "FARM"]) == 0
    line = "Reed hide (invented)  52.30120, 4.97110  Europe/Amsterdam  3 m  saved  key at the farm\n"
    assert capsys.readouterr().out == line
    assert main(["places", str(gpx(tmp_path, TWO))]) == 0
    assert capsys.readouterr().out.splitlines()[0] == "hide  53.43000, 12.75000  Europe/Berlin  62 m  waypoint"
    assert main(["places", "--profiles", str(tmp_path), "--find", "oslo"]) == 0
    assert "Europe/Oslo  city  Norway" in capsys.readouterr().out
    assert main(["places", "--profiles", str(tmp_path), "--find", "no such place"]) == 1
    assert "no place matches" in capsys.readouterr().err
    assert main(["places", str(tmp_path / "none.gpx")]) == 1
    assert "is not there" in capsys.readouterr().err
