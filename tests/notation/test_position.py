"""Reading positions as people type and paste them. The expected degrees are the plain arithmetic of the text
(degrees + minutes/60 + seconds/3600); the places are invented."""

from __future__ import annotations

import pytest

from fieldplan.notation.position import read_position

DM = (52 + 18.07 / 60, 4 + 58.27 / 60)
DMS = (52 + 18 / 60 + 4.3 / 3600, 4 + 58 / 60 + 16 / 3600)
PLAIN = (52.3012, 4.9711)

READS = [
    ("52.3012, 4.9711", PLAIN),
    ("52.3012,4.9711", PLAIN),
    ("  52.3012\t4.9711\n", PLAIN),
    ("52.3012; 4.9711", PLAIN),
    ("52.3012 / 4.9711", PLAIN),
    ("(52.3012, 4.9711)", PLAIN),
    ("52,3012; 4,9711", PLAIN),
    ("52,3012 4,9711", PLAIN),
    ("52,3012, 4,9711", PLAIN),
    ("52,3012,4,9711", PLAIN),
    ("52.3012\u00b0, 4.9711\u00b0", PLAIN),
    ("52.3012\u00b0 N, 4.9711\u00b0 E", PLAIN),
    ("52.3012\u00baN 4.9711\u00baE", PLAIN),
    ("N52.3012 E4.9711", PLAIN),
    ("n 52.3012, e 4.9711", PLAIN),
    ("52.3012 north, 4.9711 east", PLAIN),
    ("52.3012 degrees north 4.9711 degrees east", PLAIN),
    ("4.9711 E 52.3012 N", PLAIN),
    ("E 4,9711; N 52,3012", PLAIN),
    ("lat: 52.3012 lon: 4.9711", PLAIN),
    ("longitude=4.9711, latitude=52.3012", PLAIN),
    ("\uff15\uff12\uff0e\uff13\uff10\uff11\uff12\uff0c\u3000\uff14\uff0e\uff19\uff17\uff11\uff11", PLAIN),
    ("52.3012\u00a0N\u202f4.9711\u2009E", PLAIN),
    ("\ufeff52.3012, \u200e4.9711\u200b", PLAIN),
    ("52.3012, 4.9711 E", PLAIN),
    ("+52.3012, +4.9711", PLAIN),
    ("\u221252.3012, \u20134.9711", (-52.3012, -4.9711)),
    ("-52.3012 -4.9711", (-52.3012, -4.9711)),
    ("52.3012 -4.9711", (52.3012, -4.9711)),
    ("52.3012, - 4.9711", (52.3012, -4.9711)),
    ("52.3012 S 4.9711 W", (-52.3012, -4.9711)),
    ("-52.3012 S, -4.9711 W", (-52.3012, -4.9711)),
    ("W 4.9711 S 52.3012", (-52.3012, -4.9711)),
    ("52 18.07 N 4 58.27 E", DM),
    ("52 18,07 N 4 58,27 E", DM),
    ("52 18.07 4 58.27", DM),
    ("52\u00b018.07'N, 4\u00b058.27'E", DM),
    ("N 52\u00b0 18.07\u2032 E 004\u00b0 58.27\u2032", DM),
    ("N52\u00b018,07 E004\u00b058,27", DM),
    ("E44d24 N33d20", (33 + 20 / 60, 44.4)),
    ("52\u00b018\u203204.3\u2033N 4\u00b058\u203216\u2033E", DMS),
    ("52\u00b0 18' 4.3'' N, 4\u00b0 58' 16'' E", DMS),
    ("52\u00b018\u20194.3\u201dN 4\u00b058\u201916\u201dE", DMS),
    ("52\u00b018\u00b44.3\u201cN 4\u00b058\u00b416\u201cE", DMS),
    ("52:18:04.3 N, 4:58:16 E", DMS),
    ("52 18 4.3 4 58 16", DMS),
    ("52\u00b0 4\u00b058'", (52.0, 4 + 58 / 60)),
    ("52 18, 4", (52.3, 4.0)),
    ("-0 30, -0 15", (-0.5, -0.25)),
    ("10 20,10 30", (10 + 20 / 60, 10.5)),
    ("10 20,5 30 40,5", (10 + 20.5 / 60, 30 + 40.5 / 60)),
    ("-33 151", (-33.0, 151.0)),
    ("52,4", (52.0, 4.0)),
    ("52,4.9711", (52.0, 4.9711)),
    ("+5218.07+00458.27/", DM),
    ("+521804.3-0045816.0-12/", (DMS[0], -DMS[1])),
    ("\u221252,3012+004,9711", (-52.3012, 4.9711)),
    ("geo:52.3012,4.9711?z=15", PLAIN),
    ("GEO:-52.3012,4.9711", (-52.3012, 4.9711)),
    ("52deg18 4deg58", (52.3, 4 + 58 / 60)),
    ("0, 180", (0.0, -180.0)),
    ("0, -180", (0.0, -180.0)),
    ("0, 190", (0.0, -170.0)),
    ("0, 360", (0.0, 0.0)),
    ("-90, 0", (-90.0, 0.0)),
]


