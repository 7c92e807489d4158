"""A photographer's own figures are recovered from simulated logs as often as is claimed, and "too few" is said.

The simulation shares nothing with the fit: hands shake by a rate drawn for each picture, blur is that rate times time
(reference hand: ISO 19093 cl. 3.1 and ISO 20954-1 cl. 3.5, 63 um in 1/f_eq s), and a picture is sharp when its blur is
under the circle of confusion, diagonal / 1500 (common practice).
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import Any

import pytest

from fieldplan.files.reading import validated
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.model.taken import MOVED, NOISE, SHAKE
from fieldplan.planner.attempts import Attempt, Metering, attempts
from fieldplan.planner.intervals import mean_of, quantile_of, student_t
from fieldplan.planner.learning import distance_lesson, following_lesson, lessons, shake_lesson
from fieldplan.planner.rigs import prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.thresholds import Threshold, TooFew, fit_threshold

from .shots import gear, lists

PROFILE = validated(gear({"focal": "400 mm"}), Profile)
KIT = prepare(PROFILE)
DIAGONAL_MM = math.hypot(36.0, 24.0)
LOGS = 80  # simulated logs of each kind
# of 80 logs with a true cover of 92 % fewer than 68 (85 %) are covered in 1 % of runs; the seeds are fixed besides
LEAST_COVERED = 0.88


def rayleigh(rng: random.Random) -> float:
    """Blur of two random directions, with a median of 1."""
    return math.sqrt(-2.0 * math.log(1.0 - rng.random())) / math.sqrt(2.0 * math.log(2.0))


def lognormal(doublings: float) -> Callable[[random.Random], float]:
    return lambda rng: 2.0 ** rng.gauss(0.0, doublings)


def shutter_text(seconds: float) -> str:
    return f"{seconds:.9f} s"


def hand_log(rng: random.Random, factor: float, number: int, scatter: Callable[[random.Random], float]) -> list[Any]:
    """Entries of a hand with so many times the reference's shake: 400 mm at infinity, shutters round the limit."""
    limit = DIAGONAL_MM / 1500.0 / (400.0 * 0.063)  # s at factor 1: circle over focal length times rate
    entries = []
    for _ in range(number):
        shutter = limit * 2.0 ** rng.gauss(0.0, 1.3)
        blur_mm = 400.0 * 0.063 * shutter * factor * scatter(rng)
        sharp = blur_mm < DIAGONAL_MM / 1500.0
        entry: dict[str, Any] = {"shot": "far hill", "body": "body", "lens": "lens", "shutter": shutter_text(shutter),
                                 "distance": "infinity", "sharp": sharp}  # fmt: skip
        entries.append(entry if sharp else {**entry, "why": SHAKE})
    return entries


def tried(entries: list[Any], *shots: dict[str, Any]) -> tuple[Attempt, ...]:
    plan = validated({"fieldplan_plan": 1, "title": "invented", "shot": list(shots), "taken": entries}, Plan)
    return attempts(plan, KIT, Setting(lists()))


def even(rng: random.Random) -> float:
    """Blur spread evenly over a range, with a median of 1: as far from a logistic curve as a hand may be."""
    return rng.uniform(0.2, 1.8)


@pytest.mark.parametrize("scatter", [lognormal(0.3), lognormal(0.9), rayleigh, even])
@pytest.mark.parametrize("number", [25, 60, 300])
def test_the_shake_factor_is_recovered_as_often_as_claimed(
    number: int, scatter: Callable[[random.Random], float]
) -> None:
    rng = random.Random(1000 + number)
    told = covered = 0
    for _ in range(LOGS):
        factor = 2.0 ** rng.uniform(-1.3, 1.3)
        lesson = shake_lesson(tried(hand_log(rng, factor, number, scatter)), PROFILE)
        if lesson.value is None:
            continue
        assert lesson.low is not None and lesson.high is not None
        told += 1
        covered += lesson.low <= factor <= lesson.high
    assert told >= LOGS / 2
    assert covered >= LEAST_COVERED * told


def test_the_interval_narrows_with_more_pictures() -> None:
    rng = random.Random(3)
    widths = []
    for number in (40, 400):
        found = shake_lesson(tried(hand_log(rng, 1.5, number, rayleigh)), PROFILE)
        assert found.low is not None and found.high is not None
        widths.append(math.log2(found.high / found.low))
    assert widths[1] < widths[0] / 1.5


BIRD = {"name": "bird", "subject": {"name": "bird", "width": "1 m", "height": "1 m", "living": False},
        "speed": "10 m/s", "direction": "crossing", "distance": "40 m", "panned": 0.5}  # fmt: skip


