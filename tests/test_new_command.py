"""``fieldplan new``: a plan of one's own that every reader takes; nothing that is there is ever written over."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.files.reading import load_plan


@pytest.fixture
def plans(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FIELDPLAN_PLANS", str(tmp_path / "plans"))
    monkeypatch.setenv("FIELDPLAN_PROFILES", str(tmp_path / "profiles"))
    return tmp_path / "plans"


def test_a_plan_begins_with_what_was_said(plans: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--on", "2027-03-14", "--at", "52 18.072 N, 4 58.266 E", "--site", "reed hide", "--profile", "two-bodies"]
    assert main(["new", "Lake at dawn", *words]) == 0
    path = plans / "lake-at-dawn.toml"
    assert str(path) in capsys.readouterr().err
    plan = load_plan(path).value
    assert (plan.title, str(plan.date), plan.profile) == ("Lake at dawn", "2027-03-14", "two-bodies")
    assert plan.site is not None and plan.site.name == "reed hide" and plan.site.position is not None
    assert plan.site.position.latitude_deg == pytest.approx(52 + 18.072 / 60)
    assert [shot.name for shot in plan.shots] == ["first picture"]
    assert main(["card", "lake-at-dawn"]) == 0
    assert "first picture" in capsys.readouterr().out


def test_a_title_is_enough(plans: Path) -> None:
    assert main(["new", "Weir [bold]"]) == 0
    plan = load_plan(next(plans.glob("*.toml"))).value
    assert plan.title == "Weir [bold]" and plan.date is None and plan.site is None


def test_a_city_and_a_saved_place_bring_their_name_and_height(plans: Path) -> None:
    (plans.parent / "profiles").mkdir()
    (plans.parent / "profiles" / "places.toml").write_text(
        '[[place]]\nname = "east dam"\nposition = "53.4418, 12.7641"\nelevation = "61 m"\n'
    )
    assert main(["new", "Dam", "--at", "east dam"]) == 0
    site = load_plan(plans / "dam.toml").value.site
    assert site is not None and (site.name, float(site.elevation)) == ("east dam", 61.0)
    assert main(["new", "Town", "--at", "Amsterdam"]) == 0
    town = load_plan(plans / "town.toml").value.site
    assert town is not None and town.name == "Amsterdam" and town.position is not None
    assert town.position.latitude_deg == pytest.approx(52.37, abs=0.05)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["", "--on", "2027-03-14"], "the name is empty"),
        (["Dam", "--on", "14th"], "14th"),
        (["Dam", "--at", "91, 4"], "91"),
        (["Dam", "--at", "52.3, 4.9", "--site", "\x1b[2J"], "control character"),
    ],
)
def test_a_word_that_cannot_be_read_writes_nothing(
    plans: Path, capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert main(["new", *words]) == 2
    err = capsys.readouterr().err
    assert told in err and "\x1b" not in err and not plans.exists()


def test_nothing_is_written_over_and_an_unknown_profile_is_named(
    plans: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", "Dam", "--profile", "two-bodyes"]) == 1
    assert 'did you mean "two-bodies"?' in capsys.readouterr().err and not plans.exists()
    assert main(["new", "Dam"]) == 0
    before = (plans / "dam.toml").read_bytes()
    assert main(["new", "dam"]) == 1
    assert "is there already" in capsys.readouterr().err and (plans / "dam.toml").read_bytes() == before


def test_a_plan_that_is_not_there_names_the_way_to_begin_one(plans: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "weir"]) == 1
    assert 'fieldplan new "weir"' in capsys.readouterr().err
