"""Which clock a place keeps, and which countries keep that clock."""

from importlib.resources import files

NAME_COLUMN = 2  # of zone.tab and zone1970.tab: countries, coordinates, name, comments


def zone_at(latitude_deg: float, longitude_deg: float) -> str:
    """The IANA name of the zone at a position; Etc/GMT names at sea. The longitude may run beyond 180 degrees.

    Raises ValueError for a latitude beyond 90 degrees, and LookupError where the map has no zone.
    """
    if not abs(latitude_deg) <= 90.0:
        raise ValueError(f"latitude {latitude_deg} lies beyond 90 degrees")
    import tzfpy

    name = tzfpy.get_tz((longitude_deg + 180.0) % 360.0 - 180.0, latitude_deg)
    if not name:
        raise LookupError(f"no zone at {latitude_deg}, {longitude_deg}")
    return name


def countries_of_zone(name: str) -> tuple[str, ...]:
    """ISO 3166 codes of the countries whose clocks the zone shows, its own country first; none for zones at sea.

    From the tables of the tz database; a former name counts as the present one. Reads two or three small files.
    """
    countries = _countries_in_tables(name)
    if not countries:
        present = _present_name(name)
        countries = _countries_in_tables(present) if present else ()
    return countries


def country_name(code: str) -> str:
    """The country's English name by its ISO 3166 code, as the tz database writes it. KeyError for an unknown code."""
    return dict(row[:2] for row in _rows("iso3166.tab"))[code]


def _countries_in_tables(name: str) -> tuple[str, ...]:
    own = [row[0] for row in _rows("zone.tab") if row[NAME_COLUMN] == name]
    shared = [row[0].split(",") for row in _rows("zone1970.tab") if row[NAME_COLUMN] == name]
    return tuple(dict.fromkeys(own + [code for codes in shared for code in codes]))


def _present_name(former: str) -> str | None:
    """Follow a link line of the database's source text: L present former."""
    for line in _text("tzdata.zi").splitlines():
        if line.startswith("L ") and line.endswith(f" {former}"):
            return line.split()[1]
    return None


def _rows(table: str) -> list[list[str]]:
    return [line.split("\t") for line in _text(table).splitlines() if line and not line.startswith("#")]


def _text(file: str) -> str:
    return (files("tzdata") / "zoneinfo" / file).read_text(encoding="utf-8")