def flight_log(rng: random.Random, share: float, number: int, scatter: Callable[[random.Random], float]) -> list[Any]:
    """Entries of a bird at 10 m/s and 40 m through 400 mm, on a tripod: what is not followed smears, m v t (1 - p)."""
    circle_mm, focal_mm, away_mm = DIAGONAL_MM / 1500.0, 400.0, 40_000.0
    # thin lens, 40 m from subject to sensor: D = f (2 + m + 1/m), the smaller root
    half = (away_mm / focal_mm - 2.0) / 2.0
    m = half - math.sqrt(half * half - 1.0)
    limit = circle_mm / (m * 10_000.0)
    entries = []
    for _ in range(number):
        shutter = limit / (1.0 - 0.85) * 2.0 ** rng.gauss(0.0, 1.3)
        smear_mm = m * 10_000.0 * shutter * (1.0 - share) * scatter(rng)
        sharp = smear_mm < circle_mm
        entry: dict[str, Any] = {"shot": "bird", "body": "body", "lens": "lens", "shutter": shutter_text(shutter),
                                 "distance": "40 m", "support": "tripod", "sharp": sharp}  # fmt: skip
        entries.append(entry if sharp else {**entry, "why": MOVED})
    return entries


@pytest.mark.parametrize("scatter", [lognormal(0.6), rayleigh])
def test_the_share_followed_is_recovered_as_often_as_claimed(scatter: Callable[[random.Random], float]) -> None:
    rng = random.Random(77)
    told = covered = 0
    for _ in range(LOGS):
        share = rng.uniform(0.7, 0.95)
        lesson = following_lesson(tried(flight_log(rng, share, 40, scatter), BIRD))
        if lesson.value is None:
            continue
        assert lesson.low is not None and lesson.high is not None
        told += 1
        covered += lesson.low <= share <= lesson.high
    assert told >= LOGS / 2
    assert covered >= LEAST_COVERED * told


def test_the_evidence_counts_every_picture_once() -> None:
    lesson = shake_lesson(tried(hand_log(random.Random(6), 1.0, 80, rayleigh)), PROFILE)
    counts = [line.rsplit(": ", 1)[1].split() for line in lesson.evidence]
    assert sum(int(words[2]) for words in counts) == 80
    shares = [int(words[0]) / int(words[2]) for words in counts if int(words[2]) >= 8]
    assert shares[0] > shares[-1], "faster shutters are sharp more often"


def test_a_tripod_says_nothing_of_the_hand_and_a_bird_let_fly_nothing_of_following() -> None:
    rng = random.Random(5)
    on_legs = [{**entry, "support": "tripod"} for entry in hand_log(rng, 1.0, 60, rayleigh)]
    assert not shake_lesson(tried(on_legs), PROFILE).sure
    let_fly = [{**entry, "panned": 0} for entry in flight_log(rng, 0.9, 60, rayleigh)]
    assert not following_lesson(tried(let_fly, BIRD)).sure


@pytest.mark.parametrize(
    "points",
    [
        [],
        [(0.0, True)] * 200,
        [(0.0, True)] * 9 + [(1.0, False)] * 2,
        [(-6.0, True)] * 50 + [(6.0, False)] * 50,  # all far from the limit
    ],
)
def test_too_few_is_said(points: list[tuple[float, bool]]) -> None:
    found = fit_threshold(points)
    assert isinstance(found, TooFew)
    assert found.yes + found.no == len(points)
    assert found.why.startswith("too few")


def test_what_has_nothing_to_do_with_the_shutter_is_unclear() -> None:
    found = fit_threshold([(x / 10, x % 2 == 0) for x in range(-60, 60)])
    assert isinstance(found, TooFew)
    assert found.why.startswith("unclear")


def test_a_sharp_edge_is_found_where_it_is() -> None:
    points = [(x / 10.0, x / 10.0 < 0.65) for x in range(-30, 40)]
    found = fit_threshold(points)
    assert isinstance(found, Threshold)
    assert found.low <= 0.65 <= found.high
    assert abs(found.at - 0.65) < 0.15


def test_a_profile_that_is_right_needs_no_change_and_one_that_is_wrong_is_offered_one() -> None:
    rng = random.Random(9)
    entries = hand_log(rng, 2.0, 200, rayleigh)
    lesson = shake_lesson(tried(entries), PROFILE)
    assert lesson.change is not None and lesson.change.path == ("photographer", "shake")
    assert lesson.change.line == f"[photographer]\nshake = {lesson.change.text}"
    right = PROFILE.model_copy(update={"photographer": PROFILE.photographer.model_copy(
        update={"shake": float(lesson.change.text)})})  # fmt: skip
    assert shake_lesson(tried(entries), right).change is None


def test_student_t_against_scipy() -> None:
    from scipy.stats import t

    for freedom in [*range(1, 40), 100, 1000]:
        assert student_t(freedom) == pytest.approx(t.ppf(0.975, freedom), rel=6e-4)


