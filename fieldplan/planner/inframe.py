"""How much of each side of the frame the subject takes, for a picture of the frame drawn to scale."""

from __future__ import annotations

from fieldplan.planner.answers import Answer, Wanted

Shares = tuple[float | None, float | None]


def shares_of_frame(wanted: Wanted, answer: Answer) -> Shares:
    """Of the frame's width and height as held, by the middle of the subject's sizes; None where one is not known."""
    return _share(wanted.width, answer.frame_width_m, answer), _share(wanted.height, answer.frame_height_m, answer)


def drawn_shares(wanted: Wanted, answer: Answer) -> Shares:
    """The same with a size that is not known taken like the other one, for a shape that stands for the subject."""
    wide, tall = wanted.width or wanted.height, wanted.height or wanted.width
    return shares_of_frame(wanted._replace(width=wide, height=tall), answer)


def _share(size_m: tuple[float, float] | None, side_m: float | None, answer: Answer) -> float | None:
    if size_m is None or side_m is None or answer.magnification is None:
        return None
    return (size_m[0] + size_m[1]) / 2.0 * answer.magnification / side_m
