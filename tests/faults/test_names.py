"""Names of hostile signs, in every field that takes one: refused in plain words, or plain text wherever shown."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from fieldplan.card import render
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.model.forms import fields_of
from fieldplan.model.gear import Body, Lens
from fieldplan.model.plan import Plan, Shot, Site, Viewpoint
from fieldplan.notation.words import read_name
from fieldplan.opening import Opened, answers_to
from fieldplan.pictures.cells import text_cells

from .edges import Edge, edges, look_at, names, written
from .hostile import FLOODS, HOSTILE, obeyed
from .screens import READY, Screen

FLOOD = "e" + "\u0301" * 30  # as many marks as a name may have
SHOWN = ("a[/b]", "a</text><script>x</script>", "a$name{0}%s%n", FLOOD, "a" + "\u200d" * 40, "\U0001f986" * 30,
         "\ufdfd" * 10, "\u05d0\u05d1 \u0627\u0644", "\u5199\u771f" * 15, "\\u001b[31m", "a\u20dd" * 30)  # fmt: skip


def test_every_field_of_a_name_with_every_hostile_word() -> None:
    """A sample of ``python -m tests.faults.edges``, of another word for each field."""
    looked = [look_at(edge) for edge in list(names())[::181]]
    assert True in looked and False in looked


def test_every_number_at_the_edges() -> None:
    """A sample of the same, of another edge for each field."""
    looked = [look_at(edge) for edge in list(edges())[::101]]
    assert True in looked and False in looked


@pytest.mark.parametrize("word", [word for word in (*HOSTILE, *FLOODS) if obeyed(word.replace("\n", "\x00"))])
def test_what_a_terminal_obeys_is_in_no_name(word: str) -> None:
    """ECMA-48 controls, the directions of Unicode Standard Annex 9, tags, and private signs."""
    if not set(word) <= {"\u200d"}:
        with pytest.raises(ValueError, match=r"control character U\+[0-9A-F]{4,6}; take it out|is empty"):
            read_name(f"a{word}b")


@pytest.mark.parametrize("name", ["\u200d", "\ufe0f", "\u0301", "\u3164", "\u115f\u1160", "\u2800 \u2800", "\u20dd"])
def test_a_name_that_shows_nothing_is_refused(name: str) -> None:
    """Unicode Standard 15: default ignorable letters (DerivedCoreProperties), blank Braille, marks without a letter."""
    with pytest.raises(ValueError, match="shows nothing"):
        read_name(name)


def test_a_letter_bears_thirty_marks_at_most() -> None:
    """Stream-Safe Text Format, Unicode Standard Annex 15, section 13.1."""
    assert read_name(FLOOD).startswith("\u00e9")
    with pytest.raises(ValueError, match="has 31 marks on one letter, 30 at most"):
        read_name("x" + "\u0301" * 31)


@pytest.fixture
def hostile(own_folders: Path, request: pytest.FixtureRequest) -> Opened:
    """A plan and a profile with the same name in every place that takes any."""
    return opened(own_folders, request.param)


def opened(folder: Path, name: str) -> Opened:
    paths = {sort: folder / f"edge-{sort}.toml" for sort in ("plan", "gear")}
    for sort, path in paths.items():
        path.write_text(written(Edge("", "", "", ""), sort))
    plan, gear = load_plan(paths["plan"]), load_profile(paths["gear"])
    value, kit = plan.value, gear.value
    named = {"name": name, "note": name}
    site = value.site.model_copy(update={
        "name": name, "country": name,
        "landmarks": tuple(mark.model_copy(update={"name": name}) for mark in value.site.landmarks),
        "viewpoints": tuple(view.model_copy(update=named) for view in value.site.viewpoints),
    })  # type: ignore[union-attr]  # fmt: skip
    words = {**named, "activity": name, "support": name, "band": name}
    shots = tuple(shot.model_copy(update={**words, "name": f"{n}{name}"}) for n, shot in enumerate(value.shots))
    taken = tuple(entry.model_copy(update={"shot": f"0{name}", "body": name, "why": name}) for entry in value.taken)
    lists = {key: tuple(item.model_copy(update={"name": name}) for item in getattr(kit, key))
             for key in ("bodies", "lenses", "converters", "tubes", "supports", "bags")}  # fmt: skip
    value = value.model_copy(update={"title": name, "site": site, "shots": shots, "taken": taken})
    return Opened(replace(plan, value=value), replace(gear, value=kit.model_copy(update={"name": name, **lists})))


def test_the_fields_hold_the_name() -> None:
    """The list above is whole enough: these records have the fields that it names."""
    held = {Plan: {"title"}, Site: {"name", "country"}, Viewpoint: {"name", "note"}, Body: {"name"}, Lens: {"name"},
            Shot: {"name", "note", "activity", "support", "band"}}  # fmt: skip
    for record, keys in held.items():
        assert keys <= {field.key for field in fields_of(record)}


@pytest.mark.parametrize("hostile", SHOWN, indirect=True, ids=ascii)
def test_a_card_in_every_form_holds_it_as_text(hostile: Opened) -> None:
    answers, name = answers_to(hostile), hostile.plan.value.title
    forms = {kind: render(answers, kind) for kind in ("text", "html", "json", "ics", "gpx", "pdf")}
    for kind, made in forms.items():
        assert made if isinstance(made, bytes) else not obeyed(made.replace("\r\n", "\n")), kind
    assert all(text_cells(line) <= 80 for line in str(forms["text"]).splitlines())
    assert "<script" not in str(forms["html"]) and "<script" not in str(forms["gpx"])
    assert "a[/b]" not in name or "a[/b]" in str(forms["text"])


def test_the_program_on_a_terminal_sends_no_title_and_no_order_of_a_name(lake: Path, own_folders: Path) -> None:
    """Of OSC (ECMA-48, 8.3.89) only the toolkit's own word about the pointer goes out: no title, no clipboard."""
    name = f"{FLOOD}[/b]\u05d0\u0627[@click=app.quit]x[/]{chr(0x200D) * 20}"
    lake.write_text(lake.read_text().replace("Lake (invented)", name).replace('"heron"', f'"{name}"'))
    screen = Screen(own_folders, lake)
    assert screen.read(READY)
    for key in (b"5", b"1", b"2"):
        screen.type(key)
        screen.read(limit_s=0.3)
    screen.type(b"\x07q")
    assert screen.ended() == 0
    assert set(re.findall(rb"\x1b\]([^\x07\x1b]*)", screen.seen)) <= {b"22;default"}
    assert b"\xc2\x9d" not in screen.seen and b"\x1bP" not in screen.seen
    assert "\u00e9\u0301".encode() in screen.seen, "the name itself was shown"
