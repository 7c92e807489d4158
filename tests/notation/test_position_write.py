"""Writing positions, and reading back what was written."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldplan.notation.position import STYLES, Position, read_position, write_position

LATITUDES = st.floats(-90.0, 90.0)
LONGITUDES = st.floats(-180.0, 180.0)
LIKELY = "0123456789.,;:+-/ NSEWnsewdUXFT\u00b0'\"\u2032\u2212geo="
# How far a written position may be from the place, as a share of its stated resolution: half a digit each way, across
# the diagonal, and 0.6 % for the length of a degree; a plus code and MGRS are read as the cell's centre.
DIAGONAL = 1.02


def offsets_m(place: Position, latitude_deg: float, longitude_deg: float) -> tuple[float, float]:
    """North and east offsets on a sphere of 60 x 1852 m a degree (definition of the nautical mile)."""
    east = (place.longitude_deg - longitude_deg + 180.0) % 360.0 - 180.0
    return abs(place.latitude_deg - latitude_deg) * 111_120, abs(east) * 111_120 * math.cos(math.radians(latitude_deg))


@settings(max_examples=150, deadline=None)
@given(LATITUDES, LONGITUDES, st.sampled_from(STYLES[:6]))
def test_read_gives_back_what_was_written(latitude: float, longitude: float, style: str) -> None:
    place = read_position(write_position(latitude, longitude, style))
    assert -180.0 <= place.longitude_deg < 180.0
    assert place.resolution_m < 2.0
    assert max(offsets_m(place, latitude, longitude)) <= DIAGONAL * place.resolution_m


@settings(max_examples=150, deadline=None)
@given(st.floats(-80.0, 84.0), LONGITUDES, st.sampled_from(("utm", "mgrs")))
def test_read_gives_back_what_was_written_on_the_grid(latitude: float, longitude: float, style: str) -> None:
    place = read_position(write_position(latitude, longitude, style))
    assert place.resolution_m == 0.5
    # Grid north turns by up to 6 degrees: a cell's corner is 0.71 m from its centre; PROJ agrees to 4 cm.
    assert max(offsets_m(place, latitude, longitude)) <= 0.76


@settings(max_examples=400, deadline=None)
@given(st.text(max_size=60) | st.text(alphabet=LIKELY, max_size=40))
def test_any_text_is_a_position_or_a_plain_refusal(text: str) -> None:
    try:
        place = read_position(text)
    except ValueError as error:
        assert str(error).isprintable() and len(str(error)) > 20
    else:
        assert -90.0 <= place.latitude_deg <= 90.0
        assert -180.0 <= place.longitude_deg < 180.0
        assert place.resolution_m > 0.0


PIECES = ["1", "1 ", "1,", "1.", "N", "-", "+1", "1'", "geo:1,", "a", "1n", "0+", "31UFT", "1:"]


@pytest.mark.parametrize("piece", PIECES)
@pytest.mark.parametrize("length", [200, 10_000])
def test_hostile_text_is_refused(piece: str, length: int) -> None:
    text = (piece * length)[:length]
    with pytest.raises(ValueError):
        read_position(text)


WRITTEN = [
    ("decimal", 52.3012, 4.9711, "52.30120, 4.97110"),
    ("decimal", -0.000001, -0.000001, "0.00000, 0.00000"),
    ("decimal", 10.0, 179.9999999, "10.00000, -180.00000"),
    ("decimal", 10.0, 355.0, "10.00000, -5.00000"),
    ("degrees minutes", 52.3012, -4.9711, "52 18.072 N 4 58.266 W"),
    ("degrees minutes", -9.99999999, 0.0, "10 00.000 S 0 00.000 E"),
    ("dms", 52.3012, 4.9711, "52\u00b018'04.3\"N 4\u00b058'16.0\"E"),
    ("dms", 59.99999999, -0.00000001, "60\u00b000'00.0\"N 0\u00b000'00.0\"E"),
    ("dms", 0.0, 179.99999999, "0\u00b000'00.0\"N 180\u00b000'00.0\"W"),
    ("iso6709", 5.5, -4.9711, "+05.500000-004.971100/"),
    ("iso6709", -0.0, -0.0, "+00.000000+000.000000/"),  # ISO 6709: the equator and the prime meridian take +
    ("iso6709", 0.0, 180.0, "+00.000000-180.000000/"),  # ISO 6709: the 180th meridian takes -
    ("geo", -33.8568, 151.2153, "geo:-33.856800,151.215300"),
    ("utm", 52.3012, 4.9711, "31U 634400 5796369"),
    ("mgrs", 52.3012, 4.9711, "31U FT 34400 96368"),
]


@pytest.mark.parametrize(("style", "latitude", "longitude", "text"), WRITTEN)
def test_written(style: str, latitude: float, longitude: float, text: str) -> None:
    assert write_position(latitude, longitude, style) == text


def test_band_s_is_written_so_that_it_reads_one_way() -> None:
    written = write_position(34.0, -118.0, "utm")
    assert written.startswith("11 north ")
    assert read_position(written).latitude_deg == pytest.approx(34.0, abs=1e-5)


@pytest.mark.parametrize(
    ("latitude", "longitude", "style", "reason"),
    [
        (90.1, 0.0, "decimal", "beyond 90"),
        (0.0, 400.0, "decimal", "beyond 180"),
        (float("nan"), 0.0, "decimal", "finite"),
        (0.0, float("inf"), "geo", "finite"),
        (85.0, 0.0, "utm", "the UTM grid ends at 84 N and 80 S"),
        (-80.5, 0.0, "mgrs", "the UTM grid ends at 84 N and 80 S"),
        (52.0, 4.0, "roman", "known: decimal, degrees minutes, dms"),
    ],
)
def test_refuses_to_write(latitude: float, longitude: float, style: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        write_position(latitude, longitude, style)
