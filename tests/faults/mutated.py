"""Hostile input: real files with parts cut, doubled, swapped and replaced, and texts made of what has hurt readers."""

from __future__ import annotations

from hypothesis import strategies as st

LONG = 2000
HOSTILE = (
    "\x1b[31m",
    "\x1b]0;title\x07",
    "\x1b]52;c;ZXZpbA==\x07",
    "\x9b31m",
    "\x00",
    "\x07",
    "\x08",
    "\x7f",
    "\r",
    "\n",
    "\u202e",
    "\u2066",
    "\u200b",
    "\u200d",
    "\ufe0f",
    "\u2028",
    "\ufeff",
    "\ue000",
    "\U000e0041",
    "\U0001f986",
    "e\u0301",
    "\u0301" * 40,
    "\u5199\u771f",
    "\ufdfa",
    "[/b]",
    "[bold red]x[/]",
    "[@click=app.quit]x[/]",
    "$name",
    "%s%n",
    "{0}",
    "{x!r}",
    "</text><script>x</script>",
    "&amp;",
    "<!--",
    "]]>",
    "\\",
    "\\u001b[31m",
    "../../../etc/passwd",
    "~root",
    "/dev/zero",
    "C:\\x",
    "CON",
    "'; DROP",
    "`id`",
    "$(id)",
    "\u2212",
    "\u00d7",
    "\u2033",
    "\u0663",
    "\u216b",
    "\u00bd",
)
NUMBERS = (
    "0",
    "-0",
    "0.0",
    "-1",
    "nan",
    "inf",
    "-inf",
    "+inf",
    "infinity",
    "1e308",
    "-1e308",
    "1e309",
    "1e999",
    "5e-324",
    "1e-320",
    "2.2250738585072014e-308",
    "9" * 40,
    "0." + "0" * 40 + "1",
    "9" * 5000,
    "1" * 17 + ".5",
    "1_000",
    "0x1p3",
    "0b1",
    "0o7",
    "1e",
    "1e5",
    "1,000",
    "1,5",
    ".5",
    "5.",
    "--5",
    "1/0",
    "0/0",
    "1/1e308",
    "1/5e-324",
    "1e300",
    "1e-300",
    "179.9999999999",
    "90.0000001",
    "-180",
    "360",
    "9007199254740993",
    "2147483648",
    "\u0661\u0662",
    "\u00b2",
)
TOML = (
    "[[shot]]",
    "[shot]",
    "[site]",
    "[[body]]",
    "[[lens]]",
    "[a.b.c]",
    "= ",
    "''' ",
    '"""',
    "{ name = ",
    "[1, 2, 3]",
    "{}",
    "[]",
    "true",
    "false",
    "07:20:00",
    "24:00:00",
    "2027-03-14",
    "9999-12-31",
    "0001-01-01",
    "2027-02-30",
    "2027-03-14T07:20:00Z",
    "2027-03-14T07:20:00+14:00",
    "1979-05-27 07:32:00.999999",
    "[" * 300,
    "{a=" * 300,
    "a." * 400,
    "fieldplan_plan = 1",
    "fieldplan_profile = 1",
    "fieldplan_plan = 99",
    'units = "imperial"',
    'name = ""',
    "# comment",
    "\\",
    '"',
    "'",
    ",",
    "..",
    "-",
    " to ",
    "m",
    "ft",
    "%",
    "EV",
    "f/",
    "1/",
)
XML = (
    '<wpt lat="1" lon="2">',
    "</wpt>",
    "<name>",
    "</name>",
    "<ele>",
    "</ele>",
    "<!DOCTYPE gpx [",
    '<!ENTITY a "b">',
    "&a;",
    "&#27;",
    "&#x1b;",
    "&#0;",
    "&lt;",
    "<![CDATA[",
    "]]>",
    '<?xml version="1.0" encoding="utf-16"?>',
    "<a>" * 300,
    'lat="NaN"',
    'lon="1e308"',
    'xmlns=""',
    "<extensions>",
    "<time>9999-99-99</time>",
    "<!--",
    "-->",
)
TAGS = (
    b"\xff\xd8\xff\xe1",
    b"Exif\x00\x00",
    b"II*\x00",
    b"MM\x00*",
    b"\xff\xff\xff\xff",
    b"\x00\x00\x00\x00",
    b"\x7f\xff\xff\xff",
    b"\x80\x00\x00\x00",
    b"\x00\x05\x00\x00\x00\x01",
    b"\x87\x69",
    b"\x69\x87\x04\x00",
    b"\x00\x0c",
    b"\xff\xd9",
    b"\x08\x00\x00\x00",
    b"ftypheic",
    b"\x89PNG\r\n\x1a\n",
    b"\x1b[31m\x00",
)

