"""A person's own lists over those of the program: laid over by name, or refused in plain words."""

from __future__ import annotations

import tomllib
from importlib import resources
from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.files.catalogue import load_catalogue
from fieldplan.files.problems import FileProblem
from fieldplan.model.catalogue import ListedSubject


def test_own_rows_replace_those_of_their_name_and_new_ones_are_added(tmp_path: Path) -> None:
    stock = load_catalogue()
    assert stock.subject("mallard") is not None
    (tmp_path / "subjects.toml").write_text(
        '[[subject]]\nname = "mallard"\ngroup = "bird"\nheight = "1 m"\n'
        '[[subject]]\nname = "garden gnome"\ngroup = "thing"\nheight = "12 in"\n'
    )
    own = load_catalogue(tmp_path)
    mallard, gnome = own.subject("mallard"), own.subject("garden gnome")
    assert mallard is not None
    assert mallard.height is not None
    assert mallard.height.low == 1.0
    assert gnome is not None
    assert gnome.height is not None
    assert gnome.height.low == pytest.approx(0.3048, rel=1e-15)  # 12 in, foot of 1959
    assert len(own.subjects) == len(stock.subjects) + 1
    assert (own.fills, own.rules, own.bands, own.cautions) == (stock.fills, stock.rules, stock.bands, stock.cautions)


def test_a_ready_subject_read_alone_is_what_the_whole_list_gives() -> None:
    held = tomllib.loads((resources.files("fieldplan.data") / "subjects.toml").read_text(encoding="utf-8"))["subject"]
    stock = load_catalogue()
    assert stock.own_subjects == ()  # every one is kept as text
    assert stock.subject_names == tuple(row["name"] for row in held)
    assert stock.subjects == tuple(ListedSubject.model_validate(row) for row in held)
    assert [stock.subject(row["name"]) for row in held] == list(stock.subjects)


def test_rules_of_a_land_are_added_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "approach.toml").write_text(
        '[[rule]]\nkey = "bird"\nplace = "here"\nkind = "advice"\nwording = "keep off"\nsource = "the warden"\n'
    )
    assert len(load_catalogue(tmp_path).rules) == len(load_catalogue().rules) + 1


def test_a_folder_without_lists_adds_nothing(tmp_path: Path) -> None:
    assert load_catalogue(tmp_path) == load_catalogue() == load_catalogue(tmp_path / "none")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x = ", "line 1"),
        ("subject = 3", "write a table [[subject]] for each"),
        ("subject = [3]", "write a table [[subject]]"),
        ('[subject]\nname = "x"', "two brackets"),
        ('[[subject]]\ngroup = "bird"\n', "is missing"),
        ('[[subject]]\nname = "x"\ngroup = "bird"\nhight = 3\n', 'did you mean "height"?'),
        ('[[subject]]\nname = "x"\ngroup = "bird"\nheight = "3 q"\n', '"q" is not a unit of a size'),
        ("x = " + "[" * 5000, "nested too deep"),
    ],
)
def test_a_list_that_cannot_be_read_is_explained(tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "subjects.toml").write_text(text)
    with pytest.raises(FileProblem) as raised:
        load_catalogue(tmp_path)
    assert str(raised.value).startswith("subjects.toml: ")
    assert words in str(raised.value)


def test_a_list_that_is_not_utf_8(tmp_path: Path) -> None:
    (tmp_path / "subjects.toml").write_bytes(b'x = "\xff"')
    with pytest.raises(FileProblem, match=r"subjects\.toml: .*UTF-8"):
        load_catalogue(tmp_path)


def test_check_knows_lists_of_ones_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = '[[subject]]\nname = "marsh grebe"\ngroup = "bird"\nheight = "20 cm"\nwidth = "30 cm"\nliving = true\n'
    own = tmp_path / "subjects.toml"
    own.write_text(rows + 'front_to_back = "15 cm"\nmark = "M"\nsource = "from memory"\n', encoding="utf-8")
    plan = tmp_path / "p.toml"
    plan.write_text(
        'fieldplan_plan = 1\ntitle = "x"\n[[shot]]\nname = "a"\nsubject = "marsh grebe"\n', encoding="utf-8"
    )
    assert main(["check", str(plan)]) == 0
    assert '"marsh grebe" is not in the list of subjects' in capsys.readouterr().out
    assert main(["check", "--profiles", str(tmp_path), str(plan), str(own)]) == 0
    told = capsys.readouterr().out
    assert "note" not in told and "subjects.toml: sound: a list of your own with 1 entry" in told
    own.write_text(own.read_text(encoding="utf-8").replace("height", "hieght"), encoding="utf-8")
    assert main(["check", str(own)]) == 1
    assert 'did you mean "height"?' in capsys.readouterr().err
