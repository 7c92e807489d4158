"""Where to stand, on the card and in the waypoints: read back by general libraries and put back under the sky."""

from __future__ import annotations

import datetime as dt
import io
import json
import math
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import gpxpy
import pypdf
import pytest
from skyfield.api import wgs84

from fieldplan.card import render
from fieldplan.cli import main
from fieldplan.pictures.cells import text_cells
from fieldplan.planner.answers import PlanAnswers
from fieldplan.sky.sightline import sightline
from fieldplan.sky.station import Place

from ..de421 import load_de421
from ..planner.test_standladder import EYE_M, TEXT, TOP
from .invented import answers, changed, tomllib


@pytest.fixture(scope="module")
def given() -> PlanAnswers:
    return answers(changed(tomllib.loads(TEXT)), zone="Europe/Berlin")


def test_waypoints_put_back_through_the_line_of_sight_have_the_moon_behind_the_top(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole way: a plan on disk, the command, the file, a general reader, the sightline, and DE421."""
    path = tmp_path / "moon.toml"
    path.write_text(TEXT, encoding="utf-8")
    assert main(["card", str(path), "--as", "gpx"]) == 0
    spots = [p for p in gpxpy.parse(capsys.readouterr().out).waypoints if p.type == "stand"]
    assert len(spots) >= 8 and len({p.name for p in spots}) == len(spots)
    ts, planets = load_de421()
    for p in spots:
        assert p.time is not None and p.elevation is not None and p.name is not None and p.description is not None
        when = p.time.astimezone(dt.UTC)
        local = when.astimezone(dt.timezone(dt.timedelta(hours=1)))
        assert p.name == f"moon with chapel {local:%Y-%m-%d %H:%M:%S}" and p.description.startswith(local.isoformat())
        line = sightline(Place(p.latitude, p.longitude, p.elevation + EYE_M), TOP)
        eye = planets["earth"] + wgs84.latlon(p.latitude, p.longitude, elevation_m=p.elevation + EYE_M)
        instant = ts.ut1(when.year, when.month, when.day, when.hour, when.minute, when.second)
        altitude, azimuth, _ = eye.at(instant).observe(planets["moon"]).apparent().altaz()
        lift = 1.02 / 60.0 / math.tan(math.radians(altitude.degrees + 10.3 / (altitude.degrees + 5.11)))  # Meeus 16.4
        assert line.bearing_deg == pytest.approx(azimuth.degrees, abs=0.005)
        assert line.apparent_altitude_deg == pytest.approx(altitude.degrees + lift, abs=0.005)


def test_gpx_elements_stand_in_the_order_of_its_schema(given: PlanAnswers) -> None:
    # gpx.xsd 1.1: wptType ele, time, ... name, cmt, desc, src, link, sym, type
    order = ["ele", "time", "name", "desc", "type"]
    for waypoint in ElementTree.fromstring(str(render(given, "gpx")).encode())[1:]:
        places = [order.index(child.tag.split("}")[1]) for child in waypoint]
        assert places == sorted(places)


def test_text_pdf_and_html_carry_every_spot(given: PlanAnswers) -> None:
    (stand,) = given.stands
    spots = [f"{row.latitude_deg:.5f}, {row.longitude_deg:.5f}" for row in stand.rows if row.latitude_deg is not None]
    pdf = render(given, "pdf")
    assert isinstance(pdf, bytes)
    pages = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    for shown in (str(render(given)), str(render(given, "html")), pages):
        assert [spot for spot in spots if spot not in shown] == []
        # The moon is 2 deg high at 17:47:53 (DE421, test_standladder): the first whole minute after it.
        assert "likely visible from 17:48" in " ".join(shown.split())
    assert max(map(len, str(render(given)).splitlines())) <= 80


def test_json_has_the_ladder_beside_what_was_there_before(given: PlanAnswers) -> None:
    (shot,) = json.loads(str(render(given, "json")))["shots"]
    rows = shot["stand"]["rows"]
    assert shot["stand"]["landmark"] == "chapel" and len(rows) == len(given.stands[0].rows)
    assert {"time", "azimuth_deg", "apparent_altitude_deg", "walk_m", "sideways_m_per_min", "gap_stops"} <= set(rows[0])
    assert {"name", "light", "rigs", "ladder", "notes"} <= set(shot)
    plain, *_ = json.loads(str(render(answers(), "json")))["shots"]
    assert plain["stand"] is None


def test_the_sun_keeps_its_caution_and_no_exposure(given: PlanAnswers) -> None:
    plan = tomllib.loads(TEXT)
    plan["shot"][0] |= {"from": dt.time(6, 20), "to": dt.time(7, 0), "subject": {"sky": "sun", "behind": "chapel"}}
    shown = " ".join(str(render(answers(plan, zone="Europe/Berlin"))).split())
    assert "no shutters: meter through the filter" in shown and "finder" in shown
    assert "time and ISO: meter through the filter" in shown and "; shutters at" not in shown


def test_every_frame_is_told_with_disc_and_landmark(given: PlanAnswers) -> None:
    shown = str(render(given))
    table = shown[shown.index("in the frame from hide: moon and chapel") :]
    assert "body one + 70-300, 300 mm" in " ".join(table.split()) and "smears" in table
    (shot,) = json.loads(str(render(given, "json")))["shots"]
    assert [one["rig"] for one in shot["stand"]["frames"]] == [one.label for one in given.stands[0].frames]
    assert all(0.0 < one["disc_share"] < one["landmark_share"] for one in shot["stand"]["frames"])


def test_hostile_names_of_landmark_and_viewpoint_survive() -> None:
    plan = tomllib.loads(TEXT)
    tower, hide = "漢字塔 <b>&" + "W" * 100, "]]> & <script>" + "n" * 90
    plan["site"] |= {"name": hide}
    plan["site"]["landmark"][0]["name"] = tower
    plan["shot"][0]["subject"]["behind"] = tower
    plan["site"]["viewpoint"] = [{"name": "ß Ω", "position": "53.431, 12.75"}]
    given = answers(plan, zone="Europe/Berlin")
    text = str(render(given))
    assert "漢字塔" in text and max(map(text_cells, text.splitlines())) <= 80
    assert isinstance(render(given, "pdf"), bytes)
    assert "<script>" not in str(render(given, "html"))
    names = [p.name for p in gpxpy.parse(str(render(given, "gpx"))).waypoints if p.type == "stand"]
    assert names and all(tower in str(name) for name in names)
