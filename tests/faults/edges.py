"""Every number of a plan and a profile at every edge, and every name of hostile signs: a refusal with file, field and
remedy, or answers with sense.

    python -m tests.faults.edges          all of them
    python -m tests.faults.edges 20       every twentieth
"""

from __future__ import annotations

import re
import sys
import traceback
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from fieldplan.files.problems import FileProblem
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.model import gear, plan, taken
from fieldplan.model.fieldlist import toml_example
from fieldplan.model.fields import Record
from fieldplan.model.forms import FormField, fields_of
from fieldplan.model.tomltext import literal

from .answering import Case, answer, edge_texts
from .hostile import EDGES, FLOODS, HOSTILE, obeyed
from .seeds import FOLDER

BARE = ("0", "-0", "0.0", "-0.0", "nan", "-nan", "inf", "-inf", "1e308", "-1e308", "1e309", "5e-324", "1e300", "1e299",
        "9" * 40, "-" + "9" * 40, "9" * 5000, "0." + "0" * 40 + "1", "2147483648", "9007199254740993", "true", "[]",
        "{}", "0x7fffffffffffffff", "1979-05-27", "07:32:00", "2027-03-14T07:20:00Z")  # fmt: skip
NUMERIC = ("clock", "date", "light", "direction", "circle", "sway", "place", "scale", "shift")  # sorts without bounds
_APART = {("[[reading]]", "f_number"), ("[[reading]]", "shutter"), ("[[reading]]", "iso"), ("[[reading]]#", "ev")}
_PLAN = {
    "": ("title = 'Edges (invented)'", "date = 2027-03-14"),
    "[site]": ("name = 'hide'", "position = '52.3012, 4.9711'"),
    "[[site.skyline]]": ("bearing = 95", "altitude = 2.5"),
    "[[site.landmark]]": ("name = 'chapel'", "position = '52.3105, 4.9880'", "foot = '12 m'", "height = '31 m'"),
    "[[site.viewpoint]]": ("name = 'dike'", "position = '52.3115, 4.9880'"),
    "[[reading]]": ("time = 07:12:00", "ev = 9"),
    "[[reading]]#": ("time = 07:42:00", "f_number = 5.6", "shutter = '1/125'", "iso = 400"),
    "[[shot]]": ("name = 'heron'", "subject = 'grey heron'", "distance = '28 m'", "time = 07:20:00"),
    "[[shot]]#": ("name = 'post'", "from = 08:00:00", "to = 09:00:00", "distance = '5 m'", "sharp_from = '4 m'",
                  "sharp_to = '7 m'"),
    "[shot.subject]": ("name = 'carved post'", "height = '1.2 m'", "width = '0.4 m'"),
    "[[taken]]": ("shot = 'heron'", "time = 07:24:31", "focal = '500 mm'", "shutter = '1/640'", "iso = 1600"),
}  # fmt: skip
_GEAR = {
    "": ("name = 'edges'",),
    "[photographer]": ("shake = 1.0",),
    "[[body]]": ("name = 'b'", "sensor = '36x24 mm'", "pixels = '6000x4000'", "mount = 'A'"),
    "[[lens]]": ("name = 'l'", "focal = '150-600 mm'", "f_number = '5-6.3'", "mount = 'A'", "closest_focus = '2.2 m'"),
    "[[converter]]": ("name = '1.4x'", "factor = 1.4", "mount = 'A'"),
    "[[tube]]": ("name = 't'", "length = '25 mm'", "mount = 'A'"),
    "[[close_up_lens]]": ("name = '+5'", "power = 5"),
    "[[flash]]": ("name = 'f'", "guide_number = '24 m'"),
    "[[support]]": ("name = 'tripod'",),
    "[[bag]]": ("name = 'bag'",),
    "[[extra]]": ("name = 'extra'",),
}
_RECORDS: dict[str, type[Record]] = {
    "": plan.Plan, "[site]": plan.Site, "[[site.skyline]]": plan.SkylinePoint, "[[site.landmark]]": plan.Landmark,
    "[[site.viewpoint]]": plan.Viewpoint, "[[reading]]": plan.Reading, "[[reading]]#": plan.Reading,
    "[[shot]]": plan.Shot, "[[shot]]#": plan.Shot, "[shot.subject]": plan.OwnSubject, "[[taken]]": taken.LogEntry,
    "[photographer]": gear.Photographer, **{f"[[{key}]]": kind for key, (_, kind) in gear.LISTS.items()},
}  # fmt: skip