def test_distances_misjudged_cover_the_true_ratio() -> None:
    rng = random.Random(21)
    covered = 0
    for _ in range(200):
        true = 2.0 ** rng.uniform(-0.5, 0.5)
        found = mean_of([math.log(true) + rng.gauss(0.0, 0.2) for _ in range(8)])
        assert found is not None
        covered += found.low <= math.log(true) <= found.high
    assert 0.90 <= covered / 200 <= 0.99


def test_distances_as_logged() -> None:
    far = {"shot": "bird", "distance": "50 m"}
    as_planned = {"shot": "bird", "distance": "40 m"}
    lesson = distance_lesson(tried([far] * 6 + [as_planned] * 9, BIRD))
    assert lesson.value == pytest.approx(1.25)
    assert lesson.counts.startswith("6 ")
    assert "25 % farther" in lesson.said
    assert not distance_lesson(tried([far] * 4, BIRD)).sure


def test_quantile_bounds_cover_as_claimed() -> None:
    """The 90 % quantile of a uniform distribution is 0.9."""
    rng = random.Random(2)
    covered = 0
    for _ in range(300):
        found = quantile_of([rng.random() for _ in range(50)], 0.9)
        assert found is not None and found.low is not None
        covered += found.low <= 0.9 <= (1.0 if found.high is None else found.high)
    assert covered >= 0.94 * 300
    few = quantile_of([rng.random() for _ in range(12)], 0.9)
    assert few is not None and few.high is None, "of 12 values none is surely over the 90 % quantile"
    assert quantile_of([1.0] * 9, 0.9) is None


def iso_lesson(entries: list[Any], profile: Profile = PROFILE) -> Any:
    return next(x for x in lessons(tried(entries), (), profile) if x.name == "iso:body")


def test_iso_kept_raises_a_ceiling_and_never_lowers_it() -> None:
    kept = [{"shot": "a", "body": "body", "lens": "lens", "iso": 25600, "sharp": True}] * 60
    lesson = iso_lesson(kept)
    assert lesson.change is not None and (lesson.change.now, lesson.change.text) == ("6400", "25600")
    assert lesson.change.path == ("body", 0, "iso_ceiling")
    low = iso_lesson([{**entry, "iso": 200} for entry in kept])
    assert low.change is None and low.value == 200.0


def test_pictures_that_nobody_has_looked_at_say_nothing_of_the_iso() -> None:
    """Read from files and not culled: neither kept nor given up."""
    files = [{"shot": "a", "body": "body", "lens": "lens", "iso": 6400, "picture": f"{i}.jpg"} for i in range(60)]
    assert not any(lesson.name.startswith("iso:") for lesson in lessons(tried(files), (), PROFILE))
    kept = [{**entry, "sharp": True} for entry in files]
    assert iso_lesson(kept).counts == "60 kept, 0 given up for noise"


def test_iso_given_up_for_noise_lowers_it() -> None:
    rng = random.Random(4)
    entries = []
    for _ in range(120):
        iso = 100.0 * 2.0 ** rng.uniform(0, 8)
        noisy = iso > 3200.0 * 2.0 ** rng.gauss(0.0, 0.4)
        entry: dict[str, Any] = {"shot": "a", "body": "body", "lens": "lens", "iso": round(iso), "sharp": True}
        entries.append({**entry, "why": NOISE} if noisy else entry)
    lesson = iso_lesson(entries)
    assert lesson.low <= 3200.0 <= lesson.high
    assert lesson.change is not None and float(lesson.change.text) < 6400


def test_meter_readings_by_sky_and_lighting() -> None:
    readings = [Metering("p", "hazy", "open shade", 0.7 + d) for d in (-0.2, 0.0, 0.2, -0.1, 0.1)]
    other = [Metering("p", "clear", "front-lit", 1.0)] * 4
    found = {x.name: x for x in lessons((), [*readings, *other], PROFILE)}
    lesson = found["light:hazy, open shade"]
    assert lesson.value == pytest.approx(0.7)
    assert lesson.plan_line == "light_offset = 0.7"
    assert not found["light:clear, front-lit"].sure


def test_entries_that_say_little_break_nothing() -> None:
    odd: list[dict[str, Any]] = [
        {"shot": "gone"},
        {"shot": "bird", "body": "other", "lens": "lens", "shutter": "1/100", "sharp": True},
        {"shot": "bird", "body": "body", "lens": "lens", "shutter": "1/100", "distance": "0.1 m", "sharp": False},
        {"shot": "bird", "body": "body", "lens": "lens", "focal": "900 mm", "distance": "infinity", "sharp": True},
        {"shot": "what", "body": "body", "lens": "lens", "iso": 100, "sharp": False, "why": "a cold hand"},
    ]
    found = lessons(tried(odd, BIRD, {"name": "what", "subject": "no such thing"}), (), PROFILE)
    assert not any(lesson.sure for lesson in found)
