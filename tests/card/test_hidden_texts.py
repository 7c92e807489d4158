"""What people typed, in a card without its place: positions in every notation and words of the site are hidden."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fieldplan.cli import main
from fieldplan.notation.position import read_position
from fieldplan.opening import Opened, open_plan
from fieldplan.planner.hiding import without_positions

from .nest import PLAN, shared_of


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Opened:
    path = tmp_path_factory.mktemp("plans") / "nest.toml"
    path.write_text(PLAN)
    return open_plan(str(path))


@pytest.mark.parametrize(
    "text",
    [
        "heron@53.4296,12.7711", "pos=53.4296,12.7711", "nest(53.4296,12.7711)", "53.4296,12.7711,17z",
        "https://example.org/?q=53.4296,12.7711", "53.4296_12.7711", "53.4296 and 12.7711", "53.4296-12.7711",
        "53.4296 x 12.7711", "53 . 4296, 12 . 7711", "CQHC+RC", "R 4551923 H 5922135", "JO63JK", "53,4296 12,7711",
        "pos=N53 25.776 E12 46.266", "nest(53\u00b025'46\"N12\u00b046'15\"E)", "SU 12345 67890", "9F5JCQHC+RC",
        "33U 350500 5922600", "534296 127711", "53.429 12.771",
    ],
)  # fmt: skip
def test_positions_are_hidden_however_they_are_written(text: str) -> None:
    """The forms in which people write positions; plus codes: the Open Location Code specification, locators: IARU."""
    told = without_positions(f"owl {text} late")
    assert "(place)" in told and told.startswith("owl ") and told.endswith(" late")
    assert not re.search(r"\d{3}|4296|7711|25.776|25'46|RC\b|63", told), told


def test_words_of_the_site_are_hidden_and_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Whole words go, what is inside another word stays and is warned of; the animal's own name stays."""
    path = tmp_path / "quill.toml"
    path.write_text("""fieldplan_plan = 1
title = "Quill day"
date = 2027-03-14
[site]
name = "Quill Pool heron wood"
position = "43.1, -75.2"
[[shot]]
name = "fox by Quillstown road near the pool"
subject = "red fox"
distance = "30 m"
time = 07:20:00
[[shot]]
name = "heron at QUILL  pool-Heron wood"
subject = "grey heron"
distance = "30 m"
time = 08:20:00
""")
    assert main(["card", str(path), "--without-place"]) == 0
    told = capsys.readouterr()
    assert "(place) day" in told.out and "heron at the site" in told.out and "grey heron" in told.out
    assert "Quill Pool" not in told.out and "Quill day" not in told.out
    assert 'holds "quill" inside a word and STAYS' in told.err
    assert '"quill" in "Quill day" is hidden' in told.err
    assert "(US)" not in told.out and "Katmai" not in told.out, "no country"


@pytest.mark.parametrize("text", ["53.4312, 12.7503", "53°25'52.3\" N 12°45'1.1\" E", "+53.4312+012.7503/",
                                  "geo:53.4312,12.7503", "33U 350500 5922600"])  # fmt: skip
def test_positions_in_names_are_found_in_every_notation(opened: Opened, text: str) -> None:
    read_position(text)
    told = shared_of(opened, title=f"eagle at {text}, early", shots=()).plan.title
    assert told == "eagle at (place) early (place left out)", told


@pytest.mark.parametrize(
    "title", ["Lake 2027-03-14", "12 herons, 30 ducks", "ISO 6400 and 1/2000", "roll 120 no 445566"]
)
def test_ordinary_names_are_left_alone(opened: Opened, title: str) -> None:
    assert shared_of(opened, title=title, shots=()).plan.title == f"{title} (place left out)"
