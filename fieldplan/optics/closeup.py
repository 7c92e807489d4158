"""Close to the subject: inclined subjects, the f-number between blur and diffraction, swaying, and focus stacks.

Magnification is image over object size; f-numbers are marked ones unless called effective; SI throughout.
"""

from __future__ import annotations

import math

from fieldplan.optics.formats import AIRY_CONSTANT, GREEN_M

_SLACK = 1e-9  # a depth that exactly n frames hold must not ask for one more


def inclined_depth_m(length_m: float, angle_deg: float) -> float:
    """Depth along the axis that a subject takes whose length is turned out of the plane of focus: L sin a [m].

    angle_deg: between the subject's length and the plane of focus, 0 for square on, 90 for end on.
    """
    return length_m * abs(math.sin(math.radians(angle_deg)))


def angle_held_deg(length_m: float, depth_m: float) -> float:
    """Largest angle out of the plane of focus at which a depth still holds the whole length: asin(T/L) [deg]."""
    return 90.0 if depth_m >= length_m else math.degrees(math.asin(depth_m / length_m))


def end_blur_m(depth_m: float, f_number: float, magnification: float) -> float:
    """Blur disc at either end of a depth, focused within it so that both are alike: T m^2 / (2 N (1+m)) [m].

    The focus step 2 c N (1+m)/m^2, solved for c.
    """
    return depth_m * magnification**2 / (2.0 * f_number * (1.0 + magnification))


def airy_at_m(f_number: float, magnification: float, pupil_ratio: float = 1.0) -> float:
    """Diameter of the Airy disc at a marked f-number close up: 2.44 lambda N (1 + m/P) [m]."""
    return AIRY_CONSTANT * GREEN_M * f_number * (1.0 + magnification / pupil_ratio)


def sharpest_f_number(depth_m: float, magnification: float, pupil_ratio: float = 1.0) -> float:
    """The f-number at which the ends of a depth are least unsharp: blur disc and Airy disc equal.

    Both added by squares, as in P. Hansma, View Camera Focusing in Practice, Photo Techniques, March 1996
    (20 sqrt(focus spread in mm) / (1+m)): N^2 = T m^2 / (2 (1+m) (1+m/P) 2.44 lambda).
    """
    spread = depth_m * magnification**2
    return math.sqrt(
        spread / (2.0 * (1.0 + magnification) * (1.0 + magnification / pupil_ratio) * AIRY_CONSTANT * GREEN_M)
    )


def swing_end_time_s(blur_m: float, magnification: float, width_m: float, per_second: float) -> float:
    """Longest time round the end of a swing in which the image stays within ``blur_m`` [s]; inf when nothing moves.

    width_m: from end to end; per_second: full swings a second. Simple harmonic motion: within t/2 of the turn the
    subject is (A/2)(1 - cos(pi n t)) away from it.
    """
    travel = blur_m / magnification
    if width_m <= 0.0 or per_second <= 0.0:
        return math.inf
    if travel >= width_m:
        return math.inf
    return math.acos(1.0 - 2.0 * travel / width_m) / (math.pi * per_second)


def stack_frames(depth_m: float, step_m: float, overlap: float = 0.0) -> int:
    """Frames of a focus stack: the first holds ``step_m``, each further one adds ``step_m (1 - overlap)``.

    overlap: share of a step that neighbouring frames have in common, 0 to less than 1. Raises ValueError outside it.
    """
    if not 0.0 <= overlap < 1.0:
        raise ValueError("the overlap of a stack is a share from 0 to less than 1")
    if depth_m <= step_m:
        return 1
    return 1 + math.ceil((depth_m - step_m) / (step_m * (1.0 - overlap)) - _SLACK)


def frames_between(focal_m: float, f_number: float, circle_m: float, near_m: float, far_m: float) -> int:
    """Frames, focused one behind another, that hold everything from near to far (from the lens) [m].

    A chain of the exact limits u H0/(H0 +- (u - f)), H0 = f^2/(N c): each frame multiplies f/distance taken from 1 by
    (H0 + f)/(H0 - f), so n = ln((1 - f/far)/(1 - f/near)) / ln((H0 + f)/(H0 - f)). Thin lens of one focal length.
    Raises ValueError where the nearest lies within the focal length.
    """
    if near_m <= focal_m:
        raise ValueError("no real image: the nearest lies within the focal length")
    blur = f_number * circle_m / focal_m
    if blur >= 1.0:
        return 1
    far = 0.0 if math.isinf(far_m) else focal_m / far_m
    steps = (math.log1p(-far) - math.log1p(-focal_m / near_m)) / (math.log1p(blur) - math.log1p(-blur))
    return max(1, math.ceil(steps - _SLACK))
