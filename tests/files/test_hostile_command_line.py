"""The command line over files that are wrong in every way known: a message and an exit status, never a traceback."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fieldplan.cli import main

PLAN = 'fieldplan_plan = 1\ntitle = "Lake (invented)"\n'
SITE = PLAN + '[site]\nname = "hide"\nposition = "53.43, 12.75"\n'
SHOT = PLAN + '[[shot]]\nname = "heron"\nsubject = "grey heron"\n'
GEAR = 'fieldplan_profile = 1\nname = "mine"\n'
BODY = GEAR + '[[body]]\nname = "b"\nsensor = "36x24 mm"\npixels = "6000x4000"\nmount = "A"\n'
ESC = "\\u001b[31mred"
# (content, words of the message: where, what was found, what would do)
WRONG: dict[str, tuple[str | bytes, list[str]]] = {
    "wrong unit": (SHOT + 'distance = "28 q"', ['shot[0].distance ("heron")', '"28 q"', 'write for example "28 m"']),
    "missing field": (PLAN + "[[shot]]\nmust = true", ["shot[0].name", "is missing", 'name = "heron at the reeds"']),
    "missing title": ("fieldplan_plan = 1", ["title", "is missing", 'title = "Lake at dawn"']),
    "typo in a key": (SHOT + "distnace = 3", ["shot[0].distnace", "is not a key", 'did you mean "distance"?']),
    "typo in a table": (PLAN + "[sight]", ["sight", "is not a key of a plan", 'did you mean "site"?']),
    "newer version": (PLAN.replace("1", "9"), ["fieldplan_plan", "version 9", "get a newer one"]),
    "version of text": (PLAN.replace("1", '"1"'), ["fieldplan_plan", "is not a version", "write fieldplan_plan = 1"]),
    "no version": ('title = "x"', ["lacks the line fieldplan_plan = 1", "put it at the top"]),
    "not toml": (PLAN + "distance = 28 m", ["line 3, column 15", "is not TOML", 'distance = "28 m"']),
    "open quote": (PLAN + 'x = "5', ["line 3", "is not TOML", "a quote is not closed"]),
    "key given twice": (PLAN + 'title = "x"', ["line 3", "is not TOML", "overwrite"]),
    "not utf-8": (PLAN.encode() + b'note = "\xff"', ["line 3", "is not UTF-8 text", "save it as UTF-8"]),
    "bytes of a picture": (b"\xff\xd8\xff\xe0\x00\x10" * 99, ["is not UTF-8 text", "save it as UTF-8"]),
    "zeros": (b"\0" * 64, ["line 1, column 1", "is not TOML"]),
    "too large": (b"#" * (4 * 1024 * 1024 + 1), ["is larger than 4 MB", "is it the right file?"]),
    "nested too deep": (PLAN + "x = " + "[" * 5000, ["brackets nested too deep"]),
    "number too long": (PLAN + "x = " + "9" * 5000, ["a number too long"]),
    "duplicate names": (SHOT + '[[shot]]\nname = "heron"', ["shot[1].name", 'called "heron"', "its own name"]),
    "no such landmark": (SHOT + '[[shot]]\nname = "b"\nsubject = { landmark = "mill" }',
                         ["shot[1].subject", 'wants the landmark "mill"', "the site has none"]),
    "half a reading": (PLAN + "[[reading]]\ntime = 07:12:00\nf_number = 5.6",
                       ["reading[0]", "wants ev, or f_number with shutter and iso"]),
    "reading of both": (PLAN + '[[reading]]\ntime = 07:12:00\nev = 9\niso = 100', ["reading[0]", "not both"]),
    "half a span": (SHOT + "from = 07:00:00", ["shot[0].to", "give both or neither"]),
    "range backwards": (SHOT + 'distance = "31-25 m"', ["shot[0].distance", "backwards", "the smaller value first"]),
    "comma of thousands": (SHOT + 'distance = "1,000 m"', ["could mean a thousand", "write 1000 or 1.000"]),
    "position": (SITE.replace("53.43, 12.75", "here"), ["site.position", '"here"', "52.3012, 4.9711"]),
    "unknown choice": (SHOT + 'hold = "uprigth"', ["shot[0].hold", 'did you mean "upright"?']),
    "list for text": (PLAN + "[[shot]]\nname = []", ["shot[0].name", "a list is not a name", "in quotes"]),
    "one bracket": (PLAN + '[shot]\nname = "a"', ["shot", "write [[shot]] with two brackets"]),
    "escape in a name": (PLAN + f'[[shot]]\nname = "{ESC}"', ["shot[0].name", "U+001B", "take it out"]),
    "bidi in a name": (PLAN + '[[shot]]\nname = "a\\u202eb"', ["shot[0].name", "U+202E", "take it out"]),
    "newline in a name": (PLAN + '[[shot]]\nname = "a\\nb"', ["shot[0].name", "U+000A", "take it out"]),
    "escape in a key": (PLAN + f'"{ESC}" = 1', ["is not a key of a plan", "known: "]),
    "escape in a value": (SHOT + f'distance = "{ESC}"', ["shot[0].distance", "is not a distance", "write for example"]),
    "endless number": (SHOT + "distance = nan", ["shot[0].distance", "is not a distance", "write for example"]),
    "profile wrong unit": (BODY.replace("36x24 mm", "36x24 kg"), ['body[0].sensor ("b")', '"kg"', '"36x24 mm"']),
    "profile missing": (BODY.replace('mount = "A"\n', ""), ['body[0].mount ("b")', "is missing", 'mount = "A"']),
    "profile newer": (GEAR.replace("1", "2"), ["fieldplan_profile", "version 2", "get a newer one"]),
    "profile twice": (BODY + BODY.removeprefix(GEAR), ["body[1].name", 'called "b"', "its own name"]),
}  # fmt: skip


def ran(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """(exit status, messages) of one command; an exit by the reader of options counts as well."""
    capsys.readouterr()
    try:
        status = main(words)
    except SystemExit as left:
        status = int(left.code or 0)
    said = capsys.readouterr().err
    assert all(char.isprintable() or char == "\n" for char in said), said
    assert "Traceback" not in said
    return status, said


@pytest.mark.parametrize("sort", WRONG)
def test_check_names_the_file_the_field_and_the_remedy(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], sort: str
) -> None:
    content, words = WRONG[sort]
    path = tmp_path / "lake.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    status, said = ran(capsys, "check", str(path))
    assert status == 1
    assert said.startswith("lake.toml: ")
    for word in words:
        assert word in said


@pytest.mark.parametrize("sort", [sort for sort in WRONG if not sort.startswith("profile")])
def test_a_card_of_the_same_file_says_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str], sort: str) -> None:
    content, _ = WRONG[sort]
    path = tmp_path / "lake.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    assert ran(capsys, "card", str(path)) == ran(capsys, "check", str(path)) == ran(capsys, str(path))


@pytest.mark.parametrize("sort", [sort for sort in WRONG if sort.startswith("profile")])
def test_a_card_with_a_wrong_profile_names_the_profile(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], sort: str
) -> None:
    content, words = WRONG[sort]
    (tmp_path / "lake.toml").write_text(PLAN)
    (tmp_path / "mine.toml").write_text(str(content))
    status, said = ran(capsys, "card", str(tmp_path / "lake.toml"), "--profile", str(tmp_path / "mine.toml"))
    assert status == 1
    assert said.startswith("mine.toml: ")
    for word in words:
        assert word in said


def test_a_file_of_the_other_sort(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan, gear = tmp_path / "lake.toml", tmp_path / "mine.toml"
    plan.write_text(PLAN)
    gear.write_text(GEAR)
    assert ran(capsys, "card", str(gear)) == (1, "mine.toml: is a gear profile, not a plan; name a plan\n")
    assert ran(capsys, "card", str(plan), "--profile", str(plan)) == (
        1,
        "lake.toml: is a plan, not a gear profile; name a gear profile\n",
    )
    plan.write_text(PLAN + 'profile = "nobodys"\n')
    status, said = ran(capsys, "card", str(plan))
    assert status == 1
    assert "nobodys: is no gear profile; " in said
    assert "the profiles here are: " in said


def test_what_is_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "loop.toml").symlink_to("loop.toml")
    (tmp_path / "file").write_text("x")
    cases = {
        str(tmp_path): "is a folder; name a file in it",
        str(tmp_path / "none.toml"): "none.toml: is not there; look at the spelling",
        str(tmp_path / "file" / "a.toml"): "a part of its path is a file, not a folder",
        str(tmp_path / "pipe.toml"): "pipe.toml: is not an ordinary file; name a .toml file",
        str(tmp_path / "loop.toml"): "is a link that leads back to itself; mend the link",
        "x" * 300: "has too long a name; write a shorter one",
        "a\0b": "has a name that cannot be; write another",
        "": "is a folder; name a file in it",
    }
    for name, words in cases.items():
        status, said = ran(capsys, "check", name)
        assert (status, words in said) == (1, True), (name, said)
        status, said = ran(capsys, "card", name)
        assert status == 1
        assert said
    (tmp_path / "shut.toml").write_text(PLAN)

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)
    status, said = ran(capsys, "check", str(tmp_path / "shut.toml"))
    assert (status, "may not be read or written by you; change its permissions" in said) == (1, True)


@pytest.mark.parametrize("name", ["[/b]", "[link=x]y", "{}", "%s", "a\u0301", "</text>&", "\\\\", "🦆", "名" * 60])
def test_names_that_are_odd_but_printable_are_plain_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    path = tmp_path / "lake.toml"
    path.write_text(f'{SITE}[[shot]]\nname = "{name}"\nsubject = "grey heron"\ndistance = "28 m"\nnote = "{name}"\n')
    assert ran(capsys, "check", str(path)) == (0, "")
    for kind in ("text", "html", "json", "ics", "gpx"):
        status, said = ran(capsys, "card", str(path), "--as", kind)
        assert status in (0, 1)
        assert (status == 0) == (said == "")


@pytest.mark.parametrize(
    "content",
    ["subject = 3", "x = ", "[[subject]]\nname = 3", "subject = [3]", "x = " + "[" * 5000, '[[subject]]\na = ""'],
)
def test_own_lists_that_are_wrong(
    tmp_path: Path, own_folders: Path, capsys: pytest.CaptureFixture[str], content: str
) -> None:
    (own_folders / "profiles").mkdir()
    (own_folders / "profiles" / "subjects.toml").write_text(content)
    path = tmp_path / "lake.toml"
    path.write_text(SHOT)
    status, said = ran(capsys, "card", str(path))
    assert status == 1
    assert said.startswith("subjects.toml: ")


def test_a_card_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "lake.toml"
    path.write_text(SHOT)
    (tmp_path / "folder").mkdir()
    cases = {
        str(tmp_path / "none" / "card.txt"): "is not there",
        str(path / "card.txt"): "a part of its path is a file, not a folder",
        str(tmp_path / "folder"): "is a folder; name a file in it",
        str(tmp_path / ("x" * 300)): "has too long a name",
        str(tmp_path / "a\0b"): "has a name that cannot be",
        str(path): "lake.toml: would be taken for a plan or profile; write to a file such as card.txt",
    }
    for name, words in cases.items():
        status, said = ran(capsys, "card", str(path), "-o", name)
        assert (status, words in said) == (1, True), (name, said)
    assert sorted(os.listdir(tmp_path)) == ["folder", "lake.toml"]
    assert path.read_text() == SHOT


def test_wrong_use_is_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    for words in ([], ["card"], ["card", "x", "--as", "nothing"], ["check"], ["--nonsense"]):
        status, said = ran(capsys, *words)
        assert (status, bool(said)) == (2, True), words


def test_several_files_are_all_looked_at(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(PLAN)
    bad.write_text("x")
    assert main(["check", str(bad), str(good)]) == 1
    out, err = capsys.readouterr()
    assert 'good.toml: sound: plan "Lake (invented)" with 0 shots' in out
    assert err.startswith("bad.toml: line 1, column ")
