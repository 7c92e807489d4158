"""Whole pictures compared as plain text with the files in golden/, one file a picture with all its glyph levels."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldplan.pictures import (
    Band,
    Disc,
    Landmark,
    Level,
    Picture,
    Span,
    draw_curve,
    draw_depth,
    draw_frame,
    draw_skyview,
    plain,
)

GOLDEN = Path(__file__).parent / "golden"
LEVELS: tuple[Level, ...] = ("braille", "block", "ascii")


def metres(distance_m: float) -> str:
    return f"{distance_m:.1f} m"


def day(level: Level) -> Picture:
    hours = [h / 4 for h in range(97)]
    ev = [max(-4.0, 13.5 - ((h - 12.5) / 2.7) ** 2 * 1.3) for h in hours]
    night = [-3.0 + math.sin(h / 4) for h in hours]
    return draw_curve(
        60,
        12,
        hours,
        ev,
        second_ys=night,
        x_labels=[(h, f"{h:02}:00") for h in range(0, 25, 4)],
        y_labels=[(12, "EV 12"), (6, "6"), (0, "0")],
        bands=[
            Band(0, 6, "night"),
            Band(6, 7.2, "civil"),
            Band(7.2, 18, "day"),
            (18, 19.2, "civil"),
            (19.2, 24, "night"),
        ],
        spans=[Span(7.2, 12, "heron"), (9, 16, "fox, until too dark"), (17, 17.2, "deer")],
        cursor_x=9.5,
        level=level,
    )


def moonrise(level: Level) -> Picture:
    return draw_skyview(
        50,
        16,
        field_w_deg=5.15,
        field_h_deg=3.44,
        centre_az_deg=95,
        centre_alt_deg=2.5,
        skyline=[(85, 1.0), (94, 1.3), (96, 1.1), (105, 1.6)],
        landmark=Landmark(94.6, 94.9, 1.0, 3.1),
        discs=[Disc(95.3, 2.9, 0.26, "18:42"), Disc(94.0, 2.0, 0.26, "18:30")],
        path=[(93, 1.1), (94.0, 2.0), (95.3, 2.9), (97, 4.1)],
        level=level,
    )


CASES: dict[str, Callable[[Level], Picture]] = {
    "frame": lambda level: draw_frame(24, 8, 36, 24, 0.5, 0.4, level=level, label="40 %"),
    "frame_cut_off": lambda level: draw_frame(24, 8, 36, 24, 1.3, 0.5, level=level, label="130 %"),
    "frame_upright": lambda level: draw_frame(22, 9, 24, 36, 0.5, 1.4, level=level, label="140 %", shape="ellipse"),
    "depth": lambda level: draw_depth(
        60, 12.0, 12.6, 12.3, format_m=metres, subject_from_m=12.1, subject_to_m=12.7, background_m=40, level=level
    ),
    "depth_to_infinity": lambda level: draw_depth(
        60, 5.2, math.inf, 10.5, format_m=metres, subject_from_m=4, subject_to_m=10.7, level=level
    ),
    "day": day,
    "moonrise": moonrise,
}


def read_golden(name: str) -> dict[str, str]:
    parts = (GOLDEN / f"{name}.txt").read_text(encoding="utf-8").split("== ")[1:]
    return {head: body.removesuffix("\n") for head, _, body in (part.partition("\n") for part in parts)}


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("name", CASES)
def test_golden(name: str, level: Level) -> None:
    assert plain(CASES[name](level)) == read_golden(name)[level]