WORDS = st.one_of(
    st.sampled_from(HOSTILE),
    st.sampled_from(NUMBERS),
    st.sampled_from(TOML[30:]),
    st.text(max_size=12),
    st.floats(allow_nan=True).map(repr),
    st.integers().map(str),
    st.sampled_from(" -.,:'\"/°NSEWx~"),
)
TEXTS = st.lists(WORDS, max_size=6).map("".join)


def _bytes(words: tuple[str, ...]) -> list[bytes]:
    return [word.encode("utf-8", "surrogatepass") for word in words]


def parts(sort: str) -> st.SearchStrategy[bytes]:
    """What is put into a mutated file of a sort: "toml", "gpx", "picture"."""
    own = {"toml": _bytes(TOML), "gpx": _bytes(XML), "picture": list(TAGS)}[sort]
    return st.one_of(
        st.sampled_from(own),
        st.sampled_from(_bytes(HOSTILE + NUMBERS)),
        st.binary(max_size=8),
        st.sampled_from([b"\xff", b"\xed\xa0\x80", b"\xc0\xaf", b"\xf4\x90\x80\x80", b"\xef\xbb\xbf"]),
    )


@st.composite
def mutated(draw: st.DrawFn, real: bytes, sort: str) -> bytes:
    """A real file after one to five changes: pieces replaced, cut out, doubled, moved; bits turned; the end cut off."""
    data = real
    for _ in range(draw(st.integers(1, 5))):
        start = draw(st.integers(0, max(len(data) - 1, 0)))
        length = draw(st.sampled_from([0, 0, 1, 2, 4, 9, 30, 200]))
        piece = data[start : start + length]
        match draw(st.sampled_from(["put", "put", "put", "value", "value", "cut", "double", "move", "bit", "end"])):
            case "put":
                data = data[:start] + draw(parts(sort)) + data[start + length :]
            case "value":
                data = _value_replaced(data, start, draw(parts(sort)), sort)
            case "cut":
                data = data[:start] + data[start + length :]
            case "double":
                data = data[:start] + piece * draw(st.integers(2, 40)) + data[start + length :]
            case "move":
                rest = data[:start] + data[start + length :]
                to = draw(st.integers(0, len(rest)))
                data = rest[:to] + piece + rest[to:]
            case "bit" if data:
                data = data[:start] + bytes([data[start] ^ draw(st.integers(1, 255))]) + data[start + 1 :]
            case _:
                data = data[:start]
    return data[: 1 << 18]


def _value_replaced(data: bytes, start: int, part: bytes, sort: str) -> bytes:
    """A whole value: what stands between the next quotes, or behind the next = to the end of its line."""
    if sort == "picture":
        return data[:start] + part[:4].ljust(4, b"\0") + data[start + 4 :]
    first = data.find(b'"', start)
    last = data.find(b'"', first + 1)
    if first < 0 or last < 0 or part.startswith(b"="):
        return data[:start] + part + data[start:]
    if len(part) % 2 and sort == "toml":  # now and then bare, without its quotes
        return data[:first] + part + data[last + 1 :]
    return data[: first + 1] + part.replace(b'"', b"") + data[last:]
