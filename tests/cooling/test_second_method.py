"""Whole patios by another method, those that could be looked at: the rules go on meeting what they met.

`docs/validation/whole-patio.md` tells where the figures come from, and those of the cases held back. Computed
by another method, not measured: no authority, but it shares no equation with ours.
"""

from __future__ import annotations

import pytest

from tests.second_method.cases import CASES
from tests.second_method.compare import HERE, figures, row, rows, tally
from tests.second_method.patio import Run

TOLD = figures(HERE / "results.csv")
FEW = (
    "straight-h3-w1-to180-dry",
    "straight-h3-w1-to90-dry",
    "straight-h3-calm-dry",
    "straight-h3-w0.3-to0-dry",
)


@pytest.mark.thorough
@pytest.mark.parametrize("name", FEW)
def test_the_mean_is_in_the_range(name):
    """From the house, along the edge, calm, and light air onto the open side."""
    case = next(case for case in CASES if case.name == name)
    found = row(case, TOLD[Run(case).name])
    assert found.inside and found.close


@pytest.mark.thorough
def test_ranges_hold_most_of_them_and_none_has_the_wrong_sign():
    """7 in 10 means and 6 in 10 seats, as was asked for before the first run; no patio that is cool is told
    warm: a third of the other method's drop at least, where that is 1 K or more."""
    found = rows("looked-at", "held-back")
    told = tally(found)
    assert told["cases"] >= 24
    assert told["means inside"] >= 0.7 and told["seats inside"] >= 0.6
    assert told["mean error"] < 0.25
    assert all(r.ours[1] > r.theirs / 3 for r in found if r.theirs >= 1.0)