@pytest.mark.parametrize(("text", "place"), READS)
def test_reads(text: str, place: tuple[float, float]) -> None:
    found = read_position(text)
    assert found.latitude_deg == pytest.approx(place[0], abs=1e-9)
    assert found.longitude_deg == pytest.approx(place[1], abs=1e-9)


REFUSED = [
    ("", "is empty"),
    (" \t\u200b ", "is empty"),
    ("52.3", "only one number"),
    ("nowhere", "no place in a position"),
    ("52.3, 4.9, 3", "not a latitude and a longitude"),
    ("52.3012, 4.9711 by the gate", "no place in a position"),
    ("52.3012, 4.9711;", "not a latitude and a longitude"),
    ("97.3, 4.9", r'Longitude first\? Write latitude first: "4.9, 97.3"'),
    ("151.2, -33.8", r"Longitude first\?"),
    ("97.3 N 4.9 E", "latitude 97.3 is beyond 90"),
    ("52.3, 361", "longitude 361 is beyond 180"),
    ("52.3, -180.5", "longitude -180.5 is beyond 180"),
    ("-52.3 N 4.9 E", 'sign "-" contradicts the letter N'),
    ("52.3 N +4.9 W", r'sign "\+" contradicts the letter W'),
    ("52.3 N 4.9 N", "latitude twice"),
    ("N52.3S, 4.9", "not a latitude and a longitude"),
    ("latitude 4.9 E, 52.3", "latitude cannot be E"),
    ("52.3 N 4.9", "more than one way"),
    ("52 18 4.5", "not a latitude and a longitude"),
    ("52.3012 \u2013 4.9711", "dash between two numbers"),
    ("52.3-4.9", "dash between two numbers"),
    ("52 75 4 58", "75 minutes is 60 or more"),
    ("52 18 60.0 N 4 58 16 E", "60.0 seconds is 60 or more"),
    ("52 18.07 30 N, 4 58 E", "not a latitude and a longitude"),
    ("52.3 N 4.9 O", "O.* is east in some languages"),
    ("52\u00b2, 4", r"U\+00B2"),
    ("\u00bd, 4", r"U\+00BD"),
    ("52.3,\x0b4.9", r"U\+000B"),
    ("52.3, 4.9\x00", r"U\+0000"),
    ("nan, nan", "no place in a position"),
    ("inf, 4", "no place in a position"),
    ("1e309, 4", "not a latitude"),
    ("1e309", "more than one way"),
    ("1" * 150 + ", 4", "beyond 90"),
    ("9" * 10_000, "too long"),
    ("5 " * 5_000, "too long"),
    ("'" * 10_000, "too long"),
    ("+5218+0458/", "0458 has 4 digits"),
    ("+52.3+004.9 home", "does not end as one"),
    ("+5260+00458/", "60 or more"),
    ("+52.3+004.9+12CRSNAD27/", "reference system"),
    ("geo:52.3", "not a geo: URI"),
    ("geo:52,3;4,9", "not a latitude|not a parameter"),
    ("geo:52.3,4.9;u=-3", "uncertainty"),
    ("geo:52.3,4.9;u=nan", "uncertainty"),
    ("geo:0,0?q=52.3,4.9", "not a geo: URI"),
    ("geo:52.3,190", "beyond 180"),
    ("9G8F+6X", "short plus code"),
    ("9G8F+6X Riverside", "short plus code"),
    ("8FVC9G8F+6X Riverside", "leave out the words"),
    ("X2222222+22", "beyond the pole"),
    ("31U", "not a whole UTM or MGRS"),
    ("31U 634401", "not a whole UTM or MGRS"),
    ("31U 5796369 634401", "easting runs from 100000"),
    ("31U 634 401 5796 369", "not a whole UTM or MGRS"),
    ("31T 634401 5796369", "band T is 40 to 48 north"),
    ("0U 634401 5796369", "zones run from 1 to 60"),
    ("61U 634401 5796369", "zones run from 1 to 60"),
    ("31I 634401 5796369", "I is not a band"),
    ("33S 500000 3700000", "the band .32 to 40 north. or the southern hemisphere"),
    ("33 north 100000 9000000", "outside it"),
    ("33 north 500000 9600000", "off the grid"),
    ("33 south 500000 900000", "off the grid"),
    ("52deg", "only one angle"),
    ("52\u00b028", "only one angle"),
    ("N 52 28", "only one angle"),
    ("52 28.5 N", "only one angle"),
    ("31U FT 344 96368", "as many digits"),
    ("31UFT123", "as many digits"),
    ("31UFT123456789012", "five digits each at most"),
    ("31UJT12345678", "no square JT"),
    ("31UFW12345678", "no square FW"),
    ("31UFE12345678", "has no such square"),
    ("31I FT 34400 96368", "I is not a band"),
    ("YUB17770380", "polar grid"),
]


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_refuses_in_plain_words(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason) as caught:
        read_position(text)
    message = str(caught.value)
    assert len(message) < 400
    assert message.isprintable()


