"""A magnification asked for instead of a share: what it comes to on each body, and what cannot reach it."""

from __future__ import annotations

import math

import pytest
from pydantic import ValidationError

from fieldplan.planner.gaps import gap_of
from fieldplan.planner.rigs import prepare
from fieldplan.planner.shotmore import more_on
from fieldplan.planner.trip import TripShot

from .trips import CROP, FULL, Table, plan, profile, thing, trip

MACRO: Table = {"name": "macro", "focal": "100 mm", "f_number": 2.8, "smallest_f_number": 32, "mount": "A",
                "closest_focus": "0.4 m", "largest_magnification": 1, "converters": ["1.4x"]}  # fmt: skip
CONVERTER: Table = {"name": "1.4x", "factor": 1.4, "mount": "A"}
BEETLE: Table = {"subject": thing("7 mm", width="14 mm"), "light": "EV 12"}


def asked(shot: Table, *lenses: Table, **gear: object) -> TripShot:
    made = {"body": [FULL, CROP], "lens": list(lenses or (MACRO,)), "converter": [CONVERTER], **gear}
    return trip(prepare(profile(**made)), {**BEETLE, **shot})[0]


@pytest.mark.parametrize("scale", ["1:1", "1:2", "0.3"])
def test_every_body_draws_as_large_and_fills_its_own_share(scale: str) -> None:
    m = {"1:1": 1.0, "1:2": 0.5, "0.3": 0.3}[scale]
    found = asked({"magnification": scale}).found
    for answer in found.rigs:
        assert answer.magnification == pytest.approx(m, rel=1e-6) and answer.verdict == "works"
        # fill = m x extent / side of the frame along the same axis [definition of magnification]: 14 or 7 mm on
        # 36 x 24 or 24 x 16 mm, level or upright.
        wide, high = (36.0, 24.0) if answer.body == "full" else (24.0, 16.0)
        across, up = (wide, high) if answer.hold == "level" else (high, wide)
        assert answer.fill == pytest.approx(max(14 * m / across, 7 * m / up), rel=1e-6)
        # Thin lens at one focal length: D = f (2 + m + 1/m); 100 mm at 1:1 from its closest focus, 0.4 m.
        if answer.converter is None:
            assert answer.distance_m == pytest.approx(0.1 * (2 + m + 1 / m), rel=1e-6)
    assert found.missing == "distance" and found.wanted is not None and found.wanted.fill is None


def test_two_to_one_wants_what_the_lens_alone_has_not() -> None:
    found = asked({"magnification": "1.4:1"}).found
    assert {a.verdict for a in found.rigs if a.converter is None} == {"cannot"}
    assert all(a.magnification == pytest.approx(1.4, rel=1e-6) for a in found.rigs if a.converter)


def test_what_is_out_of_reach_says_how_large_it_draws_and_which_tubes_would() -> None:
    """A thin lens at a fixed focal length with extension T draws T/f more: f0 = D m / (1 + m)^2 = 400 / 4 = 100 mm, so
    2:1 wants another 100 mm (OpenStax University Physics 3, ch. 2: m = v/f - 1)."""
    wide: Table = {"name": "wide", "focal": "24 mm", "f_number": 2.8, "mount": "A", "closest_focus": "0.25 m"}
    kit = prepare(profile(body=[FULL, CROP], lens=[MACRO, wide]))
    shot = trip(kit, {**BEETLE, "magnification": "2:1"})[0]
    assert shot.found.rigs[0].lens == "macro" and {a.verdict for a in shot.found.rigs} == {"cannot"}
    assert shot.found.rigs[0].shortfalls[0].text == "draws 1:1 at most, from 40 cm; 2:1 is wanted"
    gap = gap_of(shot, shot.found.rigs, kit)
    assert gap.tube is not None and gap.tube.drawn == pytest.approx(1.0)
    assert gap.tube.tube_m == pytest.approx(0.1, rel=1e-6) and "macro" in str(gap.tube.behind)
    tube: Table = {"name": "t", "length": "100.1 mm", "mount": "A"}
    tubed = asked({"magnification": "2:1"}, MACRO, converter=[], tube=[tube])
    assert any(a.verdict == "works" and a.tube == "t" for a in tubed.found.rigs)


def test_from_a_given_distance_it_is_missed_and_said() -> None:
    # 0.5 m draws (thin lens) m with 0.5 = 0.1 (2 + m + 1/m): 0.382. Half of what 1:1.3 is.
    found = asked({"magnification": "1:1.3", "distance": "0.5 m", "hold": "level"}).found
    bare = next(a for a in found.rigs if a.converter is None)
    assert bare.magnification == pytest.approx((3 - math.sqrt(5)) / 2, rel=1e-6)
    assert [s.kind for s in bare.shortfalls] == ["short"]


def test_a_small_subject_does_not_pass_for_want_of_a_few_hundredths() -> None:
    # 0.5 mm at 1:1 takes 2 % of the width of 24 mm; half a point of that is a quarter of it, and no near miss.
    found = asked({"subject": thing("0.1 mm", width="0.5 mm"), "magnification": "1:1", "distance": "0.42 m"}).found
    bare = next(a for a in found.rigs if a.converter is None)
    assert bare.magnification is not None and bare.magnification < 0.9
    assert [s.kind for s in bare.shortfalls] == ["short"]


def test_a_zoom_is_set_for_it() -> None:
    zoom = {"name": "zoom", "focal": "50-100 mm", "f_number": 4, "mount": "A"}
    found = asked({"magnification": "1:8", "distance": "0.7 m"}, zoom).found
    bare = next(a for a in found.rigs if a.converter is None)
    assert bare.focal_m == pytest.approx(0.7 / (2 + 1 / 8 + 8), rel=1e-6)  # f = D / (2 + m + 1/m)


def test_it_wants_a_size_and_no_share_beside_it() -> None:
    assert "wants the subject's size" in str(asked({"magnification": "1:1", "subject": {"name": "moss"}}).found.problem)
    with pytest.raises(ValidationError, match="either a share of the frame"):
        plan({**BEETLE, "magnification": "1:1", "fill": "50 %"})


def test_a_converter_at_the_closest_focus_is_still_told_as_a_close_up() -> None:
    # 100 mm whose focal length times and over 1.4 is not 100 mm again in binary; it draws past life size there.
    lens = {**MACRO, "closest_focus": "0.3 m", "largest_magnification": 1.5, "length": "100 mm"}
    made = profile(body=[FULL], lens=[lens], converter=[CONVERTER])
    kit = prepare(made)
    shot = trip(kit, {**BEETLE, "distance": "0.35 m", "hold": "level"})[0]
    converted = next(a for a in shot.found.rigs if a.converter)
    assert converted.magnification is not None and converted.magnification > 1.5
    close = more_on(shot, kit, converted).close_up
    assert close is not None and close.magnification == converted.magnification
    assert close.room.distance_m == pytest.approx(0.35) and close.room.working_m == pytest.approx(0.25)


@pytest.mark.parametrize(("group", "speed"), [("insect", 0.005), ("bird", 0.03), ("moss", 0.03)])
def test_a_living_thing_holds_as_still_as_those_of_its_group(group: str, speed: float) -> None:
    # The middle one of the speeds of "still" in the list of subjects (marked P there: common practice).
    own = {"name": "mine", "height": "7 mm", "living": True, "group": group}
    found = asked({"subject": own, "magnification": "1:1"}).found
    assert found.wanted is not None and found.wanted.speed_m_s == pytest.approx(speed)