class Edge(NamedTuple):
    """A field of a table with a value at an edge, as TOML; sort: "plan" or "gear"."""

    sort: str
    table: str
    key: str
    value: str


def is_number(field: FormField) -> bool:
    """True for a field whose text is a quantity, a number, or a word with numbers in it."""
    return field.kind is not None or field.bounds is not None or field.sort in NUMERIC


def places() -> Iterator[tuple[str, str, FormField]]:
    """(sort, table, field) of every plain field of every table."""
    for sort, tables in (("plan", _PLAN), ("gear", _GEAR)):
        for table in tables:
            record = gear.Profile if (sort, table) == ("gear", "") else _RECORDS[table]
            yield from ((sort, table, field) for field in fields_of(record) if not field.nested)


def edges() -> Iterator[Edge]:
    """All of them: bare, in quotes, and in quotes with the unit of the field's example."""
    for sort, table, field in places():
        if not is_number(field) or (table, field.key) in _APART:
            continue
        unit = re.sub(r"^[\d.,/x:-]+", "", field.example)
        texts = {*EDGES, *(f"{edge}{unit}" for edge in EDGES), f"1-{'9' * 40}{unit}", f"0-0{unit}",
                 f"1/{'9' * 40}", f"{'9' * 12}x{'9' * 12} mm", "0x0 mm", "1e308x1e308 mm",
                 *edge_texts(field)}  # fmt: skip
        for value in (*BARE, *map(literal, sorted(texts)), f"[{toml_example(field)}]"):
            yield Edge(sort, table, field.key, value)


def names() -> Iterator[Edge]:
    """Every field that takes names, with whatever has hurt readers in it."""
    for sort, table, field in places():
        if field.sort in ("name", "names", "subject"):
            for word in (*HOSTILE, *FLOODS, "x" * 121, "\u6e58" * 60, "\U0001f986" * 60):
                told = literal(f"a{word}b")
                for value in (told, literal(word), *([f"[{told}]"] if field.sort == "names" else [])):
                    yield Edge(sort, table, field.key, value)


def written(edge: Edge, sort: str) -> str:
    """The plan or profile, with the value in it where it belongs there."""
    lines = [f"fieldplan_{'plan' if sort == 'plan' else 'profile'} = 1"]
    for table, own in (_PLAN if sort == "plan" else _GEAR).items():
        lines.append(table)
        here = (sort, table) == (edge.sort, edge.table)
        lines += [line for line in own if not here or line.partition(" ")[0] != edge.key]
        lines += [f"{edge.key} = {edge.value}"] if here else []
    return "\n".join(lines) + "\n"


def look_at(edge: Edge) -> bool:
    """True when there are answers, False when the file is refused. AssertionError for nonsense and empty words."""
    paths = {sort: FOLDER / f"edge-{sort}.toml" for sort in ("plan", "gear")}
    for sort, path in paths.items():
        path.write_text(written(edge, sort))
    try:
        held, kit = load_plan(paths["plan"]), load_profile(paths["gear"])
    except FileProblem as wrong:
        refused(edge, str(wrong))
        return False
    answer(Case(held, kit, (edge[1:3] + edge[3:],)))  # type: ignore[arg-type]
    return True


REMEDY = re.compile(r"write |must |give |take it out|take them out|at most|known:|did you mean|there is |put ")


def refused(edge: Edge, said: str) -> None:
    """A refusal names the file and the field, or the line where TOML itself ends, and says what would do."""
    assert not obeyed(said), (edge, obeyed(said))
    first = said.splitlines()[0]
    assert first.startswith(f"edge-{edge.sort}.toml: "), first
    key = edge.key
    assert key in said or "is not TOML" in first or key in ("from", "to", "sharp_to", "ev"), first
    assert REMEDY.search(first) or "a number too long" in first, first


def main() -> int:
    """Look at all and tell; 1 when there was a fault."""
    warnings.simplefilter("ignore")
    every = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    answered = faults = count = 0
    for edge in [*edges(), *names()][::every]:
        count += 1
        try:
            answered += look_at(edge)
        except Exception as fault:
            faults += 1
            frame = traceback.extract_tb(fault.__traceback__)[-1]
            where = f"{Path(frame.filename).name}:{frame.lineno}"
            print(f"FAULT {edge!a:.200}\n    {type(fault).__name__} {where} {str(fault)!a:.300}", flush=True)
    print(f"{count} edges, {answered} answered, {count - answered - faults} refused, {faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