@pytest.mark.parametrize("found", [None, 52.3, ("52", "4")])
def test_refuses_what_is_not_text(found: object) -> None:
    with pytest.raises(ValueError, match="in quotes"):
        read_position(found)  # type: ignore[arg-type]


def test_a_message_shows_the_text_as_typed() -> None:
    with pytest.raises(ValueError, match=r'^"31I 634401 5796369": I is not a band'):
        read_position("31I 634401 5796369")


@pytest.mark.parametrize(
    ("text", "half_m"),
    [
        ("52.3012, 4.9711", 5.556),  # half of 0.0001 degree of latitude, at 60 x 1852 m a degree
        ("52.30, 4.9711", 555.6),  # the coarser number counts
        ("52 18.07 N 4 58.27 E", 9.26),  # half of 0.01 nautical mile
        ("52 18 04 N 4 58 16 E", 15.43),
        ("31U 634401 5796369", 0.5),
        ("31U 634401.5 5796369.5", 0.05),
        ("31U FT 344 963", 50.0),
        ("geo:52.3012,4.9711;u=40", 40.0),
        ("geo:52.3012,4.9711;u=0", 5.556),  # no better than its digits
    ],
)
def test_resolution(text: str, half_m: float) -> None:
    assert read_position(text).resolution_m == pytest.approx(half_m, rel=1e-3)


def test_the_same_point_in_every_form_of_utm() -> None:
    forms = ["31U 634401 5796369", "31 U 634401 5796369", "31N 634401 5796369", "31 north 634401 5796369",
             "31U 634401, 5796369", "31U 634401mE 5796369mN", "UTM 31u 634401 5796369", "zone 31U E634401 N5796369",
             "31U 634401 m E, 5796369 m N"]  # fmt: skip
    assert len({read_position(form) for form in forms}) == 1


def test_s_is_the_hemisphere_where_the_band_cannot_be_meant() -> None:
    assert read_position("56S 334901 6252289") == read_position("56 south 334901 6252289")
    assert read_position("56H 334901 6252289") == read_position("56 south 334901 6252289")


def test_the_same_cell_in_every_form_of_mgrs() -> None:
    forms = ["31UFT3440096368", "31U FT 34400 96368", "31 U FT 3440096368", "31uft3440096368", "MGRS 31UFT 34400 96368"]
    assert len({read_position(form) for form in forms}) == 1


def test_heights_are_kept() -> None:
    assert read_position("+52.3012+004.9711-4.5/").height_m == -4.5
    assert read_position("geo:52.3012,4.9711,12").height_m == 12.0
    assert read_position("52.3012, 4.9711").height_m is None
