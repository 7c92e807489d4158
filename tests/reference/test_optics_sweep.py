"""Frames of a sweep against a published table and against frames turned one by one."""

from __future__ import annotations

import itertools
import math

import pytest

from fieldplan.optics import sweep
from fieldplan.optics.sweep import azimuth_span_deg, frame_angles_deg, parallax_distance_m, row_frames, sweep_rows

# Columbia University, Visual Arts course R4110, "Table of number of images required for various lenses": full turn,
# 35 mm film held upright, at least 50 % overlap. The table goes by even numbers.
TURN = {14: 10, 15: 10, 18: 12, 20: 12, 22: 14, 24: 14, 27: 16, 35: 20, 42: 24, 50: 28, 55: 30, 85: 46, 100: 54,
        135: 72, 200: 106}  # fmt: skip


@pytest.mark.parametrize(("focal_mm", "frames"), TURN.items())
def test_full_turn_of_the_table(focal_mm: float, frames: int) -> None:
    frame = frame_angles_deg(24.0, 36.0, focal_mm)
    rows = sweep_rows(360.0, 0.0, 0.0, frame, 0.5)
    assert rows is not None and len(rows) == 1
    assert 2 * math.ceil(rows[0].frames / 2) == frames


@pytest.mark.parametrize(("sweep", "frames"), [(40, 1), (41, 2), (68, 2), (69, 3), (96, 3)])
def test_frames_laid_out_by_hand(sweep: float, frames: int) -> None:
    # Frames of 40 deg, each 28 deg after the one before (30 % overlap), reach 40, 68, 96 deg.
    assert row_frames(sweep, 40.0, 0.3) == frames


def test_angles_of_a_frame() -> None:
    # Course notes: 50 mm on 36 x 24 mm sees 39.6 x 27.0 deg.
    assert frame_angles_deg(36.0, 24.0, 50.0) == pytest.approx((39.6, 27.0), abs=0.05)


def inside(azimuth: float, altitude: float, aim: tuple[float, float], frame: tuple[float, float]) -> bool:
    """Whether a frame holds a direction: the direction turned into the camera's axes, then projected on a plane."""
    az, alt, turn, up = (math.radians(v) for v in (azimuth, altitude, *aim))
    x = math.cos(alt) * math.sin(az - turn)
    forward = math.cos(alt) * math.cos(az - turn)
    z = math.sin(alt)
    depth = forward * math.cos(up) + z * math.sin(up)
    high = z * math.cos(up) - forward * math.sin(up)
    if depth <= 0.0:
        return False
    across, upwards = (math.tan(math.radians(side / 2)) * (1 + 1e-9) for side in frame)
    return abs(x / depth) <= across and abs(high / depth) <= upwards


FIELDS = [
    (360.0, -20.0, 35.0, (53.0, 74.0), 0.3),
    (360.0, -90.0, 90.0, (54.4, 73.7), 0.25),
    (140.0, -10.0, 10.0, (27.0, 39.6), 0.3),
    (180.0, -5.0, 60.0, (39.6, 27.0), 0.4),
    (90.0, 30.0, 80.0, (39.6, 27.0), 0.2),
    (30.0, -3.0, 3.0, (39.6, 27.0), 0.3),
    (250.0, -45.0, -10.0, (60.0, 40.0), 0.0),
]


@pytest.mark.parametrize(("sweep", "low", "high", "frame", "overlap"), FIELDS)
def test_every_direction_lies_in_a_frame(
    sweep: float, low: float, high: float, frame: tuple[float, float], overlap: float
) -> None:
    # Spherical geometry by rotation and projection of single directions, apart from the formulas of the rows.
    rows = sweep_rows(sweep, low, high, frame, overlap)
    assert rows is not None
    aims = [(row.turn_deg * (i - (row.frames - 1) / 2), row.altitude_deg) for row in rows for i in range(row.frames)]
    for i in range(60):
        for j in range(21):
            azimuth, altitude = sweep * ((i + 0.5) / 60 - 0.5), low + (high - low) * j / 20
            assert any(inside(azimuth, altitude, aim, frame) for aim in aims), (azimuth, altitude)


@pytest.mark.parametrize(("sweep", "low", "high", "frame", "overlap"), FIELDS)
def test_neighbours_overlap_as_much_as_asked(
    sweep: float, low: float, high: float, frame: tuple[float, float], overlap: float
) -> None:
    rows = sweep_rows(sweep, low, high, frame, overlap)
    assert rows is not None
    for row in rows:
        if row.frames > 1:
            span = azimuth_span_deg(*frame, row.altitude_deg)
            assert row.turn_deg <= span * (1 - overlap) * (1 + 1e-9)
    for lower, upper in itertools.pairwise(rows):
        assert upper.altitude_deg - lower.altitude_deg <= frame[1] * (1 - overlap) * (1 + 1e-9)


@pytest.mark.parametrize("altitude", [0.0, 12.0, 35.0, -50.0])
def test_span_of_azimuth_of_a_raised_frame(altitude: float) -> None:
    # The widest turn at which both side edges still hold a direction, found by walking outwards at every altitude.
    frame = (39.6, 27.0)
    spans = []
    for up in (1.998 * v / 99 - 0.999 for v in range(100)):
        edge = altitude + up * frame[1] / 2  # along the frame's own upright middle
        azimuth = 0.0
        while inside_sideways(azimuth, edge, altitude, frame):
            azimuth += 0.01
        spans.append(2 * azimuth)
    assert min(spans) == pytest.approx(azimuth_span_deg(*frame, altitude), abs=0.15)


def inside_sideways(azimuth: float, edge: float, altitude: float, frame: tuple[float, float]) -> bool:
    """Whether the point of the frame's row through ``edge`` at an azimuth lies within the side edges."""
    up, row = math.radians(altitude), math.radians(edge - altitude)
    flat = math.cos(up) - math.tan(row) * math.sin(up)  # horizontal reach of the row's points, the axis being 1
    return flat * math.tan(math.radians(azimuth)) <= math.tan(math.radians(frame[0] / 2))


def test_things_that_shift_between_frames() -> None:
    # Two views from points 2 e sin(turn/2) apart: a thing at d is seen that much over d away from the far ground.
    distance = parallax_distance_m(0.1, 20.0, 0.05, 3e-5)
    moved = math.dist((0.1, 0.0), (0.1 * math.cos(math.radians(20)), 0.1 * math.sin(math.radians(20))))
    assert moved / distance * 0.05 == pytest.approx(3e-5)


def test_rows_that_cannot_meet_are_not_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows of height h with overlap k reach at most h + (n - 1) h (1 - k) up: fewer leave gaps, and are passed over."""
    placed, tried = sweep._placed, []
    monkeypatch.setattr(sweep, "_placed", lambda count, *rest: (tried.append(count), placed(count, *rest))[1])
    assert sweep_rows(40.0, -20.0, 20.0, (0.03, 0.03), 0.3) is None
    assert tried == []
    rows = sweep_rows(40.0, -20.0, 20.0, (1.5, 1.5), 0.3)
    assert rows is not None and len(rows) >= 1 + (40.0 - 1.5) / (1.5 * 0.7)
    assert len(tried) < 40
