"""Calendar and waypoints, read back by icalendar and gpxpy, two general libraries."""

from __future__ import annotations

import datetime as dt
from xml.etree import ElementTree

import gpxpy
import pytest
from icalendar import Calendar

from fieldplan.card import NothingToWrite, render
from fieldplan.card.calendar import folded
from fieldplan.card.sheet import sheet_of

from .invented import PLAN, answers, changed, hostile

UTC = dt.UTC


def events(ics: str) -> list[dict[str, object]]:
    return list(Calendar.from_ical(ics).walk("VEVENT"))


def test_each_shot_with_a_time_is_an_event_in_universal_time() -> None:
    found = events(str(render(answers(), "ics")))
    assert [str(e["SUMMARY"]) for e in found] == ["fox at the fence", "mill over the water"]
    # Central European Summer Time is UTC+2
    assert found[0].decoded("DTSTART") == dt.datetime(2027, 5, 2, 17, 30, tzinfo=UTC)
    assert "DTEND" not in found[0]
    assert found[1].decoded("DTSTART") == dt.datetime(2027, 5, 2, 18, 0, tzinfo=UTC)
    assert found[1].decoded("DTEND") == dt.datetime(2027, 5, 2, 18, 30, tzinfo=UTC)
    assert found[0]["GEO"].to_ical() == "48.5;9.25"
    assert found[0].decoded("DTSTAMP") == dt.datetime(2027, 5, 2, tzinfo=UTC)


def test_the_description_is_the_card_of_the_shot() -> None:
    block = sheet_of(answers()).blocks[0]
    described = str(events(str(render(answers(), "ics")))[0]["DESCRIPTION"])
    assert described == "\n".join(f"{label}: {text}" for label, text in block.lines)


def test_hostile_names_survive() -> None:
    given = hostile()
    found = events(str(render(given, "ics")))
    assert [str(e["SUMMARY"]) for e in found] == [s.shot.name for s in given.shots[:2]]
    assert str(found[0]["LOCATION"]) == "]]> <!-- pond, north; east"


def test_lines_are_folded_at_75_octets_and_end_in_crlf() -> None:
    # RFC 5545 section 3.1
    text = str(render(hostile(), "ics"))
    assert text.endswith("END:VCALENDAR\r\n") and text.count("\n") == text.count("\r\n")
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75
    assert folded("a" * 75) == "a" * 75
    assert folded("é" * 40).replace("\r\n ", "") == "é" * 40


def test_identities_stay_and_differ() -> None:
    first, again = (events(str(render(answers(), "ics"))) for _ in range(2))
    assert [str(e["UID"]) for e in first] == [str(e["UID"]) for e in again]
    assert len({str(e["UID"]) for e in first}) == 2


def test_a_stretch_over_midnight_ends_the_next_day() -> None:
    plan = changed(PLAN)
    plan["shot"] = [plan["shot"][1] | {"from": dt.time(23, 30), "to": dt.time(0, 45)}]
    (event,) = events(str(render(answers(plan), "ics")))
    assert event.decoded("DTSTART") == dt.datetime(2027, 5, 2, 21, 30, tzinfo=UTC)
    assert event.decoded("DTEND") == dt.datetime(2027, 5, 2, 22, 45, tzinfo=UTC)


def test_without_a_zone_times_float() -> None:
    # RFC 5545 section 3.3.5, form 1: local time
    (first, _) = events(str(render(answers(zone=None), "ics")))
    assert first.decoded("DTSTART") == dt.datetime(2027, 5, 2, 19, 30)


def test_without_a_time_there_is_no_calendar() -> None:
    with pytest.raises(NothingToWrite, match="no shot has both a date and a time"):
        render(answers(changed(PLAN, shot=[{"name": "some day"}])), "ics")


def test_places_are_waypoints() -> None:
    found = gpxpy.parse(str(render(answers(), "gpx")))
    assert found.name == "Mill pond (invented)" and found.version == "1.1"
    assert [(p.name, p.type, p.latitude, p.longitude, p.elevation, p.description) for p in found.waypoints] == [
        ("mill pond", "site", 48.5, 9.25, 420.0, None),
        ("mill", "landmark", 48.501, 9.252, 421.0, "14 m high"),
        ("weir", "viewpoint", 48.4995, 9.2495, None, "slippery"),
    ]


def test_gpx_elements_stand_in_the_order_of_its_schema() -> None:
    # gpx.xsd 1.1: metadataType name, desc ...; wptType ele ... name, cmt, desc, src, link, sym, type
    order = ["ele", "name", "desc", "type"]
    root = ElementTree.fromstring(str(render(answers(), "gpx")).encode())
    assert root.tag == "{http://www.topografix.com/GPX/1/1}gpx" and root[0].tag.endswith("metadata")
    for waypoint in root[1:]:
        places = [order.index(child.tag.split("}")[1]) for child in waypoint]
        assert places == sorted(places)


def test_hostile_places_survive() -> None:
    found = gpxpy.parse(str(render(hostile(), "gpx")))
    assert found.waypoints[0].name == "]]> <!-- pond, north; east"


def test_without_a_place_there_is_no_map() -> None:
    with pytest.raises(NothingToWrite, match="position"):
        render(answers(changed(PLAN, site={"name": "somewhere"})), "gpx")
