"""Positions against published examples and independent libraries; each table names its source."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic

from fieldplan.notation.pluscode import write_plus_code
from fieldplan.notation.position import read_position, write_position


def apart_m(first: tuple[float, ...], second: tuple[float, ...]) -> float:
    """Distance on the WGS 84 ellipsoid, by geographiclib (Karney 2013)."""
    return float(Geodesic.WGS84.Inverse(first[0], first[1], second[0], second[1])["s12"])


# RFC 5870, sections 6.1, 6.2 and 6.4: URI, latitude, longitude, height, uncertainty.
RFC_5870 = [
    ("geo:13.4125,103.8667", 13.4125, 103.8667, None, None),
    ("geo:48.2010,16.3695,183", 48.2010, 16.3695, 183.0, None),
    ("geo:48.198634,16.371648;crs=wgs84;u=40", 48.198634, 16.371648, None, 40.0),
    ("geo:90,-22.43;crs=WGS84", 90.0, -22.43, None, None),
    ("geo:22.300,-118.44", 22.3, -118.44, None, None),
    ("geo:66,30;u=6.500;FOo=this%2dthat", 66.0, 30.0, None, None),
    ("geo:70,20;foo=1.00;bar=white", 70.0, 20.0, None, None),
    ("geo:47,11;foo=blue;bar=white", 47.0, 11.0, None, None),
]


@pytest.mark.parametrize(("uri", "latitude", "longitude", "height", "uncertainty"), RFC_5870)
def test_rfc_5870_examples(
    uri: str, latitude: float, longitude: float, height: float | None, uncertainty: float | None
) -> None:
    place = read_position(uri)
    assert (place.latitude_deg, place.longitude_deg, place.height_m) == (latitude, longitude, height)
    if uncertainty is not None:
        assert place.resolution_m == uncertainty


@pytest.mark.parametrize("uri", ["geo:94,0", "geo:323482,4306480;crs=EPSG:32618;u=20", "geo:37,-122;crs=Moon-2011"])
def test_rfc_5870_refused(uri: str) -> None:
    """Section 9.1 names geo:94,0 as invalid; the others name a reference system that section 8.3 does not register."""
    with pytest.raises(ValueError, match=r"beyond 90|reference system"):
        read_position(uri)


# Strings of ISO 6709 as the W3C's note on geographic points and the encyclopaedic summaries of annex H quote them.
ISO_6709 = [
    ("+00-025/", 0.0, -25.0, None),
    ("+46+002/", 46.0, 2.0, None),
    ("+4852+00220/", 48 + 52 / 60, 2 + 20 / 60, None),
    ("+48.8577+002.295/", 48.8577, 2.295, None),
    ("+27.5916+086.5640+8850/", 27.5916, 86.5640, 8850.0),
    ("+27.5916+086.5640+8850CRSWGS_84/", 27.5916, 86.5640, 8850.0),
    ("+275916+0865640+8850/", 27 + 59 / 60 + 16 / 3600, 86 + 56 / 60 + 40 / 3600, 8850.0),
    ("+90+000/", 90.0, 0.0, None),
    ("+00-160/", 0.0, -160.0, None),
    ("-90+000+2800/", -90.0, 0.0, 2800.0),
    ("+40.75-074.00/", 40.75, -74.0, None),
    ("+40.6894-074.0447/", 40.6894, -74.0447, None),
]


@pytest.mark.parametrize(("string", "latitude", "longitude", "height"), ISO_6709)
def test_iso_6709_examples(string: str, latitude: float, longitude: float, height: float | None) -> None:
    place = read_position(string)
    assert place.latitude_deg == pytest.approx(latitude, abs=1e-12)
    assert place.longitude_deg == pytest.approx(longitude, abs=1e-12)
    assert place.height_m == height


# Open Location Code specification, test_data/decoding.csv (Apache 2.0): code, and the cell's south, west, north, east.
DECODING = [
    ("7FG49Q00+", 20.35, 2.75, 20.4, 2.8),
    ("7FG49QCJ+2V", 20.37, 2.782125, 20.370125, 2.78225),
    ("7FG49QCJ+2VX", 20.3701, 2.78221875, 20.370125, 2.78225),
    ("7FG49QCJ+2VXGJ", 20.370113, 2.782234375, 20.370114, 2.78223632813),
    ("8FVC2222+22", 47.0, 8.0, 47.000125, 8.000125),
    ("4VCPPQGP+Q9", -41.273125, 174.785875, -41.273, 174.786),
    ("62G20000+", 0.0, -180.0, 1.0, -179.0),
    ("22222222+22", -90.0, -180.0, -89.999875, -179.999875),
    ("6FH32222+222", 1.0, 1.0, 1.000025, 1.00003125),
    ("CFX3X2X2+X2", 89.999875, 1.0, 90.0, 1.000125),
    ("84000000+", 30.0, -140.0, 50.0, -120.0),
    ("849VGJQF+VX7QR3J", 37.53966912, -122.3750698242, 37.53966916, -122.3750697021),
    ("849VGJQF+VX7QR3J7QR3J", 37.53966912, -122.3750698242, 37.53966916, -122.3750697021),
]


@pytest.mark.parametrize(("code", "south", "west", "north", "east"), DECODING)
def test_plus_codes_decode(code: str, south: float, west: float, north: float, east: float) -> None:
    place = read_position(code)
    assert place.latitude_deg == pytest.approx((south + north) / 2, abs=1e-10)
    assert place.longitude_deg == pytest.approx((west + east) / 2, abs=1e-10)
    middle = (south + north) / 2
    across_m = max(apart_m((south, west), (north, west)), apart_m((middle, west), (middle, east)))
    assert place.resolution_m == pytest.approx(across_m / 2, rel=0.01)


# Open Location Code specification, test_data/encoding.csv: latitude, longitude, digits, code.
ENCODING = [
    (20.375, 2.775, 6, "7FG49Q00+"),
    (20.3700625, 2.7821875, 10, "7FG49QCJ+2V"),
    (20.3701125, 2.782234375, 11, "7FG49QCJ+2VX"),
    (20.3701135, 2.78223535156, 13, "7FG49QCJ+2VXGJ"),
    (-41.2730625, 174.7859375, 10, "4VCPPQGP+Q9"),
    (0.5, -179.5, 4, "62G20000+"),
    (90.0, 1.0, 4, "CFX30000+"),
    (90.0, 1.0, 10, "CFX3X2X2+X2"),
    (1.0, 180.0, 4, "62H20000+"),
    (1.2, 3.4, 10, "6FH56C22+22"),
    (37.539669125, -122.375069724, 15, "849VGJQF+VX7QR3J"),
    (35.6, 3.033, 10, "8F75J22M+26"),
    (13.9, 164.88, 12, "7V56WV2J+2222"),
    (-52.166, 13.694, 14, "3FVMRMMV+JJ2222"),
    (71.132, -98.584, 15, "C6334CJ8+RC22222"),
    (80.0100000001, 58.57, 15, "CHGW2H6C+2222222"),
    (80.0099999999, 58.57, 15, "CHGW2H5C+X2RRRRR"),
    (-80.0099999999, 58.57, 15, "2HFWXHRC+2222222"),
    (-80.0100000001, 58.57, 15, "2HFWXHQC+X2RRRRR"),
    (47.00000008, 8.00022229, 15, "8FVC2222+235235C"),
    (-28.1217794010122, -154.066811473758, 15, "5337VWHM+77PR2GR"),
]


@pytest.mark.parametrize(("latitude", "longitude", "length", "code"), ENCODING)
def test_plus_codes_encode(latitude: float, longitude: float, length: int, code: str) -> None:
    assert write_plus_code(latitude, longitude, length) == code


# Open Location Code specification, test_data/validityTests.csv: the codes that are short, or valid in no way.
NOT_FULL = ["WC2345+G6g", "2345+G6", "45+G6", "+G6", "G+", "+", "8FWC2345+G", "8FWC2_45+G6", "8FWC2\u03b745+G6",
            "8FWC2345+G6+", "8FWC2345G6+", "8FWC2300+G6", "WC2300+G6g", "WC2345+G", "WC2300+", "849VGJQF+VX7QR3U",
            "849VGJQF+VX7QR3JU"]  # fmt: skip


@pytest.mark.parametrize("code", NOT_FULL)
def test_plus_codes_that_are_not_full_are_refused(code: str) -> None:
    with pytest.raises(ValueError, match="write"):
        read_position(code)


# Computed with PROJ 9.5.1 (EPSG:326zz north, 327zz south): latitude, longitude, zone and hemisphere, easting, northing.
# The zones follow the rules for Norway (32V) and Svalbard (31X, 33X, 35X, 37X) of NGA.STND.0037.
PROJ = [
    (52.3012, 4.9711, "31 north", 634400.371, 5796368.918),
    (60.39, 5.32, "32 north", 297230.220, 6700510.175),
    (78.22, 15.65, "33 north", 514813.527, 8683004.153),
    (78.9, 8.99, "31 north", 628521.543, 8765412.163),
    (83.9, 40.0, "37 north", 511863.269, 9317033.097),
    (71.17, 25.78, "35 north", 456054.042, 7896799.854),
    (0.5, -179.9, "1 north", 177176.037, 55336.378),
    (-33.8568, 151.2153, "56 south", 334900.570, 6252288.753),
    (-54.8, -68.3, "19 south", 545000.053, 3927239.381),
    (-79.9, 166.7, "58 south", 533277.242, 1129089.613),
]


@pytest.mark.parametrize(("latitude", "longitude", "zone", "easting", "northing"), PROJ)
def test_utm_against_proj(latitude: float, longitude: float, zone: str, easting: float, northing: float) -> None:
    place = read_position(f"{zone} {easting:.3f} {northing:.3f}")
    assert apart_m(place, (latitude, longitude)) < 0.05  # a series: 4 cm at 6 degrees from the middle of a zone
    written = write_position(latitude, longitude, "utm").replace(" north", "N").split()
    assert written[0][:-1] == zone.split()[0]
    assert [int(word) for word in written[1:]] == [round(easting), round(northing)]


@pytest.mark.parametrize("latitude", [-79.5, -45.0, -1.0, 0.25, 30.0, 52.0, 71.9, 83.5])
def test_utm_on_the_central_meridian_is_the_meridian_arc(latitude: float) -> None:
    """There, northing is 0.9996 x the arc from the equator (definition of UTM), the arc by geographiclib."""
    arc_m = math.copysign(apart_m((0.0, 9.0), (latitude, 9.0)), latitude)
    northing_m = 0.9996 * arc_m + (10_000_000.0 if latitude < 0 else 0.0)
    side = "south" if latitude < 0 else "north"
    assert apart_m(read_position(f"32 {side} 500000 {northing_m:.4f}"), (latitude, 9.0)) < 0.002


# Manual of GeoConvert (GeographicLib): all of these name roughly the same place, Cape Morris Jesup.
CAPE = ["83.627 -32.664", "W32d40 N83d37.6", "83\u00b037'39\"N 32\u00b039'52\"W", "83:37:39N 32:39:52W",
        "32:39.9W 83:37.6N", "24XWT783908", "25n 504158 9286521", "25 north 504158 9286521"]  # fmt: skip


@pytest.mark.parametrize("text", CAPE)
def test_one_place_in_many_notations(text: str) -> None:
    assert apart_m(read_position(text), (83.627, -32.664)) < 300.0


def test_mgrs_names_a_cell_and_is_cut_not_rounded() -> None:
    """Manual of GeoConvert: 38SMB4488 is the square from 444 to 445 km east and 3688 to 3689 km north, centre 33.33424
    44.40363; N33d20 E44d24 lies in it."""
    centre = read_position("38SMB4488")
    assert (round(centre.latitude_deg, 5), round(centre.longitude_deg, 5)) == (33.33424, 44.40363)
    assert centre.resolution_m == 500.0
    assert apart_m(centre, read_position("38 north 444500 3688500")) < 0.001
    square, column, row = write_position(33 + 20 / 60, 44.4, "mgrs").rsplit(" ", 2)
    assert (square, column[:2], row[:2]) == ("38S MB", "44", "88")


# Test values of the MGRS library of the National Geospatial-Intelligence Agency (MIT): longitude, latitude, reference.
NGA = [
    (29.06757, 63.98863, "35VPL0115697387"),
    (53.51, 12.40, "39PYP7290672069"),
    (-157.916861, 21.309444, "4QFJ1234056781"),
    (50.920338, 83.7, "39XVN9902494603"),
    (128.4525, -79.2, "52CDT8854707650"),
]


@pytest.mark.parametrize(("longitude", "latitude", "mgrs"), NGA)
def test_mgrs_of_the_nga(longitude: float, latitude: float, mgrs: str) -> None:
    assert write_position(latitude, longitude, "mgrs").replace(" ", "") == mgrs
    assert apart_m(read_position(mgrs), (latitude, longitude)) < 0.75  # half the diagonal of a 1 m cell


# The same library's corners (south-west) of one square at every precision, on Svalbard: longitude, latitude, cell [m].
CORNERS = [
    ("33XVG", 10.8756458, 77.4454720, 100_000),
    ("33XVG74", 13.7248758, 77.8324735, 10_000),
    ("33XVG7443", 13.8924385, 77.8600782, 1000),
    ("33XVG745435", 13.9133378, 77.8646415, 100),
    ("33XVG74594359", 13.9171014, 77.8654628, 10),
    ("33XVG7459743593", 13.9173973, 77.8654908, 1),
]


@pytest.mark.parametrize(("mgrs", "longitude", "latitude", "cell_m"), CORNERS)
def test_mgrs_at_every_precision(mgrs: str, longitude: float, latitude: float, cell_m: float) -> None:
    place = read_position(mgrs)
    assert place.resolution_m == cell_m / 2
    # From the corner to the centre is half the diagonal; the corner is published to 5e-8 degrees; UTM's scale: 0.04 %.
    assert apart_m(place, (latitude, longitude)) == pytest.approx(cell_m / math.sqrt(2), rel=6e-4, abs=0.01)


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [(52.3012, 4.9711), (-33.8568, 151.2153), (0.0001, -0.0001), (69.5, 18.25)],
)
def test_resolution_is_half_a_digit_on_the_ground(latitude: float, longitude: float) -> None:
    """One unit of the fourth decimal, north or east, whichever is longer, measured by geographiclib."""
    place = read_position(f"{latitude:.4f}, {longitude:.4f}")
    step_m = max(
        apart_m((latitude, longitude), (latitude + 1e-4, longitude)),
        apart_m((latitude, longitude), (latitude, longitude + 1e-4)),
    )
    assert place.resolution_m == pytest.approx(step_m / 2, rel=0.007)
