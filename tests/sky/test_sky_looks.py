"""From how far a landmark looks as high as so many discs, by own trigonometry; and where a low disc's edges are."""

from __future__ import annotations

import math

import pytest

from fieldplan.sky.aims import half_bearing_deg, lower_edge_deg
from fieldplan.sky.standing import Ground
from fieldplan.sky.station import Place
from fieldplan.sky.viewpoints import HowFar, distance_for, ladder

NOON_S = 1_805_650_000.0


def looks_deg(above_m: float, height_m: float, distance_m: float) -> float:
    """The angle between top and foot; above_m: the top over the eye."""
    return math.degrees(math.atan2(above_m, distance_m) - math.atan2(above_m - height_m, distance_m))


@pytest.mark.parametrize("discs", [0.5, 1.0, 2.0])
@pytest.mark.parametrize(
    ("above_m", "height_m"), [(37.4, 31.0), (1.0, 31.0), (-40.0, 20.0), (402.0, 9.5), (260.0, 9.5)]
)
def test_the_distance_is_the_farther_one_from_which_the_angle_is_so(
    above_m: float, height_m: float, discs: float
) -> None:
    ground = Ground("moon", Place(47.0, 11.0, 500.0 + above_m), 500.0)
    _, disc_deg = ground.disc_at_landmark(NOON_S)
    distance_m = distance_for(ground, HowFar(landmark_discs=discs, height_m=height_m), NOON_S)
    wanted_deg = discs * disc_deg
    reached = [step for step in range(5, 20_000) if looks_deg(above_m, height_m, float(step)) >= wanted_deg]
    if distance_m is None:
        assert reached == [], "from no metre to 20 km does it look so high"
    else:
        assert looks_deg(above_m, height_m, distance_m) == pytest.approx(wanted_deg, rel=1e-6)
        assert reached[-1] <= distance_m < reached[-1] + 1.0


def test_a_small_landmark_high_up_looks_equal_from_nowhere() -> None:
    # Seen from below a height H whose top is h above the eye takes at most about H / 2h: 4 / 804.8 is 0.28 degrees.
    ground, small = Ground("moon", Place(47.0, 11.0, 904.0), 501.6), HowFar(landmark_discs=1.0, height_m=4.0)
    assert max(looks_deg(402.4, 4.0, float(step)) for step in range(5, 5000)) < 0.3
    assert distance_for(ground, small, NOON_S) is None
    assert ladder(ground, [small], NOON_S - 43200.0, NOON_S + 43200.0) == [[]]


def test_the_lower_edge_of_a_disc_is_where_saemundssons_refraction_lifts_it() -> None:
    # Meeus 16.4: R = 1.02' / tan(h + 10.3 / (h + 5.11)), h the true altitude.
    for true_deg in (-0.4, 0.1, 1.0, 5.0, 40.0):

        def lifted(h: float) -> float:
            return h + 1.02 / 60.0 / math.tan(math.radians(h + 10.3 / (h + 5.11)))

        assert lower_edge_deg(lifted(true_deg), 0.54) == pytest.approx(lifted(true_deg - 0.27), abs=1e-3)


def test_half_a_width_in_degrees_of_bearing() -> None:
    # 10 m square to a level line of 1000 m, and to one that climbs by 60 degrees: 500 m over the ground.
    assert half_bearing_deg(20.0, 1000.0, 0.0) == pytest.approx(math.degrees(math.atan(0.01)))
    assert half_bearing_deg(20.0, 1000.0, 60.0) == pytest.approx(math.degrees(math.atan(0.02)))
