"""The threshold fit on a textbook's data: beetles and carbon disulphide, Bliss, Annals of Applied Biology 22, 1935.

Counts and the logit fit (median dose 10^1.7717) as printed in Agresti, Categorical Data Analysis; both from memory.
"""

from __future__ import annotations

import pytest

from fieldplan.planner.thresholds import Threshold, fit_threshold

LOG_DOSE = (1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839)
BEETLES = (59, 60, 62, 56, 63, 59, 62, 60)
KILLED = (6, 13, 18, 28, 52, 53, 61, 60)
SPREAD = 30.0  # brings a scale of 0.2 to one of doublings, turned: a yes grows rarer up the scale


def test_the_median_dose_is_the_published_one() -> None:
    points = [(SPREAD * (1.77 - dose), n < dead) for dose, all_of_them, dead in
              zip(LOG_DOSE, BEETLES, KILLED, strict=True) for n in range(all_of_them)]  # fmt: skip
    found = fit_threshold(points)
    assert isinstance(found, Threshold)
    assert 1.77 - found.at / SPREAD == pytest.approx(1.7717, abs=0.001)
    assert found.low < found.at < found.high
    assert (found.yes, found.no) == (sum(KILLED), sum(BEETLES) - sum(KILLED))
