"""The planner against the second computation, on hundreds of invented plans and profiles."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from fieldplan.model.catalogue import Catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.answers import Answer
from fieldplan.planner.plans import assess
from fieldplan.planner.setting import Setting

from .deciding import assessed
from .independent import ends
from .invented import some_plan

CLOSE = 1e-6
AT_THE_BRINK = 0.03  # with a tube or close-up lens, at the farthest it focuses: halving finds a flat turn no nearer
NEAR = 0.06  # as a logarithm: where a zoom behind a tube reaches the share nowhere, the way to the nearest is coarse
# what the second computation calls it, how the planner does, and the planner's unit in its terms
NUMBERS = (
    ("focal", "focal_m", 1e3), ("acting", "acting_focal_m", 1e3), ("m", "magnification", 1.0), ("fill", "fill", 1.0),
    ("from", "fills_from_m", 1e3), ("to", "fills_to_m", 1e3), ("pixels", "pixels_on_subject", 1.0),
    ("n", "f_number", 1.0),
    ("n_eff", "effective_f_number", 1.0), ("circle", "circle_m", 1e3), ("near", "near_m", 1e3), ("far", "far_m", 1e3),
    ("hyperfocal", "hyperfocal_m", 1e3), ("blur", "background_blur_m", 1e3), ("smear", "background_smear_m", 1e3),
    ("airy_um", "airy_m", 1e6), ("shake", "shake_limit_s", 1.0), ("motion", "motion_limit_s", 1.0),
    ("time", "shutter_s", 1.0), ("iso", "iso", 1.0),
)  # fmt: skip


def give_limits(rng: random.Random, shot: dict[str, Any]) -> None:
    """Sharp from before the subject, or now and then behind it, to some way behind, or infinity."""
    shot.pop("depth_of_field", None)
    away = ends(shot.get("distance", "20 m"), 1000.0)[0] / 1000.0
    if away == math.inf:
        away = 500.0
    near = away * rng.choice([0.3, 0.6, 0.9, 0.99, 1.5])
    shot["distance"] = shot.get("distance", "20 m")
    shot["sharp_from"] = f"{near:.6g} m"
    shot["sharp_to"] = rng.choice(["infinity", f"{near * rng.uniform(1.02, 6.0):.6g} m"])


def differences(theirs: dict[str, Any], ours: Answer, close: float = CLOSE) -> list[str]:
    """What differs by more than ``close``, in words."""
    if theirs["verdict"] == "nearest":
        return _at_least_as_near(theirs, ours)
    found = [] if theirs["verdict"] == ours.verdict else [f"verdict {theirs['verdict']} {ours.verdict}"]
    if theirs["verdict"] == "cannot" or ours.verdict == "cannot":
        return found
    kinds = sorted(s.kind for s in ours.shortfalls)
    if kinds != theirs["kinds"]:
        found.append(f"shortfalls {theirs['kinds']} {kinds}")
    for name, attribute, size in NUMBERS:
        want, have = theirs.get(name), getattr(ours, attribute)
        have = None if have is None else have * size
        same = want == have or (want is not None and have is not None and math.isclose(want, have, rel_tol=close))
        if not same:
            found.append(f"{name} {want} {have}")
    return found


def _at_least_as_near(theirs: dict[str, Any], ours: Answer) -> list[str]:
    """A zoom through a tube or close-up lens that reaches the share nowhere: no setting tried may come much nearer."""
    miss = abs(math.log(ours.magnification / theirs["m"])) if ours.magnification else math.inf
    return [] if miss <= theirs["miss"] + NEAR else [f"miss {theirs['miss']} {miss}"]


def compared(seed: int, limits: bool = False) -> tuple[int, list[str]]:
    """How many rigs were compared, and what differs. limits: with both ends of the sharpness in place of a depth."""
    plan, profile = some_plan(seed)
    if limits:
        give_limits(random.Random(seed), plan["shot"][0])
    answers = assess(Plan.model_validate(plan), Profile.model_validate(profile), Setting(Catalogue()))
    theirs = assessed(plan, profile, plan["shot"][0])
    rigs = answers.shots[0].rigs
    ours = {(a.body, a.lens, a.converter, a.tube, a.close_up_lens, a.hold): a for a in rigs}
    if set(ours) != set(theirs):
        return 0, [f"{seed}: rigs {set(theirs) ^ set(ours)}"]
    wrong = []
    for key, one in theirs.items():
        close = AT_THE_BRINK if limits and (key[3] or key[4]) else CLOSE
        wrong += [f"{seed} {key}: {d}" for d in differences(one, ours[key], close)]
    return len(theirs), wrong


@pytest.mark.parametrize("block", range(10))
def test_every_number_agrees_with_the_second_computation(block: int) -> None:
    counts, wrong = zip(*(compared(seed) for seed in range(block * 30, block * 30 + 30)), strict=True)
    assert sum(counts) > 50
    assert [line for lines in wrong for line in lines] == []


@pytest.mark.parametrize("block", range(5))
def test_both_limits_agree_with_the_second_computation(block: int) -> None:
    counts, wrong = zip(*(compared(seed, True) for seed in range(block * 30, block * 30 + 30)), strict=True)
    assert sum(counts) > 50
    assert [line for lines in wrong for line in lines] == []
