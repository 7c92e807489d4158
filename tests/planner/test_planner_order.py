"""The order of the answers and the words for it."""

from __future__ import annotations

import itertools

import pytest

from fieldplan.planner.answers import Answer
from fieldplan.planner.ranking import ranked, why_first
from fieldplan.planner.shortfalls import Shortfall

from .shots import BODY, gear, shot_answers, thing

BASE = Answer(
    "a", "body", "lens", None, None, None, None, "level", 1.0, "works", (), iso=400.0, pixels_on_subject=1000.0
)
DEPTH = Shortfall("depth", (0.1, 0.2, 8.0, 2.0, 22.0))


def short(fill: float, wanted: float = 0.6) -> tuple[Shortfall, ...]:
    return (Shortfall("short", (fill, wanted, 1.0, 1.0)),)


BETTER = [
    ("fill met before fill missed", {"shortfalls": (DEPTH, DEPTH), "verdict": "short"}, {"shortfalls": short(0.5)}),
    ("37 % of 60 % before 6 %", {"shortfalls": (*short(0.37), DEPTH)}, {"shortfalls": short(0.06)}),
    ("misses within a quarter stop are equal", {"shortfalls": short(0.54)}, {"shortfalls": (*short(0.55), DEPTH)}),
    ("too tight is graded as well", {"shortfalls": short(0.8, 0.6)}, {"shortfalls": short(1.3, 0.6)}),
    ("fewest shortfalls", {"iso": 6400.0}, {"shortfalls": (DEPTH,), "iso": 100.0}),
    ("lowest ISO", {"iso": 400.0, "pixels_on_subject": 1.0}, {"iso": 504.0}),
    ("ISO counts as a third", {"iso": 5079.7, "pixels_on_subject": 2000.0}, {"iso": 5000.0}),
    ("most pixels", {"pixels_on_subject": 1020.0, "weight_kg": 5.0}, {"pixels_on_subject": 1000.0}),
    ("pixels to one percent", {"pixels_on_subject": 1000.0, "weight_kg": 0.9}, {"pixels_on_subject": 1002.0}),
    ("least weight", {"weight_kg": 0.998}, {"weight_kg": 1.0, "label": "A"}),
    ("weight to a gram", {"weight_kg": 1.0004, "label": "A"}, {"weight_kg": 1.0, "label": "B"}),
    ("unknown ISO last at its key", {"iso": 51200.0}, {"iso": None, "pixels_on_subject": 9000.0}),
    ("unknown weight last at its key", {"weight_kg": 30.0, "label": "b"}, {"weight_kg": None}),
    ("names at the end", {"label": "a"}, {"label": "b"}),
    ("what cannot focus last", {"shortfalls": (*short(0.06), DEPTH)}, {"verdict": "cannot", "shortfalls": ()}),
]


@pytest.mark.parametrize(("better", "worse"), [pytest.param(b, w, id=name) for name, b, w in BETTER])
def test_order(better: dict[str, object], worse: dict[str, object]) -> None:
    first, second = BASE._replace(**better), BASE._replace(**worse)  # type: ignore[arg-type]
    assert ranked([second, first]) == (first, second)
    assert ranked([first, second]) == (first, second)


def test_order_does_not_depend_on_where_one_starts() -> None:
    changes = [change for pair in BETTER for change in pair[1:]]
    answers = [BASE._replace(**{**change, "label": f"{i}"}) for i, change in enumerate(changes)]  # type: ignore[arg-type]
    best = ranked(answers)
    for shift in range(1, len(answers), 5):
        turned = list(itertools.islice(itertools.cycle(answers), shift, shift + len(answers)))
        assert [(a.label, a.iso, a.shortfalls) for a in ranked(turned)] == [
            (a.label, a.iso, a.shortfalls) for a in best
        ]


def test_why_the_first_is_first() -> None:
    other = BASE._replace(label="b", body="other body", iso=800.0)
    assert why_first((BASE, other)) == "lowest ISO, 400; other body + lens has 800"
    assert why_first((BASE, BASE._replace(hold="upright"))) == "the only body and lens for it"
    assert why_first((BASE, other._replace(shortfalls=short(0.1)))) == "fills as wanted; the others do not"
    assert why_first((BASE._replace(verdict="cannot"),)) == "nothing in this profile takes it"
    heavy = BASE._replace(label="b", body="other body", weight_kg=2.0)
    assert why_first((BASE, heavy)) == "lighter, 1 kg; other body + lens weighs 2 kg"


def test_every_rig_that_the_profile_allows_and_no_other() -> None:
    bodies = [
        BODY,
        {**BODY, "name": "adapted", "mount": "B", "also_takes": ["A"]},
        {**BODY, "name": "alone", "mount": "C"},
    ]
    profile = gear(
        {"converters": ["1.4x"]},
        body=bodies[0],
        converter=[{"name": "1.4x", "factor": 1.4, "mount": "A"}, {"name": "2x", "factor": 2, "mount": "A"}],
        tube=[{"name": "tube", "length": "25 mm", "mount": "A"}, {"name": "other", "length": "9 mm", "mount": "C"}],
        close_up_lens=[{"name": "+2", "power": 2}],
    )
    profile["body"] = bodies
    profile["lens"].append({"name": "not mine", "focal": 50, "f_number": 2, "mount": "A", "owned": False})
    shot = {"subject": thing(height="1 m"), "distance": "50 m", "fill": "50 %"}
    answers = shot_answers({**shot, "hold": "level"}, profile).rigs
    assert {a.body for a in answers} == {"body", "adapted"}
    assert {a.lens for a in answers} == {"lens"}
    assert {a.converter for a in answers} == {None, "1.4x"}
    assert {a.tube for a in answers} == {None, "tube"}
    assert len(answers) == 2 * 2 * 2 * 2  # two bodies, with and without converter, tube, close-up lens
    chosen = shot_answers({**shot, "rig": {"body": "adapted"}}, profile).rigs
    assert {a.body for a in chosen} == {"adapted"}
    assert shot_answers({**shot, "rig": {"body": "alone"}}, profile).problem is not None
